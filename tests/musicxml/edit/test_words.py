from __future__ import annotations

from tabtools.lint.examples import LESSON
from tabtools.musicxml.edit.words import with_words
from tabtools.musicxml.reader import read_musicxml
from tests.xsd import problems


def test_words_stand_before_their_notes_and_nothing_else_changes() -> None:
    document = read_musicxml("a", LESSON.encode())
    event = document.score.parts[0].bars[1].events[1]
    assert event.span is not None
    made = with_words(document.source, {event.span.start: "E form", 0: "nowhere"}).text
    assert problems(made.encode()) == []
    (bar,) = (bar for bar in read_musicxml("a", made.encode()).score.parts[0].bars if bar.words)
    assert (bar.number, bar.words[0].onset, bar.words[0].text) == (2, event.onset, "E form")
    added = [line for line in made.split("\n") if "E form" in line]
    assert len(added) == 1
    assert "\n".join(line for line in made.split("\n") if line not in added) == LESSON
