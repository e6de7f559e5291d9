"""Named forms as text and as JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.forms.naming import name_forms
from tabtools.instrument import GUITAR
from tabtools.reading import read
from tabtools.report import forms_json, forms_text
from tabtools.score import Bar, Event, Note, Part, Score
from tabtools.theory.inference import with_chords, with_key
from tests.forms.cases import load, part_of
from tests.schemas import assert_strict, assert_valid
from tests.strategies import parts

_SAMPLES = Path(__file__).parents[2] / "samples"
_CASES = {case["id"]: case for name in ("shape-cases.json", "further-cases.json") for case in load(name)}


def _text(case: str) -> str:
    part = part_of(_CASES[case])
    score = Score((part,))
    return forms_text.render("lick.txt", score, name_forms(score))


@pytest.mark.parametrize("path", sorted(_SAMPLES.glob("[01]*")), ids=lambda path: path.name)
def test_the_json_fits_its_schema(path: Path) -> None:
    segments = name_forms(read(path.name, path.read_bytes()).score)
    assert_valid("forms", forms_json.render(segments))


def test_the_schema_holds_the_form_and_nothing_else() -> None:
    text = forms_json.render(name_forms(part_of(_CASES["SC-033"])))
    for where in (
        [],
        ["segments", 0],
        ["segments", 0, "notes", 0],
        ["segments", 0, "equal_readings", 0],
        ["segments", 0, "readings", 0],
    ):
        assert_strict("forms", text, where)


def test_a_form_as_json() -> None:
    text = forms_json.render(name_forms(part_of(_CASES["SC-033"])))
    whole = json.loads(text)
    assert (whole["format"], whole["version"]) == ("tabtools-forms", 2)
    segment = whole["segments"][0]
    assert segment["notes"][0] == {
        "bar": 1,
        "onset": "0",
        "string": 3,
        "fret": 12,
        "name": "G4",
        "member": True,
        "role": "perfect fifth of C, chord tone",
        "letter": "G",
        "interval": "perfect fifth",
        "chord": "C",
        "chord_tone": True,
        "degree": None,
        "line": ["chord tone"],
        "meant": None,
    }
    assert segment["equal_readings"] == [
        {"form": "C", "quality": "maj", "root": "C", "anchor_fret": 12, "barre_fret": 12}
    ]
    fields = ("kind", "form", "quality", "root", "anchor_fret", "barre_fret", "box", "position")
    assert [segment[field] for field in fields] == ["form", "D", "maj", "C", 10, None, None, 12]
    assert segment["frets"] == [12, 13]


def test_a_box_and_a_run_as_json() -> None:
    box = json.loads(forms_json.render(name_forms(part_of(_CASES["SC-084"]))))["segments"][0]
    fields = ("kind", "form", "root", "box", "minor_root", "major_root", "position", "frets")
    assert [box[field] for field in fields] == ["pentatonic", "D", "C", 3, "A", "C", 10, [9, 13]]
    run = json.loads(forms_json.render(name_forms(part_of(_CASES["FC-042"]))))["segments"][0]
    assert [run[field] for field in fields[:4]] == ["run", None, None, None]


def test_the_table_and_the_neck() -> None:
    assert _text("SC-014") == (
        "lick.txt\n"
        "\n"
        "bar      form                      root    position  notes (string:fret, name: what it is)\n"
        "1        D form                    G       5         4:5 G: root of G, chord tone\n"
        "                                                     3:7 D: perfect fifth of G, chord tone\n"
        "                                                     2:8 G: root of G, chord tone\n"
        "                                                     1:7 B: major third of G, chord tone\n"
        "                                                     [G arpeggio, D form]\n"
        "\n"
        "D form of G, anchor at fret 5\n"
        "   fret  5   6   7   8\n"
        "     e |---|---|-3-|---|\n"
        "     B |---|---|---|-R-|\n"
        "     G |---|---|-5-|---|\n"
        "     D |-R-|---|---|---|\n"
        "     A |---|---|---|---|\n"
        "     E |---|---|---|---|\n"
    )


def test_what_else_the_notes_fit_is_said() -> None:
    assert "[the same notes: G form, anchor at fret 5]" in _text("FC-025")
    assert "[not sure: the notes fit Am (Em form, anchor at fret 5)" in _text("FC-025")
    assert "[D form at the capo, sounds E]" in _text("SC-088")
    assert "[string 6 is tuned 2 lower than the form has it]" in _text("FC-006")
    assert "[A minor pentatonic, box 1, relative major C, frets 5 to 8]" in _text("SC-082")
    assert "neighbour (outside the form)" in _text("SC-075")


def test_several_parts_and_a_part_without_notes() -> None:

    score = Score(
        (part_of(_CASES["SC-014"])._replace(name="Lead"), part_of(_CASES["SC-014"])._replace(bars=()))
    )
    text = forms_text.render("duet.musicxml", score, name_forms(score))
    assert "\nLead\nbar " in text
    assert "\ncase\nno notes with string and fret\n" in text


def test_a_picture_of_wide_marks_stays_in_line() -> None:
    lines = list(forms_text.picture(GUITAR, [(5, 2, "R"), (3, 1, "bb7")]))
    assert len({len(line) for line in lines[1:]}) == 1


def _bare(data: st.DataObject, note: Note) -> Note:
    """The note as it is, without its place, or without its place and pitch."""
    kept = data.draw(st.sampled_from(["all", "all", "all", "pitch", "nothing"]))
    if kept == "all":
        return note
    return note._replace(string=None, fret=None, pitch=note.pitch if kept == "pitch" else None)


def _event(data: st.DataObject, event: Event) -> Event:
    notes = tuple(_bare(data, note) for note in event.notes)
    return event._replace(notes=notes, grace=data.draw(st.integers(0, 7)) == 0)


def _any_part(data: st.DataObject) -> Part:
    part = data.draw(parts())
    found: tuple[Bar, ...] = tuple(
        bar._replace(events=tuple(_event(data, event) for event in bar.events)) for bar in part.bars
    )
    tuning = part.instrument.tuning[: data.draw(st.sampled_from([0, 1, 4, 12, 12, 12]))]
    return part._replace(bars=found, instrument=part.instrument._replace(tuning=tuning))


@settings(max_examples=60)
@given(st.data())
def test_any_score_has_its_forms_or_none(data: st.DataObject) -> None:
    """Parts, voices, ties, grace notes, muted strings, pitches without a place, instruments without strings:
    what has no place on a neck is left out, and nothing fails."""
    score = with_key(Score(tuple(_any_part(data) for _ in range(data.draw(st.integers(1, 2))))), 0.9)
    segments = name_forms(score)
    for segment in segments:
        tuning = score.parts[segment.part].instrument.tuning
        for named in segment.notes:
            assert named.note.string is not None
            assert named.note.string <= len(tuning)
            assert named.note.fret is not None
            assert not named.note.tied
            assert not named.note.has("dead")
    assert_valid("forms", forms_json.render(segments))
    assert forms_text.render("any.txt", with_chords(score), segments)


def test_a_run_says_where_it_lies_and_through_which_scale_it_goes() -> None:
    rows = {"E": "-3-5-7-------------", "A": "-------3-5-7-------", "D": "-------------4-5-7-"}
    page = [f"{label}|{rows.get(label, '-' * 19)}|" for label in "eBGDAE"]
    text = "\n".join(["Key: G major", "", *page, ""])
    score = read("run.txt", text.encode()).score
    out = forms_text.render("run.txt", score, name_forms(score))
    assert "[G major scale, frets 3 to 7]" in out
    few = read("run.txt", text.replace("4-5-7", "-----").replace("3-5-7-------|", "3-----------|").encode())
    assert "[frets 3 to 7]" in forms_text.render("run.txt", few.score, name_forms(few.score))
