"""The lines around a system when its columns move: every word stays with its note."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence

from tabtools.record import NamedTuple
from tabtools.text.page.kinds import ReadLine, Token
from tabtools.text.rows.columns import RawBar
from tabtools.text.words.attach import bar_at
from tabtools.text.writing.above import spread
from tabtools.text.writing.plain import PlainLine
from tabtools.text.writing.spacing import LEAD

# Lines whose words belong to no column.
FIXED = ("header", "section", "part", "times", "furniture")
# Running words, some of which may belong to single notes.
WORDS = ("words", "lyrics", "direction", "piece", "legend")
_NEAR = 2


class Around(NamedTuple):
    """A line over or under a system: what it says, and its characters. ``said`` are other words for some of
    its own, by the column that each begins at."""

    note: ReadLine
    line: PlainLine
    below: bool
    said: Mapping[int, str] = {}

    @property
    def raw(self) -> str:
        """The characters of the line from ``line.skip`` on, with the other words in their places."""
        text = self.line.raw
        for token in reversed(self.note.tokens):
            if token.start in self.said:
                start, end = token.start - self.line.skip, token.end - self.line.skip
                text = text[:start] + self.said[token.start] + text[end:]
        return text


class Stretch(NamedTuple):
    """The bars ``first`` to ``last`` of a system on their way to a new place: ``anchors`` are the old columns
    of their notes and bar lines with the new ones."""

    bars: list[RawBar]
    first: int
    last: int
    anchors: dict[int, int]


def is_fixed(around: Around, bars: Sequence[RawBar]) -> bool:
    """Whether a line stays as it is: its words belong to the system as a whole, or it is a sentence that
    begins at the margin."""
    tokens = around.note.tokens
    return around.note.kind in FIXED or (
        around.note.kind in WORDS and len(tokens) == 1 and tokens[0].start < bars[0].start - 1
    )


def moved(around: Around, stretch: Stretch) -> str:
    """The words of a line that belong to a stretch of bars, at their new columns; empty where there are
    none. Columns count from the beginning of the clean line."""
    shift = _Shift(stretch.anchors | _word_anchors(around.note, stretch))
    pieces = _marks(around, stretch, shift) if around.note.kind == "marks" else _plain(around, stretch, shift)
    line = spread(pieces, _apart(around))
    if line and around.note.kind == "fingers":
        # The remark at the end is what tells fingers from counts.
        line += around.line.cut(around.note.tokens[-1].end).rstrip()
    return line


def room(raw: RawBar, following: RawBar | None, around: Around) -> int:
    """The columns that the words of a line over or under a bar take one beside the other, where the bar that
    follows has words there too; the strokes of marks stretch and shrink."""

    def inside(bar: RawBar) -> list[Token]:
        return [token for token in around.note.tokens if bar.start - 1 <= token.start < bar.end]

    if around.note.kind in (*FIXED, "marks") or following is None or not inside(following):
        return 0
    widths = (
        len(around.said[token.start]) if token.start in around.said else token.end - token.start
        for token in inside(raw)
    )
    return sum(width + _apart(around) for width in widths) - 1


def _apart(around: Around) -> int:
    """Two blanks part remarks, which may hold single ones."""
    return 2 if around.note.kind in WORDS and not around.below else 1


def _word_anchors(note: ReadLine, stretch: Stretch) -> dict[int, int]:
    """Where words stand that belong to notes, exactly: a letter over each note, a chord over its onset."""
    found: dict[int, int] = {}
    for index in range(stretch.first, stretch.last + 1):
        bar = stretch.bars[index]
        words = [token.start for token in note.tokens if bar.start - 1 <= token.start < bar.end]
        notes = [column.column for column in bar.columns if not column.grace]
        if note.kind == "letters" and len(words) == len(notes):
            found |= {word: stretch.anchors[column] for word, column in zip(words, notes, strict=True)}
        elif note.kind == "chords" and notes:
            found |= {
                word: stretch.anchors[column]
                for word in words
                for column in [min(notes, key=lambda column: (abs(column - word), column))]
                if abs(column - word) <= _NEAR and bar.end - word > _NEAR
            }
    return found


class _Shift:
    """Old columns of a system to new ones: exact at the anchors, in proportion between them."""

    def __init__(self, anchors: Mapping[int, int]) -> None:
        self.old = sorted(anchors)
        self.new = [anchors[column] for column in self.old]

    def __call__(self, column: int) -> int:
        index = bisect_right(self.old, column) - 1
        if index < 0:
            return max(self.new[0] + column - self.old[0], 0)
        if index == len(self.old) - 1:
            return self.new[-1] + column - self.old[-1]
        old, new = self.old[index], self.new[index]
        span, new_span = self.old[index + 1] - old, self.new[index + 1] - new
        return new + ((column - old) * new_span * 2 + span) // (2 * span)


def _plain(around: Around, stretch: Stretch, shift: _Shift) -> Iterator[tuple[int, str]]:
    for token in _words(around, stretch.bars):
        if stretch.first <= bar_at(stretch.bars, token.start) <= stretch.last:
            yield shift(token.start), around.said.get(token.start, token.text)


def _words(around: Around, bars: Sequence[RawBar]) -> Iterator[Token]:
    """The words of a line with their own characters: whole remarks, but single syllables of a text under
    the strings, where each has its note."""
    if around.note.kind == "fingers":
        yield from around.note.tokens
        return
    if around.note.kind not in WORDS:
        yield from _split(around.line, around.line.skip, None, frozenset())
        return
    parted: frozenset[int] | None = None
    if around.below:
        parted = frozenset(column.column for bar in bars for column in bar.columns)
    for token in around.note.tokens:
        yield from _split(around.line, token.start, token.end, parted)


def _split(line: PlainLine, start: int, end: int | None, at: frozenset[int] | None) -> Iterator[Token]:
    """The words of a stretch of a line. ``at`` says where one may begin: anywhere when empty, nowhere but
    at the start when None, else at these columns."""
    text = line.cut(start, end)
    if at is None:
        yield Token(text, start, start + len(text))
        return
    begun: Token | None = None
    place = 0
    for word in text.split():
        place = text.index(word, place)
        column, place = start + place, place + len(word)
        if begun is not None and at and column not in at:
            begun = Token(text[begun.start - start : place], begun.start, start + place)
            continue
        if begun is not None:
            yield begun
        begun = Token(word, column, column + len(word))
    if begun is not None:
        yield begun


def _marks(around: Around, stretch: Stretch, shift: _Shift) -> Iterator[tuple[int, str]]:
    """Technique marks, their strokes stretched or shrunk to what they cover; a stroke that goes on past the
    stretch is taken up again on the next one."""
    bars, line = stretch.bars, around.line
    for token in around.note.tokens:
        first, last = bar_at(bars, token.start), bar_at(bars, token.end - 1)
        if last < stretch.first or first > stretch.last:
            continue
        end = token.end
        while line.cut(end, end + 1) in ("|", ">"):
            end += 1
        core = line.cut(token.start, token.end).rstrip("-~")
        stroke = line.cut(token.start + len(core), token.end)
        if not stroke.strip():
            if first >= stretch.first:
                yield shift(token.start), core + line.cut(token.end, end)
            continue
        begun = first >= stretch.first
        start = shift(token.start) if begun else stretch.anchors[bars[stretch.first].between[0]] + LEAD
        stop = shift(token.end if last <= stretch.last else bars[stretch.last].between[1])
        close = line.cut(token.end, end) if last <= stretch.last else "|"
        yield start, core + stroke[-1] * max(stop - start - len(core), 1) + close
