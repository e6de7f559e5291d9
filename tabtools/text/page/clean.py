"""Text to clean lines, each of which still knows where its characters stood in the source.

What is undone here is how a page travelled, not what it says: tab characters, colour codes, markup, quote
signs and line numbers down the left side, dashes and boxes of another alphabet.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import groupby, pairwise

from tabtools.record import NamedTuple
from tabtools.source import REMARK, Source, Span
from tabtools.text.patterns import lazy

_LOOKALIKES = str.maketrans(
    {
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\u2500\u2501", "-"),
        **dict.fromkeys("\u2502\u2503\u2551\u2223\u00a6", "|"),
        **dict.fromkeys("\u00a0\u2002\u2003\u2007\u2009\u200a\u202f\u3000", " "),
        **{chr(0xFEE0 + code): chr(code) for code in range(0x21, 0x7F)},
        "\u00d7": "x",
        "\u2934": "^",
        "\u2022": "*",
        "\u25cf": "*",
    }
)
_ODD = "\t\x1b\u200b\u200c\u200d\u2060\ufeff"
_HTML = lazy(r"<(?:html|body|pre|code|p|br|div|span|b)\b[^<>]{0,200}>", re.IGNORECASE)
_ENTITY = lazy(r"&(?:lt|gt|amp|nbsp|quot|[lr]dquo|[lr]squo|[mn]dash|hellip|#\d{1,6}|#x[0-9A-Fa-f]{1,5});")
_ZERO_WIDTH = "\x1b\\[[0-9;]*[A-Za-z]|[\u200b\u200c\u200d\u2060\ufeff]"
_TAG = r"</?[A-Za-z][^<>]{0,400}>|<!--.{0,400}?-->"
_PLAIN = lazy(rf"(?P<drop>{_ZERO_WIDTH})|(?P<tab>\t)|(?P<entity>{_ENTITY.pattern})")
_MARKUP = lazy(rf"(?P<drop>{_ZERO_WIDTH}|{_TAG})|(?P<tab>\t)|(?P<entity>{_ENTITY.pattern})")
# Tags of message boards: a word in square brackets that another pair of brackets closes, as in [b]Am[/b].
_CLOSING = lazy(r"\[/([A-Za-z]{1,12})\]")
_MOST_TAGS = 30
# A tag that begins a new line on the screen, with what is on the page's own line end.
_BREAK = lazy(r"<(?:br|/?p|/?pre|/?div|/?h\d|/?title|/?li|/?tr)\b[^<>]{0,200}>", re.IGNORECASE)
_NUMBERED = lazy(r"\s*(\d+)(?:[:|.)]?(?=\s|$)|(?<=0\d\d)[|:])")
_QUOTE = lazy(r"\|?>(?:[ ]?>)*")
# A stroke down the left side of labelled rows, as of a quotation or a table.
_FRAMED = lazy(r"\|[ ]?[A-Ha-h][#b]?[ ]?\|[ ]?[-\d]")
_TAB_STOP = 8
# Who said a line of a chat, and when: [18:02] Oda: e|--5--|
_TIME = r"\d{1,2}:\d{2}(?::\d{2})?(?: ?[AaPp]\.?[Mm]\.?)?"
_DATE = r"\d{1,4}[./-]\d{1,2}[./-]\d{1,4},? "
_WHO = r"(?P<who>[^\W\d_][^:|\n]{0,23}): ?"
_STAMPED = lazy(rf"(?:\[(?:{_DATE})?{_TIME}\]|(?:{_DATE}){_TIME}(?: -)?|{_TIME}(?: -)?) *(?:{_WHO})?")
_SPOKEN = lazy(rf"{_WHO}(?=[A-Ha-h][#b]?[ ]?[|:-])")
_FEWEST_MESSAGES = 3
_BEFORE_REMARK = " #;/*("


class Line(NamedTuple):
    """One line of the page. Columns count from 0 in the clean ``text``.

    ``offset`` is where column 0 stands in the source; ``columns`` gives the offset of every column (and of
    the end) where characters were dropped or widened.
    """

    number: int
    text: str
    offset: int
    columns: tuple[int, ...] | None = None

    def at(self, column: int) -> int:
        """The source offset of a column; columns past the end stay at the end."""
        column = min(column, len(self.text))
        return self.offset + column if self.columns is None else self.columns[column]

    def span(self, start: int, end: int) -> Span:
        """The source span of columns ``start`` to ``end``, the end not included."""
        if self.columns is None and end <= len(self.text):
            return Span(self.offset + start, self.offset + end)
        return Span(self.at(start), self.at(end))

    def places(self) -> tuple[int, ...]:
        """The source offset of every column and of the end."""
        return self.columns or tuple(range(self.offset, self.offset + len(self.text) + 1))

    def indented(self, width: int) -> Line:
        """The line with so many blanks before it that the source does not have."""
        columns = (*[self.at(0)] * width, *self.places())
        return Line(self.number, " " * width + self.text, self.offset, columns)

    def cut(self, width: int) -> Line:
        """The line without its first ``width`` columns."""
        columns = None if self.columns is None else self.columns[width:]
        return Line(self.number, self.text[width:], self.at(width), columns)


def clean_lines(source: Source) -> tuple[Line, ...]:
    """The lines of a source: tab characters widened to stops of 8, markup, colour codes and zero-width
    characters dropped, entities unescaped, quote signs and line numbers cut off, look-alike dashes, bars,
    spaces and digits replaced one for one. Lines that hold nothing but a remark to this program are left
    out."""
    text = source.text if source.text.isascii() else source.text.translate(_LOOKALIKES)
    markup = "<" in text and bool(_HTML.search(text))
    boards = frozenset(_CLOSING.findall(text)) if "[/" in text else frozenset()
    if len(boards) > _MOST_TAGS:
        boards = frozenset()
    odd = (
        markup
        or bool(boards)
        or any(sign in text for sign in _ODD)
        or ("&" in text and bool(_ENTITY.search(text)))
    )
    pattern = _codes(boards, markup=markup) if odd else _PLAIN
    starts = source.line_starts
    ends = [*starts[1:], len(text)]
    lines: list[Line] = []
    for number, (start, end) in enumerate(zip(starts, ends, strict=True), 1):
        line = Line(number, text[start:end].rstrip(), start)
        if odd:
            lines += _decoded(line, pattern, markup=markup)
        else:
            lines.append(line)
    lines = _without_speakers(_without_numbers(_without_frames(_without_escapes(_without_quotes(lines)))))
    if "abtools:" in text and REMARK.search(source.text):
        lines = [line for line in lines if not REMARK.match(line.text.lstrip(_BEFORE_REMARK))]
    return tuple(lines)


def _codes(boards: frozenset[str], *, markup: bool) -> re.Pattern[str]:
    """What a page is cleaned of, among it the tags of message boards that have these words."""
    usual = _MARKUP if markup else _PLAIN
    if not boards:
        return usual
    return re.compile(
        rf"(?P<board>\[/?(?:{'|'.join(sorted(boards))})(?:=[^\[\]\n]{{0,200}})?\])|{usual.pattern}"
    )


def _decoded(line: Line, pattern: re.Pattern[str], *, markup: bool) -> Iterator[Line]:
    """A line without codes and tags; what a tag puts on a line of its own becomes one."""
    pieces = list(_broken(line)) if markup else [line]
    shown = [piece for piece in (_decode(piece, pattern) for piece in pieces) if piece.text.strip()]
    yield from shown or [Line(line.number, "", line.offset)]


def _broken(line: Line) -> Iterator[Line]:
    done = 0
    for match in _BREAK.finditer(line.text):
        yield Line(line.number, line.text[done : match.start()], line.offset + done)
        done = match.end()
    yield Line(line.number, line.text[done:], line.offset + done)


def _decode(line: Line, pattern: re.Pattern[str]) -> Line:
    import html  # a table of two thousand names, which few pages need

    text = line.text
    if not pattern.search(text):
        return line
    clean: list[str] = []
    columns: list[int] = []
    done = 0

    def keep(piece: str, at: int, step: int) -> None:
        clean.append(piece)
        columns.extend(line.offset + at + step * index for index in range(len(piece)))

    for match in pattern.finditer(text):
        keep(text[done : match.start()], done, 1)
        done = match.end()
        if match.lastgroup == "tab":
            keep(" " * (_TAB_STOP - len(columns) % _TAB_STOP), match.start(), 0)
        elif match.lastgroup == "entity":
            keep(html.unescape(match.group()).translate(_LOOKALIKES)[:1], match.start(), 0)
    keep(text[done:], done, 1)
    shown = "".join(clean).rstrip()
    return Line(line.number, shown, line.offset, (*columns, line.offset + len(text))[: len(shown) + 1])


def _without_quotes(lines: list[Line]) -> list[Line]:
    """Cut quote signs off a run of lines that all begin with one, with the blank after them where every
    line of the run that says something has it."""
    if not any(line.text.startswith((">", "|>")) for line in lines):
        return lines
    done: list[Line] = []
    index = 0
    while index < len(lines):
        run: list[tuple[Line, int]] = []
        while index < len(lines) and (match := _QUOTE.match(lines[index].text)):
            run.append((lines[index], match.end()))
            index += 1
        if len(run) < 3:
            done += [line for line, _ in run]
        else:
            said = [line.text[end : end + 1] for line, end in run if line.text[end:].strip()]
            blank = all(first == " " for first in said)
            done += [line.cut(min(end + blank, len(line.text))) for line, end in run]
        if index < len(lines):
            done.append(lines[index])
            index += 1
    return done


def _without_speakers(lines: list[Line]) -> list[Line]:
    """Cut off who said a line of a chat, and when, where several lines have it."""
    if not any(":" in line.text[:40] for line in lines):
        return lines
    for pattern in (_STAMPED, _SPOKEN):
        matches = [pattern.match(line.text) for line in lines]
        speakers = {match["who"] for match in matches if match}
        if sum(match is not None for match in matches) >= _FEWEST_MESSAGES and (
            pattern is _STAMPED or len(speakers) == 1
        ):
            return [
                line.cut(match.end()) if match else line for line, match in zip(lines, matches, strict=True)
            ]
    return lines


def _without_frames(lines: list[Line]) -> list[Line]:
    """Cut a stroke and a blank off a run of lines that all begin with one, where three of them or more then
    begin with the label of a string."""
    if not any(line.text.startswith("|") and _FRAMED.match(line.text) for line in lines):
        return lines
    done: list[Line] = []
    for framed, group in groupby(lines, key=lambda line: line.text.startswith("|")):
        run = list(group)
        if framed and sum(_FRAMED.match(line.text) is not None for line in run) > 2:
            width = 1 + all(line.text[1:2] in ("", " ") for line in run)
            run = [line.cut(min(width, len(line.text))) for line in run]
        done += run
    return done


def _without_escapes(lines: list[Line]) -> list[Line]:
    """Drop the backslashes of a page that escapes every stroke, as one does in a table of Markdown."""
    return [_unescaped(line) if line.text.count("\\|") > 1 else line for line in lines]


def _unescaped(line: Line) -> Line:
    text = line.text
    if text.count("\\|") < text.count("|"):
        return line
    kept = [at for at in range(len(text)) if not (text[at] == "\\" and text[at + 1 : at + 2] in "|*_~<>-#")]
    places = line.places()
    columns = (*(places[at] for at in kept), places[-1])
    return Line(line.number, "".join(text[at] for at in kept), line.offset, columns)


def _without_numbers(lines: list[Line]) -> list[Line]:
    """Cut the numbers off when every line has one and they count up by one, as a listing does."""
    last = max((index for index, line in enumerate(lines) if line.text.strip()), default=-1)
    lines, rest = lines[: last + 1], lines[last + 1 :]
    if len(lines) < 4 or not _NUMBERED.match(lines[0].text):
        return lines + rest
    found = [match for line in lines if (match := _NUMBERED.match(line.text))]
    numbers = [int(m.group(1)) for m in found]
    if len(found) < len(lines) or any(b != a + 1 for a, b in pairwise(numbers)):
        return lines + rest
    gaps = [
        len(line.text[m.end() :]) - len(line.text[m.end() :].lstrip())
        for line, m in zip(lines, found, strict=True)
        if line.text[m.end() :].strip()
    ]
    gap = min(gaps, default=0)
    cut = [line.cut(min(m.end() + gap, len(line.text))) for line, m in zip(lines, found, strict=True)]
    return cut + rest
