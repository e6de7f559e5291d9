from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

import pytest

from tabtools.document import Document
from tabtools.dump import dump_score
from tabtools.instrument import GUITAR
from tabtools.lint.finding import Finding, Severity
from tabtools.score import (
    Bar,
    Event,
    Harmony,
    Inferred,
    Key,
    Note,
    Part,
    Pitch,
    Score,
    Technique,
    TimeSignature,
)
from tabtools.source import Source, Span
from tabtools.text.reader import read_text
from tests.schemas import assert_strict, assert_valid

F = Fraction


def _document() -> Document:
    text = "e|-2---x---2-|\n"
    bent = Note(
        1,
        2,
        Pitch("F", 1, 4),
        (Technique("vibrato"), Technique("bend", F(1, 2))),
        finger="3",
        span=Span(3, 4),
    )
    dead = Note(1, None, None, (Technique("dead"),), span=Span(7, 8))
    tied = Note(None, None, Pitch("F", 1, 4), tied=True)
    events = (
        Event(F(0), F(3, 2), (bent,)),
        Event(F(3, 2), F(1, 3), (dead,), inferred=(Inferred("rhythm", "columns", 0.7),)),
        Event(F(11, 6), F(1, 2)),
        Event(F(7, 3), F(0), (tied,), grace=True, voice=2),
    )
    bar = Bar(
        1,
        TimeSignature(6, 8),
        Key("G", 0, "major"),
        events,
        (Harmony(F(0), "D7"),),
        repeat_times=2,
        endings=(1, 2),
        section="Verse",
    )
    part = Part("Guitar", GUITAR, (bar, Bar(2, events=(Event(F(0), F(4)),))))
    return Document(Source("lick.txt", text), Score((part,), "Ünder way"))


FINDING = Finding("fret-off-neck", Severity.ERROR, "too far", Span(3, 4), bar=1)


def test_exact_form() -> None:
    whole = json.loads(dump_score(_document(), [FINDING]))
    (part,) = whole.pop("parts")
    (finding,) = whole.pop("findings")
    assert whole == {"format": "tabtools-score", "version": 1, "title": "Ünder way"}
    assert (finding["path"], finding["line"], finding["column"]) == ("lick.txt", 1, 4)
    first, second = part.pop("bars")
    assert part == {"name": "Guitar", "tuning": [40, 45, 50, 55, 59, 64], "capo": 0}
    bent, dead, rest, tied = first.pop("events")
    assert first == {
        "number": 1,
        "time": "6/8",
        "key": "G major",
        "section": "Verse",
        "pickup": False,
        "repeat_start": False,
        "repeat_times": 2,
        "endings": [1, 2],
        "chords": [{"onset": "0", "symbol": "D7"}],
    }
    assert bent == {
        "onset": "0",
        "duration": "3/2",
        "grace": False,
        "voice": 1,
        "inferred": [],
        "notes": [
            {
                "string": 1,
                "fret": 2,
                "midi": 66,
                "name": "F#4",
                "finger": "3",
                "techniques": ["bend:0.5", "vibrato"],
                "falling": [],
                "line": 1,
                "column": 4,
            }
        ],
    }
    assert (dead["onset"], dead["duration"], dead["inferred"]) == ("3/2", "1/3", ["rhythm"])
    assert [dead["notes"][0][name] for name in ("fret", "midi", "name")] == [None, None, None]
    assert dead["notes"][0]["techniques"] == ["dead"]
    assert (rest["onset"], rest["notes"]) == ("11/6", [])
    assert (tied["grace"], tied["voice"]) == (True, 2)
    assert tied["notes"][0]["techniques"] == ["tie"]
    assert [tied["notes"][0][name] for name in ("string", "line", "column")] == [None, None, None]
    assert second["key"] is None


def test_form_and_schema_agree() -> None:
    assert_valid("score", dump_score(_document(), [FINDING]))
    assert_valid("score", dump_score(Document(Source("x", ""), Score()), []))


@pytest.mark.parametrize(
    "where",
    [
        [],
        ["parts", 0],
        ["parts", 0, "bars", 0],
        ["parts", 0, "bars", 0, "events", 0],
        ["parts", 0, "bars", 0, "events", 0, "notes", 0],
        ["parts", 0, "bars", 0, "chords", 0],
        ["findings", 0],
    ],
)
def test_schema_allows_nothing_else_and_misses_nothing(where: list[Any]) -> None:
    assert_strict("score", dump_score(_document(), [FINDING]), where)


def test_same_document_same_bytes() -> None:
    assert dump_score(_document(), [FINDING]) == dump_score(_document(), [FINDING])


def test_slides_to_nowhere_say_which_way_they_go() -> None:
    source = Source("slides.txt", r"e|-\5---/7---8\---9/-|" + "\n")
    notes = [
        note
        for event in json.loads(dump_score(read_text(source), ()))["parts"][0]["bars"][0]["events"]
        for note in event["notes"]
    ]
    assert [(note["techniques"], note["falling"]) for note in notes] == [
        (["slide-in"], ["slide-in"]),
        (["slide-in"], []),
        (["slide-out"], ["slide-out"]),
        (["slide-out"], []),
    ]
