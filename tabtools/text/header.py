"""What a page says about itself in words: title, tuning, capo, metre, key, tempo."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import NamedTuple

from tabtools.document import Defaults
from tabtools.instrument import GUITAR, TUNINGS, Tuning
from tabtools.score import Key, Tempo, TimeSignature
from tabtools.source import Span
from tabtools.text.clean import Line
from tabtools.theory.key import parse_key

# Words that also begin sentences need the colon to be a field.
_FIELD = re.compile(
    r"(?:(?P<named>title|composer|author|instrument)[ ]*[:=]"
    r"|(?P<name>tuning|tuned?(?: to)?|capo|time(?: sig(?:nature)?)?|met(?:re|er)|key(?: of)?|tempo)"
    r"\b[ ]*[:=]?)[ ]*(?P<value>.*)",
    re.IGNORECASE,
)
# A metre stands alone between commas or brackets, or with one of these words: 3/4 of a bar is none. A
# numerator of 1 is a bend or a note value.
_TIME = re.compile(
    r"(?:(?:time|meter|metre)\b(?: sig\w*)?[ :=]*|in )?([2-9]|1\d)/(2|4|8|16)(?: (?:time|feel|waltz))?",
    re.IGNORECASE,
)
_ITEMS = re.compile(r"[^,;()]+")
_KEY_IN_WORDS = re.compile(
    r"(?:.*\b(?:key(?: of)?|in) )?([A-H](?:#|b)? ?(?:minor|major|m))|.*\bkey(?: of)? ([A-H](?:#|b)?)",
    re.IGNORECASE,
)
_CAPO = re.compile(
    r"\bcapo\b\D{0,12}?(?P<fret>\d{1,2}|VII|VI|IV|V|III|II|I|none|no\b)|\b(?P<none>no capo)\b", re.IGNORECASE
)
_TEMPO = re.compile(
    r"(?:(?P<dotted>dotted )?(?P<beat>quarter|half|eighth|♩|q)(?: note)?[ ]*=[ ]*)?(?P<number>\d{2,3})",
    re.IGNORECASE,
)
_STRINGS = re.compile(
    r"(?:[A-Ga-g](?:#|b|s)?\d?)(?:[ ,\-]*[A-Ga-g](?:#|b)?\d?){2,11}(?=$|[ ).,;])",
)
_STRING = re.compile(r"([A-Ga-g])(#|b)?(\d)?")
_ROMAN = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6, "VII": 7}
BEATS = {"half": Fraction(2), "quarter": Fraction(1), "eighth": Fraction(1, 2)}
_INSTRUMENTS = {
    "ukulele": "Ukulele",
    "uke": "Ukulele",
    "banjo": "Banjo",
    "mandolin": "Mandolin",
    "tenor guitar": "Tenor guitar",
    "bass": "Bass",
    "guitar": "Guitar",
}


class StringName(NamedTuple):
    """An open string as a header or a label names it: letter with accidental, octave where given."""

    letter: str
    octave: int | None = None
    lower: bool = False


class Header(NamedTuple):
    """The header facts of a page; None where it says nothing.

    ``strings`` are the open strings that it spells, from the last string to string 1; ``named`` is the
    row of the table of tunings that it names; ``assumed`` is the user's, where neither header nor labels
    say anything.
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


def read_header(prose: Iterable[Line]) -> Header:
    """The header of a page from the lines that belong to no system, in order; the first value wins."""
    header = Header()
    for line in prose:
        for text, column in _pieces(line.text):
            header = _with_piece(header, line, text, column)
    return header


def with_defaults(header: Header, defaults: Defaults) -> Header:
    """The header with the user's key, metre and tuning where it gives none itself."""
    strings = defaults.tuning
    known = [row for row in TUNINGS if row.strings == strings]
    assumed = known[0] if known else Tuning(GUITAR.name, (), strings) if strings else None
    return header._replace(key=header.key or defaults.key, time=header.time or defaults.time, assumed=assumed)


def later_header(header: Header, later: Header) -> Header:
    """The header that holds from a place on where a second one stands: one that names a tuning.

    With another tuning another instrument begins, so that key and capo are those that it says or none.
    Title and composer are the page's.
    """
    if later.tuning_span is None or header.tuning_span is None:
        return header
    if later.tuning_span.start <= header.tuning_span.start:
        return header
    own = {name: value for name, value in later._asdict().items() if value not in (None, ())}
    if (later.strings, later.named, later.instrument) == (header.strings, header.named, header.instrument):
        return header._replace(**own)
    return later._replace(title=header.title, composer=header.composer, time=later.time or header.time)


def is_header(text: str) -> bool:
    """Whether a line says something that `read_header` reads (a bare title does not count)."""
    return any(_FIELD.match(piece) for piece, _ in _pieces(text))


