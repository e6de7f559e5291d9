"""A row of bars cut into lines."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

Item = TypeVar("Item")


def balanced(items: Sequence[Item], cost: Callable[[Item], int], width: int) -> list[Sequence[Item]]:
    """Cut a row of things into as few pieces of at most ``width`` as can be, as equal as can be."""
    costs = [cost(item) for item in items]
    low, high = max(costs, default=0), width
    count = len(_greedy(costs, width))
    while low < high:
        middle = (low + high) // 2
        if len(_greedy(costs, middle)) <= count:
            high = middle
        else:
            low = middle + 1
    return [items[start:end] for start, end in _greedy(costs, max(high, 1))]


def _greedy(costs: Sequence[int], width: int) -> list[tuple[int, int]]:
    pieces: list[tuple[int, int]] = []
    start, used = 0, 0
    for index, cost in enumerate(costs):
        if index > start and used + cost > width:
            pieces.append((start, index))
            start, used = index, 0
        used += cost
    return [*pieces, (start, len(costs))] if costs else []
