"""The page: which lines are string rows, how they group into systems, and what stands around them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from tabtools.source import UnreadableError
from tabtools.text.page.clean import Line
from tabtools.text.page.labels import GAP, LABEL
from tabtools.text.page.marks import marks_for
from tabtools.text.patterns import lazy

MOST_STRINGS = 12
_HIGHEST = 8

_ROW = lazy(rf"[ ]*{LABEL}?{GAP}(?P<body>[|:\-].*)")
_SIGNS = r"[-|:0-9hHpPbrsStTvgxX/\\~^<>()\[\]*=.o%]"
# A body runs to the first blank that no filler or bar line follows; what comes then is a remark. Behind a
# bar line, only what is closed by another one belongs to the row.
_BODY = lazy(
    rf"[^ ]+(?:(?<!\|)[ ]+(?=[-|]){_SIGNS}+(?=[ ]|$)|(?<=\|)[ ]+(?=[-|]){_SIGNS}*\|(?=[ ]|$)"
    r"|(?<=\|)[ ]+%[ ]+\|[^ ]*"
    rf"|(?<=-)[ ](?=[0-9hpxX/\\(<]{{1,4}}[-|]){_SIGNS}+(?=[ ]|$))*"
)
_COUNT_AT_END = lazy(r"(?<=\|)[(\[]?(?:[xX]\d+|\d+[xX])[)\]]?$")
_NO_SIGNS = dict.fromkeys(map(ord, " -|:0123456789hHpPbrsStTvgxX/\\~^<>()[]*=.o%"))
# A word, that is three letters or more that are not all marks.
_LETTERS = lazy(r"(?<![A-Za-z])(?!vib(?![a-z]))(?=[A-Za-z]{3})[A-Za-z]*?[acdefijklmnoquwyz]", re.IGNORECASE)
# A row whose label or first bar line is spoilt: told by its filler, and by the rows beside it.
_SPOILT = lazy(rf"[ ]*(?:{LABEL}{GAP})?(?P<body>[^\s-]{{1,2}}[-|].*)")
# Another row on the same line: the line breaks are lost.
_FLAT = lazy(r"[A-Ga-g]\|[-|\dhpb/\\~x]{3}")
# A second block to the right of the first, with labels of its own.
_BESIDE = lazy(rf"[ ]{{3,}}(?P<name>[A-Ga-g][b#]?[ ]?)\|{_SIGNS}*\|(?=[ ]|$)")
# A line over the strings that numbers the endings of a repeat.
_ENDINGS = lazy(r"[ ]+\|[1-9]\.?-{2,}\|?(?:[ ]*\|[1-9]\.?-{2,}\|?)*[ ]*")
# One with the brackets of triplets.
_BRACKETS = lazy(r"[ ]+(?:[|\[]?-+ ?3 ?-+[|\]]?[ ]*)+")
# Words in an empty bar for the bar before it once more.
_SAME_WORD = lazy(r"(?<=[|\s-])\((?:same|sim\.?|simile)\)(?=[|\s-])", re.IGNORECASE)
_NECK = lazy(r"(?<=[-|])[oR*](?=[-|])")


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


class System(NamedTuple):
    """String rows that sound together, top row first, with the lines right above and below them."""

    rows: tuple[Row, ...]
    above: tuple[Line, ...] = ()
    below: tuple[Line, ...] = ()


class Page(NamedTuple):
    """A whole text: every line, the systems in order, and the lines that belong to no system."""

    lines: tuple[Line, ...]
    systems: tuple[System, ...]
    prose: tuple[Line, ...]


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
        return None
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


def _same_sign(word: re.Match[str]) -> str:
    """The sign for a bar once more in as many columns as the word for it takes."""
    filler = "-" if word.string[word.start() - 1] == "-" else " "
    return "%".center(len(word.group()), filler)


def _without_label(text: str, block: re.Match[str]) -> str:
    """The text with a blank for the label of a block that stands beside the first one."""
    start, end = block.span("name")
    return text[:start] + " " * (end - start) + text[end:]


def find_systems(lines: tuple[Line, ...]) -> Page:
    """Group the lines of a page into systems and prose.

    Raises UnreadableError for more rows below each other than any instrument has strings.
    """
    rows = [read_row(line) for line in lines]
    _mend_rows(lines, rows)
    bounds = [bound for run in _runs(rows) for bound in _split_run(rows, *run)]
    taken: set[int] = set()
    for first, last in bounds:
        taken.update(range(first, last))
    systems = []
    floor = 0
    for index, (first, last) in enumerate(bounds):
        ceiling = bounds[index + 1][0] if index + 1 < len(bounds) else len(lines)
        above = _neighbours(lines, range(first - 1, floor - 1, -1))[::-1]
        below = _neighbours(lines, range(last, ceiling))
        if last + len(below) == ceiling and index + 1 < len(bounds):
            below = below[: _hanging(below)]
        floor = last + len(below)
        taken.update(range(first - len(above), floor))
        systems.append(System(tuple(_present(rows[first:last])), tuple(above), tuple(below)))
    prose = tuple(line for index, line in enumerate(lines) if index not in taken and line.text.strip())
    return Page(lines, tuple(systems), prose)


def _present(rows: list[Row | None]) -> list[Row]:
    return [row for row in rows if row is not None]


def _mend_rows(lines: tuple[Line, ...], rows: list[Row | None]) -> None:
    """Take a line for a row with a spoilt beginning where it is nearly all filler, rows stand beside it, and
    it is as long as they are."""
    for index, line in enumerate(lines):
        if rows[index] is not None or not line.text.strip():
            continue
        beside = [rows[at] for at in (index - 1, index + 1) if 0 <= at < len(rows)]
        near = [row for row in beside if row is not None and (row.label or "|" in row.body)]
        if not near:
            continue
        if line.text.strip().partition("-")[0].rstrip() in marks_for().above:
            continue
        row = read_row(line, _SPOILT)
        if row is not None and all(abs(row.end - other.end) <= 2 for other in near[:1]):
            rows[index] = row if 2 * row.body.count("-") > len(row.body) else None


def _runs(rows: list[Row | None]) -> Iterator[tuple[int, int]]:
    """First and end index of every stretch of neighbouring rows that can be a system."""
    index = 0
    while index < len(rows):
        if rows[index] is None:
            index += 1
            continue
        first = index
        while index < len(rows) and rows[index] is not None:
            index += 1
        start, end = _without_dividers(rows, first, index)
        if _is_system(_present(rows[start:end])):
            yield start, end


def _is_system(run: list[Row]) -> bool:
    """Whether neighbouring rows are music: three or more, or a labelled one with bar lines, and neither
    bare rules nor a picture of the neck."""
    bodies = [row.body for row in run]
    if len(run) < 3:
        flat = any(_FLAT.search(row.remark) for row in run)
        return not flat and any(row.label and "|" in row.body for row in run)
    if not any(row.label or row.body.strip("-") for row in run):
        return False
    if not any("o" in body or "R" in body or "*" in body for body in bodies):
        return True
    signs = sum(len(_NECK.findall(body)) for body in bodies)
    return signs < 3 or any(character.isdigit() for body in bodies for character in body)


def _without_dividers(rows: list[Row | None], first: int, end: int) -> tuple[int, int]:
    """A line of bare hyphens at the edge of a run is a divider, where the rows beside it say otherwise; over
    them may stand one of endings, or of brackets that begin farther right than the strings."""
    left = min(row.start for row in _present(rows[first:end]))

    def divides(row: Row | None) -> bool:
        if row is None or row.label:
            return False
        if row.start > left and _BRACKETS.fullmatch(row.line.text):
            return True
        return not row.body.strip("-") or _ENDINGS.fullmatch(row.line.text) is not None

    def told(row: Row | None) -> bool:
        return row is not None and (bool(row.label) or "|" in row.body)

    strings = [at for at in range(first, end) if not divides(rows[at])]
    if not strings or not any(told(rows[at]) for at in (strings[0], strings[-1])):
        return first, end
    return strings[0], strings[-1] + 1


def _split_run(rows: list[Row | None], first: int, end: int) -> list[tuple[int, int]]:
    """Systems without a blank line between them: cut where the labels begin anew."""
    labels = [row.label for row in _present(rows[first:end])]
    for height in (6, 4, 5, 7, 8, 3):
        if len(labels) > height and len(labels) % height == 0:
            same = sum(label == labels[index % height] for index, label in enumerate(labels))
            # One label in five may be damaged; a run as high as an instrument must repeat to the letter.
            repeats = same == len(labels) or (len(labels) > _HIGHEST and 5 * same >= 4 * len(labels))
            # Bare rows tell nothing; twelve of them are two guitars' worth.
            if repeats and (any(labels) or height == 6):
                return [(at, at + height) for at in range(first, end, height)]
    if len(labels) > MOST_STRINGS:
        raise UnreadableError(
            f"{len(labels)} string rows stand below each other and no instrument has more than "
            f"{MOST_STRINGS} strings: put a blank line between the systems",
            first + 1,
        )
    return [(first, end)]


def _neighbours(lines: tuple[Line, ...], indexes: range) -> list[Line]:
    """The lines at these places up to the first blank one."""
    found = []
    for index in indexes:
        if not lines[index].text.strip():
            break
        found.append(lines[index])
    return found


def _hanging(lines: list[Line]) -> int:
    """How many lines between two systems, no blank among them, belong to the upper one: the counts."""
    count = 0
    while count < len(lines) and re.match(r"\s*1\s+[&+e2.]", lines[count].text):
        count += 1
    return count
