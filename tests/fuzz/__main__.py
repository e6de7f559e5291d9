"""Inputs by the thousand, each checked in all ways: `python -m tests.fuzz [INPUTS] [SEED] [KIND]`.

KIND is text, musicxml or package; all of them where it is left out.

Inputs are made from the cases and samples by changes that a seeded generator chooses; the same numbers give
the same inputs. What breaks is made smaller line by line and shown, each cause once. Exit code 1 if anything
breaks. What broke becomes a file in `tests/cases/breakers`.
"""

from __future__ import annotations

import random
import sys
import time
from collections import Counter
from pathlib import Path

from tabtools.musicxml.package import pack
from tests.fuzz.mutation import damaged, mutated
from tests.fuzz.oracles import broken

ROOT = Path(__file__).parents[2]
KINDS = ("text", "text", "text", "musicxml", "package")


def material(suffix: str, most: int = 20_000) -> list[str]:
    """The texts that inputs are made from."""
    folders = (ROOT / "samples", ROOT / "tests" / "cases")
    paths = sorted(path for folder in folders for path in folder.rglob(f"*{suffix}"))
    texts = (path.read_bytes().decode("utf-8", "replace") for path in paths if path.stat().st_size < most)
    return [text for text in texts if text.strip()]


def made(kind: str, texts: dict[str, list[str]], chance: random.Random) -> bytes:
    """One input of a kind."""
    suffix = ".txt" if kind == "text" else ".musicxml"
    text, other = chance.choice(texts[suffix]), chance.choice(texts[suffix])
    if kind == "package":
        return damaged(pack(text.encode()), chance)
    data = mutated(text, other, chance, markup=kind == "musicxml").encode("utf-8", "replace")
    return damaged(data, chance) if chance.random() < 0.05 else data


def smaller(data: bytes, cause: str) -> bytes:
    """The input with every line taken out that it breaks without, for some seconds."""
    until = time.monotonic() + 20
    lines = data.splitlines(keepends=True)
    size = max(len(lines) // 2, 1)
    while size and time.monotonic() < until:
        at = 0
        while at < len(lines) and time.monotonic() < until:
            rest = lines[:at] + lines[at + size :]
            if _cause(broken(b"".join(rest)) or "") == cause:
                lines = rest
            else:
                at += size
        size //= 2
    return b"".join(lines)


def _cause(words: str) -> str:
    """What two breaches of one cause have in common: no numbers, no names in quotation marks."""
    return "".join("#" if sign.isdigit() else sign for sign in words)[:110]


def main(inputs: int, seed: int, only: str) -> int:
    """Try so many inputs; the exit code."""
    texts = {suffix: material(suffix) for suffix in (".txt", ".musicxml")}
    counts: Counter[str] = Counter()
    started = time.monotonic()
    for number in range(inputs):
        chance = random.Random(seed * 1_000_003 + number)
        data = made(only or chance.choice(KINDS), texts, chance)
        words = broken(data)
        if words is None:
            continue
        cause = _cause(words)
        counts[cause] += 1
        if counts[cause] == 1:
            print(f"input {number} of seed {seed}: {words}\n  {smaller(data, cause)[:700]!r}", flush=True)
    print(
        f"{inputs} inputs of seed {seed} in {time.monotonic() - started:.0f} s: {sum(counts.values())} break"
    )
    for cause, times in counts.most_common():
        print(f"  {times:5}  {cause}")
    return 1 if counts else 0


if __name__ == "__main__":
    amount, seed, kind = [*sys.argv[1:], *("2000", "1", "")[len(sys.argv) - 1 :]]
    sys.exit(main(int(amount), int(seed), kind))
