"""What a page says about itself in words: title, tuning, capo, metre, key, tempo."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import lru_cache

from tabtools.document import Defaults
from tabtools.instrument import GUITAR, INSTRUMENTS, TUNINGS, Tuning, instrument_named
from tabtools.record import NamedTuple
from tabtools.score import Key, Tempo, TimeSignature
from tabtools.source import Span
from tabtools.text.page.clean import Line
from tabtools.text.page.header_fields import Field, field_of
from tabtools.text.page.header_words import (
    BEATS,
    CAPO,
    FRET_WORDS,
    INSTRUMENT_STATED,
    INSTRUMENT_STEMS,
    ITEMS,
    KEY_IN_WORDS,
    LOW_ON_TOP,
    OPEN_TUNING,
    RHYTHM_IN_WORDS,
    SUNG_IN_RUSSIAN,
    TEMPO,
    TEMPO_IN_WORDS,
    TIME,
    TIME_IN_WORDS,
    TIME_SAID,
    WALTZ,
)
from tabtools.text.page.string_names import BARE_TUNING, StringName, string_names
from tabtools.text.page.tuning import read_tuning
from tabtools.text.page.tuning_words import says_tuning, tuning_in_words
from tabtools.text.patterns import lazy
from tabtools.theory.chord import parse_chord
from tabtools.theory.key import parse_key

# One of these is in whatever says how the strings are tuned.
_TUNING = (
    "tuning|tune|drop|dadgad|low g|low-g|high g|high-g|step down|semitone|afina|stimmung|accord|stroj|strój"
    "|laden|laděn|строй|настройка|scordatura|halbton|medio tono|demi-ton|mezzo tono|meio tom"
)
_TUNING_WORDS = tuple(_TUNING.split("|"))
# One of these is in what else tunes a string.
_SAYING = ("standard", "=", "string", "lower", "saite", "cuerda", "corda", "corde")
_FIELDS = lazy(r"\S+(?: \S+)*")
_SINGLE = lazy(r"\S+")
_ALL_FACTS = lazy(
    rf"\s*(?:{'|'.join(word for word in INSTRUMENTS if ' ' not in word)})"
    rf"(?:\s+(?:{BARE_TUNING}|[2-9]/[248]|1\d/8))+\s*",
    re.IGNORECASE,
    needs=INSTRUMENT_STEMS,
)
_SPELLED = lazy(BARE_TUNING)
# What may stand before the strings: (low to high):
_BEHIND = lazy(r"^[^:]*(?:[:]|low to high\)?)\s*|^[^(]*\((?=[A-G]\b)", re.IGNORECASE)
# Fields whose value says nothing else, whatever its words.
_NAMES = ("title", "composer")
# What may stand around one of the things that a line says.
_AROUND = " .-…!~*/·\"“”„'‘’"
_CHORDS = lazy(r"\s*[\[(]?[A-H]\S{0,8}(?:\s+[\[(]?[A-H]\S{0,8})*\s*")
# Where a list goes on without a comma: Am, C and G.
_LISTED = lazy(r" (?:and|or|y|e|et|und|&|-+>?) |\s{2,}")


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


def read_header(prose: Iterable[Line]) -> Header:
    """The header of a page from the lines that belong to no system, in order; the first value wins."""
    header, waltz = Header(), False
    for line in prose:
        waltz = waltz or WALTZ.fullmatch(line.text) is not None
        if _says_nothing(line.text, header.instrument):
            continue
        for text, column in _pieces(line.text):
            header = _with_piece(header, line, text, column)
            if header.instrument and header.tuning_span is None and _SPELLED.fullmatch(text):
                header = _with_tuning(header, text, line.span(column, column + len(text)))
    return header._replace(time=TimeSignature(3, 4)) if waltz and header.time is None else header


@lru_cache(maxsize=1024)
def _says_nothing(text: str, instrument: str | None) -> bool:
    """Whether a line is chords, or prose that tells none of a header's facts; most lines of a page are, and
    many come again."""
    if are_chords(text):
        return True
    line, nothing = Line(0, text, 0), Header(instrument=instrument)
    return all(
        _SPELLED.fullmatch(piece) is None and _with_piece(nothing, line, piece, column) == nothing
        for piece, column in _pieces(text)
    )


def with_defaults(header: Header, defaults: Defaults) -> Header:
    """The header with the user's key, metre and tuning where it gives none itself."""
    strings = defaults.tuning
    known = [row for row in TUNINGS if row.strings == strings]
    assumed = known[0] if known else Tuning(GUITAR.name, (), strings) if strings else None
    return header._replace(key=header.key or defaults.key, time=header.time or defaults.time, assumed=assumed)


