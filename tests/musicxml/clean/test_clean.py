"""Files made faulty in one place, as editors and hands do, and mended: the clean file must come back."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tabtools.document import Document
from tabtools.lint.engine import check
from tabtools.lint.example_line import LINE as BASS
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rules import load_all
from tabtools.musicxml.clean.fault import Fault
from tabtools.musicxml.clean.faults import find_faults
from tabtools.musicxml.reader import read_musicxml
from tabtools.reading import read
from tests.musicxml.mending import mended
from tests.musicxml.samples import SAMPLES
from tests.xsd import problems

TUNED = re.findall(r"(?s)<staff-details.*?</attributes>", LESSON)[0].replace(' number="2"', "")
# A tab staff alone: three bars of four quarters on one string.
SPREAD = (
    '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Guitar</part-name></score-part>'
    '</part-list><part id="P1">'
    + "".join(
        f'<measure number="{number}">'
        + (
            "<attributes><divisions>1</divisions><clef><sign>TAB</sign><line>5</line></clef>" + TUNED
            if number == 1
            else ""
        )
        + "<note><pitch><step>A</step><octave>3</octave></pitch><duration>1</duration><type>quarter</type>"
        "<notations><technical><string>3</string><fret>2</fret></technical></notations></note>"
        * 4
        + "</measure>"
        for number in (1, 2, 3)
    )
    + "</part></score-partwise>"
)

SAMPLE_FILES = sorted((Path(__file__).parents[3] / "samples").glob("*.musicxml"))


def _document(text: str) -> Document:
    return read_musicxml("a", text.encode())


def _faults(text: str) -> list[Fault]:
    return list(find_faults(_document(text)))


def _cleaned(text: str) -> str:
    return mended(_document(text)).text


# What is done to the clean file, and the rule that finds it. All of it is mended byte for byte.
BREAKS = {
    "an alter is lost on the notation staff": ("<alter>1</alter>", "", 0, "notation-tab-differ"),
    "an alter is lost on the tab staff": ("<alter>1</alter>", "", 1, "fret-pitch-mismatch"),
    "a fret one too high": ("<fret>4</fret>", "<fret>5</fret>", 0, "fret-pitch-mismatch"),
    "a fret an octave and a third off": ("<fret>2</fret>", "<fret>18</fret>", 0, "fret-pitch-mismatch"),
    "another octave letter on tab": ("<step>B</step>", "<step>D</step>", 1, "fret-pitch-mismatch"),
    "another step in the notation": ("<step>B</step>", "<step>C</step>", 0, "notation-tab-differ"),
    "a type too short": ("<type>half</type>", "<type>quarter</type>", 2, "type-duration-mismatch"),
    "a type that is no plain value": (
        "<type>half</type>",
        "<type>half</type>\n        <dot/>",
        0,
        "type-duration-mismatch",
    ),
    "octave before step": (
        "<step>B</step><octave>3</octave>",
        "<octave>3</octave><step>B</step>",
        0,
        "misordered-elements",
    ),
    "voice after type": (
        "<voice>1</voice>\n        <type>half</type>",
        "<type>half</type>\n        <voice>1</voice>",
        1,
        "misordered-elements",
    ),
    "half a tie for the ear": ('\n        <tie type="stop"/>', "", 0, "broken-tie"),
    "half a tie for the eye": ('<tied type="start"/>', "", 1, "broken-tie"),
    "an empty element": ("</duration>", "</duration><notations></notations>", 3, "empty-element"),
    "a string is lost": ("<string>4</string>", "", 0, "place-missing"),
    "a fret is lost": ("<fret>4</fret>", "", 0, "place-missing"),
    "another part's id": ('<part id="P1">', '<part id="P2">', 0, "part-unlisted"),
    "no version": (' version="4.0"', "", 0, "file-header"),
    "a version that never was": ('version="4.0"', 'version="4.5"', 0, "file-header"),
    "another encoding declared": ('encoding="UTF-8"', 'encoding="UTF-16"', 0, "file-header"),
    "no declaration": ('<?xml version="1.0" encoding="UTF-8"?>\n', "", 0, "file-header"),
}


def _chord_note(pitch: str, staff: int, place: str, later: bool) -> str:
    technical = f"<notations><technical>{place}</technical></notations>" if staff == 2 else ""
    return (
        f"<note>{'<chord/>' * later}<pitch><step>{pitch[0]}</step><octave>{pitch[1]}</octave></pitch>"
        f"<duration>4</duration><voice>{staff}</voice><type>whole</type><staff>{staff}</staff>{technical}</note>"
    )


def _chord(*pitches: str) -> str:
    """The example with a last bar of chords: three pitches in notation, and the same or others on tab."""
    places = [(6, 3), (2, 0), (1, 3)]
    notes = [
        _chord_note(
            pitch, 1 + at // 3, "<string>{}</string><fret>{}</fret>".format(*places[at % 3]), at % 3 > 0
        )
        for at, pitch in enumerate(pitches)
    ]
    notes.insert(3, "<backup><duration>4</duration></backup>")
    return re.sub(r'(?s)(<measure number="3">).*(</measure>)', rf"\1{''.join(notes)}\2", LESSON)


@pytest.mark.parametrize("wrong", ["B4", "A4"])
def test_a_chord_is_paired_by_what_agrees(wrong: str) -> None:
    """A wrong note whose letter the chord has in another octave too."""
    clean_chord = _chord("G2", "B3", "G4", "G2", "B3", "G4")
    assert _faults(clean_chord) == []
    assert _cleaned(_chord("G2", "B3", "G4", "G2", "B3", wrong)) == clean_chord


def test_a_chord_note_lasts_as_long_as_the_first() -> None:
    good = _chord("G2", "B3", "G4", "G2", "B3", "G4")
    parts = good.split("<duration>4</duration><voice>1")
    bad = "<duration>4</duration><voice>1".join(parts[:2]) + "<duration>1</duration><voice>1" + parts[2]
    bad += "<duration>4</duration><voice>1" + parts[3]
    assert _cleaned(bad) == good


def test_the_clean_file_is_clean() -> None:
    assert _faults(LESSON) == []
    assert problems(LESSON.encode()) == []


@pytest.mark.parametrize("name", BREAKS)
def test_mended_byte_for_byte(name: str) -> None:
    old, new, place, rule = BREAKS[name]
    broken = changed(old, new, place)
    assert rule in [fault.rule for fault in _faults(broken)]
    assert _cleaned(broken) == LESSON


@pytest.mark.parametrize("name", BREAKS)
def test_every_finding_lies_on_text_and_says_what_to_do(name: str) -> None:
    broken = changed(*BREAKS[name][:3])
    for fault in _faults(broken):
        assert broken[fault.span.start : fault.span.end].strip()
        assert len(fault.message) > 40


def test_repairs_are_told_with_their_lines() -> None:
    broken = changed("<fret>4</fret>", "<fret>5</fret>")
    (repair,) = mended(_document(broken)).made
    line = next(n for n, text in enumerate(broken.split("\n"), 1) if "<fret>5<" in text)
    assert repair == (line, "make the fret 4: it sounds the pitch that is written", "fret-pitch-mismatch")


def test_several_faults_at_once() -> None:
    broken = changed("<fret>4</fret>", "<fret>5</fret>").replace(' version="4.0"', "")
    broken = broken.replace("<type>half</type>", "<type>eighth</type>", 1)
    assert _cleaned(broken) == LESSON


def test_without_notation_nobody_knows_whether_fret_or_pitch_is_wrong() -> None:
    text = BASS.replace("<fret>0</fret>", "<fret>2</fret>")
    (fault,) = _faults(text)
    assert fault.rule == "fret-pitch-mismatch"
    assert fault.repair is None
    assert _cleaned(text) == text


def test_a_tie_to_another_pitch_is_left_alone() -> None:
    text = changed("<step>A</step>", "<step>G</step>", 2)
    ties = [fault for fault in _faults(text) if fault.rule == "broken-tie"]
    assert len(ties) == 2
    assert [fault.repair for fault in ties] == [None, None]


def test_a_tuning_that_the_notes_prove() -> None:
    tunings = "".join(re.findall(r"<staff-tuning.*?</staff-tuning>", LESSON))
    without = LESSON.replace(tunings, "")
    more = "<string>2</string><fret>0</fret></technical>"
    without = without.replace("<string>3</string><fret>4</fret></technical>", more)
    (missing,) = [fault for fault in _faults(without) if fault.rule == "tuning-missing"]
    assert missing.repair is not None
    assert "E2 A2 D3 G3 B3 E4" in missing.repair.words
    assert _cleaned(without).count("<staff-tuning ") == 6
    assert problems(_cleaned(without).encode()) == []


def _tuned_otherwise(text: str, line: int, step: str, octave: int) -> str:
    said = rf'(<staff-tuning line="{line}"><tuning-step>)\w(</tuning-step><tuning-octave>)\d'
    return re.sub(said, rf"\g<1>{step}\g<2>{octave}", text)


def _on_three_strings() -> str:
    """A tab staff alone with four notes on each of the strings 3, 2 and 1."""
    bars = SPREAD.split("<measure ")
    bars[2] = bars[2].replace("<step>A</step><octave>3", "<step>D</step><octave>4")
    bars[2] = bars[2].replace("<string>3</string><fret>2", "<string>2</string><fret>3")
    bars[3] = bars[3].replace("<step>A</step><octave>3", "<step>G</step><octave>4")
    bars[3] = bars[3].replace("<string>3</string><fret>2", "<string>1</string><fret>3")
    return "<measure ".join(bars)


@pytest.mark.parametrize(("step", "octave"), [("G", 4), ("A", 3), ("F", 3)])
def test_a_tuning_that_all_notes_on_the_string_deny(step: str, octave: int) -> None:
    good = _on_three_strings()
    assert [fault.rule for fault in _faults(good)] == ["file-header"]
    bad = _tuned_otherwise(good, 4, step, octave)
    assert bad != good
    (fault,) = (fault for fault in _faults(bad) if fault.rule == "fret-pitch-mismatch")
    assert bad[fault.span.start : fault.span.end].startswith('<staff-tuning line="4">')
    assert f"string 3 is tuned to {step}{octave} here" in fault.message
    assert "G3" in fault.message
    assert '<staff-tuning line="4"><tuning-step>G</tuning-step><tuning-octave>3' in _cleaned(bad)


def test_two_tunings_with_names_are_not_chosen_between() -> None:
    bad = _tuned_otherwise(_on_three_strings(), 1, "D", 2)
    assert [fault.rule for fault in _faults(bad)] == ["file-header"]  # no note on that string


@pytest.mark.parametrize("staff", [0, 1])
def test_one_octave_that_is_off_among_many_notes_is_a_slip(staff: int) -> None:
    bar = re.findall(r"(?s)<measure.*?</measure>", LESSON)[2]
    many = LESSON.replace(bar, bar * 4)
    assert _faults(many) == []
    notes = list(re.finditer(r"<octave>3</octave>", bar))
    at = many.index(bar) + notes[-1 if staff else 0].start()
    slip = many[:at] + "<octave>5</octave>" + many[at + len("<octave>3</octave>") :]
    rule = "fret-pitch-mismatch" if staff else "notation-tab-differ"
    assert rule in [fault.rule for fault in _faults(slip)]
    assert _cleaned(slip) == many


def test_a_staff_that_is_not_fingered_yet_lacks_nothing() -> None:
    bare = re.sub(r"\s*<notations>\s*<technical>.*?</technical>\s*</notations>", "", SPREAD)
    assert "<string>" not in bare
    assert [fault.rule for fault in _faults(bare)] == ["file-header"]


def test_a_dot_that_the_divisions_cannot_hold() -> None:
    fine = re.sub("<type>half</type>", "<type>quarter</type>", LESSON)
    fine = re.sub("<duration>2</duration>", "<duration>1</duration>", fine)
    fine = fine.replace("<duration>4</duration></backup>", "<duration>2</duration></backup>")
    fine = fine.replace("<beats>4</beats>", "<beats>2</beats>")
    assert _faults(fine) == []
    dotted = fine.replace("<type>quarter</type>", "<type>quarter</type>\n        <dot/>", 1)
    assert [fault.rule for fault in _faults(dotted)] == ["type-duration-mismatch"]
    assert _cleaned(dotted) == fine


def test_a_slur_that_a_hammer_on_proves() -> None:
    start = '<hammer-on type="start">H</hammer-on>'
    stop = '<hammer-on type="stop"/>'
    text = changed("<fret>2</fret>", f"<fret>2</fret>{start}", 1)
    text = text.replace("<fret>4</fret></technical>", f"<fret>4</fret>{stop}</technical>", 2)
    text = text.replace(f"<fret>4</fret>{stop}", "<fret>4</fret>", 1)
    broken = text.replace(f"{start}</technical>", f'{start}</technical><slur number="3" type="start"/>')
    mended = _cleaned(broken)
    assert mended.count('<slur type="stop" number="3"/>') == 1
    assert mended.index('<slur number="3" type="start"/>') < mended.index('<slur type="stop" number="3"/>')


@pytest.mark.parametrize("path", SAMPLE_FILES, ids=lambda path: path.name)
def test_our_samples_have_nothing_to_mend(path: Path) -> None:
    document = read(path.name, path.read_bytes())
    assert mended(document).made == ()


@pytest.mark.parametrize("name", SAMPLES)
def test_what_we_write_has_no_faults(name: str) -> None:
    from tabtools.musicxml.writer import write_musicxml

    assert _faults(write_musicxml(SAMPLES[name]).decode()) == []


def test_elements_that_close_themselves_end_as_the_others_of_the_file() -> None:
    spaced = LESSON.replace("/>", " />")
    broken = changed("<type>half</type>", "<type>half</type><dot/>").replace("/>", " />")
    assert "<dot />" in broken
    assert _cleaned(broken) == spaced
    assert _cleaned(spaced.replace('\\n        <tie type="stop" />', "", 1)) == spaced


@pytest.mark.parametrize(
    ("old", "new", "marked"),
    [
        ("<fret>4</fret>", "<fret>5</fret>", "<fret>5</fret>"),
        ("<type>half</type>", "<type>quarter</type>", "<type>quarter</type>"),
        ("<string>4</string>", "<string>7</string>", "<string>7</string>"),
        ("<fret>4</fret>", "<fret>44</fret>", "<fret>44</fret>"),
    ],
)
def test_findings_point_at_the_element_that_is_wrong(old: str, new: str, marked: str) -> None:
    text = changed(old, new)
    found = check(read("a.musicxml", text.encode()), load_all())
    wrong = [finding for finding in found if finding.severity > Severity.INFO]
    assert marked in [text[finding.span.start : finding.span.end] for finding in wrong]
    assert "internal" not in [finding.rule for finding in wrong]


def test_a_single_octave_that_is_off_is_a_fault_and_a_staff_that_transposes_is_none() -> None:
    once = SPREAD.replace("<octave>3</octave>", "<octave>5</octave>", 1)
    assert "fret-pitch-mismatch" in [fault.rule for fault in _faults(once)]
    moved = SPREAD.replace("<octave>3</octave>", "<octave>4</octave>")
    assert "fret-pitch-mismatch" not in [fault.rule for fault in (*_faults(SPREAD), *_faults(moved))]
    below = check(read("a.musicxml", SPREAD.replace("<fret>2<", "<fret>-2<", 1).encode()), load_all())
    assert "internal" not in [finding.rule for finding in below]
