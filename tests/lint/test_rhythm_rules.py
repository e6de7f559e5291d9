"""Where a short bar is short on purpose, and which half of a tie may be written without asking."""

from __future__ import annotations

import pytest

from tabtools.lint.engine import check
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.rules import load
from tabtools.reading import read

BAR = "<measure number='{number}'>{notes}</measure>"
QUARTER = (
    "<note><pitch><step>G</step><octave>4</octave></pitch><duration>1</duration><voice>1</voice>"
    "<type>quarter</type></note>"
)


def _score(lengths: list[int]) -> str:
    """One part in 4/4 whose bars hold so many quarter notes."""
    time = (
        "<attributes><divisions>1</divisions><key><fifths>1</fifths></key>"
        "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
    )
    bars = "".join(
        BAR.format(number=number, notes=time * (number == 1) + QUARTER * length)
        for number, length in enumerate(lengths, 1)
    )
    head = '<score-part id="P1"><part-name>Voice</part-name></score-part>'
    return (
        f'<score-partwise version="4.0"><part-list>{head}</part-list><part id="P1">{bars}</part>'
        "</score-partwise>"
    )


@pytest.mark.parametrize(
    ("lengths", "short"),
    [
        ([4, 3, 1, 4], []),  # a double bar within the bar, as between lines of a hymn
        ([4, 2, 2, 4], []),
        ([4, 3, 4, 4], [2]),
        ([4, 2, 2, 2, 2, 4], [2, 3, 4, 5]),  # rather the metre is wrong
        ([4, 3, 2, 4], [2, 3]),
    ],
)
def test_a_bar_in_two_pieces_is_not_short(lengths: list[int], short: list[int]) -> None:
    found = check(read("tune.musicxml", _score(lengths).encode()), [load("bar-underfull")])
    assert [finding.bar for finding in found] == short


_DRAWN, _HEARD = '<tied type="stop"/>', '\n        <tie type="stop"/>'


def _tie_fixes(text: str) -> set[bool]:
    found = check(read("tune.musicxml", text.encode()), [load("broken-tie")])
    return {fix.safe for finding in found for fix in finding.fixes}


@pytest.mark.parametrize(("lost", "safe"), [(_DRAWN, True), (_HEARD, False)])
def test_only_the_half_of_a_tie_that_is_not_heard_is_written_unasked(lost: str, safe: bool) -> None:
    on_neither_staff = LESSON.replace(lost, "")
    assert on_neither_staff.count('type="stop"') == 2
    assert _tie_fixes(on_neither_staff) == {safe}


@pytest.mark.parametrize("lost", [_DRAWN, _HEARD])
def test_a_tie_that_the_other_staff_has_is_completed_unasked(lost: str) -> None:
    assert _tie_fixes(changed(lost, "")) == {True}
