"""Why a page can't be read as tab: the reason to tell its writer."""

from __future__ import annotations

from collections.abc import Sequence

from tabtools.text.page.clean import Line
from tabtools.text.patterns import lazy

_NO_TAB = (
    "no tab found: nothing here looks like string rows, three or more lines below each other made of "
    "hyphens, fret numbers and bar lines"
)
_ROW_LIKE = lazy(r"[ ]*[A-Ha-h][b#]?[ ]*[|:][ \dxhpb/\\~|]+")
_FLAT = lazy(r"(?:(?<=\s)|^)[A-Ga-g][|][-|\dhpb/\\~x]{4,}")


def why_no_tab(lines: Sequence[Line]) -> str:
    """The reason, from what the lines hold: rows on one line, columns lost, or nothing like tab."""
    for line in lines:
        if len(_FLAT.findall(line.text)) > 3:
            return (
                f"line {line.number} holds several string rows one after the other, so the line breaks are "
                "lost: put each string on its own line"
            )
    collapsed = [
        line for line in lines if _ROW_LIKE.fullmatch(line.text) and any(map(str.isdigit, line.text))
    ]
    if len(collapsed) > 2:
        return (
            f"the columns are lost: line {collapsed[0].number} and others like it hold fret numbers without "
            "the hyphens or blanks between them, as after pasting from a page in a proportional font; copy "
            "the tab again from its source as plain text"
        )
    return _NO_TAB