def names_tuning(text: str) -> bool:
    """Whether a line can say how the strings are tuned; most lines of prose cannot."""
    folded = text.casefold()
    if any(word in folded for word in _TUNING_WORDS):
        return True
    return any(word in folded for word in _SAYING) and says_tuning(text)


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
    own = {
        name: value
        for name, value in later._asdict().items()
        if value not in (None, ()) and value is not False
    }
    if (later.strings, later.named, later.instrument) == (header.strings, header.named, header.instrument):
        return header._replace(**own)
    return later._replace(
        title=header.title,
        composer=header.composer,
        time=later.time or header.time,
        low_on_top=later.low_on_top or header.low_on_top,
    )


@lru_cache(maxsize=1024)
def is_header(text: str) -> bool:
    """Whether a line says something that `read_header` reads (a bare title does not count)."""
    return _ALL_FACTS.fullmatch(text) is not None or any(field_of(piece) for piece, _ in _pieces(text))


def are_chords(text: str) -> bool:
    """Whether a line may be chords over words, where a lone Am is no key."""
    return _CHORDS.fullmatch(text) is not None and all(
        parse_chord(word.strip("[]()") if word[0] in "[(" else word) for word in text.split()
    )


@lru_cache(maxsize=1024)
def says_fact(text: str) -> bool:
    """Whether a line says a tempo, a capo, or a metre or key among other things, in whatever words: one that
    touches a system is a header too."""
    if '"' in text or are_chords(text):
        return False  # a remark in quotation marks is one, whatever it says
    if TEMPO_IN_WORDS.search(text) or _capo(text) is not None:
        return True
    items = [item.strip(_AROUND) for item in ITEMS.findall(text)]
    return len(items) > 1 and any(TIME.fullmatch(item) or KEY_IN_WORDS.fullmatch(item) for item in items[1:])


def says_feel(text: str) -> bool:
    """Whether a line begins with how notes are felt and is no title: ``Swing feel, q = 120``."""
    first = next(iter(ITEMS.findall(text)), "").strip(_AROUND)
    return RHYTHM_IN_WORDS.fullmatch(first) is not None and (first != text or " " in first)


def _pieces(text: str) -> Iterator[tuple[str, int]]:
    """The fields of a line: two blanks or more part them, and single ones where an instrument, its strings
    and the metre are all that it says: ``Mandolin GDAE 6/8``."""
    parted = _SINGLE if _ALL_FACTS.fullmatch(text) else _FIELDS
    for match in parted.finditer(text):
        yield match.group(), match.start()


def _with_piece(header: Header, line: Line, text: str, column: int) -> Header:
    """One line often says several things: tuning, capo and metre divided by commas."""
    span = line.span(column, column + len(text))
    field = field_of(text)
    if field is not None:
        if field.fact == "rhythm":
            return header._replace(rhythm=(*header.rhythm, line.text[column:].partition(":")[2].strip()))
        header = _with_field(header, field, span)
        if field.fact in _NAMES:
            return header
    return _with_words(header, text, span, line.text)


def _with_field(header: Header, field: Field, span: Span) -> Header:
    name, value = field
    if name == "title":
        return header._replace(title=header.title or _without_reply(value) or None)
    if name == "composer":
        return header._replace(composer=header.composer or value or None)
    if name == "instrument":
        return header._replace(instrument=header.instrument or instrument_named(value))
    if name == "tuning":
        return _with_tuning(_with_named_tuning(header, value, span), value, span)
    if name == "key":
        return header._replace(key=header.key or _leading_key(value))
    if name == "time":
        return _with_item(header, value.strip(_AROUND), "")
    if name == "tempo":
        return header._replace(tempo=header.tempo or read_tempo(value, span))
    return header


def _without_reply(value: str) -> str:
    return re.sub(r"(?:(?:re|fwd?|aw|tab): *)+", "", value, flags=re.IGNORECASE)


