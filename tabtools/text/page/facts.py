"""What one line of words says about the page: tuning, capo, metre, key, tempo, instrument, title, author.

A fact is read from its own words and from nothing else on the page; `header` puts the facts of all lines
together.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from tabtools.instrument import INSTRUMENTS, instrument_named
from tabtools.score import Key, TimeSignature
from tabtools.text.page.header_fields import Field, field_of
from tabtools.text.page.header_words import (
    BEATS,
    CAPO,
    FRET_WORDS,
    HEDGED,
    INSTRUMENT_STATED,
    INSTRUMENT_STEMS,
    ITEMS,
    KEY_IN_WORDS,
    LOW_ON_TOP,
    OPEN_TUNING,
    RHYTHM_IN_WORDS,
    SUNG_IN_RUSSIAN,
    TEMPO,
    TEMPO_GUESSED,
    TEMPO_IN_WORDS,
    TEMPO_RANGE,
    TIME,
    TIME_IN_WORDS,
    TIME_SAID,
    WALTZ,
)
from tabtools.text.page.kinds import Fact
from tabtools.text.page.string_names import BARE_TUNING
from tabtools.text.page.tuning_words import says_tuning
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
_FIELDS = lazy(r"\S+(?:(?: |(?<=[:=]) +)\S+)*")
_SINGLE = lazy(r"\S+")
_ALL_FACTS = lazy(
    rf"\s*(?:{'|'.join(word for word in INSTRUMENTS if ' ' not in word)})"
    rf"(?:\s+(?:{BARE_TUNING}|[2-9]/[248]|1\d/8))+\s*",
    re.IGNORECASE,
    needs=INSTRUMENT_STEMS,
)
_SPELLED = lazy(BARE_TUNING)
_LONGEST = 60
# Fields whose value says nothing else, whatever its words.
_NAMES = ("title", "composer")
# What may stand around one of the things that a line says.
AROUND = " .-…!~*/·\"“”„'‘’"
_CHORDS = lazy(r"\s*[\[(]?[A-H]\S{0,8}(?:\s+[\[(]?[A-H]\S{0,8})*\s*")
# Where a list goes on without a comma: Am, C and G.
_LISTED = lazy(r" (?:and|or|y|e|et|und|&|-+>?) |\s{2,}")
# What ends a key in a header, what may stand in and before it, and what says no more about it.
_KEY_STOPS = lazy(
    r"[,;|]|\([^()]*\b(?:capo|shapes?|sound\w*|concert)\b|\s[-–—]\s|\(?\b(?:capo|shapes?)\b", re.IGNORECASE
)
_KEY_AROUND = lazy(r"[*_()\[\]'\"“”]")
_KEY_INTRO = ("de", "di", "da", "is", "of", "in", "the", "key", "=")
_MINORS = ("harmonic", "melodic", "natural")
_KEY_REMARKS = frozenset(
    ("pentatonic", "scale", "blues", "feel", "only", "i", "think", "mostly", "throughout")
)
# Words behind a fact that only say how sure its writer is.
_THINKS = lazy(r" (?:i think|i guess|i believe|or so|probably|please|!)+$", re.IGNORECASE)
_JOINED = lazy(r" (?:and|und|y|et|e) ")
_BARE_FACTS = lazy(r"[A-G][#b]?m?|(?:[2-9]|1\d)/(?:2|4|8|16)|\d{2,3} ?bpm", re.IGNORECASE)
_REPLY = lazy(r"(?:(?:re|fwd?|aw|tab): *)+", re.IGNORECASE)


def facts_of(text: str) -> tuple[Fact, ...]:
    """The facts of a line of words, in order; of chords over words there are none."""
    if are_chords(text):
        return ()
    facts = [fact for piece, column in _pieces(text) for fact in _of_piece(piece, column, text)]
    if WALTZ.fullmatch(text):
        facts.append(Fact("waltz", TimeSignature(3, 4), 0, len(text), "words"))
    return tuple(facts)


def is_header(text: str) -> bool:
    """Whether a line is a field of a header or several, whatever their values."""
    return _ALL_FACTS.fullmatch(text) is not None or any(field_of(piece) for piece, _ in _pieces(text))


def are_chords(text: str) -> bool:
    """Whether a line may be chords over words, where a lone Am is no key."""
    return _CHORDS.fullmatch(text) is not None and all(
        parse_chord(word.strip("[]()") if word[0] in "[(" else word) for word in text.split()
    )


def directs(text: str, facts: tuple[Fact, ...]) -> bool:
    """Whether a line right over a system is about the page or about how to play, by its facts: a tempo, a
    capo, or a metre or key among other things. A remark in quotation marks is one, whatever it says."""
    return '"' not in text and any(
        (fact.name in ("tempo", "capo") and fact.how != "item")
        or (fact.name in ("time", "key") and fact.how == "item" and text[: fact.start].strip(AROUND))
        for fact in facts
    )


def says_feel(text: str) -> bool:
    """Whether a line begins with how notes are felt and is no title: ``Swing feel, q = 120``."""
    first = next(iter(ITEMS.findall(text)), "").strip(AROUND)
    return RHYTHM_IN_WORDS.fullmatch(first) is not None and (first != text or " " in first)


def _pieces(text: str) -> Iterator[tuple[str, int]]:
    """The fields of a line with their columns: two blanks or more part them, and single ones where an
    instrument, its strings and the metre are all that it says: ``Mandolin GDAE 6/8``."""
    words = text.split() if len(text) < _LONGEST else []
    bare = len(words) > 1 and all(map(_BARE_FACTS.fullmatch, words)) and not words[-1].isalpha()
    parted = _SINGLE if bare or _ALL_FACTS.fullmatch(text) else _FIELDS
    for match in parted.finditer(text):
        yield match.group(), match.start()


def _of_piece(piece: str, column: int, line: str) -> Iterator[Fact]:
    """The facts of one field of a line, which often says several things between commas."""
    field = field_of(piece)
    if field is not None and field.fact == "rhythm":
        yield Fact("rhythm", line[column:].partition(":")[2].strip(), column, len(line))
        return
    if field is not None:
        yield from _of_field(field, column, column + len(piece))
        if field.fact in _NAMES:
            return
    yield from _of_words(piece, column, line)
    if _SPELLED.fullmatch(piece):
        yield Fact("strings", piece, column, column + len(piece), "item")


def _of_field(field: Field, start: int, end: int) -> Iterator[Fact]:
    name, value = field
    read: object = None
    unread = ""
    if name == "title":
        read = _REPLY.sub("", value) or None
    elif name == "composer":
        read = value or None
    elif name == "instrument":
        read = instrument_named(value)
    elif name == "tuning":
        read = value
    elif name == "key":
        read, unread = leading_key(value)
    elif name == "tempo":
        read, unread = tempo_named(value), _range(value)
    elif name == "time":
        yield from _of_item(value.strip(AROUND), start, end, "field", "")
    if read is not None or unread:
        yield Fact(name, read, start, end, unread=unread)


def _range(value: str) -> str:
    """The second of two tempos, up to which a writer means to get."""
    match = TEMPO_RANGE.search(value)
    return match["last"] if match else ""


def leading_key(value: str) -> tuple[Key | None, str]:
    """The key that a text begins with, the longest run of words that is one, and what of the text was not
    understood."""
    plain = _KEY_AROUND.sub(" ", _KEY_STOPS.split(value, maxsplit=1)[0])
    words = [SUNG_IN_RUSSIAN.get(word.lower(), word) for word in plain.split()]
    while words and words[0].lower() in _KEY_INTRO:
        words = words[1:]
    kinds = [word for word in words[1:3] if word.lower() in _MINORS]
    if kinds:  # harmonic minor: the mode that it is a form of
        words.remove(kinds[0])
    for place in range(2, min(len(words), 4)):  # a bluesy minor is no major key
        key = parse_key(f"{words[0]} {words[place]}")
        if key is not None and parse_key(" ".join(words[:2])) is None:
            return key, " ".join((*words[1:place], *words[place + 1 :]))
    for count in (3, 2, 1):
        key = parse_key(" ".join(words[:count]).partition("/")[0].strip("().,;"))
        if key is not None and count <= len(words):
            behind = [*(kinds if key.mode != "minor" else ()), *words[count:]]
            return key, " ".join(word for word in behind if word.lower().strip(".,!") not in _KEY_REMARKS)
    return None, plain.strip()


def _of_words(text: str, column: int, line: str) -> Iterator[Fact]:
    """Facts inside running words, which are a piece of a ``line``, each only where nothing else can be
    meant."""
    for match in ITEMS.finditer(text):
        item = match.group().strip(AROUND)
        start, end = column + match.start(), column + match.end()
        if match.start() and (field := field_of(item)) and field.fact not in _NAMES:
            yield from _of_field(field, start, end)
        for part in _JOINED.split(_THINKS.sub("", item)):
            yield from _of_item(part, start, end, "item", line)
        if RHYTHM_IN_WORDS.fullmatch(item):
            yield Fact("rhythm", item, start, end, "item")
        if OPEN_TUNING.fullmatch(item):
            yield Fact("tuning", item, start, end, "item")
        if stated := INSTRUMENT_STATED.fullmatch(item):
            yield Fact("instrument", INSTRUMENTS[stated["name"].lower()], start, end, "item")
    if said := TIME_SAID.search(text):
        beats = int(said["beats"] or said["b"] or said["behind"])
        unit = int(said["unit"] or said["u"] or said["of"])
        yield _said("time", TimeSignature(beats, unit), said, column)
    if said := LOW_ON_TOP.search(text):
        yield _said("low-on-top", value=True, match=said, column=column)
    if said := CAPO.search(text):
        yield _said("capo", _fret(said), said, column)
    if (said := TEMPO_IN_WORDS.search(text)) and (tempo := tempo_named(text[said.start() :])):
        yield _said("tempo", tempo, said, column)
    if name := instrument_named(text, whole=True):
        yield Fact("instrument", name, column, column + len(text), "item")
    if names_tuning(text):
        yield Fact("tuning", text, column, column + len(text), "words")


def _said(name: str, value: object, match: re.Match[str], column: int) -> Fact:
    """A fact that a sentence says; one that speaks of another time or way is not believed, and told."""
    sentence = match.string
    if name != "low-on-top" and HEDGED.search(sentence):
        return Fact(name, None, column, column + len(sentence), "words", sentence.strip())
    return Fact(name, value, column + match.start(), column + match.end(), "words")


def _of_item(item: str, start: int, end: int, how: str, line: str) -> Iterator[Fact]:
    """Metre and key, which stand alone between commas or brackets of a line; a lone Am among other chords is
    none."""
    if time := TIME.fullmatch(item):
        yield Fact("time", TimeSignature(int(time[1]), int(time[2])), start, end, how)
    elif words := TIME_IN_WORDS.get(item.lower()):
        yield Fact("time", TimeSignature(*words), start, end, how)
    if guess := TEMPO_GUESSED.fullmatch(item):
        yield Fact("tempo", (Fraction(int(guess["number"] or guess["ish"])), Fraction(1)), start, end, how)
    match = KEY_IN_WORDS.fullmatch(item)
    key = parse_key(match[match.lastindex or 0]) if match else None
    if key is not None and not (parse_chord(item) is not None and _lists_chords(line)):
        yield Fact("key", key, start, end, how)


def _lists_chords(line: str) -> bool:
    """Whether a line lists several chords, so that Em among them is no key."""
    listed = (_LISTED.split(item.group().strip(AROUND)) for item in ITEMS.finditer(line))
    return sum(parse_chord(name) is not None for names in listed for name in names) > 1


def names_tuning(text: str) -> bool:
    """Whether a line can say how the strings are tuned; most lines of prose cannot."""
    folded = text.casefold()
    if any(word in folded for word in _TUNING_WORDS):
        return True
    return any(word in folded for word in _SAYING) and says_tuning(text)


def _fret(capo: re.Match[str]) -> int:
    fret = capo["fret"] or capo["before"]
    if fret is None:
        return 0
    return int(fret) if fret.isdigit() else FRET_WORDS[fret.lower()]


def tempo_named(text: str) -> tuple[Fraction, Fraction] | None:
    """Beats a minute and the beat in quarter notes of ``96``, ``96 bpm``, ``dotted quarter = 60``; None for
    other words."""
    match = TEMPO.search(text)
    if match is None or not int(match["number"]):
        return None
    beat = next((BEATS[word] for word in BEATS if match[word]), Fraction(1))
    if match["dotted"] or match["after"]:
        beat = beat * 3 / 2
    return Fraction(int(match["number"])), beat
