"""What is read from MusicXML that others might have written."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.document import Document
from tabtools.musicxml.package import pack
from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.writer import write_musicxml
from tabtools.score import Bar, Key, Note, Technique, TimeSignature, Tuplet
from tests.musicxml.essence import essence
from tests.musicxml.samples import LICK, MELODY, SAMPLES

_TUNING = "".join(
    f'<staff-tuning line="{line}"><tuning-step>{name[0]}</tuning-step>'
    f"<tuning-octave>{name[1]}</tuning-octave></staff-tuning>"
    for line, name in enumerate(("E2", "A2", "D3", "G3", "B3", "E4"), 1)
)
_SHARP_NINE = (
    "<degree><degree-value>9</degree-value><degree-alter>1</degree-alter>"
    "<degree-type>add</degree-type></degree>"
)
_TAB = f"<clef><sign>TAB</sign></clef><staff-details><staff-lines>6</staff-lines>{_TUNING}</staff-details>"


def _read(*measures: str, attributes: str = "", head: str = "", name: str = "Guitar") -> Document:
    """One part with the measures given by their content; the first gets divisions of 2."""
    first = f"<attributes><divisions>2</divisions>{attributes}</attributes>"
    content = "".join(
        f'<measure number="{number}">{"" if number > 1 else first}{inside}</measure>'
        for number, inside in enumerate(measures, 1)
    )
    parts = f'<part-list><score-part id="P1"><part-name>{name}</part-name></score-part></part-list>'
    return read_musicxml(
        "test.musicxml",
        f'<score-partwise>{head}{parts}<part id="P1">{content}</part></score-partwise>'.encode(),
    )


def _note(name: str, duration: int = 2, before: str = "", after: str = "") -> str:
    step, octave = name[0], name[-1]
    alter = "<alter>1</alter>" if "#" in name else ""
    pitch = f"<pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch>"
    return f"<note>{before}{pitch}<duration>{duration}</duration>{after}</note>"


def _played(inside: str, string: int = 3, fret: int = 7) -> str:
    return (
        f"<notations>{inside}<technical><string>{string}</string><fret>{fret}</fret></technical></notations>"
    )


def _bar(reading: Document, number: int = 1) -> Bar:
    return reading.score.parts[0].bars[number - 1]


def _only(reading: Document) -> Note:
    (note,) = [note for event in _bar(reading).events for note in event.notes]
    return note


def _names(bar: Bar) -> list[list[str]]:
    return [[note.pitch.name for note in event.notes if note.pitch] for event in bar.events]


@pytest.mark.parametrize("name", SAMPLES)
def test_the_samples_come_back(name: str) -> None:
    reading = read_musicxml(name, write_musicxml(SAMPLES[name]))
    assert essence(reading.score) == essence(SAMPLES[name])
    assert reading.doubts == ()


def test_spans_are_those_of_the_elements() -> None:
    reading = read_musicxml("x", b"\xef\xbb\xbf" + write_musicxml(LICK))
    text = reading.source.text
    bar = _bar(reading)
    assert text[bar.spans[0].start : bar.spans[0].end].startswith('<measure number="1">')
    assert text[bar.spans[0].start : bar.spans[0].end].endswith("</measure>")
    for event in bar.events:
        for note in event.notes:
            assert note.span is not None
            found = text[note.span.start : note.span.end]
            assert found.startswith("<note>")
            assert found.endswith("</note>")
            assert f"<string>{note.string}</string><fret>{note.fret}</fret>" in found
    assert bar.tempo is not None
    harmony, words, tempo = bar.harmonies[0].span, bar.words[0].span, bar.tempo.span
    for span, tag in ((harmony, "harmony"), (words, "direction"), (tempo, "direction")):
        assert span is not None
        assert text[span.start : span.end].startswith(f"<{tag}")


def test_spans_pass_over_comments_and_long_files() -> None:
    """Lines beyond 65535 overflow a line counter of 16 bits."""
    filler = "<!-- <note> -->\n" * 70_000
    reading = _read(filler + _note("C4") + "<![CDATA[ ]]>" + _note("D4"))
    second = _bar(reading).events[1].notes[0].span
    assert second is not None
    assert reading.source.position(second.start)[0] == 70_001
    assert "<step>D</step>" in reading.source.text[second.start : second.end]


def test_a_package_is_opened() -> None:
    assert essence(read_musicxml("lick.mxl", pack(write_musicxml(LICK))).score) == essence(LICK)


def test_a_melody_is_for_a_guitar_by_inference() -> None:
    part = read_musicxml("x", write_musicxml(MELODY)).score.parts[0]
    assert part.instrument.name == "Guitar"
    assert [mark.fact for mark in part.instrument.inferred] == ["tuning"]
    unnamed = _read(_note("C4"), name="Oboe").score.parts[0].instrument
    assert (unnamed.name, unnamed.inferred[0].fact) == ("Guitar", "instrument")


def test_a_transposing_part_is_read_as_it_sounds() -> None:
    guitar = "<transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>"
    assert _names(_bar(_read(_note("E3"), attributes=guitar))) == [["E2"]]
    clarinet = "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>"
    assert _names(_bar(_read(_note("C4") + _note("F#4"), attributes=clarinet))) == [["Bb3"], ["E4"]]


def test_a_transposition_without_a_staff_leaves_right_tab_alone() -> None:
    """Common in files whose transposition is meant for the notation staff only."""
    transpose = "<transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>"
    reading = _read(_note("D4", after=_played("")), attributes=_TAB + transpose)
    assert _only(reading).pitch == Note(3, 7, _only(reading).pitch).pitch
    assert _names(_bar(reading)) == [["D4"]]


def test_a_capo_belongs_to_the_instrument() -> None:
    tab = _TAB.replace("</staff-details>", "<capo>2</capo></staff-details>")
    instrument = _read(_note("E4", after=_played("")), attributes=tab).score.parts[0].instrument
    assert (instrument.capo, instrument.midi(3, 7)) == (2, 64)


def test_a_tab_staff_without_tuning_is_doubted() -> None:
    reading = _read(_note("D4", after=_played("")), attributes="<clef><sign>TAB</sign></clef>")
    assert [doubt.kind for doubt in reading.doubts] == ["tuning-missing"]
    assert reading.score.parts[0].instrument.inferred


@pytest.mark.parametrize("octave", [4, 5])
def test_notation_part_and_tab_part_are_one_part(octave: int) -> None:
    """Two parts with the same music, also when the notation is an octave too high."""
    start = '<score-partwise><part-list><score-part id="P1"><part-name>Lead</part-name></score-part>'
    notation = f'<part id="P1"><measure number="1">{_note(f"D{octave}")}</measure></part>'
    tab = (
        f'<part id="P2"><measure number="1"><attributes>{_TAB}</attributes>{_note("D4", after=_played(""))}'
        "</measure></part>"
    )
    data = f"{start}</part-list>{notation}{tab}</score-partwise>".encode()
    (part,) = read_musicxml("two", data).score.parts
    assert part.name == "Lead"
    (event,) = part.bars[0].events
    assert [(n.string, n.fret, n.pitch and n.pitch.name) for n in event.notes] == [(3, 7, "D4")]


def test_two_different_guitars_stay_two() -> None:
    tab = f"<attributes>{_TAB}</attributes>"
    notation = f'<part id="P1"><measure number="1">{_note("C4")}</measure></part>'
    other = f'<part id="P2"><measure number="1">{tab}{_note("D4", after=_played(""))}</measure></part>'
    assert (
        len(read_musicxml("x", f"<score-partwise>{notation}{other}</score-partwise>".encode()).score.parts)
        == 2
    )


def test_a_tab_note_without_an_original_is_kept() -> None:
    clefs = _TAB.replace("<clef>", '<clef number="2">').replace(
        "<staff-details>", '<staff-details number="2">'
    )
    upper = _note("D4", 4, after="<voice>1</voice><staff>1</staff>")
    lower = _note("D4", after=f"<voice>5</voice><staff>2</staff>{_played('')}")
    lower += _note("E4", after=f"<voice>5</voice><staff>2</staff>{_played('', 2, 5)}")
    bar = _bar(_read(f"{upper}<backup><duration>4</duration></backup>{lower}", attributes=clefs))
    found = [
        (str(e.onset), str(e.duration), e.voice, [(n.string, n.fret) for n in e.notes]) for e in bar.events
    ]
    assert found == [("0", "2", 1, [(3, 7)]), ("1", "1", 1, [(2, 5)])]


def test_chords_voices_and_grace_notes() -> None:
    grace = _note("B3", before="<grace/>").replace("<duration>2</duration>", "")
    upper = grace + _note("C4") + _note("E4", before="<chord/>") + "<forward><duration>2</duration></forward>"
    lower = "<backup><duration>4</duration></backup>" + _note("C3", 4, after="<voice>2</voice>")
    found = [
        (str(e.onset), str(e.duration), e.grace, e.voice, [n.pitch.name for n in e.notes if n.pitch])
        for e in _bar(_read(upper + lower)).events
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
    three = "<attributes><divisions>3</divisions></attributes>" + 3 * _note("C4", 1, after=ratio)
    events = _bar(_read(_note("C4") + three)).events
    assert [event.onset for event in events] == [0, 1, Fraction(4, 3), Fraction(5, 3)]
    assert [event.tuplet for event in events] == [None, *[Tuplet(3, 2)] * 3]


@pytest.mark.parametrize("tie", ['<tie type="stop"/>', '<notations><tied type="stop"/></notations>'])
def test_either_tie_is_a_tie(tie: str) -> None:
    assert _bar(_read(_note("C4") + _note("C4", after=tie))).events[1].notes[0].tied


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
    reading = _read(_note("D4", after=_played(notations)), attributes=_TAB)
    assert [technique.word for technique in _only(reading).techniques] == words


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
    played = _played(f"<articulations><{element}/></articulations>")
    reading = _read(_note("D4", after=played), attributes=_TAB)
    assert _only(reading).techniques == (Technique(name, falling=falling),)
    assert f"<{element}/>".encode() in write_musicxml(reading.score)


def test_an_artificial_harmonic_of_three_notes_is_one() -> None:
    """As in the example of the MusicXML 4.0 reference, artificial."""

    def part_of(pitch: str) -> str:
        inside = f"<technical><harmonic><artificial/><{pitch}/></harmonic></technical>"
        return f"<notations>{inside}</notations>"

    chord = _note("D4", after=part_of("base-pitch"))
    chord += _note("G4", before="<chord/>", after=part_of("touching-pitch"))
    chord += _note("D6", before="<chord/>", after=part_of("sounding-pitch"))
    assert _names(_bar(_read(chord))) == [["D4"]]


def test_palm_muting_until_further_notice() -> None:
    on, off = (f"<sound><play><mute>{mute}</mute></play></sound>" for mute in ("palm", "off"))
    notes = [
        n for e in _bar(_read(_note("C4") + on + _note("C4") + off + _note("C4"))).events for n in e.notes
    ]
    assert [note.has("palm-mute") for note in notes] == [False, True, False]


def test_dead_and_ghost_notes() -> None:
    dead = _read(_note("G3", after=f"<notehead>x</notehead>{_played('', 3, 0)}"), attributes=_TAB)
    assert (_only(dead).string, _only(dead).fret, _only(dead).pitch) == (3, None, None)
    ghost = _read(_note("G3", after='<notehead parentheses="yes">normal</notehead>'))
    assert _only(ghost).has("ghost")


def test_a_note_without_pitch_gets_that_of_its_string_and_fret() -> None:
    tab = _note("C4", after=_played("")).replace("<pitch><step>C</step><octave>4</octave></pitch>", "")
    assert _names(_bar(_read(tab, attributes=_TAB))) == [["D4"]]


def test_key_and_time() -> None:
    key = "<key><fifths>-1</fifths><mode>minor</mode></key>"
    time = "<time><beats>3+2</beats><beat-type>8</beat-type></time>"
    bar = _bar(_read(_note("C4"), attributes=key + time))
    assert (bar.key, bar.time) == (Key("D", 0, "minor"), TimeSignature(5, 8))
    plain = _bar(_read(_note("C4"), attributes="<key><fifths>1</fifths></key>"))
    assert plain.key == Key("G", 0, "major")
    assert [mark.fact for mark in plain.inferred] == ["mode"]


def test_free_time_is_as_long_as_its_notes() -> None:
    reading = _read(_note("C4", 7), attributes="<time><senza-misura/></time>")
    assert _bar(reading).time.length == Fraction(7, 2)
    assert [mark.fact for mark in _bar(reading).inferred] == ["metre"]


def test_sections_words_and_tempo() -> None:
    marks = (
        "<direction><direction-type><rehearsal>B</rehearsal></direction-type></direction>"
        "<direction><direction-type><words>let</words><words>it sing</words></direction-type>"
        "<offset>1</offset></direction>"
        "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>c. 96</per-minute>"
        "</metronome></direction-type></direction>"
    )
    bar = _bar(_read(marks + _note("C4")))
    assert bar.section == "B"
    assert [(words.onset, words.text) for words in bar.words] == [(Fraction(1, 2), "let it sing")]
    assert bar.tempo is not None
    assert (bar.tempo.per_minute, bar.tempo.beat) == (Fraction(96), Fraction(1))
    sounded = _bar(_read('<sound tempo="72.5"/>' + _note("C4"))).tempo
    assert sounded is not None
    assert sounded.per_minute == Fraction(145, 2)


@pytest.mark.parametrize(
    ("harmony", "symbol"),
    [
        ("<root><root-step>C</root-step></root><kind>major-seventh</kind>", "Cmaj7"),
        ('<root><root-step>C</root-step></root><kind text="△7">major-seventh</kind>', "C△7"),
        ('<root><root-step>C</root-step></root><kind text="">minor</kind>', "Cm"),
        ('<root><root-step text="">C</root-step></root><kind text="N.C.">none</kind>', "N.C."),
        (
            "<root><root-step>B</root-step></root><kind>dominant</kind><bass><bass-step>D</bass-step></bass>",
            "B7/D",
        ),
        (f'<root><root-step>E</root-step></root><kind text="7">dominant</kind>{_SHARP_NINE}', "E7#9"),
        ("<root><root-step>A</root-step></root><kind>Tristan</kind>", "A(Tristan)"),
    ],
)
def test_chord_symbols(harmony: str, symbol: str) -> None:
    assert [h.symbol for h in _bar(_read(f"<harmony>{harmony}</harmony>" + _note("C4"))).harmonies] == [
        symbol
    ]


def test_repeats_endings_and_pickup() -> None:
    left = '<barline location="left"><ending number="1, 3" type="start"/></barline>'
    right = (
        '<barline location="right"><ending number="1" type="stop"/><repeat direction="backward" times="4"/>'
        "</barline>"
    )
    reading = _read(
        _note("C4", 8), left + _note("C4", 8), _note("D4", 8), _note("E4", 8) + right, _note("C4", 8)
    )
    assert [bar.endings for bar in reading.score.parts[0].bars] == [(), (1, 3), (1, 3), (1, 3), ()]
    assert [bar.repeat_times for bar in reading.score.parts[0].bars] == [0, 0, 0, 4, 0]
    pickup = (
        f'<score-partwise><part id="P1"><measure number="0" implicit="yes">{_note("C4", 1)}</measure></part>'
    )
    bar = _bar(read_musicxml("x", f"{pickup}</score-partwise>".encode()))
    assert (bar.pickup, bar.number, bar.label) == (True, 1, "0")


def test_a_timewise_score_is_read_as_partwise() -> None:
    data = (
        '<score-timewise><part-list><score-part id="P1"><part-name>One</part-name></score-part></part-list>'
        f'<measure number="1"><part id="P1">{_note("C4")}</part><part id="P2">{_note("E4")}</part></measure>'
        f'<measure number="2"><part id="P1">{_note("D4")}</part><part id="P2">{_note("F4")}</part></measure>'
        "</score-timewise>"
    )
    reading = read_musicxml("x", data.encode())
    assert [[_names(bar) for bar in part.bars] for part in reading.score.parts] == [
        [[["C4"]], [["D4"]]],
        [[["E4"]], [["F4"]]],
    ]
    second = reading.score.parts[0].bars[1].events[0].span
    assert second is not None
    assert "<step>D</step>" in reading.source.text[second.start : second.end]
    assert reading.score.parts[1].bars[0].spans == reading.score.parts[0].bars[0].spans != ()
    assert reading.tree is not None
    assert reading.tree.getroot().tag == "score-partwise"


def test_title_and_composer() -> None:
    head = (
        "<movement-title>A  song</movement-title><identification>"
        '<creator type="lyricist">x</creator><creator type="composer">me</creator></identification>'
    )
    score = _read(_note("C4"), head=head).score
    assert (score.title, score.composer) == ("A song", "me")


def test_a_fret_below_nothing_is_no_fret() -> None:
    note = _only(_read(_note("E4", after=_played("", string=1, fret=-1)), attributes=_TAB))
    assert (note.string, note.fret) == (1, None)
    assert note.pitch is not None
