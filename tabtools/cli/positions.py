"""Positions of the hand on the command line, for a whole part or for some bars."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import click

from tabtools.record import NamedTuple
from tabtools.score import Part

if TYPE_CHECKING:
    from tabtools.fingering.hints import PositionHint

_HIGHEST = 19
_POSITION = re.compile(r"(?P<fret>\d{1,2})(?:@(?P<first>\d+)(?:-(?P<last>\d+))?)?")


class BarsPosition(NamedTuple):
    """A position for bars ``first`` to ``last``, counted from 1; None for the end of the part."""

    fret: int
    first: int = 1
    last: int | None = None


def parse_positions(ctx: click.Context, param: click.Parameter, text: str) -> tuple[BarsPosition, ...]:
    """Positions like ``5`` or ``5@1-4,7@5-8``, in order. Raises BadParameter for anything else."""
    matches = [_POSITION.fullmatch(part.strip()) for part in text.split(",")] if text else []
    wished = [_bars_position(match) for match in matches if match]
    if len(wished) < len(matches) or not all(1 <= each.fret <= _HIGHEST for each in wished):
        raise click.BadParameter(
            f"{text!r} is no position: write a fret from 1 to {_HIGHEST}, or frets with their bars, as in "
            "5@1-4,7@5-8."
        )
    return tuple(sorted(wished, key=lambda position: position.first))


def _bars_position(match: re.Match[str]) -> BarsPosition:
    fret = int(match["fret"])
    if not match["first"]:
        return BarsPosition(fret)
    first = max(1, int(match["first"]))
    return BarsPosition(fret, first, int(match["last"] or first))


def in_part(positions: Iterable[BarsPosition], part: Part) -> Iterator[PositionHint]:
    """The positions as times of a part; bars that it does not have are passed over."""
    from tabtools.fingering.hints import PositionHint

    starts = [*part.starts, part.starts[-1] + part.bars[-1].lasts] if part.bars else []
    for fret, first, last in positions:
        if first < len(starts):
            yield PositionHint(starts[first - 1], starts[min(last or len(starts), len(starts) - 1)], fret)
