"""One string's line: where its label, its body and the remark to the right of it are.

What is spoilt in a line is made up for by the rows beside it.
"""

from __future__ import annotations

import re

from tabtools.record import NamedTuple
from tabtools.text.page.clean import Line
from tabtools.text.page.labels import GAP, LABEL, label_of
from tabtools.text.page.marks import marks_for
from tabtools.text.patterns import lazy

_ROW = lazy(rf"[ ]*+{LABEL}?{GAP}(?P<body>[|:\-].*)")
_SIGNS = r"[-|:0-9hHpPbrsStTvgxX/\\~^<>()\[\]*=.o%]"
# A body runs to the first blank that no filler or bar line follows; what comes then is a remark. Behind a
# bar line, only what is closed by another one belongs to the row.
_BODY = lazy(
    rf"[^ ]+(?:(?<!\|)[ ]+(?=[-|]){_SIGNS}+(?=[ ]|$)|(?<=\|)[ ]+(?=[-|]){_SIGNS}*\|(?=[ ]|$)"
    r"|(?<=\|)[ ]+%[ ]+\|[^ ]*"
    rf"|(?<=-)[ ](?=[0-9hpxX/\\(<]{{1,4}}[-|]){_SIGNS}+(?=[ ]|$)"
    rf"|(?<=\(1)[ ](?=[13]/[24]\)){_SIGNS}+(?=[ ]|$))*"
)
_COUNT_AT_END = lazy(r"(?<=\|)[(\[]?(?:[xX]\d+|\d+[xX])[)\]]?$")
_NO_SIGNS = dict.fromkeys(map(ord, " -|:0123456789hHpPbrsStTvgxX/\\~^<>()[]*=.o%"))
# A word, that is three letters or more that are not all marks.
_LETTERS = lazy(r"(?<![A-Za-z])(?!vib(?![a-z]))(?=[A-Za-z]{3})[A-Za-z]*?[acdefijklmnoquwyz]", re.IGNORECASE)
# A row behind a name that is no usual label.
_HEADED = lazy(r"[ ]*(?P<head>[^\s|-][^|\n-]{0,11}?)[ ]*(?P<body>[|:]+[-|0-9:].*|-.*)")
# A row whose label or first bar line is spoilt: told by its filler, and by the rows beside it.
_SPOILT = lazy(rf"[ ]*+(?:{LABEL}{GAP})?(?P<body>[^\s-]{{1,2}}[-|].*)")
# A second block to the right of the first, with labels of its own.
_BESIDE = lazy(rf"[ ]{{3,}}(?P<name>[A-Ga-g][b#]?[ ]?)\|{_SIGNS}*\|(?=[ ]|$)")
# Words in an empty bar for the bar before it once more.
_SAME_WORD = lazy(r"(?<=[|\s-])\((?:same|sim\.?|simile)\)(?=[|\s-])", re.IGNORECASE)


class Row(NamedTuple):
    """One string's line. ``start`` and ``end`` are the columns of its body, from the first bar line or
    filler to the end of the last; ``remark`` is the text to the right of it."""

    line: Line
    label: str
    start: int
    end: int
    remark: str = ""

    @property
    def body(self) -> str:
        """The row without label and remark."""
        return self.line.text[self.start : self.end]


def read_row(line: Line, pattern: re.Pattern[str] = _ROW) -> Row | None:
    """The string row that a line holds, or None where it is something else."""
    text = line.text
    if "-" not in text and "|" not in text:
        return None
    if "(s" in text and _SAME_WORD.search(text):
        text = _SAME_WORD.sub(_same_sign, text)
        line = line._replace(text=text)
    match = pattern.match(text)
    if match is None:
        return _oddly_named(line) if pattern is _ROW else None
    start = match.start("body")
    run = _BODY.match(text, start)
    assert run is not None
    end = run.end()
    if text[end - 1] not in "-|" and (count := _COUNT_AT_END.search(text, start, end)):
        end = count.start()
    body = text[start:end]
    if body.count("-") + body.count("~") < 2:
        return None
    odd = body.translate(_NO_SIGNS)
    # Words have letters that are no signs, or an o.
    if (odd or "o" in body) and (5 * len(odd) > len(body) or _LETTERS.search(body)):
        return None
    if "|" in text[end:] and (block := _BESIDE.match(text, end)):
        return read_row(line._replace(text=_without_label(text, block)), pattern)
    label = match["label"] or match["ordinal"] or match["string"] or ""
    return Row(line, label, start, end, text[end:].strip())


def _oddly_named(line: Line) -> Row | None:
    """The row of a line that names its string in another way than most: the name is told by what it says, the
    row by its shape."""
    match = _HEADED.match(line.text)
    if match is None:
        return None
    name = label_of(match["head"])
    start = match.start("body")
    row = read_row(line._replace(text=" " * start + line.text[start:])) if name else None
    return None if row is None or name is None else row._replace(line=line, label=name)


def _same_sign(word: re.Match[str]) -> str:
    """The sign for a bar once more in as many columns as the word for it takes."""
    filler = "-" if word.string[word.start() - 1] == "-" else " "
    return "%".center(len(word.group()), filler)


def _without_label(text: str, block: re.Match[str]) -> str:
    """The text with a blank for the label of a block that stands beside the first one."""
    start, end = block.span("name")
    return text[:start] + " " * (end - start) + text[end:]


def mend_rows(lines: tuple[Line, ...], rows: list[Row | None]) -> None:
    """Take a line for a row where rows stand beside it and it is drawn like them: with a spoilt beginning, or
    with words between its bar lines."""
    for index, line in enumerate(lines):
        if rows[index] is not None or not line.text.strip():
            continue
        beside = [rows[at] for at in (index - 1, index + 1) if 0 <= at < len(rows)]
        near = [row for row in beside if row is not None and (row.label or "|" in row.body)]
        if near:
            rows[index] = _with_words(line, near[0]) or _behind_words(line, near[0]) or _spoilt(line, near[0])


def _behind_words(line: Line, near: Row) -> Row | None:
    """The row that stands behind words on its line, as in ``#1  e|--5--|``: its label and its length are like
    those of its neighbour, which has blanks in their place."""
    beside = near.line.text
    margin = len(beside) - len(beside.lstrip())
    if margin < 2 or not near.label or line.text[margin - 1 : margin] != " ":
        return None
    row = read_row(line._replace(text=" " * margin + line.text[margin:]))
    alike = row is not None and row.label and row.start == near.start and abs(row.end - near.end) <= 2
    return row if alike else None


def _spoilt(line: Line, near: Row) -> Row | None:
    """The row that a line with a spoilt beginning is, where it is nearly all filler and as long as its
    neighbour."""
    if line.text.strip().partition("-")[0].rstrip() in marks_for().above:
        return None
    row = read_row(line, _SPOILT)
    if row is None or abs(row.end - near.end) > 2:
        return None
    return row if 2 * row.body.count("-") > len(row.body) else None


def _with_words(line: Line, near: Row) -> Row | None:
    """The row that a line with words in it is: it begins where its neighbour does and has its bar lines."""
    text = line.text
    match = _ROW.match(text)
    strokes = [at for at in range(near.start, near.end) if near.line.text[at] == "|"]
    if match is None or match.start("body") != near.start or len(strokes) < 2:
        return None
    label = match["label"] or match["ordinal"] or match["string"] or ""
    alike = strokes == [at for at in range(near.start, min(near.end, len(text))) if text[at] == "|"]
    if not alike or bool(label) != bool(near.label) or text.count("-", near.start, near.end) < 2:
        return None
    return Row(line, label, near.start, min(near.end, len(text)), text[near.end :].strip())
