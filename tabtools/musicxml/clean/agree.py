"""Three sayings of one pitch: the notation's, the tab note's own, and that of string and fret.

Where two of them agree against the third, the third is wrong.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from statistics import median

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.clean.pitches import respelled, signature_alter, write_pitch
from tabtools.musicxml.clean.tuning import MISMATCH, mistuned
from tabtools.musicxml.clean.twins import Twins, twins
from tabtools.musicxml.edit.insert import set_text
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedNote, LocatedPart
from tabtools.score import Pitch
from tabtools.source import Edit, Span
from tabtools.theory.spelling import spell

DIFFER = "notation-tab-differ"
_MAX_FRET = 24
# Frets: as far as this a hand reaches without moving much.
_NEAR = 4
_MANY = 8  # notes
_SHARE = 16  # one of so many is a slip


def faults(where: Extents, parts: Sequence[LocatedPart]) -> Iterator[Fault]:
    """Faults of tab notes whose pitch is not that of their fret, and of copies that hold other music."""
    copies = list(twins(parts))
    notation = {tab: note for pairing in copies for note, tab in pairing.pairs}
    apart = {note.bar for pairing in copies for note in (*pairing.notation_only, *pairing.tab_only)}
    for part in parts:
        wrong = mistuned(part)
        slips = _Slips(map(_apart, part.notes))
        for note in part.notes:
            slip = _apart(note) in slips and not note.sounds_elsewhere
            if (_disagrees(note) or slip) and note.string not in wrong:
                fault = _mismatch(where, note, notation.get(note), part)
                yield _without_repair(fault) if note.bar in apart else fault
        yield from _untuned(where, part)
    for pairing in copies:
        for fault in _differences(where, pairing):
            yield _without_repair(fault) if fault.bar in apart else fault


def _without_repair(fault: Fault) -> Fault:
    """A fault in a bar whose copies do not begin their notes together: what stands at one place need not be
    the same note, and proves nothing."""
    return fault._replace(repair=None)


def _untuned(where: Extents, part: LocatedPart) -> Iterator[Fault]:
    """For each string the first note whose fret, in the tuning that is guessed where the file gives none,
    does
    not sound the pitch written."""
    instrument, told = part.instrument, set[int]()
    for note in part.notes if instrument.inferred and not part.tab else ():
        string, fret, sounding = note.string, note.fret, note.sounding
        if string is None or fret is None or sounding is None or note.sounds_elsewhere or string in told:
            continue
        if not 1 <= string <= len(instrument.tuning):
            continue
        guessed = instrument.midi(string, fret)
        if (guessed - sounding) % 12:
            told.add(string)
            message = (
                f"string {string} fret {fret} would sound {spell(guessed, None).name} on a "
                f"{instrument.name} in "
                f"standard tuning, and the pitch written is {spell(sounding, None).name}: the file "
                f"gives no tuning; "
                "add one, or correct fret or pitch"
            )
            yield Fault(MISMATCH, where[note.element].span, message, note.bar)


def _apart(note: LocatedNote) -> int | None:
    """By how many semitones a note is written above what its string and fret sound."""
    return None if note.fretted is None or note.sounding is None else note.sounding - note.fretted


class _Slips:
    """The distances in octaves, 0 included, that few notes are written in where many agree on another."""

    def __init__(self, distances: Iterable[int | None]) -> None:
        octaves = Counter(apart for apart in distances if apart is not None and apart % 12 == 0)
        few = max(1, octaves.total() // _SHARE) if octaves.total() > _MANY else 0
        self._few = {apart for apart, times in octaves.items() if times <= few}

    def __contains__(self, apart: int | None) -> bool:
        return apart in self._few


def _disagrees(note: LocatedNote) -> bool:
    """Whether pitch and fret differ, octaves aside: those are a matter of how a tab staff transposes."""
    fretted = note.fretted
    if fretted is None or note.sounding is None or fretted in (note.sounding, note.midi):
        return False
    return not note.sounds_elsewhere and (note.sounding - fretted) % 12 != 0


def _mismatch(where: Extents, note: LocatedNote, twin: LocatedNote | None, part: LocatedPart) -> Fault:
    assert note.fretted is not None
    assert note.sounding is not None
    fretted, sounding = spell(note.fretted, None), spell(note.sounding, None)
    open_string = note.fretted - note.fret if note.fret is not None else 0
    should = note.sounding - open_string
    advice = f"fret {should} would be {sounding.name}" if 0 <= should <= _MAX_FRET else "correct one of them"
    message = (
        f"string {note.string} fret {note.fret} sounds {fretted.name}, and the pitch written is "
        f"{sounding.name}: {advice}"
    )
    repair = _repaired(where, note, twin, should, part)
    if repair is not None:
        # With it the copies of what is struck together may be told otherwise.
        beside = [n for n in part.bar_of(note).notes if n.onset == note.onset]
        changes = tuple(where[n.element].span for n in (*beside, *([twin] if twin else [])))
        repair = repair._replace(changes=changes)
    return Fault(MISMATCH, _wrong_one(where, note, repair), message, note.bar, repair)


def _wrong_one(where: Extents, note: LocatedNote, repair: Repair | None) -> Span:
    """The element that the repair changes; without one the fret, which is what most often slips."""
    for path in ("pitch", "notations/technical/string", "notations/technical/fret"):
        element = note.element.find(path)
        if repair and element is not None:
            place = where[element]
            if all(place.start <= edit.span.start <= place.end for edit in repair.edits):
                return place.span
    fret = note.element.find("notations/technical/fret")
    return where[note.element if fret is None else fret].span


def _repaired(
    where: Extents, note: LocatedNote, twin: LocatedNote | None, fret: int, part: LocatedPart
) -> Repair | None:
    assert note.fretted is not None
    assert note.sounding is not None
    implied = _implied(note)
    if (twin is not None and twin.sounding == note.fretted) or (twin is None and implied == note.fretted):
        target = respelled(note, note.fretted, twin)
        if target is None:
            return None
        edits = _written(where, note, target)
        proof = "the notation staff" if twin is not None else "the key"
        return Repair(tuple(edits), f"correct the pitch: fret and {proof} agree against it", safe=False)
    return _moved(
        where, note, fret, part.bar_of(note).notes, twin is not None and twin.sounding == note.sounding
    )


def _written(where: Extents, note: LocatedNote, target: Pitch) -> list[Edit]:
    pitch = note.element.find("pitch")
    assert pitch is not None
    return write_pitch(where, pitch, target)


def _implied(note: LocatedNote) -> int | None:
    """What the note would sound with the alteration of the key, where it has none."""
    if note.pitch is None or note.sounding is None or note.contains("pitch/alter"):
        return None
    return note.sounding + signature_alter(note.pitch.step, note.in_force.fifths)


def _moved(
    where: Extents, note: LocatedNote, fret: int, beside: Sequence[LocatedNote], sure: bool
) -> Repair | None:
    """The fret, or else the string, that gives the pitch: whichever leaves the hand nearer to its place."""
    assert note.fret is not None
    ways: list[tuple[float, str, str]] = []
    hand, taken = _hand(note, beside), _taken(note, beside)
    if 0 <= fret <= _MAX_FRET and note.string not in taken:
        ways.append((_distance(fret, hand), "fret", str(fret)))
    for string, open_string in note.open_strings.items():
        right = open_string + note.fret == note.sounding
        if right and string != note.string and string not in taken:
            ways.append((_distance(note.fret, hand), "string", str(string)))
    ways.sort(key=lambda way: way[0])
    if not ways:
        return None
    clear = len(ways) == 1 or ways[1][0] > _NEAR >= ways[0][0]
    if not (sure and clear):
        return None
    _, name, value = ways[0]
    element = note.element.find(f"notations/technical/{name}")
    assert element is not None
    words = f"make the {name} {value}: it sounds the pitch that is written"
    return Repair((set_text(where, element, value),), words, safe=False)


def _distance(fret: int, hand: float | None) -> float:
    return abs(fret - hand) if hand is not None and fret else 0.0


def _hand(note: LocatedNote, beside: Sequence[LocatedNote]) -> float | None:
    """Where the hand is: the middle of the other fretted notes of the bar."""
    frets = [n.fret for n in beside if n.fret and n is not note and not _disagrees(n)]
    return median(frets) if frets else None


def _taken(note: LocatedNote, beside: Sequence[LocatedNote]) -> set[int | None]:
    """The strings that other notes sound on at the same time."""
    return {
        n.string
        for n in beside
        if n is not note and n.staff == note.staff and n.onset == note.onset and n.grace == note.grace
    }


def _differences(where: Extents, pairing: Twins) -> Iterator[Fault]:
    heard = [
        (notation, tab, notation.sounding - played, played)
        for notation, tab in pairing.pairs
        if notation.sounding is not None and (played := _played(tab)) is not None
    ]
    slips = _Slips(apart for _, _, apart, _ in heard)
    for notation, tab, apart, played in heard:
        if apart in slips or apart % 12:
            yield _other_pitch(where, notation, tab, played)
    for note in pairing.notation_only:
        # A damped note has no pitch that would say which string, and tab may leave out what only goes on.
        if not (note.has("dead") or note.tied):
            yield _alone(where, note, "notation staff", "tab staff")
    for note in pairing.tab_only:
        if not note.tied:
            yield _alone(where, note, "tab staff", "notation staff")


def _played(tab: LocatedNote) -> int | None:
    """What a tab note sounds; None where string and fret, which would say it, are in doubt themselves."""
    if tab.fretted is None or tab.sounds_elsewhere:
        return tab.sounding
    return None if _disagrees(tab) else tab.fretted


def _other_pitch(where: Extents, notation: LocatedNote, tab: LocatedNote, played: int) -> Fault:
    assert notation.sounding is not None
    message = (
        f"the notation staff has {spell(notation.sounding, None).name} where the tab staff plays "
        f"{spell(played, None).name}: correct one of them"
    )
    target: Pitch | None = respelled(notation, played, tab) if tab.sounding == played else None
    repair = None
    if target is not None and tab.fretted is not None:
        edits = tuple(_written(where, notation, target))
        repair = Repair(edits, "correct the notation: pitch and fret of the tab agree against it", safe=False)
    return Fault(DIFFER, where[notation.element].span, message, notation.bar, repair)


def _alone(where: Extents, note: LocatedNote, here: str, there: str) -> Fault:
    name = spell(note.sounding, None).name if note.sounding is not None else "a note"
    message = (
        f"the {here} has {name} on quarter {note.onset + 1} of the bar and the {there} does not: "
        "the two should hold the same music; add it there or take it out here"
    )
    return Fault(DIFFER, where[note.element].span, message, note.bar)
