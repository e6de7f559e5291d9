"""What each note of a part should sound after a move, and where on the neck it may then lie."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.forms.naming import name_forms
from tabtools.forms.neck import neck
from tabtools.forms.segments import Segment
from tabtools.forms.table import REACH
from tabtools.phrases.places import Window, places
from tabtools.phrases.wish import Wish
from tabtools.record import NamedTuple
from tabtools.score import Instrument, Note, Part
from tabtools.theory.chord import parse_chord
from tabtools.theory.line_of_fifths import pitch_class, place, place_of_letter
from tabtools.timeline import NoteIndex, chords_in_force

_REACH = 4  # frets from the first finger to the stretched fourth
# What a group of notes costs in another form, in frets that the hand moves: another octave than the group
# before has, an octave away at all, a stretch beyond the form's reach.
_TURN, _OCTAVE, _STRETCH = 8, 12, 5
_TORN = 1000  # a slide that would turn round
_OCTAVES = (0, 12, -12)
_JOINING = ("hammer", "pull", "slide")


class Goal(NamedTuple):
    """The MIDI number that a note should have, the frets it may lie at, and the number of the group of notes
    that it moves with."""

    midi: int
    window: Window | None
    group: int


Goals = dict[NoteIndex, Goal]


def indexed(part: Part) -> Iterator[tuple[NoteIndex, Note]]:
    """Every note of a part with its place, in the order of the score."""
    for number, bar in enumerate(part.bars):
        for at, event in enumerate(bar.events):
            for row, note in enumerate(event.notes):
                yield NoteIndex(number, at, row), note


def goals(part: Part, wish: Wish, instrument: Instrument) -> Goals:
    """The goals of all notes with string and pitch in the bars that move; ``instrument`` is the new one."""
    chosen = {at: note for at, note in indexed(part) if moves(part, at, wish) and _is_placed(note)}
    if wish.form:
        return _in_form(part, wish, instrument, chosen)
    window = Window(max(wish.position - 1, 1), wish.position + _REACH) if wish.position else None
    groups = _bar_groups(part)
    return {
        at: Goal(note.pitch.midi + wish.interval.semitones, window, groups[at.bar])
        for at, note in chosen.items()
        if note.pitch is not None
    }


def moves(part: Part, at: NoteIndex, wish: Wish) -> bool:
    """Whether the note at a place is in the bars that move."""
    return not wish.bars or part.bars[at.bar].number in wish.bars


def _is_placed(note: Note) -> bool:
    return note.string is not None and note.fret is not None and note.pitch is not None


def _bar_groups(part: Part) -> list[int]:
    """A number for each bar; one whose first notes are joined to the bar before has that bar's."""
    groups: list[int] = []
    for bar in part.bars:
        first = next((event.notes for event in bar.events if event.notes), ())
        joined = any(note.tied or note.has("hammer", "pull", "slide") for note in first)
        groups.append((groups[-1] if joined else groups[-1] + 1) if groups else 0)
    return groups


class _Choice(NamedTuple):
    """A form's place for a group of notes: its anchor, octaves up in semitones, frets beyond its reach."""

    anchor: int
    octave: int
    beyond: int

    def window(self, form: str) -> Window:
        low, high = REACH[form]
        return Window(max(self.anchor + low, 1), self.anchor + high + self.beyond)


def _in_form(part: Part, wish: Wish, instrument: Instrument, chosen: dict[NoteIndex, Note]) -> Goals:
    assert wish.form is not None
    groups = _form_groups(part, chosen)
    options = [_choices(wish, instrument, root, [chosen[at] for at in notes]) for root, notes in groups]
    found: Goals = {}
    joined = [chosen[notes[0]].tied or chosen[notes[0]].has(*_JOINING) for _, notes in groups]
    for number, ((_, notes), choice) in enumerate(zip(groups, _cheapest(options, joined), strict=True)):
        for at in notes:
            pitch = chosen[at].pitch
            assert pitch is not None
            midi = pitch.midi + wish.interval.semitones + choice.octave
            found[at] = Goal(midi, choice.window(wish.form), number)
    return found


