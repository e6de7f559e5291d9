"""The file breaks the MusicXML schema."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.option import Option
from tabtools.lint.places import START, bar_at
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.source import Span


def _check(view: View) -> Iterable[Finding]:
    document = view.document
    if document.tree is None:
        return
    from tabtools.musicxml.schema import installed_schema, problems

    path = view.options["schema"] or installed_schema()
    if path is None:
        return
    try:
        found = problems(document.tree, path)
    except ValueError as error:
        yield RULE.finding(f"{error}; correct the rule's option schema", START)
        return
    starts = document.source.line_starts
    for line, message in found:
        start = starts[min(line, len(starts)) - 1]
        text = document.source.line(min(line, len(starts)))
        start += len(text) - len(text.lstrip())
        span = Span(start, start + len(text.strip()))
        yield RULE.finding(f"the schema says: {message}", span, bar=bar_at(view, start))


RULE = Rule(
    name="schema-invalid",
    group="MusicXML",
    severity=Severity.ERROR,
    what="The file breaks the MusicXML schema.",
    why=(
        "Programs may refuse it, or leave out what they do not expect. Correct the element or the value that "
        "the message names. The rule needs the schema: install tabtools[schema] for that of MusicXML 4.0, or "
        "name the file of another one in the rule's option schema."
    ),
    bad=changed("<type>half</type>", "<type>half</type><accidental>crooked</accidental>"),
    good=LESSON,
    options=(Option("schema", "text", "", "The path of an XSD file, instead of the one installed."),),
    check=_check,
)
