"""A phrase in another key, form or position, on another tuning or instrument: score to score."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from tabtools.fingering.neck import Place
from tabtools.instrument import above_shapes
from tabtools.phrases.goals import Goal, Goals, goals, indexed, moves
from tabtools.phrases.hand import broken, broken_bars, choose, torn
from tabtools.phrases.labels import relabelled
from tabtools.phrases.names import Interval, interval_by, moved_chord, moved_key, moved_pitch
from tabtools.phrases.places import places, stay
from tabtools.phrases.reasons import no_hand, nowhere
from tabtools.phrases.wish import Moved, Told, Wish
from tabtools.record import NamedTuple
from tabtools.score import Bar, Harmony, Instrument, Note, Part, Pitch, Score, Technique
from tabtools.timeline import NoteIndex

Places = dict[NoteIndex, Place]
_OCTAVES = (0, 12, -12, 24, -24)


class _Placed(NamedTuple):
    """Where the notes of a part go, or which of them can go nowhere."""

    places: Places
    goals: Goals
    missing: tuple[NoteIndex, ...] = ()
    unplayable: tuple[int, ...] = ()


def move(score: Score, wish: Wish) -> Moved:
    """The score with its phrases moved as is wished, or the bars that can't be.

    Every note keeps its length, its techniques and what it is in its chord; the strings stay where they can.
    Nothing moves where a bar can't: then the score is the one from before, and `refused` says why.
    """
    moved = [
        _moved_part(number, part, wish) if wish.part in (None, number) else Moved(Score((part,)))
        for number, part in enumerate(score.parts)
    ]
    refused = tuple(told for one in moved for told in one.refused)
    if refused:
        return Moved(score, refused)
    parts = tuple(one.score.parts[0] for one in moved)
    return Moved(score._replace(parts=parts), (), tuple(told for one in moved for told in one.told))


def _moved_part(number: int, part: Part, wish: Wish) -> Moved:
    instrument = wish.instrument or part.instrument
    wish, told = _in_range(part, wish, instrument, number)
    placed = _placed(part, wish, instrument)
    if placed.missing or placed.unplayable:
        reasons = (
            *nowhere(part, wish, instrument, placed.goals, placed.missing),
            *no_hand(part, wish, placed.unplayable),
        )
        return Moved(Score((part,)), tuple(Told(number, bar, message) for bar, message in reasons))
    new = _with_notes(part, wish, instrument, placed)
    new, renamed = _with_names(part, new, wish, number)
    return Moved(Score((_in_order(new),)), (), (*told, *_octaves(number, part, wish, placed.goals), *renamed))


def _in_range(part: Part, wish: Wish, instrument: Instrument, number: int) -> tuple[Wish, tuple[Told, ...]]:
    """The wish by another octave where the music lies beyond a new instrument's strings."""
    if wish.instrument is None or wish.form:
        return wish, ()
    notes = [note for at, note in indexed(part) if note.pitch is not None and note.fret is not None]

    def missing(octave: int) -> int:
        up = wish.interval.semitones + octave
        return sum(not places(n, n.pitch.midi + up, instrument) for n in notes if n.pitch is not None)

    octave = min(_OCTAVES, key=missing)
    if not octave:
        return wish, ()
    up = wish.interval._replace(semitones=wish.interval.semitones + octave)
    way = f"{abs(octave) // 12} octave{'s' if abs(octave) > 12 else ''} {'up' if octave > 0 else 'down'}"
    return wish._replace(interval=up), (
        Told(number, 0, f"all of it goes {way}, where the instrument has it"),
    )


