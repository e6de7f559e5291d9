"""Notes and techniques as others write them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.musicxml.writer import write_musicxml
from tabtools.score import Technique, Tuplet
from tests.musicxml.reading.support import TAB, bar_of, fretted, named, only_note, parsed, tone


def test_chords_voices_and_grace_notes() -> None:
    grace = tone("B3", before="<grace/>").replace("<duration>2</duration>", "")
    upper = grace + tone("C4") + tone("E4", before="<chord/>") + "<forward><duration>2</duration></forward>"
    lower = "<backup><duration>4</duration></backup>" + tone("C3", 4, after="<voice>2</voice>")
    found = [
        (str(e.onset), str(e.duration), e.grace, e.voice, [n.pitch.name for n in e.notes if n.pitch])
        for e in bar_of(parsed(upper + lower)).events
    ]
    assert found == [
        ("0", "0", True, 1, ["B3"]),
        ("0", "1", False, 1, ["C4", "E4"]),
        ("0", "2", False, 2, ["C3"]),
    ]


def test_tuplets_and_changing_divisions() -> None:
    ratio = (
        "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>"
    )
    three = "<attributes><divisions>3</divisions></attributes>" + 3 * tone("C4", 1, after=ratio)
    events = bar_of(parsed(tone("C4") + three)).events
    assert [event.onset for event in events] == [0, 1, Fraction(4, 3), Fraction(5, 3)]
    assert [event.tuplet for event in events] == [None, *[Tuplet(3, 2)] * 3]


@pytest.mark.parametrize("tie", ['<tie type="stop"/>', '<notations><tied type="stop"/></notations>'])
def test_either_tie_is_a_tie(tie: str) -> None:
    assert bar_of(parsed(tone("C4") + tone("C4", after=tie))).events[1].notes[0].tied


@pytest.mark.parametrize(
    ("notations", "words"),
    [
        ('<technical><hammer-on type="start"/></technical>', []),
        ('<technical><hammer-on type="stop"/></technical>', ["hammer"]),
        ("<technical><bend><bend-alter>2</bend-alter></bend></technical>", ["bend:2"]),
        # Files older than version 4 have an absolute release, and pre-bends of either sign.
        (
            "<technical><bend><bend-alter>1</bend-alter></bend><bend><release/></bend></technical>",
            ["bend-release:1"],
        ),
        ("<technical><bend><bend-alter>2</bend-alter><pre-bend/></bend></technical>", ["prebend:2"]),
        (
            "<technical><bend><bend-alter>-2</bend-alter><with-bar>dip</with-bar></bend></technical>",
            ["whammy"],
        ),
        ("<technical><harmonic><natural/></harmonic></technical>", ["harmonic"]),
        ("<technical><harmonic><artificial/></harmonic></technical>", ["artificial"]),
        ("<technical><other-technical>P.M.</other-technical></technical>", ["palm-mute"]),
        ("<technical><other-technical>no such thing</other-technical></technical>", []),
        ('<glissando type="stop"/>', ["slide"]),
        ('<ornaments><trill-mark/><wavy-line type="start"/></ornaments>', ["trill"]),
        ('<ornaments><wavy-line type="continue"/></ornaments>', ["vibrato"]),
        ('<tied type="let-ring"/>', ["let-ring"]),
    ],
)
def test_techniques(notations: str, words: list[str]) -> None:
    reading = parsed(tone("D4", after=fretted(notations)), attributes=TAB)
    assert [technique.word for technique in only_note(reading).techniques] == words


@pytest.mark.parametrize(
    ("element", "name", "falling"),
    [
        ("scoop", "slide-in", False),
        ("plop", "slide-in", True),
        ("doit", "slide-out", False),
        ("falloff", "slide-out", True),
    ],
)
def test_slides_from_and_to_nowhere_go_up_or_down(element: str, name: str, falling: bool) -> None:
    """The MusicXML 4.0 reference: scoop and plop go into a note from below and above, doit and falloff leave
    it upwards and downwards."""
    played = fretted(f"<articulations><{element}/></articulations>")
    reading = parsed(tone("D4", after=played), attributes=TAB)
    assert only_note(reading).techniques == (Technique(name, falling=falling),)
    assert f"<{element}/>".encode() in write_musicxml(reading.score)


def test_an_artificial_harmonic_of_three_notes_is_one() -> None:
    """As in the example of the MusicXML 4.0 reference, artificial."""

    def part_of(pitch: str) -> str:
        inside = f"<technical><harmonic><artificial/><{pitch}/></harmonic></technical>"
        return f"<notations>{inside}</notations>"

    chord = tone("D4", after=part_of("base-pitch"))
    chord += tone("G4", before="<chord/>", after=part_of("touching-pitch"))
    chord += tone("D6", before="<chord/>", after=part_of("sounding-pitch"))
    assert named(bar_of(parsed(chord))) == [["D4"]]


def test_palm_muting_until_further_notice() -> None:
    on, off = (f"<sound><play><mute>{mute}</mute></play></sound>" for mute in ("palm", "off"))
    notes = [
        n for e in bar_of(parsed(tone("C4") + on + tone("C4") + off + tone("C4"))).events for n in e.notes
    ]
    assert [note.has("palm-mute") for note in notes] == [False, True, False]


def test_dead_and_ghost_notes() -> None:
    dead = parsed(tone("G3", after=f"<notehead>x</notehead>{fretted('', 3, 0)}"), attributes=TAB)
    assert (only_note(dead).string, only_note(dead).fret, only_note(dead).pitch) == (3, None, None)
    ghost = parsed(tone("G3", after='<notehead parentheses="yes">normal</notehead>'))
    assert only_note(ghost).has("ghost")


def test_a_note_without_pitch_gets_that_of_its_string_and_fret() -> None:
    tab = tone("C4", after=fretted("")).replace("<pitch><step>C</step><octave>4</octave></pitch>", "")
    assert named(bar_of(parsed(tab, attributes=TAB))) == [["D4"]]


def test_a_fret_below_nothing_is_no_fret() -> None:
    note = only_note(parsed(tone("E4", after=fretted("", string=1, fret=-1)), attributes=TAB))
    assert (note.string, note.fret) == (1, None)
    assert note.pitch is not None
