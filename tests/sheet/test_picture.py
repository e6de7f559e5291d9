"""The lesson as one picture, and the one that the README shows."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tabtools.reading import read
from tests.cli.support import run

pytest.importorskip("verovio", reason="the extra [sheet] is not installed")

from tabtools.sheet.lesson import lesson_of
from tabtools.sheet.lyrics import lyrics_of
from tabtools.sheet.picture import lesson_picture
from tabtools.sheet.pictures import Look
from tabtools.sheet.sound import sound_of

_ROOT = Path(__file__).parents[2]
_SONG = """\
Key: C major
Time: 3/4
Tempo: 96

Shuffle feel

   C              F          C
e|----------0---|-1---3---1-|-0---------|
B|----1---------|-----------|-----------|
G|-0------------|-----------|-----------|
D|--------------|-----------|-----------|
A|-3------------|-----------|-----------|
E|--------------|-----------|-----------|
   The  ket-tle  sings its e- ven-ing
   A    second   verse for the  wa-ter
"""


def _texts(picture: str) -> list[str]:
    root = ElementTree.fromstring(picture)
    return ["".join(element.itertext()) for element in root.iter("{http://www.w3.org/2000/svg}text")]


def test_the_readme_shows_what_its_command_makes(tmp_path: Path) -> None:
    readme = (_ROOT / "README.md").read_text("utf-8")
    command = re.search(r"^tabtools sheet (samples/\S+) -o (samples/\S+\.svg)$", readme, re.MULTILINE)
    assert command is not None
    assert f"]({command[2]})" in readme
    made = tmp_path / "sheet.svg"
    assert run("sheet", _ROOT / command[1], "-o", made).exit_code == 0
    # Another version of the engraver may move things by a little; the words and frets stay.
    shown = (_ROOT / command[2]).read_text("utf-8")
    assert _texts(made.read_text("utf-8")) == _texts(shown), f"make it anew: {command[0]}"
    assert len(shown) < 100_000


def test_sung_words_stand_at_their_notes() -> None:
    document = read("song.txt", _SONG.encode())
    (words,) = lyrics_of(document, document.score)
    first = [text for bar in sorted(words) for verse, _, text in words[bar] if verse == 0]
    assert first == ["The", "ket-", "tle", "sings", "its", "e-", "ven-ing"]
    onsets = [onset for verse, onset, _ in words[1] if verse == 0]
    assert onsets == [event.onset for event in document.score.parts[0].bars[1].events if event.notes]


def test_sung_words_are_printed_and_do_not_touch() -> None:
    document = read("song.txt", _SONG.encode())
    picture = lesson_picture(lesson_of(document, "song"), Look())
    places = re.findall(r'class="lyric" x="([\d.]+)" y="([\d.]+)">([^<]+)<', picture)
    assert len({y for _, y, _ in places}) == 2
    assert [words for *_, words in places if words.startswith("ven")] == ["ven-ing"]


def test_a_shuffle_is_heard_and_said() -> None:
    document = read("song.txt", _SONG.replace("-1---3---1-", "-1-1-3-3-1-").encode())
    lesson = lesson_of(document, "song")
    assert ("Feel", "shuffle") in lesson.facts
    onsets = [note[1] for note in sound_of(lesson.score)[0]["notes"] if note[0] == 1]
    # In a shuffle the second eighth comes at two thirds of the beat (common practice, no source).
    assert onsets[:4] == [0, 0.6667, 1, 1.6667]