def _placed(part: Part, wish: Wish, instrument: Instrument) -> _Placed:
    """Places for all notes: on the strings they have where a whole group can stay on them, else where the
    hand has it easiest; all of them there where no hand can hold the groups that stayed."""
    aims = goals(part, wish, instrument)
    notes = dict(indexed(part))
    options = {at: places(notes[at], goal.midi, instrument, goal.window) for at, goal in aims.items()}
    missing = tuple(at for at, allowed in options.items() if not allowed)
    if missing:
        return _Placed({}, aims, missing)
    fixed = _staying(notes, aims, options, instrument)
    before = broken(part, wish.hand)
    found: Places = {}
    attempts: tuple[Places, ...] = (fixed, {})
    for kept in attempts:
        free = {at: allowed for at, allowed in options.items() if at not in kept}
        target = _sketch(part, wish, instrument, aims, kept)
        found = {**kept, **(choose(target, free, wish.hand, wish.position).places if free else {})}
        after = _with_places(target, found)
        if len(found) == len(aims) and not torn(part, after) and broken(after, wish.hand) <= before:
            return _Placed(found, aims)
    target = _with_places(_sketch(part, wish, instrument, aims, found), found)
    bad = {*torn(part, target), *(set(broken_bars(target, wish.hand)) - set(broken_bars(part, wish.hand)))}
    return _Placed(found, aims, (), tuple(sorted(bad)) or (min(at.bar for at in aims),))


def _staying(
    notes: Mapping[NoteIndex, Note],
    aims: Goals,
    options: Mapping[NoteIndex, list[Place]],
    instrument: Instrument,
) -> Places:
    """The places of the groups that can stay on their strings as a whole."""
    stays = {at: stay(notes[at], goal.midi, instrument) for at, goal in aims.items()}
    left = {aims[at].group for at, place in stays.items() if place is None or place not in options[at]}
    return {at: place for at, place in stays.items() if place is not None and aims[at].group not in left}


def _sketch(part: Part, wish: Wish, instrument: Instrument, aims: Goals, kept: Places) -> Part:
    """The part with its new pitches, for the hand to choose from; what stays has its place."""

    def note_of(at: NoteIndex, note: Note) -> Note:
        goal = aims.get(at)
        if goal is None or note.pitch is None:
            return note
        string, fret = kept.get(at, (note.string, note.fret))
        return note._replace(string=string, fret=fret, pitch=_pitch(note, goal, wish), finger=None)

    return _mapped(part._replace(instrument=instrument), note_of)


def _pitch(note: Note, goal: Goal, wish: Wish) -> Pitch | None:
    """The new pitch of a note, with the octave that its group goes by."""
    if note.pitch is None:
        return None
    return moved_pitch(note.pitch, wish.interval._replace(semitones=goal.midi - note.pitch.midi))


def _with_places(part: Part, found: Places) -> Part:
    def note_of(at: NoteIndex, note: Note) -> Note:
        string, fret = found.get(at, (note.string, note.fret))
        return note._replace(string=string, fret=fret)

    return _mapped(part, note_of)


def _with_notes(part: Part, wish: Wish, instrument: Instrument, placed: _Placed) -> Part:
    """The part with everything of its notes moved; fingers stay where the whole hand moves alike."""
    old = dict(indexed(part))
    shifts = {
        (string == old[at].string, fret - (old[at].fret or 0)) for at, (string, fret) in placed.places.items()
    }
    alike = len(shifts) <= 1 and all(same for same, _ in shifts)
    strings = _strings(part, placed.places, len(instrument.tuning))

    def note_of(at: NoteIndex, note: Note) -> Note:
        place, goal = placed.places.get(at), placed.goals.get(at)
        if place is None or goal is None:
            return _unplaced(note, wish, strings.get(at), in_move=moves(part, at, wish))
        string, fret = place
        by = fret - (note.fret or 0)
        techniques = tuple(_technique(technique, by) for technique in note.techniques)
        pitch = _pitch(note, goal, wish)
        finger = note.finger if alike and (fret > 0) == bool(note.fret) else None
        return note._replace(string=string, fret=fret, pitch=pitch, techniques=techniques, finger=finger)

    return _mapped(part._replace(instrument=instrument), note_of)


def _unplaced(note: Note, wish: Wish, string: int | None, *, in_move: bool) -> Note:
    """A dead note, whose string goes along with the notes beside it, or one of notation alone."""
    if not in_move:
        return note
    pitch = moved_pitch(note.pitch, wish.interval) if note.pitch is not None else None
    return note._replace(string=string if note.string is not None else None, pitch=pitch)


def _technique(technique: Technique, by: int) -> Technique:
    """A trill's other fret moves with its note."""
    if technique.name != "trill" or technique.value is None:
        return technique
    return technique._replace(value=technique.value + by)


