"""Rows over and under a staff."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tabtools.drawing.shapes import Box, Shape
from tabtools.drawing.stack import Item, Stack


def _item(left: float, width: float, height: float) -> Item:
    def draw(bottom: float) -> list[Shape]:
        return [Shape("", Box(left, bottom - height, left + width, bottom))]

    return Item(left, left + width, height, draw)


_sizes = st.tuples(st.integers(0, 200), st.integers(1, 90), st.integers(1, 20))
_rows = st.lists(st.lists(_sizes, max_size=6), max_size=4)


@given(
    st.lists(st.tuples(st.integers(0, 200), st.integers(1, 50), st.integers(1, 30)), max_size=5),
    _rows,
    st.booleans(),
)
def test_nothing_overlaps_and_nothing_is_put_inside_the_staff(
    blocks: list[tuple[int, int, int]], rows: list[list[tuple[int, int, int]]], down: bool
) -> None:
    taken = [
        Box(left, 0 if down else -height, left + width, height if down else 0)
        for left, width, height in blocks
    ]
    stack = Stack(taken, 0, down=down)
    for row in rows:
        stack.row([_item(*sizes) for sizes in row])
    boxes = [*taken, *(shape.box for shape in stack.shapes)]
    for place, box in enumerate(stack.shapes):
        assert box.box.top >= 0 if down else box.box.bottom <= 0
        others = boxes[: len(taken)] + boxes[len(taken) + place + 1 :]
        assert not any(box.box.overlaps(other) for other in others)
    edges = [box.bottom if down else -box.top for box in boxes]
    assert (stack.end if down else -stack.end) == max([0, *edges])


def test_a_row_is_one_line_where_it_can_be() -> None:
    stack = Stack([Box(0, -20, 10, 0)], 0)
    stack.row([_item(0, 10, 8), _item(50, 10, 8), _item(55, 10, 8)], gap=2)
    first, second, third = (shape.box for shape in stack.shapes)
    assert first.bottom == second.bottom == -22
    assert third.bottom < second.top


def test_what_has_no_room_on_the_one_line_is_left_out() -> None:
    stack = Stack([], 0)
    stack.row([_item(0, 10, 8), _item(5, 10, 8), _item(20, 10, 8)], one_line=True)
    assert [shape.box.left for shape in stack.shapes] == [0, 20]


def test_a_clear_row_stands_over_everything() -> None:
    stack = Stack([Box(100, -50, 110, 0)], 0)
    stack.row([_item(0, 10, 8)], gap=2, clear=True)
    assert stack.shapes[0].box.bottom == -52
