"""How one take of a phrase differs from another, in the words of the trade."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from tabtools.forms.naming import outline
from tabtools.forms.words import form_words
from tabtools.phrases.aligning import Alignment, Pair, Stroke, align, strokes
from tabtools.record import NamedTuple
from tabtools.score import Note, Part, Technique

_LENGTHS = {
    Fraction(4): "a whole note",
    Fraction(2): "a half note",
    Fraction(1): "a quarter",
    Fraction(1, 2): "an eighth",
    Fraction(1, 4): "a sixteenth",
    Fraction(1, 8): "a thirty-second",
    Fraction(1, 3): "an eighth of a triplet",
    Fraction(2, 3): "a quarter of a triplet",
    Fraction(3, 2): "a dotted quarter",
    Fraction(3, 4): "a dotted eighth",
}
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
_PLAYED = {"hammer": "hammered on", "pull": "pulled off", "slide": "slid", "tap": "tapped"}
_ADDED = {"let-ring": "let ring", "palm-mute": "palm muted"}


class Difference(NamedTuple):
    """One thing that differs: the number of the bar in each take, None where it has no such bar, the onset in
    it in quarter notes, what kind of thing, and words. ``kind`` is one of ``pitch``, ``place``, ``time``,
    ``length``, ``technique``, ``finger``, ``added``, ``missing``, ``chord`` and ``setting``."""

    first_bar: int | None
    second_bar: int | None
    onset: Fraction
    kind: str
    words: str


class Comparison(NamedTuple):
    """Two takes compared. ``interval`` is by how many semitones the second lies higher as a whole, ``alike``
    the share of strokes that have a partner without a difference."""

    interval: int
    alike: float
    differences: tuple[Difference, ...]


def compare(first: Part, second: Part) -> Comparison:
    """What differs between two takes, aligned by pitch and time, from the first as the model."""
    alignment = align(strokes(first), strokes(second))
    found = [
        *_settings(first, second),
        *_chords(first, second, alignment),
        *_merged(_of_pairs(alignment), first, second),
    ]
    found.sort(key=lambda one: (one.first_bar or one.second_bar or 0, one.onset))
    differing = sum(1 for pair in alignment.pairs if any(_of_pair(pair, alignment)))
    alike = 1 - differing / len(alignment.pairs) if alignment.pairs else 1.0
    return Comparison(alignment.interval, round(alike, 3), tuple(found))


def _settings(first: Part, second: Part) -> Iterator[Difference]:
    one, other = first.instrument, second.instrument
    pairs: list[tuple[str, object, object]] = [
        ("tuning", " ".join(p.name for p in one.tuning[::-1]), " ".join(p.name for p in other.tuning[::-1])),
        ("capo", one.capo or "no capo", other.capo or "no capo"),
    ]
    if first.bars and second.bars:
        a, b = first.bars[0], second.bars[0]
        pairs += [
            ("key", a.key and a.key.name, b.key and b.key.name),
            ("metre", a.time.name, b.time.name),
            ("tempo", a.tempo and str(a.tempo.per_minute), b.tempo and str(b.tempo.per_minute)),
        ]
    for name, mine, theirs in pairs:
        if mine != theirs:
            words = f"{name}: {theirs or 'none'} instead of {mine or 'none'}"
            yield Difference(None, None, Fraction(0), "setting", words)


def _chords(first: Part, second: Part, alignment: Alignment) -> Iterator[Difference]:
    """Chord symbols that differ, in bars that are partners; those of transposed takes do anyway."""
    partners = dict.fromkeys(
        (pair.first.number, pair.second.number) for pair in alignment.pairs if pair.first and pair.second
    )
    if alignment.interval:
        return
    done = set()
    for one, other in partners:
        if one in done:
            continue
        done.add(one)
        mine, theirs = first.bars[one], second.bars[other]
        said, says = ([(h.onset, h.symbol) for h in bar.harmonies] for bar in (mine, theirs))
        if said != says:
            names = [" ".join(symbol for _, symbol in symbols) or "no chord" for symbols in (said, says)]
            at = next((onset for onset, _ in set(said) ^ set(says)), Fraction(0))
            if names[0] == names[1]:
                words = f"{names[1]} stands elsewhere in the bar"
            else:
                words = f"chord {names[1]} instead of {names[0]}"
            yield Difference(mine.number, theirs.number, at, "chord", words)


def _of_pairs(alignment: Alignment) -> Iterator[Difference]:
    for pair in alignment.pairs:
        yield from _of_pair(pair, alignment)


def _of_pair(pair: Pair, alignment: Alignment) -> Iterator[Difference]:
    one, other = pair
    if one is None or other is None:
        yield _lonely(pair)
        return

    def differs(kind: str, words: str) -> Difference:
        return Difference(one.bar.number, other.bar.number, one.event.onset, kind, words)

    yield from (differs(kind, words) for kind, words in _notes(one, other, alignment.interval))
    late = other.event.onset - one.event.onset
    if one.event.grace != other.event.grace:
        yield differs("time", "a grace note" if other.event.grace else "no grace note any more")
    elif late and one.number == other.number:
        yield differs("time", f"{_amount(abs(late))} {'late' if late > 0 else 'early'}")
    elif late == 0 and _rings_on(one, other):
        longer = other.event.duration > one.event.duration
        amount = _amount(abs(other.event.duration - one.event.duration))
        yield differs("length", f"{amount} {'longer' if longer else 'shorter'}")


def _rings_on(one: Stroke, other: Stroke) -> bool:
    """Whether two strokes differ in length for another reason than when the next one comes."""
    if one.event.duration == other.event.duration or one.event.grace:
        return False
    return not (_fills(one) and _fills(other))


def _fills(stroke: Stroke) -> bool:
    """Whether a stroke lasts until the next event of its bar, or the bar's end."""
    end = stroke.event.onset + stroke.event.duration
    later = [event.onset for event in stroke.bar.events if event.onset > stroke.event.onset and event.notes]
    return end == min(later, default=stroke.bar.lasts)