def _leading_key(value: str) -> Key | None:
    """The key that a text begins with: the longest run of words that is one."""
    words = [SUNG_IN_RUSSIAN.get(word.lower(), word) for word in value.split()]
    words = words[words[0] in ("de", "di", "da") :] if words else words
    keys = (
        parse_key(" ".join(words[:count]).partition("/")[0].strip("().,;"))
        for count in (3, 2, 1)
        if count <= len(words)
    )
    return next((key for key in keys if key is not None), None)


def _with_words(header: Header, text: str, span: Span, whole: str) -> Header:
    """Facts inside running words, which are a piece of the ``whole`` line, each only where nothing else can
    be meant."""
    for found in ITEMS.finditer(text):
        item = found.group().strip(_AROUND)
        if found.start() and (field := field_of(item)) and field.fact not in _NAMES:
            header = _with_field(header, field, span)
        header = _with_item(header, item, whole)
        if RHYTHM_IN_WORDS.fullmatch(item):
            header = header._replace(rhythm=(*header.rhythm, item))
        if header.tuning_span is None and OPEN_TUNING.fullmatch(item):
            header = _with_tuning(header, item, span)
        if header.instrument is None and (stated := INSTRUMENT_STATED.fullmatch(item)):
            header = header._replace(instrument=INSTRUMENTS[stated["name"].lower()])
    if header.time is None and (said := TIME_SAID.search(text)):
        header = header._replace(
            time=TimeSignature(int(said["beats"] or said["b"]), int(said["unit"] or said["u"]))
        )
    if not header.low_on_top and LOW_ON_TOP.search(text):
        header = header._replace(low_on_top=True)
    if header.capo is None:
        header = header._replace(capo=_capo(text))
    if header.tempo is None and (said := TEMPO_IN_WORDS.search(text)):
        header = header._replace(tempo=read_tempo(text[said.start() :], span))
    if header.instrument is None:
        header = header._replace(instrument=instrument_named(text, whole=True))
    if header.named is None and not header.strings and names_tuning(text):
        header = _with_tuning(header, text, span)
    return header


def _with_item(header: Header, item: str, whole: str) -> Header:
    """Metre and key, which stand alone between commas or brackets of a line; a lone Am among other chords is
    none."""
    if header.time is None:
        if time := TIME.fullmatch(item):
            header = header._replace(time=TimeSignature(int(time[1]), int(time[2])))
        elif words := TIME_IN_WORDS.get(item.lower()):
            header = header._replace(time=TimeSignature(*words))
    if header.key is None and (key := KEY_IN_WORDS.fullmatch(item)) and not _among_chords(item, whole):
        header = header._replace(key=parse_key(key[key.lastindex or 0]))
    return header


def _among_chords(item: str, whole: str) -> bool:
    """Whether a key by its letters alone, as in Em, is one of several chords that a line lists."""
    return parse_chord(item) is not None and _lists_chords(whole)


@lru_cache(maxsize=256)
def _lists_chords(whole: str) -> bool:
    listed = (_LISTED.split(found.group().strip(_AROUND)) for found in ITEMS.finditer(whole))
    return sum(parse_chord(name) is not None for names in listed for name in names) > 1


def _with_tuning(header: Header, value: str, span: Span) -> Header:
    if header.strings or header.named is not None:
        return header
    strings = _spelled_in(value)
    usual = not strings or strings == string_names("EADGBE")
    named = tuning_in_words(value, header.instrument) if usual or len(strings) < 4 else None
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
    named = read_tuning(value.strip(_AROUND), header.instrument)
    return header if named is None else header._replace(named=named, tuning_span=span)


def _capo(text: str) -> int | None:
    match = CAPO.search(text)
    if match is None:
        return None
    fret = match["fret"] or match["before"]
    if fret is None:
        return 0
    return int(fret) if fret.isdigit() else FRET_WORDS[fret.lower()]


def read_tempo(text: str, span: Span) -> Tempo | None:
    """A tempo such as ``96``, ``96 bpm``, ``quarter = 84``, ``dotted quarter = 60``; None for other words."""
    match = TEMPO.search(text)
    if match is None or not int(match["number"]):
        return None
    beat = next((BEATS[word] for word in BEATS if match[word]), Fraction(1))
    if match["dotted"] or match["after"]:
        beat = beat * 3 / 2
    return Tempo(Fraction(int(match["number"])), beat, span)
