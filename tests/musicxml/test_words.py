from __future__ import annotations

from pathlib import Path

from tabtools.forms.annotate import form_words
from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.words import insert_words
from tests.xsd import problems

_LESSON = Path(__file__).parents[2] / "samples" / "14-triplets-in-the-c-form.musicxml"


def test_words_stand_before_the_notes_and_nothing_else_changes() -> None:
    before = _LESSON.read_text("utf-8")
    document = read_musicxml("lesson", before.encode())
    words = [(part.bars[0].events[0], "C form & more") for part in document.score.parts]
    assert document.located is not None
    after = insert_words(document.located, words)
    added = [line for line in after.splitlines() if line not in before.splitlines()]
    assert added == [
        (
            '      <direction placement="above"><direction-type><words>C form &amp; more</words>'
            "</direction-type></direction>"
        )
    ]
    assert after.replace(added[0] + "\n", "", 1) == before
    assert problems(after.encode()) == []
    again = read_musicxml("lesson", after.encode()).score.parts[0].bars[0]
    assert "C form & more" in [w.text for w in again.words]
    assert [e.onset for e in again.events] == [e.onset for e in document.score.parts[0].bars[0].events]


def test_no_words_no_change() -> None:
    text = _LESSON.read_text("utf-8")
    located = read_musicxml("lesson", text.encode()).located
    assert located is not None
    assert insert_words(located, []) == text


def test_every_label_arrives_at_its_note() -> None:
    text = _LESSON.read_text("utf-8")
    document = read_musicxml("lesson", text.encode())
    assert document.located is not None
    words = form_words(document.score)
    again = read_musicxml("lesson", insert_words(document.located, words).encode()).score
    found = [w.text for bar in again.parts[0].bars for w in bar.words]
    assert {said for _, said in words} <= set(found)
