"""Which string each row is, and which instrument and tuning the page is for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from tabtools.instrument import TUNINGS, Tuning
from tabtools.score import Inferred, Instrument, Pitch
from tabtools.text.header import Header, StringName, string_names

# What bare rows mean, by their number. Common practice, no source.
_BY_COUNT = {
    4: "Bass",
    5: "Five-string bass",
    6: "Guitar",
    7: "Seven-string guitar",
    8: "Eight-string guitar",
}
_TOP_STRING = Pitch("E", 0, 4)


class Strings(NamedTuple):
    """The instrument of a system, and the string number of each row, top row first."""

    instrument: Instrument
    numbers: tuple[int, ...]


def choose_strings(labels: tuple[str, ...], header: Header) -> Strings:
    """Decide tuning and order of the strings from row labels and header.

    Header words win over labels (who tunes half a step down still types E A D G B E); labels win over the
    number of rows.
    """
    count = len(labels)
    names = _label_names(labels)
    written = _header_tuning(header, count)
    labelled = _labelled_tuning(names, header) if names else None
    default = _default(count, header)
    tuning = written or (labelled[0] if labelled else None) or default
    reverse = bool(labelled and labelled[1]) or _numbered_upwards(labels)
    size = len(tuning.strings)
    numbers = tuple(range(count, 0, -1)) if reverse else tuple(range(1, count + 1))
    if size > count and names:
        numbers = _partial(names, tuning) or numbers
    inferred = () if written or labelled else (Inferred("tuning", "number of rows", 0.6),)
    capo = header.capo or 0
    span = header.tuning_span
    return Strings(Instrument(tuning.instrument, tuning.strings, capo, span=span, inferred=inferred), numbers)


def _label_names(labels: tuple[str, ...]) -> tuple[StringName, ...]:
    """The labels as string names, top row first; empty where a row has none or they are numbers."""
    names = [string_name(label) for label in labels]
    return tuple(name for name in names if name is not None) if all(names) else ()


def string_name(label: str) -> StringName | None:
    """The string that a row label names; None for numbers and bare rows."""
    # Three of one name make the pattern for whole tunings serve a single string too.
    found = string_names(f"{label} {label} {label}") if label and not label.isdigit() else ()
    return found[0] if len(found) == 3 else None


def _numbered_upwards(labels: tuple[str, ...]) -> bool:
    """Whether numbers as labels put the last string on top."""
    return all(label.isdigit() for label in labels) and int(labels[0]) > int(labels[-1])


def _header_tuning(header: Header, count: int) -> Tuning | None:
    if header.named is not None and len(header.named.strings) >= count:
        return header.named
    if len(header.strings) >= count:
        top_down = tuple(reversed(header.strings))
        found = _known(top_down, header.instrument) or _known(top_down, None)
        return found or _spelled(top_down, header.instrument)
    return None


def _labelled_tuning(names: tuple[StringName, ...], header: Header) -> tuple[Tuning, bool] | None:
    """The tuning that the labels spell, and whether the last string is on top."""
    if len(names) < 4 and not any(name.octave is not None for name in names):
        return None
    for instrument in dict.fromkeys((header.instrument, None)):
        for order, reverse in ((names, False), (tuple(reversed(names)), True)):
            if known := _known(order, instrument):
                return known, reverse
    return _spelled(names, header.instrument), False


def _known(names: tuple[StringName, ...], instrument: str | None) -> Tuning | None:
    """The first row of the table with these strings, string 1 first; only of ``instrument`` where given."""
    for tuning in TUNINGS:
        if (
            instrument in (None, tuning.instrument)
            and len(tuning.strings) == len(names)
            and all(_names_pitch(name, pitch) for name, pitch in zip(names, tuning.strings, strict=True))
        ):
            return tuning
    return None


def _names_pitch(name: StringName, pitch: Pitch) -> bool:
    return name.letter == pitch.letter and name.octave in (None, pitch.octave)


def _spelled(names: Sequence[StringName], instrument: str | None) -> Tuning:
    """A tuning that no row of the table has: every string in the octave nearest to the usual string in its
    place, or to the string above it where there is no usual one."""
    usual = _usual(len(names), instrument)
    strings: list[Pitch] = []
    for index, name in enumerate(names):
        if name.octave is not None:
            strings.append(Pitch.from_name(f"{name.letter}{name.octave}"))
        elif usual is not None:
            strings.append(_nearest(name.letter, usual.strings[index].midi))
        elif strings:
            strings.append(_nearest(name.letter, strings[-1].midi - 6))
        else:
            strings.append(_nearest(name.letter, _TOP_STRING.midi))
    return Tuning(usual.instrument if usual else instrument or "Guitar", (), tuple(strings))


def _nearest(letter: str, midi: int) -> Pitch:
    candidates: Iterable[Pitch] = (Pitch.from_name(f"{letter}{octave}") for octave in range(9))
    return min(candidates, key=lambda pitch: (abs(pitch.midi - midi), pitch.octave))


def _usual(count: int, instrument: str | None) -> Tuning | None:
    wanted = instrument or _BY_COUNT.get(count)
    rows = [row for row in TUNINGS if row.instrument == wanted and len(row.strings) == count]
    return rows[0] if rows else None


def _default(count: int, header: Header) -> Tuning:
    """What bare rows are taken for: the usual instrument of so many strings, else strings of a guitar."""
    if header.assumed and len(header.assumed.strings) == count:
        return header.assumed
    return (
        _usual(count, header.instrument)
        or _usual(count, None)
        or (TUNINGS[0] if count < 6 else _stretched(count))
    )


def _stretched(count: int) -> Tuning:
    """More strings than any instrument of the table: go on in fourths below the eight-string guitar."""
    strings = list(next(row for row in TUNINGS if len(row.strings) == 8).strings)
    letters = ["C#", "G#", "D#", "A#"]
    for letter in letters[: count - 8]:
        strings.append(_nearest(letter, strings[-1].midi - 5))
    return Tuning("Guitar", (), tuple(strings))


def _partial(names: tuple[StringName, ...], tuning: Tuning) -> tuple[int, ...]:
    """Only some strings are drawn: the string of each label, downwards; empty where they do not fit."""
    numbers: list[int] = []
    for name in names:
        above = numbers[-1] if numbers else 0
        fits = [
            number
            for number, pitch in enumerate(tuning.strings, 1)
            if number > above and name.letter == pitch.letter
        ]
        # A capital E on top means string 6 only when nothing comes after it.
        if not fits:
            return ()
        numbers.append(fits[-1] if len(names) == 1 and not name.lower and name.letter == "E" else fits[0])
    return tuple(numbers)
