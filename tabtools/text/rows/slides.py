"""Where a slide goes whose sign is a stroke: from the note before to the next, or nowhere."""

from __future__ import annotations

from tabtools.text.rows.tokens import RowNote

# So many columns off, a sign may still speak of a note.
_NEAR = 4


def slide_of(before: RowNote | None, note: RowNote, mark: str, place: tuple[int, int]) -> tuple[str, str]:
    """The technique of a slide sign in columns ``place`` between two notes, and the fret that it may mean all
    the same, from which it comes or to which it goes; empty where that is no question.

    At one of the notes, away from the other, it goes nowhere; else it joins them.
    """
    at, stop = place
    if before is None:
        return "slide-in", ""
    left, right = at - before.stop, note.start - stop
    if right == 0 and left > 1:
        return "slide-in", str(before.fret) if _may_join(before, note, mark, left) else ""
    if left or right <= 1:
        return "slide", ""
    return "slide-out", str(note.fret) if _may_join(before, note, mark, right) else ""


def _may_join(before: RowNote, note: RowNote, mark: str, gap: int) -> bool:
    """Whether the farther note is near, and lies where the sign points."""
    if gap > _NEAR or note.fret is None or before.fret is None or note.fret == before.fret:
        return False
    return (note.fret > before.fret) == (mark == "/")
