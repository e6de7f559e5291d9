"""What a page says about itself: the facts of its lines, put together; the first value of each counts."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from typing import Any, cast

from tabtools.document import Defaults
from tabtools.instrument import GUITAR, TUNINGS, Tuning, instrument_named
from tabtools.record import NamedTuple
from tabtools.score import Key, Tempo, TimeSignature
from tabtools.source import Span
from tabtools.text.page.facts import AROUND
from tabtools.text.page.kinds import Fact, ReadLine
from tabtools.text.page.string_names import StringName, string_names
from tabtools.text.page.tuning import read_tuning
from tabtools.text.page.tuning_words import tuning_in_words
from tabtools.text.patterns import lazy

# What may stand before the strings: (low to high):
_BEHIND = lazy(r"^[^:]*(?:[:]|low to high\)?)\s*|^[^(]*\((?=[A-G]\b)", re.IGNORECASE)


class Header(NamedTuple):
    """The header facts of a page; None where it says nothing.

    ``strings`` are the open strings that it spells, from the last string to string 1; ``named`` is the
    row of the table of tunings that it names; ``assumed`` is the user's, where neither header nor labels
    say anything. ``low_on_top`` says that the last string is the top line. ``rhythm`` is what it says about
    lengths and feel, as written.
    """

    title: str | None = None
    composer: str | None = None
    instrument: str | None = None
    strings: tuple[StringName, ...] = ()
    named: Tuning | None = None
    tuning_span: Span | None = None
    capo: int | None = None
    time: TimeSignature | None = None
    key: Key | None = None
    tempo: Tempo | None = None
    assumed: Tuning | None = None
    low_on_top: bool = False
    rhythm: tuple[str, ...] = ()


_PLAIN = ("title", "composer", "instrument", "capo", "time", "key")


def header_of(lines: Iterable[ReadLine]) -> Header:
    """The header that the facts of lines make, in order; the first value wins. A piece that calls itself a
    waltz is one where nothing gives it a metre."""
    header = Header()
    waltz: TimeSignature | None = None
    for line in lines:
        # A part says its own capo, and no other's.
        for fact in line.facts if line.kind != "part" else ():
            if fact.name == "waltz":
                waltz = cast("TimeSignature", fact.value)
            else:
                header = _with_fact(header, fact, line)
    return header._replace(time=waltz) if header.time is None else header


def _with_fact(header: Header, fact: Fact, line: ReadLine) -> Header:
    name = fact.name
    if fact.value is None:
        return header
    if name in _PLAIN:
        return header if getattr(header, name) is not None else _with(header, {name: fact.value})
    if name == "tempo" and header.tempo is None:
        per_minute, beat = cast("tuple[Fraction, Fraction]", fact.value)
        return header._replace(tempo=Tempo(per_minute, beat, line.line.span(fact.start, fact.end)))
    if name == "low-on-top":
        return header._replace(low_on_top=True)
    if name == "rhythm":
        return header._replace(rhythm=(*header.rhythm, str(fact.value)))
    if name == "tuning" and fact.how == "field":
        header = _with_named_tuning(header, str(fact.value), line.line.span(fact.start, fact.end))
    if name == "tuning" or (name == "strings" and header.instrument):
        return _with_tuning(header, str(fact.value), line.line.span(fact.start, fact.end))
    return header


def _with(header: Header, values: dict[str, Any]) -> Header:
    return header._replace(**values)


def _with_tuning(header: Header, value: str, span: Span) -> Header:
    if header.strings or header.named is not None:
        return header
    strings = _spelled_in(value)
    usual = not strings or strings == string_names("EADGBE")
    played = header.instrument or instrument_named(value)
    named = tuning_in_words(value, played) if usual or len(strings) < 4 else None
    if named is None and not strings:
        return header
    return header._replace(strings=strings, named=named, tuning_span=span)


def _spelled_in(value: str) -> tuple[StringName, ...]:
    """The open strings that a text spells, at its beginning or behind a few words."""
    return string_names(value) or string_names(_BEHIND.sub("", value))


def _with_named_tuning(header: Header, value: str, span: Span) -> Header:
    """The tuning of a field that names one and spells none, where prose of the same words would say none:
    ``Tuning: ukulele``."""
    if header.strings or header.named is not None or _spelled_in(value):
        return header
    named = read_tuning(value.strip(AROUND), header.instrument)
    return header if named is None else header._replace(named=named, tuning_span=span)


def with_defaults(header: Header, defaults: Defaults) -> Header:
    """The header with the user's key, metre and tuning where it gives none itself."""
    strings = defaults.tuning
    known = [row for row in TUNINGS if row.strings == strings]
    assumed = known[0] if known else Tuning(GUITAR.name, (), strings) if strings else None
    return header._replace(key=header.key or defaults.key, time=header.time or defaults.time, assumed=assumed)


def without_tuning(header: Header) -> Header:
    """The header for systems above the line that names its tuning, which does not hold for them."""
    return header._replace(strings=(), named=None, tuning_span=None)


def later_header(header: Header, later: Header) -> Header:
    """The header that holds from a place on where a second one stands: one that names a tuning.

    With another tuning another instrument begins, so that key and capo are those that it says or none.
    Title and composer are the page's.
    """
    if later.tuning_span is None:
        return header
    if header.tuning_span is not None and later.tuning_span.start <= header.tuning_span.start:
        return header
    said = {
        name: value
        for name, value in later._asdict().items()
        if value not in (None, ()) and value is not False
    }
    if (later.strings, later.named, later.instrument) == (header.strings, header.named, header.instrument):
        return header._replace(**said)
    return later._replace(
        title=header.title,
        composer=header.composer,
        time=later.time or header.time,
        low_on_top=later.low_on_top or header.low_on_top,
    )
