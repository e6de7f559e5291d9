"""A tuning as somebody names or spells it: one parser for headers, labels, the command line and the
configuration."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from tabtools.instrument import TUNINGS, Tuning, instrument_named
from tabtools.score import Pitch
from tabtools.text.page.string_names import StringName, string_names
from tabtools.text.page.tuning_words import tuning_in_words

# What bare rows mean, by their number. Common practice, no source.
_BY_COUNT = {
    4: "Bass",
    5: "Five-string bass",
    6: "Guitar",
    7: "Seven-string guitar",
    8: "Eight-string guitar",
}
# Named like the upper strings of a guitar, so that only words can tell.
_SMALL = "Baritone ukulele"
_TOP_STRING = Pitch("E", 0, 4)
# Words that say no more than that a tuning is meant.
_PLAIN_WORDS = ("standard", "std", "tuning", "tuned", "normal", "regular")


def read_tuning(text: str, instrument: str | None = None) -> Tuning | None:
    """The tuning that a text gives and nothing else; None where it gives none.

    By name (``drop d``), by instrument (``ukulele``, ``low g ukulele``), by its open strings from either
    end, with or without octaves, in any language that `string_names` reads (``E A D G B E``, ``D2 A2 D3 G3
    B3 E4``, ``Mi La Re Sol Si Mi``, ``Es As Des Ges B Es``), or by what is tuned otherwise (``6=D``, ``half
    step down``). ``instrument`` is the one that is known already.
    """
    words = [word for word in text.lower().replace("-", " ").split() if word.strip("(),.")]
    played = instrument or instrument_named(text)
    if (named := _row_called(" ".join(words), played)) is not None:
        return named
    if strings := string_names(text):
        return spelled_tuning(strings, played)
    if (told := tuning_in_words(text, played)) is not None:
        return told
    only = instrument_named(" ".join(word for word in words if word not in _PLAIN_WORDS), whole=True)
    return next((row for row in TUNINGS if row.instrument == only), None)


def _row_called(name: str, instrument: str | None) -> Tuning | None:
    """The row of the table with a name, of the instrument where it has one, else the first."""
    rows = [row for row in TUNINGS if name in row.names]
    return next((row for row in rows if row.instrument == instrument), next(iter(rows), None))


def spelled_tuning(strings: Sequence[StringName], instrument: str | None) -> Tuning:
    """The tuning of open strings that are spelled in either order: a row of the table where one has them,
    else every string in the octave nearest to the usual one."""
    top_down = tuple(reversed(strings))
    as_spelled = tuple(strings)
    for order in (top_down, as_spelled):
        if row := known_tuning(order, instrument) or known_tuning(order, None):
            return row
    return unknown_tuning(as_spelled if _from_the_top(as_spelled) else top_down, instrument)


def _from_the_top(strings: Sequence[StringName]) -> bool:
    """Whether strings of no tuning that has a name begin with string 1: their octaves fall, or the first has
    a small letter and the last has not."""
    first, last = strings[0], strings[-1]
    if first.octave is not None and last.octave is not None:
        return _pitch(first).midi > _pitch(last).midi
    return first.lower and not last.lower


def _pitch(name: StringName) -> Pitch:
    return Pitch.from_name(f"{name.letter}{name.octave}")


@lru_cache(maxsize=64)
def known_tuning(names: tuple[StringName, ...], instrument: str | None) -> Tuning | None:
    """The first row of the table with these strings, string 1 first; only of ``instrument`` where given."""
    for tuning in TUNINGS:
        if instrument in ((None, tuning.instrument) if tuning.instrument != _SMALL else (_SMALL,)) and spells(
            names, tuning
        ):
            return tuning
    return None


def spells(names: Sequence[StringName], tuning: Tuning) -> bool:
    """Whether names, string 1 first, are those of a tuning."""
    return len(tuning.strings) == len(names) and all(
        name.letter == pitch.letter and name.octave in (None, pitch.octave)
        for name, pitch in zip(names, tuning.strings, strict=True)
    )


def is_small(tuning: Tuning) -> bool:
    """Whether a tuning is named like the upper strings of another instrument."""
    return tuning.instrument == _SMALL


def unknown_tuning(names: Sequence[StringName], instrument: str | None) -> Tuning:
    """A tuning that no row of the table has, string 1 first: every string in the octave nearest to the usual
    string in its place, or to the string above it where there is no usual one."""
    usual = usual_tuning(len(names), instrument)
    strings: list[Pitch] = []
    for index, name in enumerate(names):
        if name.octave is not None:
            strings.append(_pitch(name))
        elif usual is not None:
            strings.append(nearest_pitch(name.letter, usual.strings[index].midi))
        elif strings:
            strings.append(nearest_pitch(name.letter, strings[-1].midi - 6))
        else:
            strings.append(nearest_pitch(name.letter, _TOP_STRING.midi))
    return Tuning(usual.instrument if usual else instrument or "Guitar", (), tuple(strings))


def nearest_pitch(letter: str, midi: int) -> Pitch:
    """The pitch of a letter that lies nearest to a MIDI number, the lower of two."""
    candidates: Iterable[Pitch] = (Pitch.from_name(f"{letter}{octave}") for octave in range(9))
    return min(candidates, key=lambda pitch: (abs(pitch.midi - midi), pitch.octave))


def usual_tuning(count: int, instrument: str | None) -> Tuning | None:
    """The usual tuning of an instrument with so many strings, by default of the usual instrument; None where
    the table has none."""
    wanted = (instrument or _BY_COUNT.get(count) or "").lower()
    rows = [row for row in TUNINGS if len(row.strings) == count]
    exact = [row for row in rows if row.instrument.lower() == wanted]
    # A five-string bass is a bass; a tenor guitar is not what one means by a guitar.
    kin = [row for row in rows if instrument and row.instrument.lower().endswith(f"-string {wanted}")]
    return next(iter(exact or kin), None)
