from __future__ import annotations

from tabtools.document import Document
from tabtools.lint.view import View
from tabtools.score import Score
from tabtools.source import Source


def test_a_stage_is_worked_out_once_for_each_set_of_arguments() -> None:
    calls: list[str] = []

    def titled(score: Score, hand: str = "") -> str:
        calls.append(hand)
        return f"{score.title} {hand}".strip()

    view = View(Document(Source("page.txt", ""), Score(title="Air")))
    assert [view.stage(titled), view.stage(titled), view.stage(titled, "small")] == [
        "Air",
        "Air",
        "Air small",
    ]
    assert calls == ["", "small"]
