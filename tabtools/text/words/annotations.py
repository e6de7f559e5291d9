"""What tells the lines around a system apart: chord names, counts, duration letters, marks, sections."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache

from tabtools.text.page.kinds import Token
from tabtools.text.page.marks import ARTICULATIONS, Marks
from tabtools.text.patterns import lazy
from tabtools.text.rows.amounts import BEND_SIZES
from tabtools.text.words.count_row import count_words_in
from tabtools.text.words.fingers import finger_words
from tabtools.text.words.values import read_duration
from tabtools.theory.chord import parse_chord

_WORD = lazy(r"\S+")
_PHRASE = lazy(r"\S+(?: \S+)*")
# A size of a bend with a whole number before its fraction is one word.
_SIZE = lazy(r"1 (?:1/[24]|3/4)(?!\S)|\S+")
# Common practice, no source. Other words before a colon are remarks.
_SONG = (
    "intro|verse|chorus|pre-chorus|refrain|bridge|solo|riff|interlude|turnaround|coda|outro|estribillo|estrofa"
    "|strophe|couplet|strofa|ritornello|refrão|verso"
)
_SONG_WORDS = frozenset(_SONG.split("|"))
_SECTION_WORDS = _SONG_WORDS | {"lick", "fill", "break", "theme", "head", "ending", "exercise", "section"}
_DRAWN_SECTION = lazy(
    r"\[(?P<name>[^\[\]]+)\]:?|-{2,} ?(?P<ruled>[A-Za-z][^-]*?) ?-{2,}"
    r"|\*\*+ ?(?P<starred>[A-Za-z][^*]*?) ?\*\*+|\((?P<round>[A-Z])\):?|(?P<letter>[A-Z])\)"
)
_SAID_SECTION = lazy(
    r"(?P<open>\()?(?P<name>(?P<word>[^\W\d_]+(?:-[^\W\d_]+)?)(?: (?:\d+|[A-Za-z]))?)"
    r"(?(open)\):?|(?P<colon>:)?)"
)
# Asks to play something, and is no label: [play Riff 1 again].
_ASKING = lazy(r"\[(?:play|repeat|same|as|back|go|continue)\b", re.IGNORECASE)
# Where a repeat count may begin behind the name of a section.
_COUNTED = lazy(r"(?<=[\]:*)\w-])\s+(?=[(\[]?[A-Za-z\d])")
_LONGEST_LABEL = 80
# What every repeat count has.
_NUMBER = lazy(r"\d|twice|bis", re.IGNORECASE)
_LABELLED = lazy(r"(?P<label>\[[^\[\]]+\])[ ]+\w")
_TIMES_WORD = r"times|x|veces|vezes|volte|fois|mal|razy?|krát|раза?"
_PLAY_WORD = (
    r"play|repeat|tocar|repetir|jouer|répéter|spielen|wiederholen|suonare|ripetere|hrát|opakovat|grać|powtórzyć"
    r"|играть|повторить|raz"
)
_TIMES = lazy(
    rf"[(\[]?(?:x ?(?P<x>\d+)|(?P<n>\d+) ?x(?: spielen)?|(?P<bis>bis|twice)"
    rf"|(?:(?:à|a|da|se) )?(?:{_PLAY_WORD}) (?:x ?)?(?P<p>\d+|twice)(?: (?:{_TIMES_WORD})| ?x)?"
    rf"|(?P<t>\d+) (?:{_TIMES_WORD})|(?:くり?返し|くりかえし|繰り?返し)?(?P<jp>\d+)回(?:\D{{0,8}}))[)\]]?",
    re.IGNORECASE,
    needs=(
        "回",
        *_PLAY_WORD.split("|"),
        "bis",
        "twice",
        "x",
        "times",
        "veces",
        "vezes",
        "volte",
        "fois",
        "mal",
        "krát",
        "раз",
    ),
)
# The same inside a sentence, where only a word for playing makes it one.
_TIMES_SAID = lazy(
    rf"[(\[]?(?:{_PLAY_WORD})\b[^.;]{{0,20}}?\b(?P<p>\d+|twice) ?(?:{_TIMES_WORD})\b.*",
    re.IGNORECASE,
    needs=tuple(_PLAY_WORD.split("|")),
)
_PART = lazy(
    r"part: (?P<given>.+)|(?P<name>(?:gtr|guitar|lead|rhythm|bass|ukulele|banjo|mandolin|part)\.?"
    r"(?: (?:\d+|[IVX]+))?(?: ?\([\w ,.'#/-]+\))?):?",
    re.IGNORECASE,
    needs=("part", "gtr", "guitar", "lead", "rhythm", "bass", "ukulele", "banjo", "mandolin"),
)
# A root and the letters, figures and signs of chord symbols in any order, as in Gmja7.
_SLIP = lazy(r"[A-GH][#b♯♭]?[majindusgoM°øΔ+#b()0-9-]{1,9}(?:/[A-GH][#b♯♭]?)?")
_FIGURE = lazy(r"[2-79]|1[13]|maj|min|sus|dim|aug")
# Beside chords that are known, a word with a figure is a slip for one whatever else is in it.
_AMONG = lazy(r"[A-Z](?=\D{0,6}\d)[\w#♯♭°øΔ+()/-]{1,9}")
_ENDING = lazy(
    r"(?:\|(?P<ruled>\d)\.?(?:-{2,}|(?=\s|$))|\[(?P<boxed>[1-9])\][-_]*|[\[(]?(?P<pass>\d)\.[ _\-]*[\])]?"
    r"|[\[(|]?(?P<nth>[1-9])(?:st|nd|rd|th)(?: (?:time|ending))?(?:[:\])]| ?[-_]+)*)\|?",
    re.IGNORECASE,
)
# Where the hand lies, beside marks.
_POSITION = lazy(r"(?<!\S)[IVX]+(?!\S)")
_TRIPLET = lazy(r"(?<!\S)[|\[]?-+ ?3 ?-+[|\]]?(?!\S)")
_THREE = "3"
# Letters of a triplet: (e e e)3.
_GROUP = lazy(r"\((?P<letters>[whqestr.]+(?:\s+[whqestr.]+)+)\)\s?3(?!\S)")
_DOTTED = lazy(r"[^.]+\.*|\.+")
# The number of an ending, among chords.
PASS = lazy(r"(?<!\S)(?P<pass>[1-9])\.[_-]*(?!\S)")
_DOTS = lazy(r"\s*(?:\.(?:\s+\.)*|_(?:\s+_)*|m(?:\s+m)+)\s*")
_REACH = r"(?P<reach>(?:[ ]{0,3}[-~_.])+(?:[ ]{0,3}[|>\])])?)?"


# What may stand between chords: bar lines, arrows, signs and words for a bar once more.
_BETWEEN_CHORDS = frozenset(("|", "||", "%", "->", "/", "(same)", "(sim.)", "(simile)", "etc."))


def around_kind(text: str) -> tuple[str, tuple[Token, ...]]:
    """The kind of a line near a system, a key of `KINDS`, and its words, whatever the marks of its page; a
    line that is nothing else is ``words``."""
    words = tuple(Token(m.group(), m.start(), m.end()) for m in _WORD.finditer(text))
    for kind, test in _TESTS:
        if tokens := test(text, words):
            return kind, tokens
    return "words", tuple(Token(m.group(), m.start(), m.end()) for m in _PHRASE.finditer(text))


def repeat_count(text: str) -> int | None:
    """The number of passes in ``x2``, ``(2x)``, ``play 3 times``, ``repeat x4``; None for anything else."""
    match = _TIMES.fullmatch(text.strip())
    if match is None:
        return None
    return _passes(match)


def repeat_said(text: str) -> int | None:
    """The number of passes that a line says in words: ``(tocar 2 veces)``, ``play it 3 times``."""
    match = _TIMES_SAID.fullmatch(text.strip()) or _TIMES.fullmatch(text.strip())
    return _passes(match) if match else None


def repeat_beside(text: str) -> int | None:
    """The number of passes that the last words of a line of chords give: ``play 3 times``, ``x2``."""
    for match in _PHRASE.finditer(text):
        if passes := repeat_count(match.group()):
            return passes
    return None


def _passes(match: re.Match[str]) -> int | None:
    number = next(group for group in match.groups() if group is not None)
    passes = 2 if number.lower() in ("twice", "bis") else int(number)
    return passes if 1 < passes < 100 else None


def section_name(text: str) -> str | None:
    """The name in ``[Verse]``, ``-- Riff 1 --``, ``** Solo **``, ``(Intro)``, ``Riff 1:`` or ``A)``; None for
    anything else."""
    text = text.strip()
    if drawn := _DRAWN_SECTION.fullmatch(text):
        name = str(drawn[drawn.lastgroup or 0]).strip()
        return None if _ASKING.match(text) or not any(map(str.isalpha, name)) else name
    said = _SAID_SECTION.fullmatch(text)
    if said is None:
        return None
    known = _SECTION_WORDS if said["open"] or said["colon"] else _SONG_WORDS
    return said["name"] if said["word"].lower() in known else None


def section_said(text: str) -> str | None:
    """The name of a section also where words or a repeat count stand behind it: ``[Riff A] softly``."""
    match = _LABELLED.match(text)
    return section_name(match["label"]) if match else section_times(text)[0]


def section_times(text: str) -> tuple[str | None, int]:
    """The name of a section, and the number of passes where one is said behind it, as in ``[Intro] x4``."""
    # No label is longer, and prose may be a million words in a line.
    cuts = _COUNTED.finditer(text) if len(text) < _LONGEST_LABEL and _NUMBER.search(text) else ()
    for cut in (match.start() for match in cuts):
        name, passes = section_name(text[:cut]), repeat_count(text[cut:].rstrip(" :"))
        if name and passes:
            return name, passes
    return section_name(text), 0


def _section(text: str, words: tuple[Token, ...]) -> tuple[Token, ...]:
    name, _ = section_times(text)
    # A chord may stand in brackets over its note; at the margin it is a section's letter.
    if name is None or (words[0].start > 0 and parse_chord(name)):
        return ()
    return (Token(name, words[0].start, words[-1].end),)


def _part(text: str, words: tuple[Token, ...]) -> tuple[Token, ...]:
    match = _PART.fullmatch(text.strip())
    return (Token(match["given"] or match["name"], words[0].start, words[-1].end),) if match else ()


def _times(text: str, words: tuple[Token, ...]) -> tuple[Token, ...]:
    return words if repeat_count(text) is not None else ()


def _counts(text: str, words: tuple[Token, ...]) -> tuple[Token, ...]:
    return tuple(Token(word, at, at + len(word)) for word, at in count_words_in(text))


def _fingers(text: str, words: tuple[Token, ...]) -> tuple[Token, ...]:
    return tuple(Token(word, at, at + len(word)) for word, at in finger_words(text))


def _letters(text: str, words: tuple[Token, ...]) -> tuple[Token, ...]:
    # Capitals too, where one of them can be nothing else: the others are chords or marks of techniques.
    if text.isupper() and any(word.text[0] == "Q" for word in words):
        words = tuple(word._replace(text=word.text.lower()) for word in words)
    groups = tuple(Token(_THREE, m.start(), m.end()) for m in _GROUP.finditer(text)) if "(" in text else ()
    if groups:
        plain = _GROUP.sub(lambda match: f" {match['letters']}".ljust(len(match.group())), text)
        words = tuple(Token(m.group(), m.start(), m.end()) for m in _WORD.finditer(plain))
    words = tuple(piece for word in words for piece in _at_dots(word))
    letters = [read_duration(word.text) is not None for word in words]
    if not any(letters):
        return ()
    pairs = list(zip(words, letters, strict=True))
    if not all(letter or _TRIPLET.fullmatch(word.text) for word, letter in pairs):
        return ()
    return groups + tuple(word if letter else Token(_THREE, *word[1:]) for word, letter in pairs)


def _at_dots(word: Token) -> tuple[Token, ...]:
    """The letters of a word: behind a dotted one, the next may follow without a blank, as in ``q.s``."""
    if "." not in word.text[1:-1] or read_duration(word.text):
        return (word,)
    start = word.start
    return tuple(
        Token(piece.group(), start + piece.start(), start + piece.end())
        for piece in _DOTTED.finditer(word.text)
    )


def _tuplets(text: str, words: tuple[Token, ...]) -> tuple[Token, ...]:
    """Brackets over three notes each: ``|-3-|``, ``--3--``, ``[-3-]``."""
    found = tuple(Token(_THREE, m.start(), m.end()) for m in _TRIPLET.finditer(text))
    return found if not _TRIPLET.sub("", text).strip() else ()


def _amounts(text: str, words: tuple[Token, ...]) -> tuple[Token, ...]:
    if words and words[0].text in BEND_SIZES:
        words = tuple(Token(m.group(), m.start(), m.end()) for m in _SIZE.finditer(text))
    return words if all(word.text in BEND_SIZES for word in words) else ()


def _endings(text: str, words: tuple[Token, ...]) -> tuple[Token, ...]:
    found = list(_ENDING.finditer(text))
    rest = _ENDING.sub("", text).strip()
    return (
        tuple(Token(m[m.lastgroup or 0], m.start(), m.start() + len(m.group().rstrip())) for m in found)
        if found and not rest
        else ()
    )


def _chords(text: str, words: tuple[Token, ...]) -> tuple[Token, ...]:
    """Every word a chord, or a slip for one; bar lines, a repeat sign and a count may stand between."""
    found, slips = [], 0
    if len(words) > 2 and (count := _said_after(text)):
        words = tuple(word for word in words if word.start < count)
    for word in words:
        name = word.text[1:-1] if word.text[0] + word.text[-1] in ("()", "[]") else word.text
        if word.text in _BETWEEN_CHORDS or repeat_count(word.text) or PASS.fullmatch(word.text):
            continue
        if parse_chord(name) is None:
            slips += 1
            if not _SLIP.fullmatch(name) and not (len(words) > 1 and _AMONG.fullmatch(name)):
                return ()
        found.append(Token(name, word.start, word.end))
    # A word alone may be anything, unless a figure in it tells that it was to be a chord.
    plain = slips and slips == len(found) and not any(_FIGURE.search(token.text) for token in found)
    return () if plain or 2 * slips > len(found) > 1 else tuple(found)


def _said_after(text: str) -> int:
    """The column of a repeat count at the end of a line; 0 where there is none."""
    *_, last = _PHRASE.finditer(text)
    return last.start() if repeat_count(last.group()) is not None else 0


def marks_in(text: str, marks: Marks) -> tuple[Token, ...]:
    """The marks of techniques on a line as they are written, bend sizes among them, none where it is
    another; a row of single dots, strokes or m says palm mute."""
    if _DOTS.fullmatch(text):
        return tuple(Token(m.group(), m.start(), m.end()) for m in _WORD.finditer(text))
    pattern = _mark_pattern(tuple(marks.above))
    found = []
    rest = text
    for match in pattern.finditer(text):
        # The stroke that closes a span is not part of what it covers.
        end = match.end() - (1 if match.group()[-1] in "|>])" else 0)
        found.append(Token(match["mark"], match.start(), end))
        rest = rest[: match.start()] + " " * len(match.group()) + rest[match.end() :]
    named = any(token.text not in BEND_SIZES for token in found)
    return tuple(found) if named and not _POSITION.sub("", rest).strip() else ()


@lru_cache(maxsize=64)
def _mark_pattern(above: tuple[str, ...]) -> re.Pattern[str]:
    words = sorted({*above, *BEND_SIZES, *ARTICULATIONS}, key=lambda mark: (-len(mark), mark))
    return re.compile(rf"(?<!\S)(?P<mark>{'|'.join(map(re.escape, words))}){_REACH}(?=\s|$)")


_TESTS: tuple[tuple[str, Callable[[str, tuple[Token, ...]], tuple[Token, ...]]], ...] = (
    ("section", _section),
    ("part", _part),
    ("times", _times),
    ("counts", _counts),
    ("fingers", _fingers),
    ("letters", _letters),
    ("tuplets", _tuplets),
    ("chords", _chords),
    ("amounts", _amounts),
    ("endings", _endings),
)
