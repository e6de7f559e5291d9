"""Lines turned round, silent strings drawn, names made those of the header: the music stays."""

from __future__ import annotations

import pytest

from tabtools.lint.engine import check
from tabtools.lint.finding import Fix
from tabtools.lint.rules import load_all
from tabtools.source import Source, applied
from tabtools.text.reader import read_text
from tabtools.text.writing.format import music

RULES = [rule for rule in load_all() if rule.name in ("label-order", "missing-string", "tuning-disagrees")]
FULL = "e|---3---|\nB|-0---0-|\nG|-0-----|\nD|-------|\nA|-2-----|\nE|-3-----|\n"


def fixes(text: str) -> list[Fix]:
    return [fix for finding in check(read_text(Source("page", text)), RULES) for fix in finding.fixes]


def once(text: str) -> str:
    """The page after its only repair, which leaves the music as it was."""
    (fix,) = fixes(text)
    after = applied(text, fix.edits)
    assert music(read_text(Source("page", after)).score) == music(read_text(Source("page", text)).score)
    return after


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_a_string_left_out_between_others_is_drawn(end: str) -> None:
    page = FULL.replace("D|-------|\n", "").replace("\n", end)
    assert once(page) == FULL.replace("\n", end)


def test_a_string_left_out_below_is_drawn_where_other_systems_draw_all() -> None:
    lick = "".join(FULL.splitlines(keepends=True)[:4])
    assert once(f"{FULL}\n{lick}") == f"{FULL}\n{lick}A|-------|\nE|-------|\n"
    assert fixes(f"Licks\n\n{lick}") == []


def test_lines_are_turned_round() -> None:
    page = "".join(reversed(FULL.splitlines(keepends=True)))
    assert once(page) == FULL


def test_one_system_upside_down_among_others_is_left_alone() -> None:
    upside_down = "".join(reversed(FULL.splitlines(keepends=True)))
    assert fixes(f"{FULL}\n{upside_down}") == []


def test_names_that_were_exchanged_turn_nothing_round() -> None:
    assert fixes(FULL.replace("e|", "x|").replace("B|", "e|").replace("x|", "B|")) == []


def test_lines_stay_where_words_speak_of_their_order() -> None:
    page = "Low E on top!\n\n" + "".join(reversed(FULL.splitlines(keepends=True)))
    assert fixes(page) == []


def test_a_name_that_the_header_denies_is_asked_for() -> None:
    (fix,) = fixes("Tuning: drop D\n\n" + FULL)
    assert not fix.safe
    assert applied("Tuning: drop D\n\n" + FULL, fix.edits).endswith("A|-2-----|\nD|-3-----|\n")
