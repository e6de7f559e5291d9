"""How the strings are tuned, in words: the name of a tuning, all strings down a step, one string to a note.

The words are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from tabtools.instrument import GUITAR, TUNINGS, Tuning, tuned_down
from tabtools.score import Pitch
from tabtools.text.patterns import lazy
from tabtools.theory.names import NOTE_NAMES
from tabtools.theory.spelling import spell

_DOWN = (
    r"(?:(?:tuned )?down|detuned|low(?:er)?|flat|below|tiefer|abajo|plus bas|sotto|abaixo|w dół|niżej|ниже"
    r"|вниз)"
)
_STEPS = {
    1: r"(?:half|1/2|½)(?: an?)? (?:step|tone)|semitone|halbton|medio tono|demi ton|mezzo tono|meio tom"
    r"|pół tonu|полтона",
    3: r"(?:1 1/2|1½|one and a half) (?:step|tone)s?|(?:3|three) semitones",
    4: r"(?:two|2)(?: whole| full)? (?:step|tone)s|(?:4|four) semitones",
    2: r"(?:whole|full|one|1|a) (?:step|tone)|ganzton|(?:2|two) semitones",
}
_SHIFTS = tuple(
    (
        steps,
        lazy(
            rf"(?<![\w/])(?:{words})\b ?{_DOWN}\b|\b{_DOWN} (?:by )?(?:an? |one )?(?:{words})\b",
            needs=("step", "ton", "tom", "тон"),
        ),
    )
    for steps, words in _STEPS.items()
)
# A shape, a slide or a bend may go down a step too.
_MOVES = lazy(
    r"\b(?:slid|bend|mov|shift|shape|finger)\w*",
    re.IGNORECASE,
    needs=("slid", "bend", "mov", "shift", "shape", "finger"),
)
_STANDARD = lazy(
    r"(?<![\w#])(?<!in )(?<!of )(?P<low>[a-g](?:#|b)?) standard\b"
    r"|(?<!string )(?<!\be )tuned? down to (?P<down>[a-g](?:#|b)?)(?![\w#])",
    re.IGNORECASE,
    needs=("standard", "down to"),
)
_FARTHEST = 7
_NOTE = r"(?P<note>[A-G](?:#|b|♯|♭)?|[Dd]o|[Rr][eé]|[Mm]i|[Ss]ol|[Ll]a|[Ss]i)"
_ONE_STRING = lazy(
    r"(?i:\b(?:(?P<number>[1-8])(?:st|nd|rd|th|\.|ª|a|e|ème)? ?(?:string|saite|cuerda|corda|corde)"
    r"|(?P<word>first|second|third|fourth|fifth|sixth) string"
    r"|(?P<last>(?:low(?:est)?|bottom|bass|thickest)(?: (?:e|string))+|sexta(?: cuerda)?))\b)"
    rf"[^.;\d]{{0,24}}?(?:\b(?:to|auf|en|em|in|at) |= ?){_NOTE}(?![\w#])(?! (?:chord|shape|string))",
)
# As classical guitarists write it: 6 = D.
_NUMBERED = lazy(
    r"(?:^|[ ,(])(?:[(]?(?P<number>[1-8])[)]? ?=|\((?P<boxed>[1-8])\)) ?"
    r"(?P<note>[A-G](?:#|b|♯|♭)?)(?![\w#=])(?! \w)",
)
_SIGNS = str.maketrans("♯♭", "#b")
_STRING_WORDS = ("string", "saite", "cuerda", "corda", "corde", "low", "bottom", "bass", "sexta")
_NUMBERS = ("first", "second", "third", "fourth", "fifth", "sixth")
_RETUNED = ("tun", "drop", "lower", "=", "stimm", "afin", "accord", "scord")


def tuning_in_words(value: str, instrument: str | None) -> Tuning | None:
    """The tuning that a text says in words, on a guitar unless ``instrument`` is another one; None where it
    says none."""
    lower = value.lower().replace("-", " ")
    steps = _steps_down(lower)
    named = _named(lower, instrument, plain=bool(steps))
    base = named if named and not tuned_down(named) else _usual(instrument)
    if steps:
        # Who plays another instrument, or has more strings, tunes down those that there are.
        base = TUNINGS[0] if "standard" in base.names else base
        return _row(base, {string: pitch.midi - steps for string, pitch in enumerate(base.strings, 1)})
    changes = {string: pitch for string, pitch in _changes(value, lower, base) if string <= len(base.strings)}
    return _row(base, changes) if changes else named


def says_tuning(text: str) -> bool:
    """Whether a text, in which no word for tuning stands, tunes a string or all of them."""
    lower = text.lower().replace("-", " ")
    if _STANDARD.search(lower) or ("string" in lower and _steps_down(lower)):
        return True
    return any(True for _ in _changes(text, lower, _usual(None)))


def _usual(instrument: str | None) -> Tuning:
    return next((row for row in TUNINGS if row.instrument == instrument), TUNINGS[0])


def _row(base: Tuning, changes: dict[int, int]) -> Tuning:
    """The tuning with other MIDI numbers on some strings: a row of the table where it has one."""
    strings = tuple(
        spell(changes[string], None) if string in changes else pitch
        for string, pitch in enumerate(base.strings, 1)
    )
    midis = [pitch.midi for pitch in strings]
    rows = (row for row in TUNINGS if row.instrument == base.instrument)
    known = next((row for row in rows if [pitch.midi for pitch in row.strings] == midis), None)
    return known or Tuning(base.instrument, (), strings)


def _steps_down(lower: str) -> int:
    """By how many semitones all strings go down; 0 where a text does not say."""
    steps = next((steps for steps, pattern in _SHIFTS if pattern.search(lower)), 0)
    return 0 if steps and _MOVES.search(lower) else steps


def _changes(value: str, lower: str, base: Tuning) -> Iterator[tuple[int, int]]:
    """The strings that a text tunes to a note, and the MIDI numbers that are nearest to their usual ones."""
    if (low := _STANDARD.search(lower)) and len(base.strings) == len(GUITAR.tuning):
        down = (
            _nearest((low["low"] or low["down"]).capitalize(), base.strings[-1].midi) - base.strings[-1].midi
        )
        if -_FARTHEST <= down < 0:
            yield from ((string, pitch.midi + down) for string, pitch in enumerate(base.strings, 1))
    if not any(word in lower for word in _RETUNED):
        return
    patterns = ((_ONE_STRING, _STRING_WORDS), (_NUMBERED, "=("))
    for pattern in (pattern for pattern, words in patterns if any(word in lower for word in words)):
        for found in pattern.finditer(value):
            string = _string(found, len(base.strings))
            if string <= len(base.strings):
                yield string, _nearest(found["note"], base.strings[string - 1].midi)


def _string(found: re.Match[str], last: int) -> int:
    said = found.groupdict()
    if number := said["number"] or said.get("boxed"):
        return int(number)
    return _NUMBERS.index(said["word"].lower()) + 1 if said.get("word") else last


def _nearest(note: str, midi: int) -> int:
    """The MIDI number of a note nearest to another one, below it rather than above."""
    step, alter = NOTE_NAMES[note[0].upper() + note[1:].translate(_SIGNS)]
    above = (Pitch(step, alter, 4).midi - midi) % 12
    return midi + above - 12 if above >= 6 else midi + above


def _named(lower: str, instrument: str | None, *, plain: bool) -> Tuning | None:
    """The row of the table whose name stands in a text; the longest name wins. Words for a guitar that is
    tuned down as a whole hold for all instruments; they are left out where ``plain`` names are wanted."""
    best: tuple[bool, int, Tuning] | None = None
    for tuning in TUNINGS:
        if plain and tuned_down(tuning):
            continue
        own = tuning.instrument == (instrument or GUITAR.name)
        for name in tuning.names if own or tuned_down(tuning) else ():
            found = re.search(rf"(?<![a-z]){re.escape(name)}(?![a-z])", lower)
            if found and (best is None or (own, len(name)) > best[:2]):
                best = (own, len(name), tuning)
    return best[2] if best else None
