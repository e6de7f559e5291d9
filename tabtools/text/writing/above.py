"""The rows over a system: endings, remarks, chords, technique marks, bend sizes, durations."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from tabtools.score import ZERO, Bar, Event, Quarters
from tabtools.techniques import BY_NAME
from tabtools.text.patterns import lazy
from tabtools.text.rows.amounts import bend_word
from tabtools.text.words.fingers import NONE, REMARK
from tabtools.text.words.telling import read_above
from tabtools.text.words.values import duration_word
from tabtools.text.writing.spacing import BarText, Placed
from tabtools.theory.chord import parse_chord

# Such words are a metre.
_FRACTION = lazy(r"\d+/\d+")
_SPANNING = ("palm-mute", "let-ring")
_ORDER = ("endings", "words", "marks", "amounts", "chords", "letters")
Rows = dict[str, list[tuple[int, str]]]
Columns = Sequence[tuple[Bar, BarText, Placed, int]]


def rows_above(bars: Columns, before: Bar | None) -> Iterator[str]:
    """The lines over a system, top line first.

    ``bars`` are its bars with their layout and the column that their music begins at; ``before`` is the bar
    before the system.
    """
    rows: Rows = {}
    for bar, text, placed, start in bars:
        _bar_words(rows, bar, before, text, placed, start)
        before = bar
    for name in sorted(rows, key=lambda name: (_ORDER.index(name.partition(" ")[0]), name)):
        if name in ("words", "chords"):
            yield from reversed(list(stacked(rows[name], 2 if name == "words" else 1)))
        else:
            yield spread(rows[name])


def stacked(words: Iterable[tuple[int, str]], apart: int) -> Iterator[str]:
    """Lines with every word at its own column: one for which there is no room goes to another line."""
    lines: list[str] = []
    for column, word in sorted(words, key=lambda word: word[0]):
        fits = (at for at, line in enumerate(lines) if len(line) + apart <= column)
        at = next(fits, len(lines))
        if at == len(lines):
            lines.append("")
        lines[at] = lines[at].ljust(column) + word
    yield from lines


def _bar_words(rows: Rows, bar: Bar, before: Bar | None, text: BarText, placed: Placed, start: int) -> None:
    columns = [start + column for column in placed.columns]

    def at(onset: Quarters) -> int:
        later = (
            column
            for slot, column in zip(text.slots, columns, strict=True)
            if slot.onset is not None and slot.onset >= onset
        )
        return next(later, columns[-1] if columns else start)

    def add(row: str, column: int, word: str) -> None:
        rows.setdefault(row, []).append((column, word))

    if bar.endings and (before is None or before.endings != bar.endings):
        add("endings", start, f"{bar.endings[0]}.")
    if before is not None and before.time != bar.time:
        add("words", start, bar.time.name)
    for words in bar.words:
        add("words", at(words.onset), _remark(words.text))
    for harmony in bar.harmonies:
        known = parse_chord(harmony.symbol) is not None
        add(
            "chords" if known else "words",
            at(harmony.onset),
            harmony.symbol if known else _remark(harmony.symbol),
        )
    timed = [column for slot, column in zip(text.slots, columns, strict=True) if slot.onset is not None]
    for column, letter in zip(timed, bar_letters(bar) or (), strict=False):
        add("letters", column, letter)
    for first, last, mark in mark_spans(bar):
        reach = max(columns[last] - columns[first], len(mark)) + 1
        add(f"marks {mark}", columns[first], mark if first == last else mark.ljust(reach, "-") + "|")
    for column, amount in _amounts(bar, columns):
        add("amounts", column, amount)


def _remark(text: str) -> str:
    """A remark as it is, in quotation marks where a reader would take it for something else."""
    plain = read_above(f"   {text}").kind == "words" and not _FRACTION.fullmatch(text)
    return text if plain else f'"{text}"'


def finger_row(bars: Columns) -> str:
    """The fingers under a system, for each column of notes those of its strings from the top, ``.`` for a
    note without; empty where no note has one."""
    words = []
    for bar, _, placed, start in bars:
        for event, column in zip(bar.events, placed.columns, strict=True):
            fingers = finger_word(event)
            if fingers:
                words.append((start + column, fingers))
    return spread([*words, (words[-1][0] + 4, REMARK)]) if words else ""


def finger_word(event: Event) -> str:
    """The fingers of an event from the top string down; empty where no note has one."""
    word = "".join(note.finger or NONE for note in event.notes)
    return word if word.strip(NONE) else ""


def _amounts(bar: Bar, columns: Sequence[int]) -> Iterator[tuple[int, str]]:
    """Bend sizes that no fret can say."""
    for event, column in zip(bar.events, columns, strict=True):
        for technique in (technique for note in event.notes for technique in note.techniques):
            word = None if technique.value is None else bend_word(technique.value)
            if word is not None:
                yield column, word


def mark_spans(bar: Bar) -> list[tuple[int, int, str]]:
    """The techniques that stand over the strings: first and last event, and the mark. Rests do not end a
    span; a technique that makes no spans has a mark for every event."""
    spans: list[tuple[int, int, str]] = []
    struck = [index for index, event in enumerate(bar.events) if event.notes]
    open_spans: dict[str, tuple[int, int]] = {}
    for index in struck:
        names = {technique.name for note in bar.events[index].notes for technique in note.techniques}
        for name in [name for name in open_spans if name not in names or name not in _SPANNING]:
            spans.append((*open_spans.pop(name), BY_NAME[name].above[0]))
        for name in names:
            if BY_NAME[name].above and not in_row(name):
                open_spans[name] = (open_spans.get(name, (index, index))[0], index)
    spans += [(first, last, BY_NAME[name].above[0]) for name, (first, last) in open_spans.items()]
    return sorted(spans)


def words_room(bar: Bar, following: Bar | None) -> int:
    """The columns that the chords of a bar, or its remarks, take one beside the other before those of the
    bar that follows; none where that one has none, since words may stand over a bar line."""
    chords = sum(len(harmony.symbol) + 1 for harmony in bar.harmonies)
    remarks = sum(len(words.text) + 2 for words in bar.words)
    if following is None:
        return 0
    return max(chords * bool(following.harmonies), remarks * bool(following.words)) - 1


def in_row(name: str) -> bool:
    """Whether a technique has a sign on the string row itself."""
    kind = BY_NAME[name]
    return bool(kind.between or kind.before or kind.after or kind.around)


def spread(words: Iterable[tuple[int, str]], apart: int = 1) -> str:
    """A line with words at their columns; one that would come nearer than ``apart`` blanks to the word
    before moves right."""
    line = ""
    for column, text in sorted(words, key=lambda word: word[0]):
        line = line.ljust(max(column, len(line) + apart) if line else column) + text
    return line


def bar_letters(bar: Bar) -> tuple[str, ...] | None:
    """A duration letter for every event that takes time; None where the rhythm is only inferred or letters
    cannot say it."""
    events = [event for event in bar.events if not event.grace]
    if not events or any(event.inferred for event in events):
        return None
    now = ZERO
    letters = []
    for event in events:
        letter = duration_word(event.duration, rest=not event.notes)
        if letter is None or event.onset != now:
            return None
        now += event.duration
        letters.append(letter)
    return tuple(letters)
