"""An example of a rule in a package of its own: a lesson should not end on a dead note.

Its package offers it in its ``pyproject.toml``:

    [project.entry-points."tabtools.rules"]
    no-dead-end = "my_rules.no_dead_end:RULE"
"""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.option import Option
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View

BAD = """\
Tuning: standard

e|-----------------|
B|-------------x---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""


def _check(view: View) -> Iterable[Finding]:
    for part in view.score.parts:
        events = [(bar, event) for bar in part.bars for event in bar.events if event.notes]
        if len(events) < view.options["notes"]:
            continue
        bar, event = events[-1]
        if all(note.has("dead") for note in event.notes):
            yield RULE.finding("the last note is dead: let the lesson end on a tone", span_of(event, bar))


RULE = Rule(
    name="no-dead-end",
    group="playability",
    severity=Severity.INFO,
    what="A lesson ends on a dead note.",
    why="A student should hear where a phrase arrives. End on a note that sounds, or leave the last one out.",
    bad=BAD,
    good=BAD.replace("x", "5"),
    options=(Option("notes", "integer", 3, "How many notes a part must have.", least=1),),
    check=_check,
)
