"""The one table of playing techniques.

Every part that knows a technique by name reads it here: the text lexer builds its recogniser from the
marks, the text writer takes the first mark of each row, the MusicXML side and the rules use the names.
Marks are common practice among people who type tab; no standard fixes them.
"""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.record import NamedTuple
from tabtools.score import Technique


class TechniqueKind(NamedTuple):
    """One row.

    ``value`` names the unit of the technique's size: ``semitones`` or ``fret``. ``joins`` is true where the
    note is reached from the note before it on the same string. The marks, first one canonical: ``between``
    two frets of a string, ``before`` a fret, ``after`` a fret, ``around`` it (opening, closing); ``above``
    in a row over or under the strings, where it may span several notes; ``also`` are marks after a fret
    that are read and never written.
    """

    name: str
    says: str
    value: str | None = None
    joins: bool = False
    between: tuple[str, ...] = ()
    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    around: tuple[tuple[str, str], ...] = ()
    above: tuple[str, ...] = ()
    also: tuple[str, ...] = ()


_HAMMERS = ("h", "H", "ho", "HO", "h.o.", "(h.o.)", "(h)")
_PULLS = ("p", "P", "po", "PO", "p.o.", "(p.o.)", "(p)")

TECHNIQUES = (
    TechniqueKind(
        "hammer",
        "hammer-on: reached without picking again",
        joins=True,
        between=_HAMMERS,
    ),
    TechniqueKind(
        "pull",
        "pull-off: reached without picking again",
        joins=True,
        between=_PULLS,
    ),
    TechniqueKind("slide", "slide from the note before", joins=True, between=("/", "\\", "s", "S")),
    TechniqueKind("slide-in", "slide in from nowhere", before=("/", "\\")),
    TechniqueKind("slide-out", "slide out to nowhere", after=("/", "\\")),
    TechniqueKind(
        "tap", "tapped with the picking hand", before=("t", "T"), after=("t", "T"), above=("t", "T")
    ),
    TechniqueKind("grace", "grace note: takes no time of its own", before=("g",)),
    TechniqueKind("bend", "bend up", value="semitones", after=("b", "^"), also=("B",)),
    TechniqueKind("bend-release", "bend up and let back down", value="semitones"),
    TechniqueKind("prebend", "bent before it is struck", value="semitones", before=("pb",), after=("pb",)),
    TechniqueKind("prebend-release", "bent before it is struck, then let back down", value="semitones"),
    TechniqueKind("trill", "fast change between two frets", value="fret", after=("tr",), above=("tr",)),
    TechniqueKind("vibrato", "vibrato", after=("~", "v", "vib"), above=("vib.", "vib", "~")),
    TechniqueKind(
        "tremolo",
        "picked fast and evenly",
        also=("///",),
        above=("trem.", "trem. pick", "trem.pick", "TP", "trem", "trem pick", "tremolo"),
    ),
    TechniqueKind("whammy", "moved with the vibrato arm", above=("w/bar", "w/ bar")),
    TechniqueKind("swell", "volume swell", above=("swell",)),
    TechniqueKind(
        "harmonic",
        "natural harmonic: touched at the fret",
        around=(("<", ">"),),
        after=("*", "°"),
        also=("NH", "(NH)", "N.H."),
        above=("NH", "N.H.", "harm.", "harm", "nat. harm.", "nat.harm.", "nat harm"),
    ),
    TechniqueKind(
        "artificial",
        "artificial harmonic",
        around=(("[", "]"),),
        also=("AH", "(AH)", "A.H.", "TH", "SH"),
        above=("AH", "A.H.", "TH", "SH", "art. harm.", "art.harm.", "art harm"),
    ),
    TechniqueKind(
        "pinch",
        "pinch harmonic",
        also=("PH", "(PH)", "P.H."),
        above=("PH", "P.H.", "pinch harm."),
    ),
    TechniqueKind("dead", "dead note: damped, no pitch"),
    TechniqueKind("ghost", "ghost note: barely played", around=(("(", ")"),)),
    TechniqueKind("tie", "held on from the note before", joins=True, before=("=",)),
    TechniqueKind("palm-mute", "damped with the picking hand", above=("PM", "P.M.", "pm", "p.m.")),
    TechniqueKind("let-ring", "left to ring", above=("let ring", "l.r.", "let ring.")),
    TechniqueKind("rake", "raked across damped strings", above=("rake",)),
    TechniqueKind("slap", "struck with the thumb", above=("S",)),
    TechniqueKind("pop", "pulled away and let snap back", above=("P",)),
)

BENDS = ("bend", "bend-release", "prebend", "prebend-release")
BY_NAME = {kind.name: kind for kind in TECHNIQUES}
_PLACE = {kind.name: place for place, kind in enumerate(TECHNIQUES)}


def ordered(techniques: Iterable[Technique]) -> tuple[Technique, ...]:
    """Techniques in the order of the table, so that equal notes compare equal."""
    return tuple(sorted(techniques, key=lambda technique: _PLACE[technique.name]))
