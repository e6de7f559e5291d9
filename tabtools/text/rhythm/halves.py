"""Bar lines in the middle of bars: the counts go on over them, ``1 & 2 & | 3 & 4 &``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tabtools.text.rows.columns import RawBar

Counts = Mapping[int, Sequence[tuple[int, str]]]


def whole_bars(bars: Sequence[RawBar], counts: Counts, beats: int) -> list[RawBar]:
    """The bars of a system whose counts, by index of the bar, run from 1 to ``beats``: those put together
    that two pieces make up. The bars as they are where not all make up whole ones."""
    runs = [[int(word) for _, word in counts.get(index, ()) if word.isdigit()] for index in range(len(bars))]
    joined: list[RawBar] = []
    index = 0
    while index < len(bars):
        piece = bars[index]
        while runs[index] and runs[index][-1] < beats:
            after = runs[index + 1] if index + 1 < len(bars) else []
            if not after or after[0] != runs[index][-1] + 1:
                return list(bars)
            index += 1
            piece = _joined(piece, bars[index])
        joined.append(piece)
        index += 1
    return joined


def _joined(first: RawBar, second: RawBar) -> RawBar:
    return first._replace(
        end=second.end,
        columns=first.columns + second.columns,
        bounds=tuple((start, end) for (start, _), (_, end) in zip(first.bounds, second.bounds, strict=True)),
        closes=second.closes,
        closed=second.closed,
    )
