"""What is heard of a part: repeats unrolled, notes as long and as loud as their techniques make them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from tabtools.instrument import heard_harmonic
from tabtools.playing import played
from tabtools.record import NamedTuple
from tabtools.score import ZERO, Feel, Instrument, Note, Part, Quarters
from tabtools.timeline import Moment, Sound, moments

# How loud notes are, of 127: a note reached by the fretting hand alone is softer than a picked one.
_PICKED, _JOINED, _GHOST = 90, 68, 45
_SOFTER = {"hammer": _JOINED, "pull": _JOINED, "slide": _JOINED, "tap": _JOINED, "ghost": _GHOST}
_MUTED = Fraction(1, 4)  # the share of its length for which a palm-muted note sounds
_GRACE = Fraction(1, 8)  # quarter notes that a grace note takes from the time before its note
_OCTAVE = 12


class Playing(NamedTuple):
    """How a score is played: ``speed`` is a share of its tempo, ``count_in`` how many bars are counted in."""

    speed: Fraction = Fraction(1)
    count_in: int = 0


AS_WRITTEN = Playing()


class Tone(NamedTuple):
    """A note as it is performed.

    ``start`` and ``end`` count quarter notes from the beginning of the performance. ``midi`` is the heard
    MIDI number, ``velocity`` 1 to 127. ``following`` is the note to which its string goes on without a new
    stroke of the pick, None for most.
    """

    start: Quarters
    end: Quarters
    midi: int
    velocity: int
    note: Note
    following: Note | None = None


class PlayedBar(NamedTuple):
    """A bar in the order of playing: which one, counted from 0, where it starts, and how long it lasts."""

    bar: int
    start: Quarters
    lasts: Quarters


def played_bars(part: Part) -> tuple[PlayedBar, ...]:
    """The bars of a part as they are played, with their starts in quarter notes."""
    steps, now = [], ZERO
    for step in played(part):
        lasts = part.bars[step.bar].lasts
        steps.append(PlayedBar(step.bar, now, lasts))
        now += lasts
    return tuple(steps)


def perform(part: Part) -> tuple[Tone, ...]:
    """Every note of a part as it is heard, in order of time. Dead notes have no pitch and are left out."""
    by_bar: dict[int, list[Moment]] = {}
    for moment in moments(part):
        by_bar.setdefault(moment.struck[0].where.bar, []).append(moment)
    starts, feels = part.starts, feels_of(part)
    tones: list[Tone] = []
    for step in played_bars(part):
        shift, feel = step.start - starts[step.bar], feels[step.bar]
        for moment, lead in _with_leads(by_bar.get(step.bar, [])):
            tones += (
                tone._replace(
                    start=step.start + felt(tone.start - step.start, feel),
                    end=step.start + felt(tone.end - step.start, feel),
                )
                for tone in _of_moment(moment, shift, lead)
            )
    return tuple(_joined(_cut(sorted(tones, key=lambda tone: (tone.start, tone.midi)))))


def felt(time: Quarters, feel: Feel | None) -> Quarters:
    """A time from the start of a bar as it is played: in swing, the second note of each pair comes late.

    Times between the two move in proportion; those of written triplets stay, as they are swung already.
    """
    if feel is None or feel.first == feel.second:
        return time
    pair = 2 * feel.unit
    number, inside = divmod(time, pair)
    if (inside / pair).denominator % 3 == 0:
        return time
    first = pair * Fraction(feel.first, feel.first + feel.second)
    if inside <= feel.unit:
        return number * pair + inside * first / feel.unit
    return number * pair + first + (inside - feel.unit) * (pair - first) / feel.unit


def feels_of(part: Part) -> list[Feel | None]:
    """How notes are felt in each bar as written."""
    feels: list[Feel | None] = []
    for bar in part.bars:
        feels.append(bar.feel or (feels[-1] if feels else None))
    return feels


def heard_midi(note: Note, instrument: Instrument) -> int | None:
    """The MIDI number that a note is heard at before any bend; None for a dead note.

    A natural harmonic sounds a partial of its open string, an artificial one an octave above its fret.
    """
    if note.pitch is None or note.has("dead"):
        return None
    if note.has("harmonic") and note.string is not None and note.fret is not None:
        partial = heard_harmonic(note.fret)
        if partial is not None and note.string <= len(instrument.tuning):
            return instrument.midi(note.string, 0) + partial
    return note.pitch.midi + (_OCTAVE if note.has("artificial") else 0)


def _with_leads(bar_moments: list[Moment]) -> Iterator[tuple[Moment, Quarters]]:
    """Each moment with how far it is moved ahead: grace notes come one after the other before their note."""
    for place, moment in enumerate(bar_moments):
        waiting = 0
        if moment.grace:
            after = bar_moments[place:]
            waiting = next((n for n, later in enumerate(after) if not later.grace), len(after))
        yield moment, _GRACE * waiting


def _of_moment(moment: Moment, shift: Quarters, lead: Quarters) -> Iterator[Tone]:
    for sound in moment.struck:
        midi = heard_midi(sound.note, moment.instrument)
        if midi is None:
            continue
        start = max(ZERO, sound.start + shift - lead)
        end = start + _GRACE if moment.grace else sound.start + shift + _length(sound)
        yield Tone(start, end, midi, _velocity(sound.note), sound.note)


def _length(sound: Sound) -> Quarters:
    length = sound.stops - sound.start
    return length * _MUTED if sound.note.has("palm-mute") else length


def _velocity(note: Note) -> int:
    return min([_PICKED, *(_SOFTER[t.name] for t in note.techniques if t.name in _SOFTER)])


def _cut(tones: list[Tone]) -> list[Tone]:
    """The same notes, none of them longer than until its string, or its pitch, is struck again."""
    result = list(tones)
    last: dict[tuple[str, int], int] = {}
    for place, tone in enumerate(tones):
        string = tone.note.string
        for key in (("pitch", tone.midi), *([("string", string)] if string is not None else [])):
            before = last.get(key)
            if before is not None and result[before].start < tone.start < result[before].end:
                result[before] = result[before]._replace(end=tone.start)
            last[key] = place
    return result


def _joined(tones: list[Tone]) -> list[Tone]:
    """The same notes, each told the note that its string slides to."""
    result = list(tones)
    last: dict[int, int] = {}
    for place, tone in enumerate(tones):
        string = tone.note.string
        if string is None:
            continue
        before = last.get(string)
        if before is not None and tone.note.has("slide"):
            result[before] = result[before]._replace(following=tone.note)
        last[string] = place
    return result
