"""Inputs made from others by a few changes, as hands, mailers and bad disks make them."""

from __future__ import annotations

import random
import re
from collections.abc import Callable

_TAB_SIGNS = list("0123456789-|hpbrsx~/\\()<>*=:.o eBGDAE#b[]") + [
    "\t",
    "\u2013",
    "\u00a0",
    "\x1b[2J",
    "\u202e",
]
_WORDS = (
    *(
        "Capo 3",
        "Tuning: D A D G B E",
        "Tuning:",
        "Am",
        "C#m7b5",
        "N.C.",
        "1 & 2 &",
        "q e.",
        "x4",
        "P.M.---|",
    ),
    *(
        "let ring---|",
        "|--3--|",
        "[Verse 1]",
        "120 bpm",
        "key of G",
        "(same)",
        "%",
        "|1.----|",
        "Title:",
        "\\n",
    ),
    *("tabtools: ignore wide-stretch in file because x", "e|--5--", "5/4", "half step down", "(1/2)", "8va"),
)
_NUMBERS = ("0", "-1", "999999999", "1e9", "0.5", "x", "", "\u0663", "1/0")
_TAG = re.compile(r"<(/?)([A-Za-z][\w-]*)([^<>]*)>")

Mutation = Callable[[str, random.Random, str], str]


def mutated(text: str, other: str, chance: random.Random, *, markup: bool) -> str:
    """The text after one to six changes; ``other`` lends it pieces."""
    kinds = _IN_MARKUP if markup else _IN_TAB
    for _ in range(chance.choice((1, 1, 1, 2, 3, 6))):
        text = chance.choice(kinds)(text, chance, other)
    return text


def damaged(data: bytes, chance: random.Random) -> bytes:
    """Bytes with some turned, cut out or repeated."""
    for _ in range(chance.choice((1, 1, 2, 5))):
        at, length = chance.randrange(len(data) + 1), chance.randrange(1, 40)
        kind = chance.randrange(4)
        if kind == 0:
            data = data[:at] + bytes([chance.randrange(256)]) + data[at + 1 :]
        elif kind == 1:
            data = data[:at] + data[at + length :]
        elif kind == 2:
            data = data[:at] + data[at : at + length] + data[at:]
        else:
            data = data[:at] + chance.randbytes(chance.randrange(1, 5)) + data[at:]
    return data


def _lines(text: str) -> list[str]:
    return text.splitlines(keepends=True)


def _sign(text: str, chance: random.Random, _: str) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + chance.choice(_TAB_SIGNS) + text[at + chance.randrange(2) :]


def _word(text: str, chance: random.Random, _: str) -> str:
    at = chance.randrange(len(text) + 1)
    return (
        text[:at]
        + chance.choice((" ", "\n", ""))
        + chance.choice(_WORDS)
        + chance.choice(("", "\n"))
        + text[at:]
    )


def _cut(text: str, chance: random.Random, _: str) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + text[at + chance.randrange(1, 30) :]


def _run(text: str, chance: random.Random, _: str) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + text[at : at + chance.randrange(1, 12)] * chance.choice((2, 3, 40)) + text[at:]


def _without_line(text: str, chance: random.Random, _: str) -> str:
    lines = _lines(text)
    del lines[chance.randrange(len(lines) + 1) :][:1]
    at = chance.randrange(len(lines) + 1)
    return "".join(lines[:at] + lines[at + 1 :])


def _moved_line(text: str, chance: random.Random, other: str) -> str:
    lines, lent = _lines(text), _lines(chance.choice((text, other))) or [""]
    lines.insert(chance.randrange(len(lines) + 1), chance.choice(lent))
    return "".join(lines)


def _joined_lines(text: str, chance: random.Random, _: str) -> str:
    places = [at for at, sign in enumerate(text) if sign == "\n"] or [0]
    at = chance.choice(places)
    return text[:at] + chance.choice((" ", "", "\\n", "   ")) + text[at + 1 :]


def _halves(text: str, chance: random.Random, other: str) -> str:
    mine, lent = _lines(text), _lines(other)
    return "".join(mine[: chance.randrange(len(mine) + 1)] + lent[chance.randrange(len(lent) + 1) :])


def _indented(text: str, chance: random.Random, _: str) -> str:
    lines = _lines(text)
    first = chance.randrange(len(lines) + 1)
    last = first + chance.randrange(1, 9)
    lead = chance.choice((" ", "   ", "\t", "> ", "| "))
    return "".join(lead + line if first <= at < last else line for at, line in enumerate(lines))


def _number(text: str, chance: random.Random, _: str) -> str:
    numbers = list(re.finditer(r">[-\d.]+<|\"\d+\"", text))
    if not numbers:
        return text
    number = chance.choice(numbers)
    return text[: number.start() + 1] + chance.choice(_NUMBERS) + text[number.end() - 1 :]


def _element(text: str, chance: random.Random, other: str) -> str:
    """An element taken out, said twice, renamed, or lent by another score."""
    tags = [match for match in _TAG.finditer(text) if not match[1]]
    lent = [match for match in _TAG.finditer(other) if not match[1]] or tags
    if not tags:
        return text
    start, end = _extent(text, chance.choice(tags))
    kind = chance.randrange(4)
    if kind == 0:
        return text[:start] + text[end:]
    if kind == 1:
        return text[:end] + text[start:end] + text[end:]
    if kind == 2:
        first, last = _extent(other if lent is not tags else text, chance.choice(lent))
        return text[:start] + (other if lent is not tags else text)[first:last] + text[start:]
    name = chance.choice(lent)[2]
    return _TAG.sub(
        lambda tag: (
            f"<{tag[1]}{name}{tag[3]}>" if start <= tag.start() < end and tag.start() == start else tag[0]
        ),
        text,
    )


def _extent(text: str, tag: re.Match[str]) -> tuple[int, int]:
    if tag[3].endswith("/"):
        return tag.span()
    end = text.find(f"</{tag[2]}>", tag.end())
    return tag.start(), end + len(tag[2]) + 3 if end >= 0 else tag.end()


_IN_TAB: tuple[Mutation, ...] = (
    _sign, _sign, _word, _cut, _run, _without_line, _moved_line, _joined_lines, _halves, _indented
)  # fmt: skip
_IN_MARKUP: tuple[Mutation, ...] = (_element, _element, _element, _number, _number, _sign, _cut, _run)
