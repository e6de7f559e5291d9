"""Faults that need judgement, one at a time on a good page: each makes something wrong that still reads."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator
from itertools import pairwise

from tabtools.document import Document
from tabtools.record import NamedTuple
from tabtools.text.page.layout import System

_CHORD = re.compile(r"(?<![\w#])[A-G](?:#|b)?(?:maj7|m7|m|7)?(?![\w#'’])")
_ROOTS = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B")
_CLASS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_FORM = re.compile(r"\b([CAGED])(m?) form\b")
_ORDINAL = re.compile(r"\b(\d+)(st|nd|rd|th) position")
_WORDS = (
    *("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"),
    *("eleventh", "twelfth"),
)
_DEGREES = ("root", "third", "fifth")


class Page(NamedTuple):
    """A good page: its lines, and what was read of it."""

    lines: tuple[str, ...]
    document: Document

    @property
    def systems(self) -> tuple[System, ...]:
        """The systems of the page."""
        assert self.document.page is not None
        return self.document.page.systems


# The lines with the fault, and the lines (from 1) that a finding may stand on.
Spoilt = tuple[list[str], set[int]]
Spoil = Callable[[Page, random.Random], Spoilt | None]


class Fault(NamedTuple):
    """A kind of fault: its name, what makes it, and the rules that may report it."""

    name: str
    spoil: Spoil
    rules: tuple[str, ...]


def _reach(system: System) -> set[int]:
    """The lines of a system and of what stands around it."""
    around = [line.number for line in (*system.above, *system.below)]
    numbers = [*around, *(row.line.number for row in system.rows)]
    return set(range(min(numbers), max(numbers) + 1))


def _replaced(page: Page, number: int, start: int, end: int, text: str) -> list[str]:
    lines = list(page.lines)
    line = lines[number - 1]
    lines[number - 1] = line[:start] + text + line[end:]
    return lines


def _padded(old: str, new: str, line: str, end: int) -> tuple[str, int]:
    """A word in the place of another so that what stands behind stays in its column."""
    if len(new) <= len(old):
        return new.ljust(len(old)), end
    more = len(new) - len(old)
    room = len(line) - len(line[end:].lstrip(" ")) - end if line[end:].strip() else more
    return new, end + min(more, max(room - 1, 0))


class Note(NamedTuple):
    """A fret on a row: the system, the row's index, the columns, the fret."""

    system: System
    row: int
    start: int
    end: int
    fret: int


def _notes(page: Page) -> list[Note]:
    return [
        Note(system, index, match.start(), match.end(), int(match.group()))
        for system in page.systems
        for index, row in enumerate(system.rows)
        for match in re.finditer(r"\d+", page.lines[row.line.number - 1])
        if match.start() >= row.start
    ]


def _chord_rows(page: Page) -> list[tuple[System, int, list[re.Match[str]]]]:
    """The lines over systems that hold nothing but chord symbols, with the symbols."""
    rows = []
    for system in page.systems:
        for line in system.above:
            text = page.lines[line.number - 1]
            words = text.split()
            if words and all(_CHORD.fullmatch(word) for word in words):
                rows.append((system, line.number, list(_CHORD.finditer(text))))
    return rows


def _symbol(change: Callable[[str, random.Random], str | None]) -> Spoil:
    """One chord symbol becomes another."""

    def spoil(page: Page, rng: random.Random) -> Spoilt | None:
        places = [(system, number, match) for system, number, found in _chord_rows(page) for match in found]
        rng.shuffle(places)
        for system, number, match in places:
            new = change(match.group(), rng)
            if new is not None and new != match.group():
                text, end = _padded(match.group(), new, page.lines[number - 1], match.end())
                return _replaced(page, number, match.start(), end, text), _reach(system)
        return None

    return spoil


def _moved(steps: tuple[int, ...]) -> Callable[[str, random.Random], str | None]:
    def change(symbol: str, rng: random.Random) -> str | None:
        match = re.match(r"([A-G])(#|b)?", symbol)
        assert match is not None
        place = _CLASS[match[1]] + {"#": 1, "b": -1}.get(match[2] or "", 0)
        return _ROOTS[(place + rng.choice(steps)) % 12] + symbol[match.end() :]

    return change


def _letter_off(symbol: str, rng: random.Random) -> str | None:
    letters = "ABCDEFG"
    return letters[(letters.index(symbol[0]) + rng.choice((1, -1))) % 7] + symbol[1:]