def _lonely(pair: Pair) -> Difference:
    stroke = pair.first or pair.second
    assert stroke is not None, "a pair has a stroke"
    what = " and ".join(_name(note) for note in stroke.notes)
    words = f"{what} added" if pair.second else f"{what} left out"
    bars = (pair.first and pair.first.bar.number, pair.second and pair.second.bar.number)
    return Difference(*bars, stroke.event.onset, "added" if pair.second else "missing", words)


def _name(note: Note) -> str:
    return note.pitch.name if note.pitch else "a dead note"


def _notes(one: Stroke, other: Stroke, by: int) -> Iterator[tuple[str, str]]:
    """What differs between the notes of two strokes: by pitch first, then by what is played otherwise."""
    waiting = list(other.notes)
    left: list[Note] = []
    for note in one.notes:
        same = [there for there in waiting if _midi(there) == _midi(note, by)]
        if not same:
            left.append(note)
            continue
        partner = min(same, key=lambda there: abs((there.string or 0) - (note.string or 0)))
        waiting.remove(partner)
        yield from _played(note, partner)
    for note, partner in zip(left, waiting, strict=False):
        yield "pitch", f"{_name(partner)} instead of {_name(note)}"
    for note in left[len(waiting) :]:
        yield "missing", f"{_string(note)} left out"
    for note in waiting[len(left) :]:
        yield "added", f"{_string(note)} added"


def _midi(note: Note, by: int = 0) -> int:
    return note.pitch.midi + by if note.pitch else -1


def _string(note: Note) -> str:
    """As in ``fourth string``, as a player says it of a chord."""
    if note.string is None or note.string > len(_ORDINALS):
        return _name(note)
    return f"{_ORDINALS[note.string - 1]} string"


def _played(note: Note, partner: Note) -> Iterator[tuple[str, str]]:
    if note.string != partner.string:
        yield "place", f"string {partner.string} instead of {note.string}"
    elif note.finger != partner.finger and note.finger and partner.finger:
        yield "finger", f"finger {partner.finger} instead of {note.finger}"
    gone = [t for t in note.techniques if t not in partner.techniques]
    new = [t for t in partner.techniques if t not in note.techniques]
    if gone or new:
        yield "technique", f"{_ways(new)} instead of {_ways(gone)}"


def _ways(techniques: Sequence[Technique]) -> str:
    if not techniques:
        return "picked"
    return ", ".join(_PLAYED.get(t.name) or _ADDED.get(t.name) or t.word for t in techniques)


def _amount(apart: Fraction) -> str:
    return _LENGTHS.get(apart) or f"{apart} of a quarter"


def _merged(differences: Iterator[Difference], first: Part, second: Part) -> Iterator[Difference]:
    """One difference for a run of the same in a bar; notes on other strings are said by their forms."""

    def alike(one: Difference) -> tuple[object, ...]:
        words = "" if one.kind == "place" else one.words
        return one.first_bar, one.second_bar, one.kind, words

    for _, run in groupby(differences, key=alike):
        same = list(run)
        head = same[0]
        if head.kind == "place":
            yield head._replace(words=_places(head, len(same), first, second))
        elif len(same) > 1:
            yield head._replace(words=f"{head.words}, {len(same)} notes")
        else:
            yield head


def _places(head: Difference, count: int, first: Part, second: Part) -> str:
    forms = [_form(first, head.first_bar), _form(second, head.second_bar)]
    if count > 1:
        text = "same pitches, other strings"
        return f"{text}: {forms[1]} instead of {forms[0]}" if forms[0] != forms[1] and all(forms) else text
    return f"same pitch, {head.words}"


def _form(part: Part, bar: int | None) -> str | None:
    """The form that the notes of a bar begin with, and its position."""
    for named in outline(part):
        if named.bar.number == bar:
            segment = named.segment
            if segment.reading is None:
                return None
            return form_words(segment.reading.form, segment.reading.quality)
    return None
