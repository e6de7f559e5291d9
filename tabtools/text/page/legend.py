"""The legend of a page: which letter its writer uses for which technique. It wins over the table of marks."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from tabtools.doubts import Doubt, LegendConflict
from tabtools.record import NamedTuple
from tabtools.techniques import TECHNIQUES
from tabtools.text.page.clean import Line
from tabtools.text.page.marks import IGNORED, Legend
from tabtools.text.patterns import lazy

_ENTRY = lazy(
    r"[\"'`(]?(?P<mark>\(\d{0,2}\)|<\d{0,2}>|\[\d{0,2}\]|\\[\dnN]{0,2}/|(?i:a dot|dot)|[^\s\w,;]{1,3}"
    r"|\d{0,2}[A-Za-z~^/\\*.]{1,3}\d{0,2})"
    r"[\"'`)]?(?:[ ]*[=:][ ]*|[ ]+-{1,2}[ ]+|[ ]{2,}|[ ]+(?i:means|is an?|is|under a note =|stands for)[ ]+)"
    r"(?P<meaning>[A-Za-z][^=]*)"
)
# Entries of one line part at commas and semicolons or wide gaps, where a new mark follows.
_PARTS = lazy(r"[,;.]\s++(?=\S{1,5}\s*[=:])|(?<!\s)\s{2,}+(?=\S{1,5}(?:\s*[=:]|\s-\s))")
_MARK_LETTERS = lazy(r"\d|(?<=\\)n(?=/)")
# Beside a pop, the thumb slaps; else it is a finger.
_THUMB = "thumb"
# Words before the first entry: Legend: h = hammer-on.
_INTRO = lazy(r"\s*(?:[^\W\d_]+[ ]){0,3}[^\W\d_]{3,}:\s+(?=\S{1,5}\s*[=:])")
# What a meaning says, by the word that comes first in it. The empty name is what the score does not hold.
_MEANINGS = tuple(
    (lazy(pattern, re.IGNORECASE), name)
    for pattern, name in (
        (r"hammer|martillo|liga", "hammer"),
        (r"pull[- ]?off|pull\b|abzug", "pull"),
        (r"\bpop", "pop"),
        (r"\bslap", "slap"),
        (r"pre-? ?bend", "prebend"),
        (r"bend|bende?n|bending", "bend"),
        (r"slide|gliss|glissando|desliz", "slide"),
        (r"\btap", "tap"),
        (r"trill?\b", "trill"),
        (r"vibrato|shake", "vibrato"),
        (r"palm", "palm-mute"),
        (r"dead|muted|mute\b|damped", "dead"),
        (r"ghost|barely|optional", "ghost"),
        (r"(?:artificial|pinch(?:ed)?) harm", "pinch"),
        (r"harmonic|flageolet|arm[oó]nico", "harmonic"),
        (r"let (?:it )?ring", "let-ring"),
        (r"tremolo pick|trem\.? pick", "tremolo"),
        (r"whammy|(?:vibrato|tremolo|trem\.?) (?:bar|arm)|\bdip", "whammy"),
        (r"swell", "swell"),
        (r"rake", "rake"),
        (r"grace", "grace"),
        (r"\btied?\b", "tie"),
        (r"thumb", _THUMB),
        (r"index|middle|ring finger|pinky|pick|stroke|accent|staccato|sustain|hold|held", IGNORED),
        (r"release|back down|bar ?line|repeat|times|string", "-"),
    )
)
# How far a bend goes, in semitones, where the legend says it.
_SIZES = tuple(
    (lazy(pattern, re.IGNORECASE), f":{size}")
    for pattern, size in (
        (r"(?:quarter|1/4)[- ](?:step|tone)", "1/2"),
        (r"half[- ](?:step|tone)|1/2[- ]step|semitone|halbton", "1"),
        (r"(?:whole|full|one)[- ](?:whole )?(?:step|tone)|ganzton", "2"),
    )
)
_AGREEING = {"pinch": ("pinch", "artificial"), "slide": ("slide", "slide-in", "slide-out")}


class Entry(NamedTuple):
    """One entry of a legend: the mark, the technique that it stands for, and the columns from the mark to its
    end."""

    mark: str
    name: str
    start: int
    end: int


def legend_of(lines: Iterable[tuple[Line, Sequence[Entry]]]) -> tuple[Legend, tuple[Doubt, ...]]:
    """The (mark, technique) pairs by which a page's legend differs from the table of marks, from its lines
    with their entries, and its doubts: a mark with two meanings."""
    names: dict[str, str] = {}
    doubts: list[Doubt] = []
    for line, entries in lines:
        for mark, name, start, end in entries:
            if mark in names and names[mark] != name:
                first, second = names[mark] or "a remark", name or "a remark"
                doubts.append(LegendConflict(line.span(start, end), mark, first, second))
            names.setdefault(mark, name)
    thumb = "slap" if "pop" in names.values() else IGNORED
    names = {mark: thumb if name == _THUMB else name for mark, name in names.items()}
    special = {mark: name for mark, name in names.items() if not _usual(mark, name)}
    return tuple(special.items()), tuple(doubts)


def entries_of(text: str) -> tuple[Entry, ...]:
    """The entries of a legend that a line holds; none where it is no legend."""
    return tuple(_entries(text))


def _entries(text: str) -> Iterator[Entry]:
    intro = _INTRO.match(text) if ":" in text else None
    at = intro.end() if intro else len(text) - len(text.lstrip())
    cuts = [at, *(match.end() for match in _PARTS.finditer(text, at)), len(text)]
    for start, end in pairwise(cuts):
        match = _ENTRY.match(text, start, end)
        if match is None:
            continue
        name = _technique(match["meaning"].partition("  ")[0])
        mark = _mark(match["mark"])
        if name is not None and mark:
            yield Entry(mark, name, start, match.end("mark"))


def _mark(written: str) -> str:
    """The mark without the frets of its example: ``(7)`` is the brackets, ``5h7`` the letter."""
    if "dot" in written.lower():
        return "."
    return _MARK_LETTERS.sub("", written)


def _technique(meaning: str) -> str | None:
    places = [(match.start(), name) for pattern, name in _MEANINGS if (match := pattern.search(meaning))]
    if not places:
        return None
    _, name = min(places, key=lambda place: (place[1] in (IGNORED, _THUMB, "-"), place[0]))
    if name in ("bend", "prebend"):
        size = next((size for pattern, size in _SIZES if pattern.search(meaning)), "")
        return name + size
    return name if name != "-" else None


def _usual(mark: str, name: str) -> bool:
    """Whether the table of marks says the same; a dead note is x whatever else the words call it."""
    if mark in ("x", "X", "r", "R", "|", "-", "--"):
        return True
    if mark in (".", "_") and name == "palm-mute":
        return True
    names = _AGREEING.get(name, (name,))
    for kind in TECHNIQUES:
        places = (*kind.between, *kind.before, *kind.after, *kind.above, *kind.also)
        pairs = [opening + closing for opening, closing in kind.around]
        if kind.name in names and mark in (*places, *pairs):
            return True
    return name == IGNORED and not mark.isalpha()
