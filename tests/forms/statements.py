"""The statements of tests/cases/forms/statements.txt as music with what is said of it."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from tabtools.instrument import GUITAR
from tabtools.score import Bar, Event, Harmony, Note, Part, Technique
from tabtools.theory.key import parse_key
from tabtools.theory.spelling import spell
from tests.forms.cases import DIRECTORY

_EIGHTH = Fraction(1, 2)
_TOKEN = re.compile(r"(?P<notes>[^=]+)(?:=(?P<length>\d+))?")
_NOTE = re.compile(r"(?P<slide>/?)(?P<string>\d):(?P<fret>\d+)(?:b(?P<bend>\d))?")
_SAID = re.compile(
    r"(?:(?P<kind>position|group|right|wrong)(?: (?P<at>\d+))?|(?P<note>\d+) (?P<letter>\S+)): (?P<words>.+)"
)


class Statement(NamedTuple):
    """One line: ``kind`` is note, position, group, right or wrong; ``note`` is counted from 1."""

    lick: str
    kind: str
    note: int
    letter: str
    words: str


class Lick(NamedTuple):
    title: str
    part: Part
    statements: tuple[Statement, ...]


def licks() -> list[Lick]:
    """All licks of the file."""
    text = (DIRECTORY / "statements.txt").read_text("utf-8")
    return [_lick(block) for block in text.split("\n== ")[1:]]


def _lick(block: str) -> Lick:
    title, *lines = [line for line in block.splitlines() if line]
    fields = dict(line.split(" ", 1) for line in lines if line.startswith(("source", "key", "tab")))
    assert "source" in fields, title
    said = [_statement(title, line) for line in lines if not line.startswith(("source", "key", "tab"))]
    return Lick(title, _part(fields["tab"], fields.get("key")), tuple(said))


def _statement(title: str, line: str) -> Statement:
    match = _SAID.fullmatch(line)
    assert match, line
    number = int(match["note"] or match["at"] or 1)
    return Statement(title, match["kind"] or "note", number, match["letter"] or "", match["words"])


def _part(tab: str, key: str | None) -> Part:
    """One long bar: a lick has no bar lines of its own."""
    events, harmonies = [], []
    at = Fraction(0)
    for token in tab.split():
        if token.startswith("["):
            harmonies.append(Harmony(at, token[1:-1]))
            continue
        match = _TOKEN.fullmatch(token)
        assert match, token
        length = Fraction(match["length"]) if match["length"] else _EIGHTH
        notes = () if token == "." else tuple(_note(text) for text in match["notes"].split("+"))
        events.append(Event(at, length, notes))
        at += length
    bar = Bar(1, key=parse_key(key) if key else None, events=tuple(events), harmonies=tuple(harmonies))
    return Part("lick", GUITAR, (bar,))


def _note(text: str) -> Note:
    match = _NOTE.fullmatch(text)
    assert match, text
    string, fret = int(match["string"]), int(match["fret"])
    techniques = [Technique("slide")] if match["slide"] else []
    if match["bend"]:
        techniques.append(Technique("bend", Fraction(match["bend"])))
    return Note(string, fret, spell(GUITAR.midi(string, fret), None), tuple(techniques))
