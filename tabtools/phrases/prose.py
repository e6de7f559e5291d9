"""Header lines of a page after a move, and sentences that may no longer be right."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from tabtools.score import Key, Score
from tabtools.text.page.clean import Line
from tabtools.text.page.header_fields import field_of
from tabtools.text.writing.tunings import tuning_text
from tabtools.theory.key import parse_key
from tabtools.theory.line_of_fifths import letter, place

_NOTE = re.compile(
    r"\b[B-G](?:#|b|♯|♭| sharp| flat)?(?:maj7|m7|m|7)?\b(?!['’.])"
    r"|\bA(?:#|b|♯|♭| sharp| flat|m7|m|7| major| minor)\b"
    r"|\b(?:fret|form|shape|position|string|open)s?\b"
)
_INSTRUMENT_FIELDS = ("instrument", "tuning", "capo")


def header_lines(prose: Sequence[Line], before: Score, after: Score) -> dict[int, str] | str:
    """New texts for the header lines whose fact changes, by line number; a reason where a fact stands in a
    line that says more than that."""
    values = _values(before, after)
    fields = {line.number: (line, field) for line in prose if (field := field_of(line.text)) is not None}
    lines: dict[int, str] = {}
    missing = dict(values)
    for number, (line, field) in fields.items():
        if field.fact in values:
            text = line.text.rstrip()
            at = text.rfind(field.value)
            if at < 0 or not field.value:
                return f"line {number}: write the {field.fact} as a line of its own, {field.fact}: …"
            lines[number] = (
                text[:at]
                + _styled(field.fact, field.value, values[field.fact])
                + text[at + len(field.value) :]
            )
            missing.pop(field.fact, None)
    if "key" in missing:
        return "the key stands in no line of its own: write it as a line like Key: G major"
    if missing:
        return _inserted(prose, lines, missing)
    return lines


def _values(before: Score, after: Score) -> dict[str, str]:
    """The facts of the header that change, with their new values."""
    old, new = before.parts[0], after.parts[0]
    values = {}
    keys = [next((bar.key for bar in part.bars if bar.key), None) for part in (old, new)]
    if keys[0] != keys[1] and keys[1]:
        values["key"] = keys[1].name
    if old.instrument.name != new.instrument.name:
        values["instrument"] = new.instrument.name
    if old.instrument.tuning != new.instrument.tuning:
        values["tuning"] = tuning_text(new.instrument)
    if old.instrument.capo != new.instrument.capo:
        values["capo"] = str(new.instrument.capo or "none")
    return values


def _styled(fact: str, value: str, new: str) -> str:
    """A key as short as the page writes it: Em stays of that kind."""
    key = parse_key(new) if fact == "key" else None
    if key is None or " " in value or key.mode not in ("major", "minor"):
        return new
    return _short(key)


def _short(key: Key) -> str:
    return letter(place(key.step, key.alter)) + ("m" if key.mode == "minor" else "")


def _inserted(prose: Sequence[Line], lines: dict[int, str], missing: dict[str, str]) -> dict[int, str] | str:
    """Facts that the header lacks, on lines of their own below its first field."""
    first = next((line for line in prose if field_of(line.text) is not None), None)
    if first is None:
        return (
            "the page has no header that could name the new strings: begin it with a line like Key: G major"
        )
    text = lines.get(first.number, first.text.rstrip())
    added = (f"{fact.capitalize()}: {missing[fact]}" for fact in _INSTRUMENT_FIELDS if fact in missing)
    return {**lines, first.number: "\n".join((text, *added))}


def speaking_lines(prose: Iterable[Line]) -> Iterator[str]:
    """One remark about the sentences that name notes, chords or places on the neck."""
    numbers = [
        line.number
        for line in prose
        if line.text.strip() and field_of(line.text) is None and _NOTE.search(line.text)
    ]
    if numbers:
        lines = f"line {numbers[0]}" if len(numbers) == 1 else f"lines {', '.join(map(str, numbers))}"
        yield f"{lines}: these sentences name notes or places and stay as they were: read them again"
