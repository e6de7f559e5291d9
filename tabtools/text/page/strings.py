"""Which string each row is, and which instrument and tuning the page is for."""

from __future__ import annotations

from tabtools.instrument import TUNINGS, Tuning, tuned_down
from tabtools.record import NamedTuple
from tabtools.score import Inferred, Instrument
from tabtools.text.page.header import Header
from tabtools.text.page.string_names import StringName, label_names
from tabtools.text.page.tuning import (
    is_small,
    known_tuning,
    nearest_pitch,
    spelled_tuning,
    spells,
    unknown_tuning,
    usual_tuning,
)
from tabtools.theory.spelling import spell

GUITAR_TUNING = TUNINGS[0]


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
    written = _header_tuning(header, count, names)
    labelled = _labelled_tuning(names, header, upright=_small_on_top(labels)) if names else None
    tuning = written or (labelled[0] if labelled else None) or _default(count, header)
    said = header.low_on_top and not any(labels)
    reverse = bool(labelled and labelled[1]) or _numbered_upwards(labels) or said
    size = len(tuning.strings)
    if size > count and names:
        numbers = _partial(names, tuning) or tuple(range(1, count + 1))
    elif all(label.isdigit() and 0 < int(label) <= size for label in labels) and len(set(labels)) == count:
        numbers = tuple(int(label) for label in labels)
    else:
        numbers = tuple(range(count, 0, -1)) if reverse else tuple(range(1, count + 1))
    inferred = () if written or labelled else (Inferred("tuning", "number of rows", 0.6),)
    capo = header.capo or 0
    span = header.tuning_span
    return Strings(Instrument(tuning.instrument, tuning.strings, capo, span=span, inferred=inferred), numbers)


def labels_deny(labels: tuple[str, ...], header: Header) -> bool:
    """Whether labels spell a tuning of the table, and not the one that the header gives."""
    names = _label_names(labels)
    own = known_tuning(names, None) if len(names) > 3 else None
    said = _header_tuning(header, len(labels), names)
    return own is not None and said is not None and own.strings != said.strings


def _label_names(labels: tuple[str, ...]) -> tuple[StringName, ...]:
    """The labels as string names, top row first; empty where a row has none or they are numbers."""
    names = label_names(labels)
    return tuple(name for name in names if name is not None) if all(names) else ()


def _numbered_upwards(labels: tuple[str, ...]) -> bool:
    """Whether numbers as labels put the last string on top."""
    return all(label.isdigit() for label in labels) and int(labels[0]) > int(labels[-1])


def _header_tuning(header: Header, count: int, names: tuple[StringName, ...]) -> Tuning | None:
    """The tuning that the header gives in words or letters; words for a whole guitar tuned down hold for
    other instruments too."""
    named = header.named
    told = header.instrument or (named is not None and count > len(named.strings))
    if named is not None and not names and told and (steps := tuned_down(named)):
        usual = usual_tuning(count, header.instrument)
        return _transposed(usual, steps) if usual else None
    if named is not None and names and len(names) != len(named.strings):
        own = _labelled_tuning(names, header)
        if own is not None and len(own[0].strings) == count and (steps := tuned_down(named)):
            return _transposed(own[0], steps)
        for row in TUNINGS:
            if not set(named.names).isdisjoint(row.names) and not is_small(row) and spells(names, row):
                return row
    if named is not None and len(named.strings) >= count:
        return named
    if len(header.strings) >= count:
        return spelled_tuning(header.strings, header.instrument)
    return None


def _transposed(tuning: Tuning, steps: int) -> Tuning:
    strings = tuple(spell(pitch.midi + steps, None) for pitch in tuning.strings)
    return Tuning(tuning.instrument, (), strings)


def _small_on_top(labels: tuple[str, ...]) -> bool:
    """Whether the first and the last string have one name, the first in a small letter: ``d A G D A D``."""
    first, last = labels[0], labels[-1]
    return first != last and first.islower() and first.upper() == last


def _labelled_tuning(
    names: tuple[StringName, ...], header: Header, *, upright: bool = False
) -> tuple[Tuning, bool] | None:
    """The tuning that the labels spell, and whether the last string is on top, which it isn't if the page is
    known to be ``upright``."""
    if len(names) < 4 and not any(name.octave is not None for name in names):
        return (GUITAR_TUNING, False) if _partial(names, GUITAR_TUNING) and not header.instrument else None
    for instrument in dict.fromkeys((header.instrument, None)):
        for order, reverse in ((names, False), (tuple(reversed(names)), True))[: 1 if upright else 2]:
            if known := known_tuning(order, instrument):
                return known, reverse
    if len(names) < len(GUITAR_TUNING.strings) and _partial(names, GUITAR_TUNING):
        return GUITAR_TUNING, False
    return unknown_tuning(names, header.instrument), False


def _default(count: int, header: Header) -> Tuning:
    """What bare rows are taken for: the usual instrument of so many strings, else strings of a guitar."""
    if header.assumed and len(header.assumed.strings) == count:
        return header.assumed
    return (
        usual_tuning(count, header.instrument)
        or usual_tuning(count, None)
        or (TUNINGS[0] if count < 6 else _stretched(count))
    )


def _stretched(count: int) -> Tuning:
    """More strings than any instrument of the table: go on in fourths below the eight-string guitar."""
    strings = list(next(row for row in TUNINGS if len(row.strings) == 8).strings)
    letters = ["C#", "G#", "D#", "A#"]
    for letter in letters[: count - 8]:
        strings.append(nearest_pitch(letter, strings[-1].midi - 5))
    return Tuning("Guitar", (), tuple(strings))


def _partial(names: tuple[StringName, ...], tuning: Tuning) -> tuple[int, ...]:
    """Only some strings are drawn: the string of each label; empty where they do not fit.

    Read downwards or, with the low string on top, upwards: whichever leaves out fewer strings between.
    """
    down = _fitting(names, tuning)
    up = tuple(reversed(_fitting(tuple(reversed(names)), tuning)))
    found = [numbers for numbers in (down, up) if numbers]
    return min(found, key=lambda numbers: abs(numbers[-1] - numbers[0]), default=())


def _fitting(names: tuple[StringName, ...], tuning: Tuning) -> tuple[int, ...]:
    """The strings that labels name from string 1 on, those that lie closest together."""
    best: tuple[int, ...] = ()
    for first, pitch in enumerate(tuning.strings, 1):
        if pitch.letter != names[0].letter:
            continue
        numbers = [first]
        for name in names[1:]:
            fits = [
                number
                for number, string in enumerate(tuning.strings, 1)
                if number > numbers[-1] and name.letter == string.letter
            ]
            numbers += fits[:1]
        # A capital E on its own means string 6; with others below it, string 1.
        closer = not best or numbers[-1] - numbers[0] < best[-1] - best[0]
        capital = len(names) == 1 and not names[0].lower
        if len(numbers) == len(names) and (closer or capital):
            best = tuple(numbers)
    return best
