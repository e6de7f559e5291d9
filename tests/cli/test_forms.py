"""The commands that name forms, find the nearest, and mix a palette."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tabtools.forms.annotate import form_words
from tabtools.forms.words import short_words
from tabtools.lint.engine import check
from tabtools.lint.rules.harmony.form_label_wrong import RULE
from tabtools.reading import read
from tests.cli.support import run
from tests.schemas import assert_strict, assert_valid

_SAMPLES = Path(__file__).parents[2] / "samples"
_LICK = _SAMPLES / "02-three-forms-one-hand.txt"


def test_forms_as_text_and_json() -> None:
    result = run("forms", _LICK)
    assert (result.exit_code, result.stderr) == (0, "")
    assert "D form of G, anchor at fret 5" in result.stdout
    named = run("forms", _LICK, "--report", "json")
    assert json.loads(named.stdout)["segments"][1]["form"] == "D"


def test_text_tab_and_musicxml_alike(tmp_path: Path) -> None:
    other = tmp_path / "lick.musicxml"
    assert run("convert", _LICK, "-o", other).exit_code == 0
    outputs = [run("forms", path, "--report", "json").stdout for path in (_LICK, other)]
    assert outputs[0] == outputs[1]


def test_forms_from_standard_input() -> None:
    result = run("forms", "-", stdin=_LICK.read_bytes())
    assert result.exit_code == 0
    assert result.stdout.startswith("<stdin>\n")


def test_key_and_chords_that_nobody_wrote_are_said_to_be_worked_out(tmp_path: Path) -> None:
    rows = {"e": "-3-----2---3-----|-----------------", "B": "-----3---------3-|-1---0-----------"}
    rows |= {"G": "-----------------|---------2---0---", "D": "-----------------|-----------------"}
    page = [f"{label}|{rows.get(label, rows['D'])}|" for label in "eBGDAE"]
    file = tmp_path / "line.txt"
    file.write_text("\n".join(["Tuning: standard", "", *page, ""]))
    out = run("forms", file).stdout
    assert "key: G major, worked out from the notes" in out
    assert "chords, worked out from the notes: G" in out
    file.write_text("\n".join(["Tuning: standard", "Key: G major", "", "   G", *page, ""]))
    assert "worked out" not in run("forms", file).stdout


def test_notes_without_a_place_are_said_to_need_fingering(tmp_path: Path) -> None:
    note = "<note><pitch><step>{}</step><octave>4</octave></pitch><duration>1</duration></note>"
    notes = "".join(note.format(step) for step in "CEG")
    page = tmp_path / "melody.musicxml"
    page.write_text(
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Guitar</part-name>'
        '</score-part></part-list><part id="P1"><measure number="1"><attributes><divisions>1</divisions>'
        f"</attributes>{notes}</measure></part></score-partwise>"
    )
    result = run("forms", page)
    assert result.exit_code == 0
    assert "3 notes have no string and fret, so no form: run tabtools finger first" in result.stderr
    assert json.loads(run("forms", page, "--report", "json").stdout)["segments"] == []
    fingered = tmp_path / "fingered.musicxml"
    assert run("finger", page, "-o", fingered).exit_code == 0
    assert "run tabtools finger" not in run("forms", fingered).stderr
    assert "C arpeggio" in run("forms", fingered).stdout


def test_a_file_that_is_no_tab(tmp_path: Path) -> None:
    page = tmp_path / "page.txt"
    page.write_text("Dear diary\n", "utf-8")
    result = run("forms", page)
    assert result.exit_code == 1
    assert "unreadable" in result.stdout
    assert run("forms", page, "--report", "json").stdout == ""
    assert run("forms", _SAMPLES).exit_code == 2
    assert run("forms", tmp_path / "none.txt").exit_code == 2


@pytest.mark.parametrize("target", ["text", "musicxml"])
def test_form_names_in_what_is_written(target: str) -> None:
    plain = run("convert", _SAMPLES / "14-triplets-in-the-c-form.musicxml", "--to", target, "-o", "-")
    named = run(
        "convert", _SAMPLES / "06-sliding-double-stops.txt", "--to", target, "-o", "-", "--show", "forms"
    )
    assert (plain.exit_code, named.exit_code) == (0, 0)
    assert "A form, 8th position" in named.stdout


def test_form_names_in_musicxml_that_is_handed_through(tmp_path: Path) -> None:
    source = tmp_path / "lesson.musicxml"
    run("convert", _SAMPLES / "06-sliding-double-stops.txt", "-o", source)
    named = run("convert", source, "--to", "musicxml", "-o", "-", "--show", "forms").stdout
    added = set(named.splitlines()) - set(source.read_text("utf-8").splitlines())
    assert added
    assert all("<words>" in line and " form" in line for line in added)


def test_nearest_as_text_and_json() -> None:
    result = run("nearest", "G", "C", "D", "--at", "5")
    assert result.exit_code == 0
    assert "D form, 5th position         frets x x 5 7 8 7         fingers - - 1 2 4 3   0 frets away" in (
        result.stdout
    )
    assert "The way with the least movement, 0 frets in all" in result.stdout
    whole = json.loads(run("nearest", "G", "--at", "5", "--report", "json").stdout)
    assert whole["chords"][0]["forms"][0]["frets"] == [None, None, 5, 7, 8, 7]
    assert whole["path"] == []


def test_nearest_in_another_tuning() -> None:
    result = run("nearest", "C", "--at", "0", "--tuning", "ukulele")
    assert "G form, open position        frets 0 0 0 3" in result.stdout
    assert run("nearest", "C", "--at", "0", "--tuning", "Drop D").exit_code == 0


def test_a_chord_with_more_notes_than_any_form() -> None:
    assert "G13 near fret 3, as 9" in run("nearest", "G13", "--at", "3").stdout
    assert "Cadd11 near fret 3, as a plain triad" in run("nearest", "Cadd11", "--at", "3").stdout


def test_palette_as_text_and_json() -> None:
    result = run("palette", "--key", "G", "--scale", "pentatonic", "G", "C", "D", "--at", "3")
    assert result.exit_code == 0
    assert result.stdout == (
        "G major pentatonic: G A B D E\n"
        "C   the fourth of the key; at home as the root of C\n"
        "    near fret 3 (string:fret): 5:3, 3:5\n"
        "F#  the seventh of the key; at home as the major third of D\n"
        "    near fret 3 (string:fret): 6:2, 4:4, 2:7, 1:2\n"
    )
    whole = json.loads(run("palette", "--key", "G", "G", "C", "D", "--report", "json").stdout)
    assert [colour["note"] for colour in whole["colours"]] == ["C", "F#"]
    assert "bring no note" in run("palette", "--key", "G", "--scale", "major", "C").stdout


@pytest.mark.parametrize(
    "arguments",
    [
        ("nearest", "G", "C13", "Dm", "--at", "5"),
        ("nearest", "Bdim7", "--at", "0", "--tuning", "Drop D", "--capo", "2"),
        ("nearest", "C", "--at", "3", "--tuning", "ukulele"),
        ("palette", "--key", "G", "G", "C", "D7"),
        ("palette", "--key", "Ebm", "--scale", "blues", "Ebm", "Abm7", "Bb7(#9)", "--at", "6"),
        ("palette", "--key", "E dorian", "Em7", "A"),
        ("palette", "--key", "C", "--scale", "major", "C"),
    ],
    ids=" ".join,
)
def test_the_json_fits_its_schema(arguments: tuple[str, ...]) -> None:
    assert_valid(arguments[0], run(*arguments, "--report", "json").stdout)


def test_the_schemas_hold_the_form_and_nothing_else() -> None:
    near = run("nearest", "G", "C", "--at", "5", "--report", "json").stdout
    for where in ([], ["chords", 0], ["chords", 0, "forms", 0], ["path", 1]):
        assert_strict("nearest", near, where)
    colours = run("palette", "--key", "G", "C", "--report", "json").stdout
    for where in ([], ["colours", 0], ["colours", 0, "at_home", 0], ["colours", 0, "places", 0]):
        assert_strict("palette", colours, where)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("nearest", "Gmja7", "--at", "3"), "did you mean Gmaj7?"),
        (("nearest", "N.C.", "--at", "3"), "is not a chord symbol"),
        (("nearest", "G", "--at", "3", "--tuning", "harp"), "no tuning is called 'harp'"),
        (("palette", "--key", "Q", "G"), "'Q' is not a key"),
        (("palette", "--key", "G", "--scale", "bebop", "G"), "unknown scale 'bebop'"),
    ],
)
def test_what_is_asked_wrongly(arguments: tuple[str, ...], words: str) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert words in result.stderr


def test_a_tuning_may_be_spelled_by_its_strings() -> None:
    spelled = run("nearest", "D", "--at", "0", "--tuning", "D A D G A D")
    assert spelled.exit_code == 0
    assert spelled.stdout == run("nearest", "D", "--at", "0", "--tuning", "dadgad").stdout
    lowered = run("nearest", "C", "--at", "0", "--tuning", "C A D G B E", "--report", "json")
    (chord,) = json.loads(lowered.stdout)["chords"]
    held = {form["form"]: form["frets"] for form in chord["forms"]}
    assert held["A"] == [None, 3, 5, 5, 5, 3]
    assert run("nearest", "C", "--at", "0", "--tuning", "high up").exit_code == 2


_LESSONS = sorted(_SAMPLES.glob("[01]*"))


@pytest.mark.parametrize("path", _LESSONS, ids=lambda path: path.name)
def test_the_names_of_the_forms_are_written_into_the_lesson_and_read_again(
    path: Path, tmp_path: Path
) -> None:
    """Every name that is put in stands over its notes when the copy is read, no note moves, and no check
    calls a name wrong."""
    target = tmp_path / path.name
    result = run("forms", path, "--write", target)
    assert result.exit_code == 0, result.stderr
    before, after = (read(each.name, each.read_bytes()) for each in (path, target))
    assert check(after, [RULE]) == []
    words = [form_words(document.score, short_words) for document in (before, after)]
    assert words[1] == () or len(words[1]) < len(words[0])
    played = [
        [(n.string, n.fret) for p in d.score.parts for b in p.bars for e in b.events for n in e.notes]
        for d in (before, after)
    ]
    assert played[0] == played[1]


def test_the_lesson_itself_is_not_written_over(tmp_path: Path) -> None:
    lesson = tmp_path / "lesson.txt"
    lesson.write_bytes(_LICK.read_bytes())
    assert run("forms", lesson, "--write", lesson).exit_code == 2
    assert run("forms", lesson, "--write", "-").stdout.count("pos.") > lesson.read_text().count("pos.")