def string_names(text: str) -> tuple[StringName, ...]:
    """Open strings spelled in a text, in its order: ``EADGBE``, ``D A D G B E``, ``Eb-Ab-Db-Gb-Bb-Eb``."""
    match = _STRINGS.match(text.strip())
    if match is None:
        return ()
    return tuple(
        StringName(step.upper() + (accidental or ""), int(octave) if octave else None, lower=step.islower())
        for step, accidental, octave in _STRING.findall(match.group())
    )


def _pieces(text: str) -> Iterator[tuple[str, int]]:
    """The fields of a line: two blanks or more part them."""
    for match in re.finditer(r"\S+(?: \S+)*", text):
        yield match.group(), match.start()


def _with_piece(header: Header, line: Line, text: str, column: int) -> Header:
    span = line.span(column, column + len(text))
    match = _FIELD.match(text)
    if match is None:
        return _with_words(header, text, span)
    name, value = (match["named"] or match["name"]).lower(), match["value"].strip()
    if name == "title":
        return header._replace(title=header.title or value or None)
    if name in ("composer", "author"):
        return header._replace(composer=header.composer or value or None)
    if name == "instrument":
        header = header._replace(instrument=header.instrument or _instrument(value))
    elif name.startswith("tun"):
        header = _with_tuning(header, value, span)
    elif name.startswith("key"):
        header = header._replace(key=header.key or _leading_key(value))
    elif name == "tempo":
        header = header._replace(tempo=header.tempo or read_tempo(value, span))
    # One line often says several things: tuning, capo and metre divided by commas.
    return _with_words(header, text, span)


def _leading_key(value: str) -> Key | None:
    """The key that a text begins with: the longest run of words that is one."""
    words = value.split()
    keys = (parse_key(" ".join(words[:count]).strip("().,;")) for count in (3, 2, 1) if count <= len(words))
    return next((key for key in keys if key is not None), None)


def _with_words(header: Header, text: str, span: Span) -> Header:
    """Facts inside running words, each only where nothing else can be meant."""
    for item in _ITEMS.findall(text):
        header = _with_item(header, item.strip(" ."))
    if header.capo is None:
        header = header._replace(capo=_capo(text))
    if header.tempo is None and re.search(
        r"\d\s*bpm|(?:quarter|♩|half|eighth)\s*=\s*\d", text, re.IGNORECASE
    ):
        header = header._replace(tempo=read_tempo(text, span))
    if header.instrument is None:
        header = header._replace(instrument=_instrument(text, whole=True))
    if header.named is None and not header.strings:
        lower = text.lower()
        if "tuning" in lower or "tune" in lower or "drop" in lower or "dadgad" in lower:
            header = _with_tuning(header, text, span)
    return header


def _with_item(header: Header, item: str) -> Header:
    """Metre and key, which stand alone between commas or brackets."""
    if header.time is None and (time := _TIME.fullmatch(item)):
        header = header._replace(time=TimeSignature(int(time[1]), int(time[2])))
    if header.key is None and (key := _KEY_IN_WORDS.fullmatch(item)):
        header = header._replace(key=parse_key(key[1] or key[2]))
    return header


def _with_tuning(header: Header, value: str, span: Span) -> Header:
    if header.strings or header.named is not None:
        return header
    strings = string_names(value)
    named = None if len(strings) > 3 else _named_tuning(value, header.instrument)
    if named is None and not strings:
        return header
    return header._replace(strings=strings, named=named, tuning_span=span)


def _named_tuning(value: str, instrument: str | None) -> Tuning | None:
    """The row of the table whose name stands in the value; the longest name wins."""
    lower = value.lower()
    best: tuple[int, Tuning] | None = None
    for tuning in TUNINGS:
        if tuning.instrument != (instrument or "Guitar"):
            continue
        for name in tuning.names:
            found = re.search(rf"(?<![a-z]){re.escape(name)}(?![a-z])", lower)
            if found and (best is None or len(name) > best[0]):
                best = (len(name), tuning)
    return best[1] if best else None


def _instrument(text: str, *, whole: bool = False) -> str | None:
    lower = text.lower().strip(" .,:;")
    for word, name in _INSTRUMENTS.items():
        if lower == word or (not whole and re.search(rf"\b{word}\b", lower)):
            return name
    return None


def _capo(text: str) -> int | None:
    match = _CAPO.search(text)
    if match is None:
        return None
    fret = match["fret"]
    if fret is None or fret.lower() in ("no", "none"):
        return 0
    return int(fret) if fret.isdigit() else _ROMAN[fret.upper()]


def read_tempo(text: str, span: Span) -> Tempo | None:
    """A tempo such as ``96``, ``96 bpm``, ``quarter = 84``, ``dotted quarter = 60``; None for other words."""
    match = _TEMPO.search(text)
    if match is None or not int(match["number"]):
        return None
    beat = BEATS.get((match["beat"] or "quarter").lower(), Fraction(1))
    if match["dotted"]:
        beat = beat * 3 / 2
    return Tempo(Fraction(int(match["number"])), beat, span)
