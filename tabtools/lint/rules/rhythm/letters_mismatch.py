"""Duration letters and notes that do not go together."""

from __future__ import annotations

from tabtools.doubts import LettersBeside, LettersWithoutNote, NotesWithoutLetter
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Time: 4/4

  q.  e q q   q  q  q  q
e|-0---1-3-5-|-0--1--3--5-|
B|-----------|------------|
G|-----------|------------|
D|-----------|------------|
A|-----------|------------|
E|-----------|------------|

  q.  e q     h     h
e|-0---1-3-5-|-0-----1-----|
B|-----------|-------------|
G|-----------|-------------|
D|-----------|-------------|
A|-----------|-------------|
E|-----------|-------------|
"""


def _words(doubt: NotesWithoutLetter | LettersWithoutNote | LettersBeside) -> str:
    if isinstance(doubt, NotesWithoutLetter):
        bare = "this note has" if doubt.bare == 1 else f"this note and {doubt.bare - 1} more have"
        return (
            f"{bare} no duration letter, and the bar has {doubt.notes} notes, read as {doubt.reading}: write "
            "a letter over every note"
        )
    some = "a duration letter" if doubt.letters == 1 else f"{doubt.letters} duration letters"
    stands = "stands" if doubt.letters == 1 else "stand"
    if isinstance(doubt, LettersWithoutNote):
        return (
            f"{some} of this bar {stands} over no note and was read as a rest: write the note that is "
            "missing, or an r behind the letter"
        )
    return (
        f"{some} of this bar {stands} beside the notes, and letters were given to the notes in order: put "
        "each letter in the column of its note"
    )


RULE = Rule(
    name="letters-mismatch",
    group="rhythm",
    severity=Severity.WARNING,
    what="The duration letters of a bar leave a note out, or stand where no note is.",
    why=(
        "A letter that got lost, or moved, changes how long every note behind it lasts, and a student can't "
        "see which one is meant. It is checked on pages whose other bars have a letter over every note. "
        "Write one letter over each note, in its column; a rest is r, or a letter with r behind it."
    ),
    bad=BAD,
    good=BAD.replace("e q   ", "e q q "),
    words=_words,
)
