"""What the prose of a page claims about its music, held against what the rows have.

A claim is tried only where the words can mean nothing else, and where the page shows enough to deny it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence

from tabtools.record import NamedTuple
from tabtools.score import Bar, Harmony, Part, Score, Words
from tabtools.theory.chord import Chord, parse_chord
from tabtools.theory.key import parse_key
from tabtools.theory.line_of_fifths import degree_semitones, pitch_class, place
from tabtools.theory.names import NOTE_NAMES
from tabtools.timeline import chords_in_force, pressed_at

_NUMBERS = (
    *("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"),
    *("eleventh", "twelfth"),
)
_COUNTS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_NTH = rf"(?P<nth>{'|'.join(_NUMBERS)}|\d{{1,2}}(?:st|nd|rd|th))"
_CHORD = r"(?P<chord>[A-G](?:#|b)?(?:maj7|m7b5|dim|m7|m|7)?)"
_FORM = r"(?P<form>[CAGED])(?P<quality>m|7|m7|maj7)? form"
_DEGREES = {
    "tonic": "1",
    "root": "1",
    "second": "2",
    "third": "3",
    "fourth": "4",
    "fifth": "5",
    "sixth": "6",
    "seventh": "7",
}
# One of these is in every claim.
_TELLTALES = ("osition", "fret", "form", "bar", " over ", ", ", " of ", "ajor", "inor")
_REACH = 4  # frets that a hand in one position covers from its first finger on


class Denied(NamedTuple):
    """A claim that the music denies: its columns in the line, and what is there instead."""

    start: int
    end: int
    message: str


Check = Callable[[re.Match[str], Part], str | None]


def denied_claims(text: str, score: Score) -> Iterator[Denied]:
    """What a line of prose says that the music of the page denies."""
    if not any(
        word in text for word in ("osition", "fret", "form", "bar", " over ", ", ", " of ", "ajor", "inor")
    ):
        return
    for pattern, check in _CLAIMS:
        for match in re.finditer(pattern, text):
            answers = [check(match, part) for part in score.parts]
            if answers and (message := answers[0]) is not None and None not in answers:
                yield Denied(match.start(), match.end(), message)


def _number(word: str) -> int:
    digits = re.sub(r"\D", "", word)
    return int(digits) if digits else _NUMBERS.index(word.lower()) + 1


def _pressed(part: Part) -> list[list[int]]:
    """The frets that are pressed in each bar, in order."""
    return [
        [
            place[1]
            for event in bar.events
            for note in event.notes
            if (place := pressed_at(note, bar.instrument or part.instrument))
        ]
        for bar in part.bars
    ]


def _position(match: re.Match[str], part: Part) -> str | None:
    """A position that no label gives, or that no run of four notes lies in."""
    position = _number(match["nth"])
    labels = sorted(_label_positions(part))
    if labels:
        if any(abs(position - there) <= 1 for there in labels):
            return None
        return f"the labels over the rows say position {_listed(labels)}"
    frets = [fret for bar in _pressed(part) for fret in bar]
    if len(frets) < _REACH or position > 15:
        return None
    runs = [frets[at : at + _REACH] for at in range(len(frets) - _REACH + 1)]
    lowest = {min(run) for run in runs if max(run) - min(run) <= _REACH}
    if position in lowest or not lowest:
        return None
    # The first finger may have nothing to do for a while.
    if any(position < min(run) and max(run) <= position + _REACH for run in runs) and position + 1 in lowest:
        return None
    return f"no notes lie in position {position}: their lowest frets are {_listed(sorted(lowest))}"


def _label_positions(part: Part) -> set[int]:
    """The positions that labels over the rows give."""
    from tabtools.forms.written import parse_label

    labels = (parse_label(words.text) for bar in part.bars for words in bar.words)
    return {label.position for label in labels if label is not None and label.position is not None}


def _fret(match: re.Match[str], part: Part) -> str | None:
    if any(word in match.string.lower() for word in ("capo", "harmonic")):
        return None
    fret = _number(match["nth"])
    frets = {fret for bar in _pressed(part) for fret in bar}
    if not frets or fret in frets or min(abs(fret - there) for there in frets) <= 1:
        return None
    return f"nothing is played at fret {fret}: the frets are {_listed(sorted(frets))}"


def _listed(numbers: Sequence[int]) -> str:
    return ", ".join(map(str, numbers[:6])) + (" …" if len(numbers) > 6 else "")


def _form(match: re.Match[str], part: Part) -> str | None:
    """A chord that is said to come in a form, and whose labels name others only."""
    from tabtools.forms.written import parse_label

    wanted = match["form"]
    forms = set()
    for bar, harmony, words in _labelled(part):
        label = parse_label(words.text)
        if harmony.symbol == match["chord"] and label is not None and label.form is not None and bar:
            forms.add(label.form)
    if not forms or wanted in forms:
        return None
    return f"{match['chord']} stands under the {' and the '.join(sorted(forms))} form, not the {wanted} form"


def _labelled(part: Part) -> Iterator[tuple[Bar, Harmony, Words]]:
    """Words over a chord symbol."""
    for bar in part.bars:
        for words in bar.words:
            for harmony in bar.harmonies:
                if harmony.onset == words.onset:
                    yield bar, harmony, words


def _chord_list(match: re.Match[str], part: Part) -> str | None:
    """A list of chords that has one which no symbol of the page names, beside others that are there."""
    symbols = {harmony.symbol for bar in part.bars for harmony in bar.harmonies}
    named = [name for name in re.split(r",? and |, ", match["list"]) if name]
    known = {_sound(symbol) for symbol in symbols}
    absent = [name for name in named if _sound(name) not in known]
    if len(symbols) < len(named) or not absent or len(absent) > 1 or len(named) - len(absent) < 2:
        return None
    return f"no {absent[0]} stands over the rows: the chords are {', '.join(sorted(symbols))}"


def _sound(symbol: str) -> tuple[int, bool]:
    """The root of a symbol and whether it is minor; words name chords no closer."""
    chord = parse_chord(symbol)
    if chord is None:
        return -1, False
    return pitch_class(place(chord.root_step, chord.root_alter)), "b3" in chord.quality.degrees


def _note_over(match: re.Match[str], part: Part) -> str | None:
    """A note that is said to come over a chord, and never does."""
    wanted = pitch_class(place(*NOTE_NAMES[match["note"]]))
    heard: set[int] = set()
    for bar, harmonies in zip(part.bars, chords_in_force(part), strict=True):
        for event, harmony in zip(bar.events, harmonies, strict=True):
            if harmony is not None and _sound(harmony.symbol) == _sound(match["chord"]):
                heard |= {note.pitch.midi % 12 for note in event.notes if note.pitch}
    if not heard or wanted in heard or part.instrument.capo:
        return None
    return f"no {match['note']} is played over {match['chord']}"


def _degree_of(match: re.Match[str], part: Part) -> str | None:
    """A note that is called a degree of a chord, and is another."""
    chord = parse_chord(match["chord"])
    if chord is None or not chord.quality.degrees:
        return None
    return _other_degree(match["note"], match["degree"], chord)


def _other_degree(note: str, degree: str, chord: Chord) -> str | None:
    number = _DEGREES[degree]
    root = pitch_class(place(chord.root_step, chord.root_alter))
    own = [name for name in chord.quality.degrees if name.strip("b#") == number] or [number]
    wanted = {(root + degree_semitones(name)) % 12 for name in own}
    if pitch_class(place(*NOTE_NAMES[note])) in wanted:
        return None
    return f"{note} is not the {degree} of {chord.text}"


def _bar_degree(match: re.Match[str], part: Part) -> str | None:
    """The degree of the key that a bar is said to begin or end with."""
    number = int(match["bar"])
    bar = next((bar for bar in part.bars if bar.number == number), None)
    if bar is None or bar.key is None or part.instrument.capo:
        return None
    pitches = [note.pitch.midi for event in bar.events for note in event.notes[:1] if note.pitch]
    if not pitches:
        return None
    midi = pitches[0] if match["verb"] in ("starts", "begins") else pitches[-1]
    tonic = pitch_class(place(bar.key.step, bar.key.alter))
    name = _DEGREES[match["degree"]]
    steps = {degree_semitones(name)} | ({degree_semitones(f"b{name}")} if name in "367" else set())
    if (midi - tonic) % 12 in steps:
        return None
    return f"bar {number} {match['verb']} on another note than the {match['degree']} of {bar.key.name}"


def _bar_count(match: re.Match[str], part: Part) -> str | None:
    """So many bars, where the page has one or two more or less."""
    count = int(match["count"]) if match["count"].isdigit() else _COUNTS.index(match["count"].lower()) + 1
    bars = len(part.bars) - any(bar.pickup for bar in part.bars[:1])
    if not 0 < abs(bars - count) <= 2 or count < 4:
        return None
    return f"the page has {bars} bars, not {count}"


def _other_key(match: re.Match[str], part: Part) -> str | None:
    """A title in another key than the header's."""
    key = parse_key(match["key"])
    written = next((bar.key for bar in part.bars if bar.key is not None), None)
    if key is None or written is None or key == written or key.mode not in ("major", "minor"):
        return None
    return f"the key written is {written.name}"


