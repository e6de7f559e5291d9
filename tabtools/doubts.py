"""The doubts of the readers: what they could not settle, or settled in one of several ways.

A reader makes the record where it decides; the rule of the same ``kind`` (``SplitNumber`` is reported by
``split-number``) puts it into words. What else hangs on a doubt stands here, beside its fields: whether it
is a remark on a page that may stay as it is, and what a new layout of the page does with it. The words stay
with the rules, so that reading loads none of them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, Literal

from tabtools.source import Span

if TYPE_CHECKING:
    from typing import dataclass_transform
else:

    def dataclass_transform(**_):
        return lambda plain: plain


# What a new layout of a system does with a doubt: it cannot be made while the doubt is open, it settles the
# doubt, or the doubt is about something else than columns and is still there after it.
Layout = Literal["hindered", "settles", "keeps"]
_KINDS: dict[str, list[type[Doubt]]] = {}
_WORD_START = re.compile(r"(?<!^)(?=[A-Z])")


@dataclass_transform(frozen_default=True)
class _Values:
    """Fields declared as a dataclass declares them, in less time than a dataclass or a named tuple takes: a
    start declares some fifty kinds of doubt, and a page makes few records."""

    _fields: ClassVar[tuple[str, ...]] = ()

    if not TYPE_CHECKING:  # type checkers get the signature from the fields

        def __init__(self, *values, **named):
            given = dict(zip(self._fields, values, strict=False)) | named
            needed = {name for name in self._fields if not hasattr(type(self), name)}
            if len(given) != len(values) + len(named) or not needed <= given.keys() <= set(self._fields):
                raise TypeError(f"{type(self).__name__} takes {', '.join(self._fields)}")
            self.__dict__.update(given)

        def __setattr__(self, name, value):
            raise AttributeError("a doubt is never changed")

    @property
    def values(self) -> tuple[Any, ...]:
        """The values of all fields but the place, in order."""
        return tuple(getattr(self, name) for name in self._fields[1:])

    def __eq__(self, other: object) -> bool:
        return type(other) is type(self) and self.__dict__ == other.__dict__

    def __hash__(self) -> int:
        return hash((type(self), *self.__dict__.values()))

    def __repr__(self) -> str:
        fields = (f"{name}={getattr(self, name)!r}" for name in self._fields)
        return f"{type(self).__name__}({', '.join(fields)})"


class Doubt(_Values):
    """A place that a reader could not settle. ``span`` comes first, values with a default last.

    ``kind`` is the name of the rule that reports it, the class's own name unless it is given. A ``remark`` is
    about how a page is meant, and nobody need touch the page for it; it stands in no layout's way. ``layout``
    says what the others do.
    """

    span: Span
    kind: ClassVar[str] = ""
    remark: ClassVar[bool] = False
    layout: ClassVar[Layout] = "hindered"
    _fields: ClassVar[tuple[str, ...]] = ("span",)

    def __init_subclass__(cls) -> None:
        cls._fields = (*cls._fields, *cls.__dict__.get("__annotations__", ()))  # noqa: RUF063 - one class's own
        if not cls.kind:
            cls.kind = _WORD_START.sub("-", cls.__name__).lower()
        _KINDS.setdefault(cls.kind, []).append(cls)


def kinds() -> Mapping[str, Sequence[type[Doubt]]]:
    """Every kind of doubt by the name of the rule that reports it, with its records."""
    return _KINDS


# The file as a whole, and its lines.


class Encoding(Doubt):
    """The file is not UTF-8."""

    encoding: str


class Flattened(Doubt):
    """``lines`` lines of a page stand on one."""

    lines: int


class WrappedLines(Doubt):
    """``rows`` string rows were broken at a margin and put together again."""

    rows: int


class HeaderConflict(Doubt):
    """A header line gives a fact a second value; the first one counts."""

    fact: str
    first: str
    second: str


class FactUnclear(Doubt):
    """Words say ``fact`` in a way that was not understood whole: ``understood`` of it counts, nothing where
    that is empty; ``unread`` is the rest."""

    fact: str
    understood: str
    unread: str


class UnreadText(Doubt):
    """Characters that belong to nothing that is known; ``looks`` says what they look like."""

    text: str
    looks: str


class LegendConflict(Doubt):
    """The legend gives one mark two meanings; the first one counts."""

    remark = True
    mark: str
    first: str
    second: str


class LetRingSentence(Doubt):
    """A sentence asks to let notes ring, and marks none."""

    words: str


# The strings of a system.


class NoLabels(Doubt):
    """``rows`` rows carry no names and were read as an instrument's strings, string 1 on top."""

    remark = True
    rows: int
    instrument: str


class OddLabel(Doubt):
    """A row's name is no string's of the instrument; it is empty where only this row has none."""

    layout = "keeps"
    label: str
    instrument: str


class LowestOnTop(Doubt):
    """A system whose top row is string ``top``, its lowest."""

    kind = "label-order"
    remark = True
    top: int


class TwoInstruments(Doubt):
    """Names that are the strings of ``instrument`` from the top, and those of ``other`` from the bottom."""

    kind = "label-order"
    remark = True
    names: str
    instrument: str
    other: str


class StringsExchanged(Doubt):
    """The names of a tuning (from its last string up) in another order than any has; ``label`` is the first
    that stands elsewhere."""

    kind = "label-order"
    remark = True
    label: str
    tuning: str


class StringsLeftOut(Doubt):
    """Only the strings ``drawn`` of ``size`` have a row."""

    kind = "missing-string"
    remark = True
    drawn: tuple[int, ...]
    size: int


class RowLost(Doubt):
    """A system has ``rows`` rows without names, and every other one ``usual``, one more."""

    kind = "missing-string"
    remark = True
    rows: int
    usual: int


