"""``tabtools finger``: what it writes, and that all the rest stays as it was."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from lxml import etree

from tabtools.instrument import GUITAR
from tabtools.musicxml.writer import write_musicxml
from tabtools.reading import read
from tabtools.score import Bar, Event, Harmony, Note, Part, Pitch, Score
from tests.cli.support import run
from tests.xsd import problems

PAGE = """\
Tuning: standard
Tempo: 100

Some words.
e|---------------|
B|---1-----------|
G|-------5-7-8---|
D|---2-----------|
A|-0-3-----------|
E|---------------|
"""
FINGERED = PAGE + "   0 123 1 3 4 <- fingers\n"


def _xml() -> bytes:
    names = [("C3", "E3", "G3", "C4"), ("E4",), ("F4",), ("E4",)]
    events = tuple(
        Event(Fraction(n), Fraction(1), tuple(Note(None, None, Pitch.from_name(name)) for name in chord))
        for n, chord in enumerate(names)
    )
    bar = Bar(1, events=events, harmonies=(Harmony(Fraction(0), "C"),))
    return write_musicxml(Score((Part("Guitar", GUITAR, (bar,)),)))


def test_text_tab_gets_finger_rows_and_keeps_the_rest(tmp_path: Path) -> None:
    result = run("finger", "-", "-o", "-", stdin=PAGE)
    assert result.exit_code == 0
    assert result.stdout == FINGERED
    again = run("finger", "-", "-o", "-", stdin=FINGERED)
    assert again.stdout == FINGERED
    score = read("page.txt", FINGERED.encode()).score
    found = [[note.finger for note in event.notes] for event in score.parts[0].bars[0].events]
    assert found == [["0"], ["1", "2", "3"], ["1"], ["3"], ["4"]]


def test_chords_too_close_for_their_fingers_are_told() -> None:
    rows = "".join(f"{label}|{'-1' * 4 if label in 'eBG' else '--' * 4}|\n" for label in "eBGDAE")
    result = run("finger", "-", "-o", "-", stdin=f"Tempo: 80\n\n{rows}")
    assert result.exit_code == 0
    assert "2 chords stand too close for their fingers" in result.stderr


def test_the_result_is_of_the_kind_of_its_input(tmp_path: Path) -> None:
    page, music = tmp_path / "page.txt", tmp_path / "page.musicxml"
    page.write_text(PAGE, "utf-8")
    result = run("finger", page, "-o", music)
    assert result.exit_code == 2
    assert "is text tab" in result.stderr
    assert not music.exists()
    music.write_bytes(_xml())
    assert run("finger", music, "-o", tmp_path / "other.txt").exit_code == 2


def test_musicxml_gets_strings_frets_fingers_and_a_frame_and_stays_valid(tmp_path: Path) -> None:
    source, target = tmp_path / "a.musicxml", tmp_path / "b.musicxml"
    source.write_bytes(_xml())
    result = run("finger", source, "-o", target, "--profile", "classical")
    assert result.exit_code == 0
    assert "no tempo is given" in result.stderr
    assert problems(target.read_bytes()) == []
    score = read("b.musicxml", target.read_bytes()).score
    notes = [note for event in score.parts[0].bars[0].events for note in event.notes]
    assert [(n.string, n.fret, n.finger) for n in notes[:4]] == [
        (5, 3, "3"),
        (4, 2, "2"),
        (3, 0, "0"),
        (2, 1, "1"),
    ]
    root = etree.fromstring(target.read_bytes())
    frame = root.find(".//harmony/frame")
    assert frame is not None
    assert [n.findtext("fret") for n in frame.iterfind("frame-note")] == ["3", "2", "0", "1"]
    run("finger", target, "-o", tmp_path / "c.musicxml")
    assert (tmp_path / "c.musicxml").read_bytes() == target.read_bytes()


def test_alternatives_are_listed_with_cost_positions_and_stretch() -> None:
    result = run("finger", "-", "--alternatives", "3", stdin=_xml())
    assert result.exit_code == 0
    assert "  1. cost" in result.stdout
    assert "  3. cost" in result.stdout
    assert "position" in result.stdout
    assert "widest stretch fingers" in result.stdout


def test_wrong_use_is_refused() -> None:
    assert run("finger", "-", stdin=PAGE).exit_code == 2
    assert run("finger", "-", "-o", "-", "--hand", "huge", stdin=PAGE).exit_code == 2
    assert run("finger", "-", "-o", "-", stdin="no tab at all").exit_code == 1


def test_rework_and_options_move_notes() -> None:
    result = run("finger", "-", "-o", "-", "--rework", "--position", "5", "--max-fret", "9", stdin=PAGE)
    assert result.exit_code == 0
    score = read("page.txt", result.stdout.encode()).score
    frets = [n.fret for e in score.parts[0].bars[0].events for n in e.notes]
    assert all(fret is not None and fret <= 9 for fret in frets)
    pitches = [n.pitch for e in score.parts[0].bars[0].events for n in e.notes]
    before = [n.pitch for e in read("page.txt", PAGE.encode()).score.parts[0].bars[0].events for n in e.notes]
    assert sorted(p.midi for p in pitches if p) == sorted(p.midi for p in before if p)


def test_a_short_neck_is_easier_for_wide_grips() -> None:
    long = run("finger", "-", "--alternatives", "1", "--scale-length", "700", stdin=PAGE).stdout
    short = run("finger", "-", "--alternatives", "1", "--scale-length", "400", stdin=PAGE).stdout
    assert long != short


def test_comments_inside_a_note_are_no_elements() -> None:
    marked = _xml().replace(b"<voice>1</voice>", b"<!-- </notations> <technical/> --><voice>1</voice>")
    result = run("finger", "-", "-o", "-", stdin=marked)
    assert result.exit_code == 0
    assert result.stdout.count("<!-- </notations> <technical/> -->") == marked.count(b"<!-- </notations>")
    assert problems(result.stdout.encode()) == []


_LEAD = """\
Tempo: 100

   e e e e q
e|-----5---8-|
B|-5-8---8---|
G|-----------|
D|-----------|
A|-----------|
E|-----------|
"""


def test_positions_for_some_bars_open_strings_and_another_way() -> None:
    moved = run("finger", "-", "-o", "-", "--rework", "--position", "9@1", stdin=_LEAD)
    frets = [
        n.fret
        for b in read("p.txt", moved.stdout.encode()).score.parts[0].bars
        for e in b.events
        for n in e.notes
    ]
    assert min(fret for fret in frets if fret is not None) >= 8
    assert "profile lead (single notes)" in moved.stderr
    assert "profile" not in run("finger", "-", "-o", "-", "--profile", "neutral", stdin=_LEAD).stderr
    listed = run("finger", "-", "--alternatives", "3", stdin=_LEAD).stdout
    assert "beat 1 1/2" in listed
    ways = [run("finger", "-", "-o", "-", "--way", str(way), stdin=_LEAD).stdout for way in (1, 2, 3)]
    assert len(set(ways)) == 3
    assert run("finger", "-", "-o", "-", "--position", "5@x", stdin=_LEAD).exit_code == 2
    assert run("finger", "-", "-o", "-", "--position", "40", stdin=_LEAD).exit_code == 2