def _third_off(symbol: str, rng: random.Random) -> str | None:
    """The chord of the third above or below that shares two notes: A for C#m or F#m."""
    match = re.match(r"([A-G])(#|b)?", symbol)
    assert match is not None
    if symbol[match.end() :] not in ("", "m"):
        return None
    place = _CLASS[match[1]] + {"#": 1, "b": -1}.get(match[2] or "", 0)
    if symbol.endswith("m"):
        return _ROOTS[(place + rng.choice((3, -4))) % 12]
    return _ROOTS[(place + rng.choice((4, -3))) % 12] + "m"


def _quality(symbol: str, rng: random.Random) -> str | None:
    if symbol.endswith("m"):
        return symbol[:-1]
    return symbol + "m" if symbol[-1] in "ABCDEFG#b" else None


def _fret(steps: tuple[int, ...]) -> Spoil:
    """One fret becomes another, of as many digits."""

    def spoil(page: Page, rng: random.Random) -> Spoilt | None:
        places = _notes(page)
        rng.shuffle(places)
        for note in places:
            new = note.fret + rng.choice(steps)
            if 0 <= new <= 22 and len(str(new)) == note.end - note.start:
                number = note.system.rows[note.row].line.number
                return _replaced(page, number, note.start, note.end, str(new)), _reach(note.system)
        return None

    return spoil


def _wrong_string(page: Page, rng: random.Random) -> Spoilt | None:
    """A fret slips to the row above or below, where the bar has hyphens."""
    places = _notes(page)
    rng.shuffle(places)
    for note in places:
        for step in rng.sample((1, -1), 2):
            if not 0 <= note.row + step < len(note.system.rows):
                continue
            number = note.system.rows[note.row].line.number
            other = note.system.rows[note.row + step].line.number
            width = note.end - note.start
            target = page.lines[other - 1]
            if target[max(0, note.start - 1) : note.end + 1].strip("-"):
                continue
            lines = _replaced(page, number, note.start, note.end, "-" * width)
            lines[other - 1] = target[: note.start] + str(note.fret) + target[note.end :]
            return lines, _reach(note.system)
    return None


def _forgotten(page: Page, rng: random.Random) -> Spoilt | None:
    note = rng.choice(_notes(page))
    number = note.system.rows[note.row].line.number
    return _replaced(page, number, note.start, note.end, "-" * (note.end - note.start)), _reach(note.system)


def _letter_rows(page: Page) -> Iterator[tuple[System, int, list[re.Match[str]]]]:
    for system in page.systems:
        for line in system.above:
            text = page.lines[line.number - 1]
            if text.strip() and re.fullmatch(r"(?:[whqest]\.*r?|\s)+", text):
                yield system, line.number, list(re.finditer(r"\S+", text))


def _count_rows(page: Page) -> Iterator[tuple[System, int, list[re.Match[str]]]]:
    for system in page.systems:
        for line in (*system.above, *system.below):
            text = page.lines[line.number - 1]
            if "1" in text and "&" in text and re.fullmatch(r"[\d&\s]+", text):
                yield system, line.number, list(re.finditer(r"\S+", text))


def _letter_lost(page: Page, rng: random.Random) -> Spoilt | None:
    places = [(system, number, match) for system, number, found in _letter_rows(page) for match in found]
    if not places:
        return None
    system, number, match = rng.choice(places)
    return _replaced(page, number, match.start(), match.end(), " " * len(match.group())), _reach(system)


def _letters_shifted(page: Page, rng: random.Random) -> Spoilt | None:
    """All letters of a line stand a note further on."""
    places = list(_letter_rows(page))
    if not places:
        return None
    system, number, found = rng.choice(places)
    shift = found[1].start() - found[0].start() if len(found) > 1 else 3
    return _replaced(page, number, 0, 0, " " * shift), _reach(system)


def _counts_late(page: Page, rng: random.Random) -> Spoilt | None:
    places = list(_count_rows(page))
    if not places:
        return None
    system, number, _ = rng.choice(places)
    return _replaced(page, number, 0, 0, "   "), _reach(system)


