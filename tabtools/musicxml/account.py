"""The account of a MusicXML file: every element has one owner; what a score has no place for is counted.

An element belongs with the nearest one around it that the table names: a ``step`` with its ``note``. Names
that are not of the standard belong to nobody, and are reported.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from lxml import etree

from tabtools.account import DECORATION, FACT, MARK, NOTE, UNKNOWN, WORDS
from tabtools.musicxml.located import Located, LocatedNote
from tabtools.musicxml.names import ATTRIBUTES, ELEMENTS

_OWNERS = {
    **dict.fromkeys(("note", "backup", "forward"), NOTE),
    **dict.fromkeys(("notations", "notehead", "accidental", "play", "listen"), MARK),
    **dict.fromkeys(("direction", "barline", "figured-bass", "listening"), MARK),
    **dict.fromkeys(("score-partwise", "score-timewise", "part", "measure", "part-list"), FACT),
    **dict.fromkeys(("work", "movement-title", "movement-number", "identification"), FACT),
    **dict.fromkeys(("attributes", "harmony", "sound", "metronome", "rehearsal", "scordatura"), FACT),
    **dict.fromkeys(("lyric", "credit", "words"), WORDS),
    **dict.fromkeys(("beam", "stem", "print", "defaults", "grouping", "link", "bookmark"), DECORATION),
    **dict.fromkeys(("measure-style", "supports"), DECORATION),
}
# Music, and signs for players, that a score does not hold: what a message calls them.
_UNHELD = {
    "lyric": "lyrics",
    "dynamics": "dynamics",
    "wedge": "wedges",
    "fermata": "fermatas",
    "arpeggiate": "arpeggios",
    "non-arpeggiate": "arpeggios",
    "frame": "chord diagrams",
    "figured-bass": "figured basses",
    "swing": "swing marks",
    "pedal": "pedal marks",
    "octave-shift": "octave signs",
    "segno": "segnos",
    "coda": "codas",
    "up-bow": "pick strokes",
    "down-bow": "pick strokes",
    "pluck": "letters of the plucking hand",
    **dict.fromkeys(("accent", "strong-accent", "staccato", "tenuto", "staccatissimo"), "articulations"),
    **dict.fromkeys(("detached-legato", "spiccato", "stress", "unstress", "soft-accent"), "articulations"),
    **dict.fromkeys(("breath-mark", "caesura"), "breath marks"),
    **dict.fromkeys(("turn", "inverted-turn", "delayed-turn", "mordent", "inverted-mordent"), "ornaments"),
    **dict.fromkeys(("vertical-turn", "schleifer", "haydn", "delayed-inverted-turn"), "ornaments"),
}
_JUMPS = ("dacapo", "dalsegno", "fine", "tocoda")


def owner(element: etree._Element) -> str:
    """The owner of an element, a key of `tabtools.account.OWNERS`."""
    if element.tag not in ELEMENTS:
        return UNKNOWN
    for holder in (element, *element.iterancestors()):
        if holder.tag in _OWNERS:
            return _OWNERS[str(holder.tag)]
    return UNKNOWN


def unknown(located: Located) -> Iterator[tuple[etree._Element, str]]:
    """Every element that the standard does not have, and every one with attributes that it does not have,
    with the names in question; what stands within an unknown element is told with it."""
    for element in located.tree.iter("*"):
        if element.tag not in ELEMENTS:
            parent = element.getparent()
            if parent is None or parent.tag in ELEMENTS:
                yield element, f"<{element.tag}>"
            continue
        names = [name for name in map(str, element.attrib) if name not in ATTRIBUTES and name[0] != "{"]
        if names:
            yield element, ", ".join(names)


def unheld(located: Located) -> Counter[str]:
    """How many lyrics, dynamics, slurs and the like the file has for which a score has no place."""
    counts: Counter[str] = Counter()
    for element in located.tree.iter(*_UNHELD):
        counts[_UNHELD[str(element.tag)]] += 1
    counts["jumps"] = sum(
        sound.get(name) is not None for sound in located.tree.iter("sound") for name in _JUMPS
    )
    for note in (note for part in located.parts for note in part.notes):
        counts["cue notes"] += note.cue
        counts["slurs"] += _slurs(note)
    return +counts


def _slurs(note: LocatedNote) -> int:
    """The slurs that begin at a note and belong to no hammer-on or pull-off."""
    kinds = [join.kind for join in note.joins if join.end == "start"]
    return 0 if {"hammer-on", "pull-off"} & set(kinds) else kinds.count("slur")