def _strings(part: Part, found: Places, count: int) -> dict[NoteIndex, int]:
    """The strings of notes without a pitch: as far from their old ones as the nearest note that moved."""
    by, strings = 0, dict[NoteIndex, int]()
    waiting = [(at, note) for at, note in indexed(part) if at not in found and note.string is not None]
    shifts: dict[int, list[tuple[int, int]]] = {at.bar: [] for at, _ in waiting}
    old = dict(indexed(part))
    for at, (string, _) in found.items():
        shifts.setdefault(at.bar, []).append((at.event, string - (old[at].string or string)))
    for at, note in waiting:
        near = min(shifts[at.bar], key=lambda shift: abs(shift[0] - at.event), default=(0, by))
        by = near[1]
        assert note.string is not None
        strings[at] = min(max(note.string + by, 1), count)
    return strings


def _mapped(part: Part, note_of: Callable[[NoteIndex, Note], Note]) -> Part:
    """The part with another note for each of its notes."""
    bars = tuple(_mapped_bar(number, bar, note_of) for number, bar in enumerate(part.bars))
    return part._replace(bars=bars)


def _mapped_bar(number: int, bar: Bar, note_of: Callable[[NoteIndex, Note], Note]) -> Bar:
    events = []
    for at, event in enumerate(bar.events):
        notes = (note_of(NoteIndex(number, at, row), note) for row, note in enumerate(event.notes))
        events.append(event._replace(notes=tuple(notes)))
    return bar._replace(events=tuple(events))


def _in_order(part: Part) -> Part:
    """The part with the notes of each event by string, as scores have them."""
    bars = []
    for bar in part.bars:
        events = (
            event._replace(notes=tuple(sorted(event.notes, key=lambda note: note.string or 0)))
            for event in bar.events
        )
        bars.append(bar._replace(events=tuple(events)))
    return part._replace(bars=tuple(bars))


def _with_names(before: Part, after: Part, wish: Wish, number: int) -> tuple[Part, tuple[Told, ...]]:
    """The part with its chords, keys and form names moved along, and what could not be."""
    interval = _named(before, after, wish)
    told: list[Told] = []
    bars = []
    for bar in after.bars:
        if wish.bars and bar.number not in wish.bars:
            bars.append(bar)
            continue
        harmonies = tuple(_harmony(harmony, interval) for harmony in bar.harmonies)
        told += [
            Told(number, bar.number, f"{old.symbol!r} is no chord symbol that is known: it stays")
            for old in bar.harmonies
            if interval.fifths and moved_chord(old.symbol, interval) is None
        ]
        key = moved_key(bar.key, interval) if bar.key and not wish.bars else bar.key
        bars.append(bar._replace(harmonies=harmonies, key=key))
    part, words = relabelled(before, after._replace(bars=tuple(bars)), wish.bars)
    return part, (*told, *(Told(number, bar, message) for bar, message in words))


def _named(before: Part, after: Part, wish: Wish) -> Interval:
    """How far chord symbols and keys move: as far as the shapes, where they name those."""
    shapes = above_shapes(before.instrument) - above_shapes(after.instrument)
    semitones = wish.interval.semitones + shapes
    if not shapes:
        return wish.interval
    key = next((bar.key for bar in before.bars if bar.key), None)
    return interval_by(semitones, key)


def _harmony(harmony: Harmony, interval: Interval) -> Harmony:
    return harmony._replace(symbol=moved_chord(harmony.symbol, interval) or harmony.symbol)


def _octaves(number: int, part: Part, wish: Wish, aims: Goals) -> Iterator[Told]:
    """The bars whose notes go to a form an octave away."""
    old = dict(indexed(part))
    ups: dict[int, int] = {}
    for at, goal in sorted(aims.items()):
        pitch = old[at].pitch
        up = goal.midi - (pitch.midi if pitch else 0) - wish.interval.semitones
        if wish.form and up:
            ups.setdefault(at.bar, up)
    for bar, up in ups.items():
        way = "up" if up > 0 else "down"
        yield Told(
            number, part.bars[bar].number, f"an octave {way}: the {wish.form} form has these notes there"
        )