def _chord_late(page: Page, rng: random.Random) -> Spoilt | None:
    """A chord symbol in the middle of the bar before."""
    for system, number, found in sorted(_chord_rows(page), key=lambda _: rng.random()):
        if len(found) < 2:
            continue
        line, match = page.lines[number - 1], found[1]
        at = (found[0].end() + match.start()) // 2
        if at > found[0].end() + 1 and at + len(match.group()) < match.start():
            text = line[:at] + match.group() + " " * (match.start() - at) + line[match.end() :]
            return _replaced(page, number, 0, len(line), text), _reach(system)
    return None


def _chords_swapped(page: Page, rng: random.Random) -> Spoilt | None:
    for system, number, found in sorted(_chord_rows(page), key=lambda _: rng.random()):
        line = page.lines[number - 1]
        for one, two in pairwise(found):
            if one.group() != two.group():
                gap = line[one.end() : two.start()]
                width = two.start() - one.start()
                text = line[: one.start()] + two.group().ljust(width) + one.group() + line[two.end() :]
                if len(two.group()) < width and gap:
                    return _replaced(page, number, 0, len(line), text), _reach(system)
    return None


def _change_missing(page: Page, rng: random.Random) -> Spoilt | None:
    places = [(system, number, match) for system, number, found in _chord_rows(page) for match in found[1:]]
    if not places:
        return None
    system, number, match = rng.choice(places)
    return _replaced(page, number, match.start(), match.end(), " " * len(match.group())), _reach(system)


def _header(pattern: str, change: Callable[[re.Match[str], random.Random], str | None]) -> Spoil:
    """A value in the header becomes another; a finding anywhere on the page counts."""

    def spoil(page: Page, rng: random.Random) -> Spoilt | None:
        for number, line in enumerate(page.lines, 1):
            match = re.search(pattern, line)
            if match and (new := change(match, rng)) is not None:
                return (
                    _replaced(page, number, match.start(1), match.end(1), new),
                    set(range(1, len(page.lines) + 1)),
                )
        return None

    return spoil


def _other_time(match: re.Match[str], rng: random.Random) -> str | None:
    others = {"4/4": ("3/4", "6/8"), "3/4": ("4/4",), "6/8": ("4/4", "5/4"), "2/4": ("3/4",)}.get(match[1])
    return rng.choice(others) if others else None


def _other_key(steps: tuple[int, ...], *, relative: bool = False) -> Callable[..., str | None]:
    def change(match: re.Match[str], rng: random.Random) -> str | None:
        tonic = _CLASS[match[1][0]] + {"#": 1, "b": -1}.get(match[1][1:2], 0)
        minor = match[1].endswith("minor")
        if relative:
            return f"{_ROOTS[(tonic + (3 if minor else 9)) % 12]} {'major' if minor else 'minor'}"
        return f"{_ROOTS[(tonic + rng.choice(steps)) % 12]} {'minor' if minor else 'major'}"

    return change


_KEY = r"Key: ([A-G][#b]? (?:major|minor))(?!\S)"


def _label(
    page: Page, rng: random.Random, pattern: re.Pattern[str], new: Callable[..., str]
) -> Spoilt | None:
    """A word in a label over a system becomes another."""
    places = [
        (system, line.number, match)
        for system in page.systems
        for line in system.above
        for match in pattern.finditer(page.lines[line.number - 1])
    ]
    if not places:
        return None
    system, number, match = rng.choice(places)
    return _replaced(page, number, match.start(1), match.end(1), new(match, rng)), _reach(system)


def _wrong_form(page: Page, rng: random.Random) -> Spoilt | None:
    return _label(page, rng, _FORM, lambda m, r: r.choice([f for f in "CAGED" if f != m[1]]))


def _wrong_position(page: Page, rng: random.Random) -> Spoilt | None:
    return _label(page, rng, _ORDINAL, lambda m, r: str(int(m[1]) + r.choice((2, 3, 4))))


def _prose(page: Page, pattern: str, new: Callable[..., str | None], rng: random.Random) -> Spoilt | None:
    """A word in the prose becomes another: the finding stands on its line."""
    rows = {row.line.number for system in page.systems for row in system.rows}
    for number, line in sorted(enumerate(page.lines, 1), key=lambda _: rng.random()):
        match = re.search(pattern, line)
        if match and number not in rows and ":" not in line[:8] and (text := new(match, rng)) is not None:
            return _replaced(page, number, match.start(1), match.end(1), text), {number}
    return None