def _form_groups(part: Part, chosen: dict[NoteIndex, Note]) -> list[tuple[int | None, list[NoteIndex]]]:
    """The groups of notes that come from one form each, with the pitch class of its root; notes that no form
    is named for go with the group before."""
    by_place = {(id(part.bars[at.bar]), at.event, id(note)): at for at, note in chosen.items()}
    chords = chords_in_force(part)
    groups: list[tuple[int | None, list[NoteIndex]]] = []
    named: set[NoteIndex] = set()
    for segment in name_forms(part):
        notes = [at for at in (by_place.get(key) for key in _keys(segment)) if at is not None]
        if notes:
            harmony = chords[notes[0].bar][notes[0].event]
            groups.append((_root(segment, harmony.symbol if harmony else None, part, notes[0]), notes))
            named.update(notes)
    for at in chosen:
        if at not in named:
            before = [group for group in groups if group[1][0] <= at]
            if before:
                before[-1][1].append(at)
            else:
                groups.insert(0, (None, [at]))
    return groups


def _keys(segment: Segment) -> Iterator[tuple[int, int, int]]:
    for named in segment.notes:
        event = next(n for n, event in enumerate(named.bar.events) if event is named.event)
        yield id(named.bar), event, id(named.note)


def _root(segment: Segment, symbol: str | None, part: Part, at: NoteIndex) -> int | None:
    """The pitch class that a group's form is built on: its reading's root, else that of chord or key."""
    if segment.reading is not None:
        return pitch_class(place_of_letter(segment.reading.root))
    chord = parse_chord(symbol) if symbol else None
    if chord is not None:
        return pitch_class(place(chord.root_step, chord.root_alter))
    key = part.bars[at.bar].key
    return pitch_class(place(key.step, key.alter)) if key else None


def _choices(wish: Wish, instrument: Instrument, root: int | None, notes: Sequence[Note]) -> list[_Choice]:
    """Where the form holds all of the notes, in some octave; without any, where most of them are."""
    assert wish.form is not None
    roots = range(12) if root is None else (root + wish.interval.semitones,)
    anchors = sorted({anchor for one in roots for anchor in neck(instrument).anchors(wish.form, one % 12)})
    every = [
        _Choice(anchor, octave, beyond) for anchor in anchors for octave in _OCTAVES for beyond in (0, 1)
    ]
    missing = [_missing(wish, instrument, choice, notes) for choice in every]
    least = min(missing, default=0)
    return [choice for choice, misses in zip(every, missing, strict=True) if misses == least]


def _missing(wish: Wish, instrument: Instrument, choice: _Choice, notes: Sequence[Note]) -> int:
    assert wish.form is not None
    window, up = choice.window(wish.form), wish.interval.semitones + choice.octave
    return sum(
        not places(note, note.pitch.midi + up, instrument, window) for note in notes if note.pitch is not None
    )


def _cheapest(options: Sequence[Sequence[_Choice]], joined: Sequence[bool]) -> list[_Choice]:
    """One choice for each group, so that the hand and the octave move least in all; ``joined`` are the groups
    that a slide or the like leads into, which keeps the octave."""
    best: list[tuple[int, list[_Choice]]] = [(0, [])]
    for choices, leads in zip(options, joined, strict=True):
        best = [
            min(
                (
                    (cost + _cost(way[-1] if way else None, choice, leads), [*way, choice])
                    for cost, way in best
                )
            )
            for choice in choices
        ]
    return min(best)[1]


def _cost(before: _Choice | None, choice: _Choice, leads: bool) -> int:
    cost = _OCTAVE * (choice.octave != 0) + _STRETCH * choice.beyond
    if before is not None:
        cost += abs(before.anchor - choice.anchor) + (_TORN if leads else _TURN) * (
            before.octave != choice.octave
        )
    return cost
