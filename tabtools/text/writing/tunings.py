"""The strings of an instrument in words: a tuning for the header, and a label for every row."""

from __future__ import annotations

from tabtools.score import Instrument
from tabtools.text.page.header import Header
from tabtools.text.page.string_names import string_names
from tabtools.text.page.strings import choose_strings


def tuning_text(instrument: Instrument) -> str:
    """The open strings from the last to string 1, with octaves only where the letters alone would be read
    as another tuning."""
    letters = " ".join(pitch.letter for pitch in reversed(instrument.tuning))
    header = Header(instrument=instrument.name, strings=string_names(letters))
    if header.strings:
        read = choose_strings(("",) * len(instrument.tuning), header).instrument
        if read.tuning == instrument.tuning:
            return letters
    return " ".join(pitch.name for pitch in reversed(instrument.tuning))


def row_labels(instrument: Instrument) -> list[str]:
    """A label for every string, string 1 first, all of one width; string 1 in lower case where the last
    string has the same name, and a short fifth string too."""
    tuning = instrument.tuning
    labels = [pitch.letter for pitch in tuning]
    if labels[0] == labels[-1]:
        labels[0] = labels[0].lower()
    elif tuning[-1].midi > tuning[-2].midi and len(tuning) > 4:
        labels[-1] = labels[-1].lower()
    width = max(len(label) for label in labels)
    return [label.rjust(width) for label in labels]