def _said_position(page: Page, rng: random.Random) -> Spoilt | None:
    words = "|".join(_WORDS)

    def other(match: re.Match[str], rng: random.Random) -> str:
        return _WORDS[(_WORDS.index(match[1].lower()) + rng.choice((2, 3))) % 12]

    return _prose(page, rf"\b({words}) (?:position|fret)\b", other, rng)


def _said_form(page: Page, rng: random.Random) -> Spoilt | None:
    def other(match: re.Match[str], rng: random.Random) -> str:
        return rng.choice([form for form in "CAGED" if form != match[1]])

    return _prose(page, r"\b[A-G][#b]?m? (?:comes )?in the ([CAGED])m? form\b", other, rng)


def _said_chords(page: Page, rng: random.Random) -> Spoilt | None:
    return _prose(
        page,
        r"\b[A-G][#b]?m?7?, ([A-G][#b]?)m?7?(?:,| and) [A-G]",
        lambda m, r: next(root for root in _ROOTS if root not in page.lines[0] and root != m[1]),
        rng,
    )


def _said_degree(page: Page, rng: random.Random) -> Spoilt | None:
    def other(match: re.Match[str], rng: random.Random) -> str:
        return rng.choice([d for d in _DEGREES if d != match[1]])

    return _prose(page, r"\bthe (root|third|fifth) of [A-G]", other, rng)


def _finger_rows(page: Page) -> list[tuple[System, int, re.Match[str]]]:
    return [
        (system, line.number, match)
        for system in page.systems
        for line in (*system.above, *system.below)
        if re.fullmatch(r"[1-4\s]+", page.lines[line.number - 1])
        for match in re.finditer(r"[1-4]", page.lines[line.number - 1])
    ]


def _finger(page: Page, rng: random.Random) -> Spoilt | None:
    places = _finger_rows(page)
    if not places:
        return None
    system, number, match = rng.choice(places)
    new = rng.choice([finger for finger in "1234" if finger != match.group()])
    return _replaced(page, number, match.start(), match.end(), new), _reach(system)


def _bars(page: Page) -> list[tuple[System, list[int], int]]:
    """Every bar: its system, the columns of the bar lines around it, where all rows have them."""
    bars = []
    for system in page.systems:
        texts = [page.lines[row.line.number - 1] for row in system.rows]
        columns = [
            [at for at, sign in enumerate(text) if sign == "|" and at >= row.start - 1]
            for text, row in zip(texts, system.rows, strict=True)
        ]
        if all(row == columns[0] for row in columns):
            bars += [(system, columns[0], index) for index in range(len(columns[0]) - 1)]
    return bars


def _cells(page: Page, system: System) -> tuple[list[int], list[str]]:
    """The numbers and texts of all lines around a system, as wide as the widest."""
    numbers = sorted(_reach(system))
    width = max(len(page.lines[number - 1]) for number in numbers)
    return numbers, [page.lines[number - 1].ljust(width) for number in numbers]


def _bar_edit(edit: str) -> Spoil:
    """A bar with all that stands over and under it is lost, stands twice, or changes places with the next."""

    def spoil(page: Page, rng: random.Random) -> Spoilt | None:
        bars = _bars(page)
        places = [place for place in bars if len(place[1]) > 2 and len(bars) > 3 and _plain(page, place)]
        rng.shuffle(places)
        for system, strokes, index in places:
            numbers, texts = _cells(page, system)
            a, b = strokes[index], strokes[index + 1]
            c = strokes[index + 2] if index + 2 < len(strokes) else None
            if edit == "swapped" and (c is None or all(t[a:b] == t[b:c] for t in texts)):
                continue
            changed = []
            for text in texts:
                bar = text[a:b]
                middle = {"lost": "", "doubled": bar + bar, "swapped": text[b:c] + bar}[edit]
                changed.append((text[:a] + middle + text[c if edit == "swapped" else b :]).rstrip())
            lines = list(page.lines)
            for number, text in zip(numbers, changed, strict=True):
                lines[number - 1] = text
            return lines, set(range(1, len(lines) + 1))
        return None

    return spoil


def _plain(page: Page, place: tuple[System, list[int], int]) -> bool:
    system, strokes, _ = place
    return strokes[-1] >= max(len(page.lines[row.line.number - 1].rstrip()) for row in system.rows) - 1


