"""Rows of things over (or under) what is drawn already, as close as nothing overlaps."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from tabtools.drawing.shapes import Box, Shape
from tabtools.record import NamedTuple


class Item(NamedTuple):
    """Something ``height`` pixels high from ``left`` to ``right``. ``draw`` gets the y of its bottom edge."""

    left: float
    right: float
    height: float
    draw: Callable[[float], list[Shape]]


class Stack:
    """What is taken of the space over a staff, or under it with ``down``; it grows row by row.

    ``edge`` is where the staff ends: nothing is put inside it.
    """

    def __init__(self, taken: Iterable[Box], edge: float, *, down: bool = False) -> None:
        self._sign = -1 if down else 1
        self._taken = [(box.left, box.right, box.bottom if down else box.top) for box in taken]
        self._edge = edge
        self.shapes: list[Shape] = []

    def row(
        self,
        items: Sequence[Item],
        gap: float = 3,
        apart: float = 4,
        *,
        one_line: bool = False,
        clear: bool = False,
    ) -> None:
        """Put items on one line; those that would come closer than ``apart`` to a neighbour go on the next,
        or are left out if there is to be ``one_line``.

        ``gap`` is the space to what is below, both in pixels. A ``clear`` row stands over all that is there.
        """
        if clear and items:
            self._taken.append((float("-inf"), float("inf"), self.end))
        waiting = sorted(items, key=lambda item: item.left)
        while waiting:
            tier: list[Item] = []
            later: list[Item] = []
            for item in waiting:
                fits = not tier or item.left >= tier[-1].right + apart
                (tier if fits else later).append(item)
            self._tier(tier, gap, apart)
            waiting = [] if one_line else later

    def _tier(self, tier: list[Item], gap: float, apart: float) -> None:
        height = max(item.height for item in tier)
        over = min(self._free(item.left - apart / 2, item.right + apart / 2) for item in tier)
        near = over - gap  # mirrored where the stack grows down
        for item in tier:
            bottom = near if self._sign > 0 else -near + item.height
            self.shapes += item.draw(bottom)
            far = near - (item.height if self._sign > 0 else height)
            self._taken.append((item.left, item.right, self._sign * far))

    def _free(self, left: float, right: float) -> float:
        """The nearest free y over a stretch, mirrored where the stack grows down."""
        edges = (self._sign * edge for start, end, edge in self._taken if start < right and end > left)
        return min([self._sign * self._edge, *edges])

    @property
    def end(self) -> float:
        """How far the stack reaches."""
        return self._sign * min([self._sign * self._edge, *(self._sign * edge for *_, edge in self._taken)])
