"""Notes without ``alter`` where the key signature, which the page shows, alters them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.clean.pitches import signature_alter
from tabtools.musicxml.edit.insert import insert
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedNote, LocatedPart
from tabtools.musicxml.writing.fragment import tag

RULE = "alter-missing"
_ENOUGH = 3
# One note over and over shows off keys rather than playing in them.
_FEWEST_STEPS = 2
_SIGNS = {-1: "flat", 1: "sharp"}


def faults(where: Extents, parts: Sequence[LocatedPart]) -> Iterator[Fault]:
    """A fault for every such note, where the file shows that it is a slip.

    Either the part never writes ``alter`` for what its signature alters, in at least three notes, or it shows
    an accidental for every note that leaves the signature, but for these.
    """
    for part in parts:
        bare: list[tuple[LocatedNote, int]] = []
        others = altered = shown = 0
        for note, printed in _printed(part):
            assert note.pitch is not None
            shown += bool(note.accidental)
            if note.pitch.alter == printed:
                altered += bool(printed)
            elif note.contains("pitch/alter"):
                others += 1
            else:
                bare.append((note, printed))
        steps = {note.pitch.step for note, _ in bare if note.pitch is not None}
        wide = all(len(steps) >= min(_FEWEST_STEPS, abs(note.in_force.fifths)) for note, _ in bare)
        never = not altered and not others and not shown and len(bare) >= _ENOUGH and wide
        shows = not others and altered >= _ENOUGH * len(bare) and shown
        if never or shows:
            yield from (_fault(where, note, printed) for note, printed in bare)


def _printed(part: LocatedPart) -> Iterator[tuple[LocatedNote, int]]:
    """Each note on a staff with a clef for pitches and the alteration that a reader sees there: the
    signature's, or that of an accidental earlier in the bar; notes with a sign of their own or a tie from
    before are left out."""
    for measure in part.bars:
        signs: dict[tuple[int, str, int], int] = {}
        for note in measure.notes:
            pitch = note.pitch
            if pitch is None or note.between or note.in_force.tab:
                continue
            line = note.staff, pitch.step, pitch.octave
            if note.accidental:
                signs[line] = pitch.alter
                yield note, pitch.alter
            elif not note.tied and line not in signs:
                yield note, signature_alter(pitch.step, note.in_force.fifths)


def _fault(where: Extents, note: LocatedNote, printed: int) -> Fault:
    assert note.pitch is not None
    step, sign = note.pitch.step, _SIGNS.get(printed, "other")
    message = (
        f"the key signature makes this {step} a {step} {sign} and no natural sign is printed, but the pitch "
        f"has no <alter>: it sounds {step} natural; add the alter, or a natural sign"
    )
    pitch = note.element.find("pitch")
    assert pitch is not None
    edits = insert(where, pitch, tag("alter", printed))
    repair = Repair(tuple(edits), f"add <alter>{printed}</alter>, as the key says", safe=False)
    return Fault(RULE, where[note.element].span, message, note.bar, repair)
