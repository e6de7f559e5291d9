"""The file is not saved as UTF-8."""

from __future__ import annotations

from tabtools.doubts import Encoding
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

GOOD = """\
Afinación: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""


def _words(doubt: Encoding) -> str:
    return (
        f"the file is not UTF-8 and was read as {doubt.encoding.upper()}: save it as UTF-8, or accents and "
        "other signs turn into something else on other computers"
    )


RULE = Rule(
    name="encoding",
    group="layout",
    severity=Severity.WARNING,
    what="The file is not saved as UTF-8.",
    why=(
        "Any other encoding has to be guessed, and a wrong guess spoils every accent, dash and quotation "
        "mark. All current editors can save as UTF-8."
    ),
    bad=GOOD,
    bad_encoding="cp1252",
    good=GOOD,
    words=_words,
)