class RowTwice(Doubt):
    """A system has ``rows`` rows, and every other one ``usual``, one less."""

    kind = "too-many-rows"
    remark = True
    rows: int
    usual: int


class StackedRows(Doubt):
    """``rows`` rows without names touch each other and were read as systems of ``height``."""

    kind = "too-many-rows"
    remark = True
    rows: int
    height: int


class TuningDisagrees(Doubt):
    """A row is called ``label``, and by the header its string (a number) is tuned to ``note``."""

    remark = True
    label: str
    string: int
    note: str


class UnnamedTuning(Doubt):
    """The strings are tuned to ``strings``, from the last up, which is no tuning that has a name."""

    remark = True
    strings: str


class LabelsChange(Doubt):
    """A row is called ``label``, and was ``before`` in the system before."""

    remark = True
    label: str
    before: str


class UnevenLabels(Doubt):
    """The name of a row is ``columns`` columns wider or narrower than the others and pushes its row."""

    remark = True
    label: str
    columns: int
    wider: bool


class CapoUnclear(Doubt):
    """No fret lies below the capo's: the ``lowest`` one may be counted from the nut."""

    remark = True
    capo: int
    lowest: int


class HOrB(Doubt):
    """A B on a page that also has an H."""


# The characters of a row.


class UnknownSymbol(Doubt):
    """Characters on a string row that are no fret and no mark."""

    symbol: str


class BlankOnString(Doubt):
    """A blank among the hyphens of a row."""

    remark = True


class StrayCharacter(Doubt):
    """Characters that were read as others: a letter as a digit, a long dash as two hyphens."""

    written: str
    meant: str


class LookalikeCharacter(StrayCharacter):
    """The same for dashes and bar lines of another alphabet, which are certain, and as wide."""

    layout = "settles"


class SplitNumber(Doubt):
    """Digits that are no one fret, and the ``frets`` that they were read as."""

    digits: str
    frets: str


class BracketedNote(Doubt):
    """A fret in brackets, ``written`` like that, and the ``reading`` that it got."""

    remark = True
    written: str
    reading: str


class BetweenFrets(Doubt):
    """A harmonic ``written`` as touched between two frets, and the nearer ``fret``."""

    remark = True
    written: str
    fret: str


class SlideOutOrTo(Doubt):
    """The sign of a slide to nowhere that may go to ``fret``."""

    kind = "ambiguous-slide"
    remark = True
    sign: str
    fret: str


class SlideInOrFrom(Doubt):
    """The sign of a slide from nowhere that may come from ``fret``."""

    kind = "ambiguous-slide"
    remark = True
    sign: str
    fret: str


class BendAmount(Doubt):
    """A bend of no size."""

    remark = True


class BanjoFifthString(Doubt):
    """A fret on a banjo's short string, counted from its peg, and what it is ``from_nut``."""

    remark = True
    fret: int
    from_nut: int


# Columns and bars.


class UnevenLines(Doubt):
    """A row of another length than the others of its system, in characters."""

    layout = "settles"
    length: int
    usual: int
    label: str


class MisalignedBarline(Doubt):
    """A row's bar line stands beside those of the other rows, or is missing."""

    missing: bool
    label: str


class MisalignedNotes(Doubt):
    """Notes a column apart that were read as struck together."""

    frets: str


class XInChord(Doubt):
    """An x in a chord, read as a damped note."""

    remark = True


class StrumOrRun(Doubt):
    """``notes`` notes slant over neighbouring strings and were read one after the other."""

    remark = True
    notes: int


class OffGrid(Doubt):
    """A note between the columns that the others of its part keep to, which are ``step`` apart."""

    remark = True
    step: int


class NoBarlines(Doubt):
    """A system without any bar line."""

    remark = True


class UnclosedBar(Doubt):
    """No bar line before the first bar of a system, or after the last."""

    remark = True
    last: bool


class SplitBar(Doubt):
    """A system begins within a bar."""

    layout = "keeps"


class TimeInStaff(Doubt):
    """Two numbers at the beginning of the rows, read as a metre."""

    time: str


class RepeatExtent(Doubt):
    """It is open what is played ``passes`` times: the music before was taken, or none."""

    remark = True
    passes: int
    music_taken: bool = True


# Time.


class RhythmUnclear(Doubt):
    """A bar was read as ``reading``, or perhaps ``other``; ``percent`` is None where it is even notes for
    want of a better reading. So many ``more`` bars of its system are unclear too."""

    percent: int | None
    reading: str
    other: str | None = None
    more: int = 0


class NotesWithoutLetter(Doubt):
    """``bare`` of the ``notes`` of a bar have no duration letter, though the others and the other bars have;
    it was read as ``reading``."""

    kind = "letters-mismatch"
    layout = "keeps"
    bare: int
    notes: int
    reading: str


class LettersWithoutNote(Doubt):
    """``letters`` duration letters of a bar stand over no note, as few do elsewhere; they were read as
    rests."""

    kind = "letters-mismatch"
    layout = "keeps"
    letters: int


class LettersBeside(Doubt):
    """``letters`` duration letters of a bar stand away from their notes, as they do over few other bars;
    they were given to the notes in order."""

    kind = "letters-mismatch"
    layout = "keeps"
    letters: int


class TimeDisagrees(Doubt):
    """The written metre, and the one that ``bars`` bars show and were read in."""

    layout = "keeps"
    written: str
    shown: str
    bars: int


class BeatsMismatch(Doubt):
    """The counts of a bar that stand away from their notes; none where the whole row does not fit."""

    apart: str
    time: str


# MusicXML.


class TuningMissing(Doubt):
    """A tab staff that does not say its tuning, and the instrument that it was read as."""

    instrument: str
