"""Notes without ``alter`` where the key signature, which the page shows, alters them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.clean.pitches import signature_alter
from tabtools.musicxml.edit.insert import insert
from tabtools.musicxml.positions import Located
from tabtools.musicxml.walk import Noted, Track, text, whole
from tabtools.musicxml.writing.fragment import tag

RULE = "alter-missing"
_ENOUGH = 3
_SIGNS = {-1: "flat", 1: "sharp"}


def faults(where: Located, tracks: Sequence[Track]) -> Iterator[Fault]:
    """A fault for every such note, where the file shows that it is a slip.

    Either the part never writes ``alter`` for what its signature alters, in at least three notes, or it shows
    an accidental for every note that leaves the signature, but for these.
    """
    for track in tracks:
        bare: list[tuple[Noted, int]] = []
        others = altered = shown = 0
        for note, printed in _printed(track):
            has = whole(note.element.find("pitch/alter"))
            shown += note.has("accidental")
            if has == printed:
                altered += bool(printed)
            elif note.has("pitch/alter"):
                others += 1
            else:
                bare.append((note, printed))
        never = not altered and not others and not shown and len(bare) >= _ENOUGH
        shows = not others and altered >= _ENOUGH * len(bare) and shown
        if never or shows:
            yield from (_fault(where, note, printed) for note, printed in bare)


def _printed(track: Track) -> Iterator[tuple[Noted, int]]:
    """Each note on a staff with a clef for pitches and the alteration that a reader sees there: the
    signature's, or that of an accidental earlier in the bar; notes with a sign of their own or a tie from
    before are left out."""
    for measure in track.measures:
        signs: dict[tuple[int, str, str], int] = {}
        for note in measure.notes:
            step = text(note.element, "pitch/step")
            if note.midi is None or step is None or note.staff in track.tab:
                continue
            line = note.staff, step, text(note.element, "pitch/octave") or ""
            has = whole(note.element.find("pitch/alter"))
            stops = any(tie.get("type") == "stop" for tie in note.element.iterfind("tie"))
            if note.has("accidental"):
                signs[line] = has
                yield note, has
            elif not stops and line not in signs:
                yield note, signature_alter(step, note.fifths)


def _fault(where: Located, note: Noted, printed: int) -> Fault:
    step, sign = text(note.element, "pitch/step"), _SIGNS.get(printed, "other")
    message = (
        f"the key signature makes this {step} a {step} {sign} and no natural sign is printed, but the pitch "
        f"has no <alter>: it sounds {step} natural; add the alter, or a natural sign"
    )
    pitch = note.element.find("pitch")
    assert pitch is not None
    edits = insert(where, pitch, tag("alter", printed))
    repair = Repair(tuple(edits), f"add <alter>{printed}</alter>, as the key says", safe=False)
    return Fault(RULE, where[note.element].span, message, note.bar, repair)
