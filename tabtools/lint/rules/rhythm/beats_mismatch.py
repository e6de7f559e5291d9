"""The counts over a bar and the notes under them do not agree."""

from __future__ import annotations

from tabtools.doubts import BeatsMismatch
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Time: 4/4
Key: G major

   1   2   3   4 5
e|-----------------|
B|-------------0---|
G|-----0---2-------|
D|-5---------------|
A|-----------------|
E|-----------------|
"""


def _words(doubt: BeatsMismatch) -> str:
    if not doubt.apart:
        return (
            f"the counts over this bar do not fit it: they run backwards, go on past {doubt.time} or stand "
            "apart from the notes, so they were not used; put every count over its note"
        )
    return (
        f"the note counted {doubt.apart} stands more than a column away from its count, which was believed: "
        "put the count over the note"
    )


RULE = Rule(
    name="beats-mismatch",
    group="rhythm",
    severity=Severity.WARNING,
    what="The counts over a bar and the notes under them do not agree.",
    why=(
        "A count row says exactly where every note falls, so it is believed before the spacing is. A count "
        "beside its note, or one beat too many, makes a student play the note at the wrong time. Put every "
        "count in the column of its note, and count as many beats as the time signature has."
    ),
    bad=BAD,
    good=BAD.replace("4 5", "4  "),
    words=_words,
)
