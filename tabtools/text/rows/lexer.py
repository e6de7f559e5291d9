"""One string row to notes and bar lines, every one with its columns."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from tabtools.doubts import BetweenFrets, SlideInOrFrom, SlideOutOrTo
from tabtools.score import Technique
from tabtools.text.page.marks import ARTICULATIONS, DEAD, DIP, RELEASE, RELEASED, RELEASES, Marks, marks_for
from tabtools.text.patterns import lazy
from tabtools.text.rows.amounts import amount_behind
from tabtools.text.rows.bends import bend_by, is_bent, release
from tabtools.text.rows.brackets import settle_bracket
from tabtools.text.rows.digits import split_digits
from tabtools.text.rows.slides import slide_of
from tabtools.text.rows.tokens import BarLine, RowNote, RowTokens, plain

HIGHEST = 29
# Behind a fret it is held on; before one that is tied to it.
HOLD = "="
# Letters that may be a word, as in wah or harm.; a bend may be full.
_WORD = lazy(r"(?<![A-Za-z])(?!p?b?full)[A-Za-z]{3,}\.?")
# The place between two frets at which a harmonic is touched: the tenths of <3.2>.
_TENTHS = lazy(r"\.(?P<tenths>\d)\d?(?=[>\])])")
# What stands between filler, most often one sign that can be but one thing; a trill may have a hyphen in it.
_RUNS = lazy(r"[^-\s]+(?:-\d{1,2}\))?")
_FRETS = {str(fret): fret for fret in range(HIGHEST + 1)}


class _RowLexer:
    """Reads the tokens of one row from left to right."""

    def __init__(self, text: str, start: int, end: int, marks: Marks, *, row: int, glued: bool) -> None:
        self.marks = marks
        self.row = row
        self.glued = glued
        self.text = text
        self.start = start
        self.end = end
        self.tokens = RowTokens()
        self.last: RowNote | None = None
        self.pending: list[tuple[str, int, int]] = []
        self.target: str | None = None
        self.opened: tuple[str, int] | None = None
        self.done = 0

    def read(self) -> RowTokens:
        text = self.text
        for run in _RUNS.finditer(text, self.start, self.end):
            start, end = run.span()
            drawn = run.group()
            if drawn == "|":
                self.target = None
                self.tokens.bars.append(BarLine(start, end, False, False))
            elif drawn not in _FRETS:
                self._run(drawn, start, end)
            elif self.target is None:
                self._note(_FRETS[drawn], start, end)
            else:
                self._hit_or_note(_FRETS[drawn], start, end)
        self._flush()
        return self.tokens

    def _run(self, drawn: str, start: int, end: int) -> None:
        """The tokens of a stretch without filler; a word is one that nothing explains."""
        wordy = end - start > 3 or (end - start == 3 and drawn.isalpha())
        word = _WORD.search(self.text, start, end) if wordy else None
        for match in self.marks.token.finditer(self.text, start, end):
            if match.start() < self.done:
                continue
            if word is not None and match.start() == word.start() and not self._is_marks(word.group()):
                self.tokens.unknown.append(word.span())
                self.done = word.end()
                continue
            kind = match.lastgroup
            if kind == "fret":
                self._number(match)
            elif kind == "bar":
                self._bar(match)
            elif kind == "trill":
                self._note(int(match["low"]), match.start("low"), match.end())
                self.tokens.notes[-1].start = match.start()
                self.tokens.notes[-1].techniques.append(Technique("trill", Fraction(int(match["high"]))))
            elif kind == "dip" and self.last is not None:
                self._after(self.marks.after[DIP], match.end())
                self.tokens.marks.append(match.span())
            elif kind == "mark":
                self.tokens.marks.append(match.span())
                self._mark(match.group(), match.start(), match.end())
            else:
                self.tokens.unknown.append(match.span())

    def _is_marks(self, word: str) -> bool:
        """Whether marks of techniques are all that a word consists of."""
        return all(found.lastgroup == "mark" for found in self.marks.token.finditer(word))

    def _number(self, match: re.Match[str]) -> None:
        start, end = match.span()
        digits = match.group()
        if digits in _FRETS:
            self._hit_or_note(_FRETS[digits], start, end)
        elif end - start == 2 and int(digits) > HIGHEST and not self.glued:
            self.tokens.far += 1
            self._hit_or_note(int(digits), start, end)
        else:
            self._long_number(digits, start)
        if self.opened is not None and (tenths := _TENTHS.match(self.text, end, self.end)) is not None:
            self._between_frets(tenths)

    def _long_number(self, digits: str, start: int) -> None:
        """Digits that are several frets without a hyphen between them, or one with zeros before it."""
        pieces = [(0, len(digits))]
        if len(digits) > 2 or int(digits) > HIGHEST:
            self.tokens.long_numbers.append((start, start + len(digits)))
            pieces = split_digits(digits)
        for at, width in pieces:
            self._hit_or_note(int(digits[at : at + width]), start + at, start + at + width)

    def _between_frets(self, tenths: re.Match[str]) -> None:
        """A harmonic that is touched between two frets belongs to the nearer one."""
        assert self.last is not None
        if self.last.fret is None:
            return
        self.last.fret += int(tenths["tenths"]) >= 5
        self.last.stop = self.last.end = self.done = tenths.end()
        self.tokens.open.append((BetweenFrets, self.last.start, tenths.end() + 1, str(self.last.fret)))

    def _hit_or_note(self, fret: int, start: int, end: int) -> None:
        """A number is where the bend or trill that it touches goes, else a note."""
        if self.target is not None and self._touches(start):
            self._hit_target(fret, end)
        else:
            self._note(fret, start, end)

    def _note(self, fret: int | None, start: int, end: int) -> None:
        self.target = None
        note = RowNote(self.row, fret, start, end)
        if self.opened is not None:
            note.start = self.opened[1]
        if self.pending:
            _, at, stop = self.pending[-1]
            if stop == note.start and not self._touches(at):
                note.lead = at
        for mark, at, stop in self.pending:
            self._apply(note, mark, at, stop)
        self.pending.clear()
        if fret is None:
            note.techniques.append(plain("dead"))
        self.tokens.notes.append(note)
        self.last = note

    def _apply(self, note: RowNote, mark: str, at: int, stop: int) -> None:
        """A mark between the last note and this one: it joins them, or it belongs to one of them alone."""
        name = self.marks.joins.get(mark)
        if name == "slide":
            name = self._slide(note, mark, at, stop)
        if name == "slide-out":
            self._slide_out(mark, stop)
        elif name is not None and (self.last is not None or name == "slide-in"):
            note.techniques.append(plain(name, mark))
        elif mark in self.marks.before:
            self._before(note, self.marks.before[mark])
        else:
            self.tokens.unknown.append((at, stop))

    def _slide_out(self, mark: str, stop: int) -> None:
        assert self.last is not None
        self.last.techniques.append(plain("slide-out", mark))
        self.last.stop = stop

    def _slide(self, note: RowNote, mark: str, at: int, stop: int) -> str:
        if mark not in self.marks.before:
            return "slide"
        name, other = slide_of(self.last, note, mark, (at, stop))
        if other:
            kind = SlideInOrFrom if name == "slide-in" else SlideOutOrTo
            self.tokens.open.append((kind, at, stop, other))
        return name

    def _before(self, note: RowNote, name: str) -> None:
        if name == "tie":
            note.tied = True
            return
        note.techniques.append(plain(name))
        if name in RELEASED:
            self.target = name

    def _mark(self, mark: str, start: int, end: int) -> None:
        touches = self._touches(start)
        if mark in DEAD:
            self._note(None, start, end)
        elif mark in self.marks.closing:
            if touches and self.target is not None and self.last is not None:
                if self._amount(start):
                    return
                self.last.stop = end
            self.opened = (mark, start)
        elif self.opened is not None and mark == self.marks.closing[self.opened[0]]:
            self._close(end)
        elif mark in RELEASES and self.last is not None and is_bent(self.last, self.text, start):
            release(self.last)
            self.target, self.last.stop = RELEASE, end
        elif mark in self.marks.ignored and not (touches and self._leads(mark, end)):
            if self.last is not None and touches:
                self.last.stop = end
        elif touches and self.last is not None and mark in self.marks.sized:
            self._size(self.marks.sized[mark], start, end)
            if not self._amount(end) and mark in self.marks.sizes:
                bend_by(self.last, self.marks.sizes[mark])
        elif touches and mark[0] == "~":
            self._after("vibrato", end)
        elif (
            touches
            and mark in self.marks.after
            and mark not in self.marks.joins
            and not self._leads(mark, end)
        ):
            self._after(self.marks.after[mark], end)
        elif touches and (mark in ARTICULATIONS or (mark == HOLD and self._holds(end))):
            assert self.last is not None
            self.last.stop = end
        elif mark in self.marks.joins or mark in self.marks.before:
            self.pending.append((mark, start, end))
            self.target = None
        elif mark[0] == "~" and self.last is not None:
            self._after("vibrato", end)
        else:
            self.tokens.unknown.append((start, end))

    def _touches(self, column: int) -> bool:
        return self.last is not None and column == self.last.stop

    def _leads(self, mark: str, end: int) -> bool:
        """Whether a mark that could stand on either side of a fret stands right before one."""
        known = mark in self.marks.before or mark in self.marks.joins
        return known and self.text[end : end + 1].isdigit()

    def _holds(self, end: int) -> bool:
        """Whether a sign behind a fret only says that it is held: more of them follow, or no fret does."""
        return self.text[end : end + 1] == HOLD or not self.text[end : end + 1].isdigit()

    def _after(self, name: str, end: int) -> None:
        assert self.last is not None
        if plain(name) not in self.last.techniques:
            self.last.techniques.append(plain(name))
        self.last.stop = end

    def _size(self, name: str, start: int, end: int) -> None:
        """A bend or trill mark after a fret: its target fret may follow and is not a note. A second such
        mark strikes the fret again."""
        assert self.last is not None
        if name == "trill" and any(technique.name == name for technique in self.last.techniques):
            self.last.stop = end
            return
        if name == "bend" and plain("prebend") in self.last.techniques[-1:]:
            name = "prebend"  # pb8b10 says it twice
        else:
            if any(technique.name == name for technique in self.last.techniques):
                self._note(self.last.fret, start, end)
            self.last.techniques.append(plain(name))
        self.target = name
        self.last.stop = end

    def _amount(self, at: int) -> bool:
        """Whether an amount stands at a column behind a bend, which is then that wide."""
        assert self.last is not None
        amount = amount_behind(self.text, at, self.end, self.last.fret or 0)
        if amount is None or self.target not in RELEASED:
            return False
        size, self.last.stop = amount
        bend_by(self.last, size)
        self.done = self.last.stop
        self.target = None
        return True

    def _hit_target(self, fret: int, end: int) -> None:
        assert self.last is not None
        if self.target != RELEASE:
            bend_by(self.last, Fraction(fret if self.target == "trill" else fret - (self.last.fret or 0)))
        self.target = None
        self.last.stop = end

    def _close(self, end: int) -> None:
        assert self.opened is not None
        opening, start = self.opened
        self.opened = None
        note = self.last
        if note is None or note.start != start:
            if note is not None and note.stop == end - 1:
                note.stop = end
            return
        note.end = note.stop = end
        name = self.marks.around[opening, self.marks.closing[opening]]
        self.last = settle_bracket(self.tokens, self.text, name, end)

    def _bar(self, match: re.Match[str]) -> None:
        self.target = None
        start, end = match.span()
        opens, closes = self.text[end - 1] in ":*o", self.text[start] in ":*o"
        self.tokens.bars.append(BarLine(start, end, opens, closes))

    def _flush(self) -> None:
        """Marks that no note followed: slides out to nowhere, else nothing that can be read."""
        for mark, start, end in self.pending:
            if (
                self.marks.after.get(mark) == "slide-out"
                and self.last is not None
                and start - self.last.stop <= 1
            ):
                self._slide_out(mark, end)
            else:
                self.tokens.unknown.append((start, end))


def read_row_tokens(
    text: str, start: int, end: int, marks: Marks | None = None, *, row: int = 0, glued: bool = False
) -> RowTokens:
    """The tokens of columns ``start`` to ``end`` of a clean line, the row of that index in its system, by the
    marks of its page; ``glued`` where its writer leaves no hyphen between frets, so that two digits over any
    neck are two frets."""
    body = text[start:end]
    if not body.strip("-|"):
        return _unplayed(body, start)
    return _RowLexer(text, start, end, marks or marks_for(), row=row, glued=glued).read()


@lru_cache(maxsize=256)
def _unplayed(body: str, start: int) -> RowTokens:
    """A row with nothing but bar lines on it; one object for all that are alike."""
    lines = [match.span() for match in re.finditer(r"\|+", body)]
    return RowTokens(BarLine(start + begin, start + end, False, False) for begin, end in lines)
