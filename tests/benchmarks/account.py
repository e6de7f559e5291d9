"""Whether the account of damaged pages holds: `python -m tests.benchmarks.account [pages]`.

Pages of the cases are damaged at random in one to eight places: characters dropped, doubled, exchanged, lines
dropped, doubled, moved. For each that can still be read, every character that is not blank must have one
owner, and whatever is unknown a finding.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path
from random import Random

from tabtools.source import Source, UnreadableError, decode
from tabtools.text.reader import read_text

CASES = Path(__file__).parents[1] / "cases"
SIGNS = "-|0123456789xhpb/\\~()<>[]:=.&?ABCDEFGm#e \t"
MOST = 8


def mutated(text: str, random: Random) -> str:
    """A page with one to eight slips."""
    for _ in range(random.randint(1, MOST)):
        if not text:
            break
        at = random.randrange(len(text))
        kind = random.randrange(6)
        if kind == 0:
            text = text[:at] + text[at + 1 :]
        elif kind == 1:
            text = text[:at] + random.choice(SIGNS) + text[at + 1 :]
        elif kind == 2:
            text = text[:at] + random.choice(SIGNS) + text[at:]
        else:
            lines = text.split("\n")
            line = random.randrange(len(lines))
            moved = lines.pop(line) if kind != 3 else lines[line]
            if kind in (3, 4):
                lines.insert(random.randrange(len(lines) + 1), moved)
            text = "\n".join(lines)
    return text


def main() -> None:
    from tests.text.test_account import untold

    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    random = Random(15)
    pages = [decode(path.name, path.read_bytes()).text for path in sorted(CASES.glob("[pw]*/*.txt"))]
    tally: Counter[str] = Counter()
    for _ in range(count):
        text = mutated(random.choice(pages), random)
        try:
            wrong = list(untold(read_text(Source("page", text))))
        except UnreadableError:
            tally["refused"] += 1
            continue
        tally["wrong" if wrong else "right"] += 1
        if wrong:
            print(wrong[:3])
    print(dict(tally))


if __name__ == "__main__":
    main()
