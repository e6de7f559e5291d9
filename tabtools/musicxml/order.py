"""The order in which MusicXML 4.0 wants the children of elements (from its XSD)."""

from __future__ import annotations


def _row(names: str) -> tuple[str, ...]:
    return tuple(names.split())


_TUNING = _row("tuning-step tuning-alter tuning-octave")
_CLEF = _row("sign line clef-octave-change")
_HEAD = "work movement-number movement-title identification defaults credit part-list"

# Elements missing here take their children in any order, have one kind, or hold nothing that we touch.
CHILD_ORDER = {
    "score-partwise": _row(f"{_HEAD} part"),
    "score-timewise": _row(f"{_HEAD} measure"),
    "work": _row("work-number work-title opus"),
    "identification": _row("creator rights encoding source relation miscellaneous"),
    "defaults": _row(
        "scaling concert-score page-layout system-layout staff-layout appearance music-font word-font "
        "lyric-font lyric-language"
    ),
    "scaling": _row("millimeters tenths"),
    "page-layout": _row("page-height page-width page-margins"),
    "page-margins": _row("left-margin right-margin top-margin bottom-margin"),
    "system-layout": _row("system-margins system-distance top-system-distance system-dividers"),
    "score-part": _row(
        "identification part-link part-name part-name-display part-abbreviation part-abbreviation-display "
        "group score-instrument player midi-device midi-instrument"
    ),
    "part-group": _row(
        "group-name group-name-display group-abbreviation group-abbreviation-display group-symbol "
        "group-barline group-time footnote level"
    ),
    "score-instrument": _row(
        "instrument-name instrument-abbreviation instrument-sound solo ensemble virtual-instrument"
    ),
    "midi-instrument": _row(
        "midi-channel midi-name midi-bank midi-program midi-unpitched volume pan elevation"
    ),
    "print": _row(
        "page-layout system-layout staff-layout measure-layout measure-numbering part-name-display "
        "part-abbreviation-display"
    ),
    "attributes": _row(
        "footnote level divisions key time staves part-symbol instruments clef staff-details transpose "
        "for-part directive measure-style"
    ),
    "key": _row("cancel fifths mode key-step key-alter key-accidental key-octave"),
    "time": _row("beats beat-type interchangeable senza-misura"),
    "clef": _CLEF,
    "staff-details": _row("staff-type staff-lines line-detail staff-tuning capo staff-size"),
    "staff-tuning": _TUNING,
    "accord": _TUNING,
    "transpose": _row("diatonic chromatic octave-change double"),
    "note": _row(
        "grace cue chord pitch unpitched rest duration tie instrument footnote level voice type dot "
        "accidental time-modification stem notehead notehead-text staff beam notations lyric play listen"
    ),
    "pitch": _row("step alter octave"),
    "unpitched": _row("display-step display-octave"),
    "rest": _row("display-step display-octave"),
    "time-modification": _row("actual-notes normal-notes normal-type normal-dot"),
    # The schema leaves the order in notations free; this one is ours.
    "notations": _row("footnote level tied slur tuplet slide glissando ornaments technical articulations"),
    "bend": _row("bend-alter pre-bend release with-bar"),
    "harmonic": _row("natural artificial base-pitch touching-pitch sounding-pitch"),
    "lyric": _row("syllabic text elision extend laughing humming end-line end-paragraph footnote level"),
    "backup": _row("duration footnote level"),
    "forward": _row("duration footnote level voice staff"),
    "direction": _row("direction-type offset footnote level voice staff sound listening"),
    "metronome": _row("beat-unit beat-unit-dot per-minute"),
    "swing": _row("straight first second swing-type swing-style"),
    "harmony": _row("root numeral function kind inversion bass degree frame offset footnote level staff"),
    "root": _row("root-step root-alter"),
    "bass": _row("bass-separator bass-step bass-alter"),
    "degree": _row("degree-value degree-alter degree-type"),
    "frame": _row("frame-strings frame-frets first-fret frame-note"),
    "frame-note": _row("string fret fingering barre"),
    "barline": _row("bar-style footnote level wavy-line segno coda fermata ending repeat"),
}
PLACES = {
    parent: {child: place for place, child in enumerate(children)} for parent, children in CHILD_ORDER.items()
}
# Parents whose children come in groups that repeat: with two of those named together, the order is no plain
# ranking.
GROUPED = {
    "key": ("key-step",),
    "time": ("beats",),
    "metronome": ("beat-unit",),
    "lyric": ("text", "syllabic"),
    "harmony": ("root", "numeral", "function", "kind"),
    "score-part": ("midi-device midi-instrument",),
}
FREE = frozenset({"notations"})