def _sign(pattern: str, new: str) -> Spoil:
    """A sign on all rows or over a system becomes another."""

    def spoil(page: Page, rng: random.Random) -> Spoilt | None:
        for system in page.systems:
            if any(re.search(pattern, page.lines[number - 1]) for number in _reach(system)):
                lines = list(page.lines)
                for number in _reach(system):
                    lines[number - 1] = re.sub(pattern, new, lines[number - 1])
                return lines, set(range(1, len(lines) + 1))
        return None

    return spoil


def _slide(page: Page, rng: random.Random) -> Spoilt | None:
    """A slide that rises is written as one that falls, or the other way round."""
    places = [
        (system, row.line.number, match)
        for system in page.systems
        for row in system.rows
        for match in re.finditer(r"(?<=\d)([/\\])(?=\d)", page.lines[row.line.number - 1])
    ]
    if not places:
        return None
    system, number, match = rng.choice(places)
    return _replaced(page, number, match.start(), match.end(), "\\" if match.group() == "/" else "/"), _reach(
        system
    )


_CHORDS = ("chord-disagrees",)
_NOTES = ("odd-note", "outside-harmony", "awkward-position", "wide-stretch", "fast-shift", "nearly-alike")
_TIME = ("time-disagrees", "bar-overfull", "bar-underfull", "rhythm-unclear")
_KEYS = ("key-disagrees", "prose-disagrees")
_LABEL = ("form-label-wrong", "prose-disagrees", "chord-disagrees")
FAULTS = (
    Fault("chord a letter off", _symbol(_letter_off), (*_CHORDS, "form-label-wrong", "prose-disagrees")),
    Fault("chord a third off", _symbol(_third_off), (*_CHORDS, "form-label-wrong")),
    Fault("chord a fifth off", _symbol(_moved((5, 7))), (*_CHORDS, "form-label-wrong")),
    Fault("chord a semitone off", _symbol(_moved((1, -1))), (*_CHORDS, "form-label-wrong")),
    Fault("chord quality", _symbol(_quality), (*_CHORDS, "form-label-wrong")),
    Fault("chords swapped", _chords_swapped, (*_CHORDS, "form-label-wrong")),
    Fault("chord early", _chord_late, _CHORDS),
    Fault("chord missing", _change_missing, (*_CHORDS, "odd-note")),
    Fault("fret one off", _fret((1, -1)), _NOTES),
    Fault("fret two off", _fret((2, -2)), _NOTES),
    Fault("fret three off", _fret((3, -3)), _NOTES),
    Fault("octave", _fret((12, -12)), _NOTES),
    Fault("wrong string", _wrong_string, (*_NOTES, "letters-mismatch")),
    Fault("note forgotten", _forgotten, ("letters-mismatch", "bar-underfull", "nearly-alike")),
    Fault("letter lost", _letter_lost, ("letters-mismatch",)),
    Fault("letters a note on", _letters_shifted, ("letters-mismatch", *_TIME)),
    Fault("counts late", _counts_late, ("beats-mismatch",)),
    Fault("time header", _header(r"Time: (\d+/\d+)", _other_time), _TIME),
    Fault("key a fifth off", _header(_KEY, _other_key((5, 7))), _KEYS),
    Fault("key relative", _header(_KEY, _other_key((), relative=True)), _KEYS),
    Fault("key a semitone off", _header(_KEY, _other_key((1, -1))), _KEYS),
    Fault("form in a label", _wrong_form, _LABEL),
    Fault("position in a label", _wrong_position, _LABEL),
    Fault("position in prose", _said_position, ("prose-disagrees",)),
    Fault("form in prose", _said_form, ("prose-disagrees",)),
    Fault("chords in prose", _said_chords, ("prose-disagrees",)),
    Fault("degree in prose", _said_degree, ("prose-disagrees",)),
    Fault("finger number", _finger, ("finger-wrong",)),
    Fault("bar lost", _bar_edit("lost"), ("bar-count", "prose-disagrees")),
    Fault("bar twice", _bar_edit("doubled"), ("bar-count", "prose-disagrees")),
    Fault("bars swapped", _bar_edit("swapped"), ("bar-count", "nearly-alike", "prose-disagrees")),
    Fault("repeat never ends", _sign(r":\|?\|$", "|"), ("repeat-open", "endings-disagree")),
    Fault("first ending called 2", _sign(r"\b1\.", "2."), ("endings-disagree",)),
    Fault("second ending called 3", _sign(r"\b2\.(?!\d)", "3."), ("endings-disagree",)),
    Fault("slide direction", _slide, ("slide-direction",)),
)
