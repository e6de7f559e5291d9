"""What a teacher says about short licks, statement by statement; the intervals also checked by music21."""

from __future__ import annotations

import re

import pytest

from tabtools.forms.labels import fits
from tabtools.forms.naming import name_forms
from tabtools.forms.neck import neck
from tabtools.forms.plain import plainly_fits
from tabtools.forms.segments import NamedNote, Segment
from tabtools.forms.words import told_words
from tabtools.forms.written import parse_label
from tabtools.instrument import GUITAR
from tests.forms.statements import Lick, Statement, licks

_LICKS = {lick.title: lick for lick in licks()}


def _notes(segments: tuple[Segment, ...]) -> list[tuple[Segment, NamedNote]]:
    return [(segment, named) for segment in segments for named in segment.notes]


def holds(lick: Lick, statement: Statement) -> tuple[bool, str]:
    """Whether a statement holds, and what is said instead."""
    segments = name_forms(lick.part)
    if statement.kind in ("right", "wrong"):
        label = parse_label(statement.words)
        assert label, statement.words
        places = [(n.note.string or 0, n.note.fret or 0) for _, n in _notes(segments)]
        plain = plainly_fits(label, places, neck(GUITAR))
        fit = plain or fits(label, segments[0], neck(GUITAR))
        return fit == (statement.kind == "right"), told_words(segments[0])
    segment, named = _notes(segments)[statement.note - 1]
    if statement.kind == "position":
        return segment.position == int(statement.words), str(segment.hand)
    if statement.kind == "group":
        told = told_words(segment)
        return statement.words in told, told
    told = f"{named.role.letter}: {named.role.words}, {named.role.degree}"
    return named.role.letter == statement.letter and all(
        re.search(rf"(?<!\w){re.escape(words)}(?!\w)", told) for words in statement.words.split(", ")
    ), told


@pytest.mark.parametrize("title", _LICKS)
def test_every_statement_holds(title: str) -> None:
    lick = _LICKS[title]
    for statement in lick.statements:
        right, told = holds(lick, statement)
        assert right, f"{statement.kind} {statement.note} {statement.letter}: {statement.words}\n  {told}"


def test_there_are_enough_of_each_kind() -> None:
    statements = [statement for lick in _LICKS.values() for statement in lick.statements]
    kinds = [statement.kind for statement in statements]
    assert len(statements) >= 250
    assert {kind: kinds.count(kind) for kind in set(kinds)}.keys() >= {"note", "position", "group", "right"}


def test_the_intervals_that_are_stated_are_those_of_music21() -> None:
    music21 = pytest.importorskip("music21")
    said = re.compile(r"(root|\w+ \w+) (?:of|over) ([A-G][#b]?)(?=\S* ?|,|$)")
    checked = 0
    for lick in _LICKS.values():
        for statement in lick.statements:
            match = said.match(statement.words)
            if statement.kind != "note" or match is None:
                continue
            low = music21.pitch.Pitch(match[2].replace("b", "-") + "3")
            high = music21.pitch.Pitch(statement.letter.replace("b", "-") + "4")
            interval = music21.interval.Interval(low, high)
            wider = music21.interval.Interval(low, high.transpose("P8"))
            names = {each.niceName for each in (interval, wider)} | {interval.semiSimpleNiceName}
            said_name = "Perfect Octave" if match[1] == "root" else match[1].title()
            assert said_name in names, statement
            checked += 1
    assert checked >= 100
