"""Takes compared. The alignment is checked against plain enumeration of all pairings, and against difflib on
lines without times."""

from __future__ import annotations

from difflib import SequenceMatcher
from fractions import Fraction
from random import Random

import pytest

from tabtools.phrases.aligning import GAP, Stroke, align, pair_cost, strokes
from tabtools.phrases.comparing import compare
from tabtools.phrases.motifs import appearances
from tabtools.phrases.moving import move
from tabtools.phrases.names import interval_by
from tabtools.phrases.wish import Wish
from tabtools.score import Bar, Event, Note, Pitch
from tests.phrases.judging import read
from tests.phrases.pages import phrase
from tests.phrases.takes import pair


def _line(midis: list[int]) -> list[Stroke]:
    bar = Bar(1)
    made = []
    for at, midi in enumerate(midis):
        note = Note(1, midi - 64, Pitch.from_name("C4")._replace(octave=midi // 12 - 1, alter=midi % 12))
        event = Event(Fraction(0), Fraction(1, 2), (note,))
        made.append(Stroke(0, bar, event, (note,), Fraction(at, 2)))
    return made


def _cheapest(first: list[Stroke], second: list[Stroke]) -> int:
    """The cost of the best pairing by trying them all."""
    if not first or not second:
        return GAP * (len(first) + len(second))
    return min(
        pair_cost(first[0], second[0], 0) + _cheapest(first[1:], second[1:]),
        GAP + _cheapest(first[1:], second),
        GAP + _cheapest(first, second[1:]),
    )


@pytest.mark.parametrize("seed", range(40))
def test_no_pairing_is_cheaper(seed: int) -> None:
    random = Random(seed)
    first, second = (_line([random.randrange(60, 64) for _ in range(random.randrange(6))]) for _ in range(2))
    assert align(first, second, transposed=False).cost == _cheapest(first, second)


@pytest.mark.parametrize("seed", range(40))
def test_as_many_notes_are_matched_as_difflib_matches(seed: int) -> None:
    random = Random(seed)
    one = [random.randrange(60, 72) for _ in range(12)]
    other = [midi for midi in one if random.random() > 0.2]
    matched = sum(
        size for _, _, size in SequenceMatcher(None, one, other, autojunk=False).get_matching_blocks()
    )
    pairs = align(_line(one), _line(other), transposed=False).pairs
    same = sum(1 for a, b in pairs if a and b and a.pitches == b.pitches)
    assert same >= matched == len(other) or same >= matched


@pytest.mark.parametrize("seed", range(48))
def test_one_change_is_said_and_nothing_else(seed: int) -> None:
    first, second, kind, bar = pair(seed)
    found = compare(first, second).differences
    assert [(one.kind, one.first_bar or one.second_bar or 0) for one in found] == [(kind, bar)], found


def test_a_take_against_itself_has_no_differences() -> None:
    part = read(phrase(Random(7))).score.parts[0]
    found = compare(part, part)
    assert (found.interval, found.alike, found.differences) == (0, 1.0, ())


def test_another_key_is_one_interval() -> None:
    score = read(phrase(Random(5))).score
    key = score.parts[0].bars[0].key
    moved = move(score, Wish(interval_by(3, key)))
    found = compare(score.parts[0], moved.score.parts[0])
    assert found.interval == 3
    assert [one.kind for one in found.differences if one.kind != "setting"] == []


_PAGE = """\
Key: C major
Time: 4/4

  C
  e e e e e e e e
{rows}
"""


def _page(**rows: str) -> str:
    lines = [
        f"{label}|{rows.get(key, '').ljust(17, '-')}|" for label, key in zip("eBGDAE", "eBGDAE", strict=True)
    ]
    return _PAGE.format(rows="\n".join(lines))


def test_other_strings_are_said_by_their_forms() -> None:
    first = read(
        _page(A="-3-------------3-", D="---5-------5-----", G="-----5---5-------", B="-------5---------")
    )
    second = read(
        _page(E="-8-------------8-", A="---10------10----", D="-----10--10------", G="-------9---------")
    )
    (one,) = compare(first.score.parts[0], second.score.parts[0]).differences
    assert one.words == "same pitches, other strings: E form instead of A form"


def test_words_of_the_trade() -> None:
    first = _page(D="-5---5---5---5---", G="---5---5---5---5-")
    later = first.replace("e e e e e e e e", "e. s e e e e e e").replace("D|-5---5", "D|-5---5")
    found = compare(read(first).score.parts[0], read(later).score.parts[0]).differences
    assert [one.words for one in found] == ["a sixteenth late"]
    rung = first.replace("  e e", "  let ring------|\n  e e", 1)
    found = compare(read(first).score.parts[0], read(rung).score.parts[0]).differences
    assert found
    assert all("let ring instead of picked" in one.words for one in found)


def test_a_motif_is_found_transposed_and_with_an_ornament() -> None:
    text = """\
Key: C major
Time: 4/4

e|-----------------|-----------------|-----------------|-----------------|
B|-------------5---|-------------7---|-----------------|-------------5---|
G|-----5---7-------|-----7---9-------|---------------5-|-----5-4-5-7-----|
D|-7---------------|-9---------------|-5-7-5-7-5-7-----|-7---------------|
A|-----------------|-----------------|-----------------|-----------------|
E|-----------------|-----------------|-----------------|-----------------|
"""
    line = strokes(read(text).score.parts[0])
    motif = [stroke for stroke in line if stroke.bar.number == 1]
    found = appearances(motif, line)
    assert [(one.strokes[0].bar.number, one.alignment.interval) for one in found][:1] == [(2, 2)]
