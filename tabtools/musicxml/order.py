"""The order in which MusicXML 4.0 wants the children of the elements that we write (from its XSD)."""

from __future__ import annotations

# Only the children that we write. Elements missing here take their children in any order, or have one kind.
CHILD_ORDER = {
    "score-partwise": ("work", "identification", "part-list", "part"),
    "identification": ("creator", "encoding"),
    "score-part": ("part-name", "score-instrument", "midi-instrument"),
    "score-instrument": ("instrument-name", "instrument-sound"),
    "attributes": ("divisions", "key", "time", "staves", "clef", "staff-details"),
    "key": ("fifths", "mode"),
    "time": ("beats", "beat-type"),
    "clef": ("sign", "line", "clef-octave-change"),
    "staff-details": ("staff-type", "staff-lines", "staff-tuning", "capo"),
    "staff-tuning": ("tuning-step", "tuning-alter", "tuning-octave"),
    "note": (
        "grace",
        "chord",
        "pitch",
        "unpitched",
        "rest",
        "duration",
        "tie",
        "voice",
        "type",
        "dot",
        "accidental",
        "time-modification",
        "stem",
        "notehead",
        "staff",
        "beam",
        "notations",
        "play",
    ),
    "pitch": ("step", "alter", "octave"),
    "time-modification": ("actual-notes", "normal-notes", "normal-type"),
    "notations": ("tied", "slur", "tuplet", "slide", "ornaments", "technical", "articulations"),
    "bend": ("bend-alter", "pre-bend", "release"),
    "harmonic": ("natural", "artificial", "base-pitch", "touching-pitch"),
    "forward": ("duration", "voice", "staff"),
    "direction": ("direction-type", "offset", "staff", "sound"),
    "metronome": ("beat-unit", "beat-unit-dot", "per-minute"),
    "harmony": ("root", "kind", "bass", "degree", "offset", "staff"),
    "root": ("root-step", "root-alter"),
    "bass": ("bass-step", "bass-alter"),
    "degree": ("degree-value", "degree-alter", "degree-type"),
    "barline": ("bar-style", "ending", "repeat"),
}
PLACES = {
    parent: {child: place for place, child in enumerate(children)} for parent, children in CHILD_ORDER.items()
}
