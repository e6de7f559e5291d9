"""Forms and positions that an author wrote over the notes: what the words say.

Every page with words asks and few name a form: so this loads nothing until a text may.
"""

from __future__ import annotations

import re
from functools import cache

from tabtools.record import NamedTuple

# fmt: off
_ORDINALS = {
    "first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7, "eighth": 8,
    "ninth": 9, "tenth": 10, "eleventh": 11, "twelfth": 12,
}
# fmt: on
_TELLTALES = ("form", "shape", "pos", "fret")  # no form and no place is written without one of these


class Label(NamedTuple):
    """What a text over the notes says: a form letter, a quality, a position; None for what it leaves out.

    ``position`` is a fret, 0 for the open position.
    """

    form: str | None
    quality: str | None
    position: int | None


@cache
def _names() -> dict[str, str]:
    """The names of the qualities by their suffix."""
    from tabtools.forms.table import QUALITIES

    return {suffix: name for name, suffix in QUALITIES.items() if suffix}


@cache
def _patterns() -> tuple[re.Pattern[str], re.Pattern[str]]:
    suffixes = "|".join(sorted(map(re.escape, _names()), key=len, reverse=True))
    form = rf"(?<![\w#])([EADCG])({suffixes})?[- ](?:form|shape)\b"
    number = rf"(\d{{1,2}})(?:st|nd|rd|th)?|{'|'.join(_ORDINALS)}"
    place = rf"(?P<open>open) pos|\b(?P<at>{number}) (?:pos\b|position)|\b(?:at )?fret (?P<fret>\d{{1,2}})\b"
    return re.compile(form), re.compile(place, re.IGNORECASE)


def parse_label(text: str) -> Label | None:
    """The form and position that a text names; None where it names neither, or several of one."""
    lower = text.lower()
    if not any(word in lower for word in _TELLTALES):
        return None
    form_pattern, place_pattern = _patterns()
    forms, places = list(form_pattern.finditer(text)), list(place_pattern.finditer(text))
    if len(forms) > 1 or not forms + places:
        return None
    form = suffix = position = None
    if forms:
        form, suffix = forms[0].groups()
    if len(places) == 1:
        position = _position(places[0])
    elif len(places) > 1 or not forms:
        return None
    return Label(form, _names()[suffix] if suffix else None, position)


def _position(match: re.Match[str]) -> int:
    if match["open"]:
        return 0
    word = match["fret"] or match["at"].lower()
    return _ORDINALS.get(word) or int(re.sub(r"\D", "", word))
