"""Two files of a collection have the same title."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tabtools.lint.finding import Fact, Placed, Severity
from tabtools.lint.rule import NEXT_FILE, Rule
from tabtools.lint.view import View
from tabtools.source import Span

PAGE = """\
Title: Slow bends
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""


def _collect(view: View) -> Iterable[Fact]:
    title = view.score.title
    if title and (key := " ".join("".join(c for c in title.casefold() if c.isalnum() or c == " ").split())):
        span = _place(view.document.source.text, title)
        yield Fact(key, "", title, span, view.document.source.position(span.start)[0])


def _place(text: str, title: str) -> Span:
    """Where the title stands; it may be spaced otherwise there, and then it is the start of the file."""
    at = text.find(title)
    return Span(at, at + len(title)) if at >= 0 else Span(0, 0)


def _compare(facts: Sequence[Placed]) -> Iterable[tuple[Placed, str]]:
    first, *others = facts
    for placed in others:
        if placed.path != first.path:
            message = (
                f'the title "{placed.fact.says}" is also that of {first.path}:{first.fact.line}: give one of '
                "them another, or remove the copy"
            )
            yield placed, message


RULE = Rule(
    name="duplicate-title",
    group="collection",
    severity=Severity.WARNING,
    what="Two files of a collection have the same title.",
    why=(
        "Students look for a lesson by its title, and a copy that was changed in one place only teaches two "
        "things. Capitals and punctuation do not count. Only files that are checked together are compared."
    ),
    bad=PAGE + NEXT_FILE + PAGE.replace("-8", "-9"),
    good=PAGE + NEXT_FILE + PAGE.replace("Slow", "Fast"),
    collect=_collect,
    compare=_compare,
)
