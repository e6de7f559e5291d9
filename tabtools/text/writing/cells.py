"""A bar of a score to the cells that its rows show."""

from __future__ import annotations

from itertools import pairwise

from tabtools.score import ZERO, Bar, Event, Note, Quarters, Technique
from tabtools.techniques import BY_NAME
from tabtools.text.writing.above import bar_letters, finger_word, mark_spans, words_room
from tabtools.text.writing.spacing import BarText, Cell, Slot


def bar_text(bar: Bar, following: Bar | None) -> BarText:
    """The bar ready to be laid out, with room for what stands over it; ``following`` is the next bar."""
    letters = iter(bar_letters(bar) or ())
    room = [
        max(len(finger_word(event)), 0 if event.grace else len(next(letters, ""))) + 1 for event in bar.events
    ]
    for first, last, mark in mark_spans(bar):
        # The mark ends before the next note; every note under it takes a column of its own.
        room[last] = max(room[last], len(mark) + 2 - (last - first))
    slots = [
        Slot(
            None if event.grace else event.onset,
            tuple(cell for note in event.notes if (cell := _cell(note, bar, event))),
            least if least > 1 else 0,
        )
        for event, least in zip(bar.events, room, strict=True)
    ]
    length = max(bar.length, ZERO if bar.pickup else bar.time.length)
    return BarText(tuple(slots), length, words_room(bar, following))


def one_voice(bar: Bar) -> Bar:
    """The bar with all its voices put together, as tab shows them: what begins together stands in one event
    that lasts until the next."""
    if len({event.voice for event in bar.events}) <= 1:
        return bar
    struck: dict[tuple[Quarters, int], list[Event]] = {}
    for place, event in enumerate(bar.events):
        struck.setdefault((event.onset, place if event.grace else len(bar.events)), []).append(event)
    onsets = sorted({event.onset for event in bar.events}) + [bar.length]
    ends = dict(pairwise(onsets))
    events = [_together(struck[at], ends[at[0]]) for at in sorted(struck)]
    return bar._replace(events=tuple(events))


def _together(events: list[Event], end: Quarters) -> Event:
    first = events[0]
    notes = {note.string: note for event in reversed(events) for note in event.notes}
    duration = ZERO if first.grace else end - first.onset
    return first._replace(duration=duration, notes=tuple(notes[at] for at in sorted(notes, key=str)), voice=1)


def _cell(note: Note, bar: Bar, event: Event) -> Cell | None:
    if note.string is None:
        return None
    core, inset = ("x" if note.fret is None else str(note.fret)), 0
    lead = trail = join = ""
    for technique in note.techniques:
        kind = BY_NAME[technique.name]
        if technique.name == "slide":
            join, lead = _slide_sign(note, bar, event, lead)
        elif kind.value:
            trail += _sized(note, technique)
        elif kind.around:
            opening, closing = kind.around[0]
            core, inset = f"{opening}{core}{closing}", inset + 1
        elif kind.between:
            lead = kind.between[0] + lead
        elif kind.before:
            lead += kind.before[technique.falling]
        elif kind.after:
            trail += kind.after[technique.falling]
    if event.grace and not note.has("grace"):
        lead += BY_NAME["grace"].before[0]
    if note.tied:
        lead = BY_NAME["tie"].before[0] + lead
    return Cell(note.string - 1, core, lead, trail, join, inset)


def _slide_sign(note: Note, bar: Bar, event: Event, lead: str) -> tuple[str, str]:
    """A floating slide sign where the note that it comes from stands in the same bar, else the letter that
    joins over any distance."""
    earlier = [
        other.fret
        for before in bar.events[: bar.events.index(event)]
        for other in before.notes
        if other.string == note.string
    ]
    if earlier and earlier[-1] is not None and note.fret is not None and not lead:
        return ("/" if note.fret >= earlier[-1] else "\\"), lead
    return "", "s" + lead


def _sized(note: Note, technique: Technique) -> str:
    """The signs of a bend or trill behind the fret, with the target where it is a fret."""
    release = "r" if technique.name.endswith("release") else ""
    sign = BY_NAME[technique.name.removesuffix("-release")].after[0]
    value, fret = technique.value, note.fret
    if technique.name == "trill":
        return sign + (str(value) if value is not None else "")
    if value is None or fret is None or value.denominator != 1:
        return sign + release
    return f"{sign}{fret + value}" + (f"r{fret}" if release else "")
