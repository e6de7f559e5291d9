"""A score to clean text tab: header, sections, and systems of aligned rows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import zip_longest

from tabtools.record import NamedTuple
from tabtools.score import (
    Bar,
    Part,
    Score,
    Tempo,
)
from tabtools.source import UnreadableError
from tabtools.text.page.header_words import BEATS
from tabtools.text.writing.above import finger_row, rows_above
from tabtools.text.writing.balance import balanced
from tabtools.text.writing.cells import bar_text, one_voice
from tabtools.text.writing.spacing import WIDTH, BarText, Placed, place, render
from tabtools.text.writing.tunings import row_labels, tuning_text

_NO_BRACKETS = str.maketrans("[]", "()")
_DOTTED = {"": Fraction(1), "dotted ": Fraction(3, 2)}


def write_text(score: Score, *, width: int = WIDTH) -> str:
    """The score as text tab, lines ended by LF and at most ``width`` columns wide where a bar is.

    A duration row stands over the bars whose rhythm the score knows and plain letters can say; tuplets are
    said by spacing. Voices are put together. Notes without a string are left out, for there is no row to
    write them on: `left_out` names them. What else reading the text gives back otherwise, `losses` names.

    Raises UnreadableError when there are notes and none has a string.
    """
    score = _on_the_neck(score)
    lines: list[str] = []
    names = _names(score)
    for number, (part, name) in enumerate(zip(score.parts, names, strict=True)):
        lines += _header(score, part, first=not number)
        lines += _systems(part, name if len(names) > 1 else None, width)
    return "\n".join(lines).rstrip("\n") + "\n"


def _names(score: Score) -> list[str]:
    """The names of the parts, numbered where two are the same: by its name a reader knows a part again."""
    names: list[str] = []
    for part in score.parts:
        name, number = part.name, 1
        while name in names:
            number += 1
            name = f"{part.name} {number}"
        names.append(name)
    return names


def _on_the_neck(score: Score) -> Score:
    """The score without the notes that have no string; what only they sounded in becomes a rest."""
    notes = [
        note for part in score.parts for bar in part.bars for event in bar.events for note in event.notes
    ]
    homeless = sum(note.string is None for note in notes)
    if not homeless:
        return score
    if homeless == len(notes):
        raise UnreadableError(
            "none of the notes has a string and fret, and text tab can't hold a note without: "
            "give the file a tab staff first"
        )
    return score._replace(
        parts=tuple(part._replace(bars=tuple(map(_kept, part.bars))) for part in score.parts)
    )


def _kept(bar: Bar) -> Bar:
    events = (
        event._replace(notes=tuple(note for note in event.notes if note.string is not None))
        for event in bar.events
    )
    return bar._replace(events=tuple(event for event in events if event.notes or not event.grace))


def _header(score: Score, part: Part, *, first: bool) -> Iterator[str]:
    if first and score.title:
        yield f"Title: {score.title}"
    if first and score.composer:
        yield f"Composer: {score.composer}"
    instrument = part.instrument
    if instrument.name != "Guitar":
        yield f"Instrument: {instrument.name}"
    yield f"Tuning: {tuning_text(instrument)}"
    if any(other.instrument.capo for other in score.parts):
        yield f"Capo: {instrument.capo or 'none'}"
    bar = part.bars[0] if part.bars else Bar(1)
    if bar.key:
        yield f"Key: {bar.key.name}"
    yield f"Time: {bar.time.name}"
    if bar.tempo:
        yield f"Tempo: {tempo_text(bar.tempo)}"
    yield ""


def tempo_text(tempo: Tempo) -> str:
    """As in ``96``, ``half = 50`` or ``dotted quarter = 60``; fractions of a beat a minute are rounded."""
    names = {
        length * dotted: word + name for name, length in BEATS.items() for word, dotted in _DOTTED.items()
    }
    name = names.get(tempo.beat)
    if name is None or tempo.beat == 1:
        return str(round(tempo.per_minute * tempo.beat))
    return f"{name} = {round(tempo.per_minute)}"


class _Laid(NamedTuple):
    """One bar with its layout."""

    bar: Bar
    text: BarText
    placed: Placed


def _systems(part: Part, name: str | None, width: int) -> Iterator[str]:
    bars = [one_voice(bar) for bar in part.bars]
    texts = [bar_text(bar, after) for bar, after in zip_longest(bars, bars[1:])]
    laid = [_Laid(*bar) for bar in zip(bars, texts, place(texts), strict=True)]
    labels = row_labels(part.instrument)
    before: Bar | None = None
    for system in _break(laid, width - len(labels[0])):
        yield from _over(system[0].bar, before, name)
        times = max(bar.bar.repeat_times for bar in system)
        if times > 2:
            yield f"x{times}"
        starts = _starts(system, len(labels[0]))
        columns = [(bar.bar, bar.text, bar.placed, at) for bar, at in zip(system, starts, strict=True)]
        yield from rows_above(columns, before)
        for row, label in enumerate(labels):
            yield label + "".join(_bar_row(system, index, row) for index in range(len(system))) + _end(system)
        if fingers := finger_row(columns):
            yield fingers
        before = system[-1].bar
        yield ""


def _over(bar: Bar, before: Bar | None, name: str | None) -> Iterator[str]:
    """What a system begins with: a new key or tempo, its section, whose it is."""
    # A key that comes late and alone would be read as the key of the whole page.
    if before is not None and before.key is not None and bar.key is not None and bar.key != before.key:
        yield from (f"Key: {bar.key.name}", "")
    if before is not None and before.tempo is not None and bar.tempo is not None:
        yield from (f"Tempo: {tempo_text(bar.tempo)}", "")
    if bar.section:
        yield f"[{bar.section.translate(_NO_BRACKETS)}]"
    if name is not None:
        yield f"Part: {name}"


def _break(bars: Sequence[_Laid], width: int) -> Iterator[Sequence[_Laid]]:
    """Cut into systems of at most ``width`` columns, as equal as can be; a new one begins with every section,
    key and tempo, and where a repeat has another number of passes."""
    run: list[_Laid] = []
    times = 0
    for bar in bars:
        if run and (_begins(bar.bar, run[-1].bar) or (times and bar.bar.repeat_times not in (0, times))):
            yield from balanced(run, _width, width - 2)
            run, times = [], 0
        run.append(bar)
        times = max(times, bar.bar.repeat_times)
    yield from balanced(run, _width, width - 2)


def _begins(bar: Bar, before: Bar) -> bool:
    changed = bar.key is not None and before.key is not None and bar.key != before.key
    return bool(bar.section) or bar.tempo is not None or changed


def _width(bar: _Laid) -> int:
    return bar.placed.width + 3


def _line(system: Sequence[_Laid], index: int) -> str:
    """The bar line before a bar; the repeat that ends there is written with it."""
    left = system[index - 1].bar if index else None
    closes = ":" if left is not None and left.repeat_times else ""
    opens = ":" if system[index].bar.repeat_start else ""
    return f"{closes}|{opens}"


def _end(system: Sequence[_Laid]) -> str:
    return ":|" if system[-1].bar.repeat_times else "|"


def _bar_row(system: Sequence[_Laid], index: int, row: int) -> str:
    return _line(system, index) + render(system[index].text, system[index].placed, row)


def _starts(system: Sequence[_Laid], label: int) -> list[int]:
    """The column at which every bar's music begins."""
    starts, at = [], label
    for index, bar in enumerate(system):
        at += len(_line(system, index))
        starts.append(at)
        at += bar.placed.width
    return starts