_LIST_NAME = r"[A-G](?:#|b)?(?:maj7|m7b5|dim|m7|m|7)?(?![\w#'’])"
_CLAIMS: tuple[tuple[str, Check], ...] = (
    (rf"(?i:\b{_NTH} position\b)", _position),
    (rf"(?i:\b(?:at|near|to) the {_NTH} fret\b)", _fret),
    (rf"\b{_CHORD} (?:(?:comes|is|stands|sits) )?in the {_FORM}", _form),
    (rf"\bthe {_FORM} (?:gives|is) {_CHORD}(?![\w#])", _form),
    (rf"\b{_CHORD} (?:takes|uses|has|is) the {_FORM}", _form),
    (rf"(?<![\w#])(?P<list>{_LIST_NAME}(?:, {_LIST_NAME})+(?:,? and {_LIST_NAME})?)", _chord_list),
    (rf"\b[Tt]he (?P<note>[A-G](?:#|b)?) over (?:the )?{_CHORD}(?![\w#])", _note_over),
    (
        rf"(?<![\w#])(?P<note>[A-G](?:#|b)?) is the (?P<degree>{'|'.join(_DEGREES)}) of {_CHORD}(?![\w#])",
        _degree_of,
    ),
    (
        rf"\bbar (?P<bar>\d+) (?P<verb>starts|begins|stops|ends) on the (?P<degree>{'|'.join(_DEGREES)})\b",
        _bar_degree,
    ),
    (rf"^(?P<count>\d+|(?i:{'|'.join(_COUNTS)})) bars\b", _bar_count),
    (r"(?:\bin |^)(?P<key>[A-G](?:#|b)? (?:major|minor))\b", _other_key),
)
