"""One bar: its voices on both staves, rewound with ``backup``, and what stands above them."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.musicxml.writing import directions
from tabtools.musicxml.writing.fragment import Fragment, tag
from tabtools.musicxml.writing.links import Links
from tabtools.musicxml.writing.notes import Setting, Staff, chord, rest
from tabtools.musicxml.writing.rhythm import Lane, Piece
from tabtools.record import NamedTuple
from tabtools.score import ZERO, Bar, Harmony, Quarters, Words


class Layout(NamedTuple):
    """The staves of a part and the joins of its notes."""

    staves: tuple[Staff, ...]
    links: Links


def music(
    place: int, bar: Bar, lanes: tuple[Lane, ...], layout: Layout, setting: Setting
) -> Iterator[Fragment]:
    """The notes of the bar that is number ``place`` of the part, counted from 0."""
    yield from directions.opening(bar, layout.staves[0].number)
    wound = ZERO
    for staff in layout.staves:
        for lane in lanes:
            if wound > 0:
                yield tag("backup", tag("duration", int(wound * setting.divisions)))
            above = _above(bar) if staff is layout.staves[0] and lane is lanes[0] else []
            yield from _lane(place, bar, lane, staff, layout, setting, above)
            wound = lane.end


def _above(bar: Bar) -> list[Harmony | Words]:
    """Chord symbols and words in the order of their places, last first."""
    items: list[Harmony | Words] = [*bar.harmonies, *bar.words]
    return sorted(items, key=lambda item: item.onset)[::-1]


def _lane(
    place: int,
    bar: Bar,
    lane: Lane,
    staff: Staff,
    layout: Layout,
    setting: Setting,
    above: list[Harmony | Words],
) -> Iterator[Fragment]:
    for piece in lane.pieces:
        while above and (above[-1].onset < piece.end or above[-1].onset == piece.onset):
            yield _item(above.pop(), piece.onset, staff, setting)
        if piece.event is None:
            yield _silence(piece, lane.voice, staff, setting)
            continue
        at, event = (place, piece.event), bar.events[piece.event]
        if piece.first and not staff.tab:
            started = layout.links.span_starts.get(at, ())
            yield from directions.dashes("start", started, event.voice, staff.number)
        yield from _struck(place, bar, piece, lane.voice, staff, layout, setting)
        if piece.last and not staff.tab:
            stopped = layout.links.span_stops.get(at, ())
            yield from directions.dashes("stop", stopped, event.voice, staff.number)
    while above:
        yield _item(above.pop(), lane.end, staff, setting)


def _struck(
    place: int, bar: Bar, piece: Piece, voice: int, staff: Staff, layout: Layout, setting: Setting
) -> Iterator[Fragment]:
    assert piece.event is not None
    event = bar.events[piece.event]
    if not event.notes:
        yield rest(piece, voice, staff, setting)
        return
    if staff.tab and all(note.string is None for note in event.notes):
        if piece.value.duration:
            yield _forward(piece, voice, staff, setting)
        return
    ends = [layout.links.notes.get((place, piece.event, n)) for n in range(len(event.notes))]
    yield from chord(event, piece, ends, voice, staff, setting)


def _silence(piece: Piece, voice: int, staff: Staff, setting: Setting) -> Fragment:
    if piece.silent:
        return _forward(piece, voice, staff, setting)
    return rest(piece, voice, staff, setting)


def _forward(piece: Piece, voice: int, staff: Staff, setting: Setting) -> Fragment:
    duration = tag("duration", int(piece.value.duration * setting.divisions))
    where = [tag("staff", staff.number)] if staff.number is not None else []
    return tag("forward", duration, tag("voice", voice + staff.voices), *where)


def _item(item: Harmony | Words, now: Quarters, staff: Staff, setting: Setting) -> Fragment:
    offset = int((item.onset - now) * setting.divisions)
    if isinstance(item, Harmony):
        return directions.chord_symbol(item, offset, staff.number)
    return directions.words(item.text, offset, staff.number)
