"""What a bar begins with: divisions, key, time, clefs, the tab staff and its tuning; and its bar lines."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.musicxml.writing.fragment import Fragment, tag
from tabtools.score import Bar, Instrument, Key, Part, Pitch, TimeSignature
from tabtools.theory.key import fifths

# Clefs with the MIDI number of their middle line. Common practice, no source.
_CLEFS = (("G", 2, 0, 71), ("G", 2, -1, 59), ("F", 4, -1, 38))
# Semitones from the open strings to the middle of what is mostly played on them. Common practice, no source.
_HALF_OCTAVE = 7


def first_attributes(part: Part, bar: Bar, divisions: int, tab: bool) -> Fragment:
    """The attributes of a part's first bar."""
    children = [tag("divisions", divisions), *_key_and_time(bar.key, bar.time, tab)]
    children.append(notation_clef(part, tab))
    if tab:
        children += [tag("staves", 2), tab_clef(2)]
        children.append(staff_details(bar.instrument or part.instrument, 2))
    return tag("attributes", *children)


def tab_clef(staff: int) -> Fragment:
    """The clef of a tab staff."""
    return tag("clef", tag("sign", "TAB"), tag("line", 5), number=staff)


def changed_attributes(part: Part, bar: Bar, before: Bar, tab: bool) -> Fragment | None:
    """The attributes where key, time, tuning or capo change; None where they do not."""
    time = bar.time if bar.time != before.time else None
    changes = [*_key_and_time(bar.key if bar.key != before.key else None, time, tab)]
    if bar.key is None and before.key is not None:
        changes += _on_staves("key", (tag("fifths", 0), tag("mode", "none")), tab)
    played, earlier = (found.instrument or part.instrument for found in (bar, before))
    if tab and (played.tuning, played.capo) != (earlier.tuning, earlier.capo):
        changes.append(staff_details(played, 2))
    return tag("attributes", *changes) if changes else None


def left_barline(bar: Bar, before: Bar | None) -> Fragment | None:
    """The bar line that opens a repeat or an ending."""
    children = []
    if bar.endings and (before is None or _ending_closes(before, bar)):
        children.append(tag("ending", number=_passes(bar), type="start"))
    if bar.repeat_start:
        children += [tag("bar-style", "heavy-light"), tag("repeat", direction="forward")]
    return tag("barline", *children, location="left") if children else None


def right_barline(bar: Bar, after: Bar | None) -> Fragment | None:
    """The bar line that closes a repeat, an ending, or the part."""
    children = []
    if bar.endings and (after is None or _ending_closes(bar, after)):
        kind = "stop" if bar.repeat_times else "discontinue"
        children.append(tag("ending", number=_passes(bar), type=kind))
    if bar.repeat_times:
        times = {"times": bar.repeat_times} if bar.repeat_times != 2 else {}
        children += [tag("bar-style", "light-heavy"), tag("repeat", direction="backward", **times)]
    elif after is None:
        children.append(tag("bar-style", "light-heavy"))
    return tag("barline", *children, location="right") if children else None


def _ending_closes(bar: Bar, after: Bar) -> bool:
    """Whether an ending that ``bar`` is in does not go on in the next bar."""
    return bar.endings != after.endings or bool(bar.repeat_times)


def _passes(bar: Bar) -> str:
    return ", ".join(map(str, bar.endings))


def _key_and_time(key: Key | None, time: TimeSignature | None, tab: bool) -> Iterator[Fragment]:
    if key is not None:
        yield from _on_staves("key", (tag("fifths", fifths(key)), tag("mode", key.mode)), tab)
    if time is not None:
        yield from _on_staves("time", (tag("beats", time.beats), tag("beat-type", time.unit)), tab)


def _on_staves(name: str, children: tuple[Fragment, ...], tab: bool) -> Iterator[Fragment]:
    """The element for all staves; beside a tab staff once for each, unseen on the tab staff."""
    if tab:
        yield tag(name, *children, number=1)
        yield tag(name, *children, number=2, print_object="no")
    else:
        yield tag(name, *children)


def notation_clef(part: Part, tab: bool) -> Fragment:
    """The clef whose middle line lies nearest to the part's range."""
    sign, line, octave, _ = min(_CLEFS, key=lambda clef: abs(clef[3] - _middle(part, tab)))
    octaves = (tag("clef-octave-change", octave),) if octave else ()
    number = {"number": 1} if tab else {}
    return tag("clef", tag("sign", sign), tag("line", line), *octaves, **number)


def _middle(part: Part, tab: bool) -> float:
    """The middle of a part's range as a MIDI number: by the tuning, without tab by the notes."""
    open_strings = [pitch.midi + _HALF_OCTAVE for pitch in part.instrument.tuning]
    notes = (note for bar in part.bars for event in bar.events for note in event.notes)
    played = [] if tab else [note.pitch.midi for note in notes if note.pitch]
    found = played or open_strings
    return sum(found) / len(found)


def staff_details(instrument: Instrument, staff: int) -> Fragment:
    """The tab staff with this number: the lines are numbered from the bottom, the strings from the top."""
    strings = instrument.tuning
    tunings = [tuning_of_line(line, pitch) for line, pitch in enumerate(reversed(strings), 1)]
    capo = (tag("capo", instrument.capo),) if instrument.capo else ()
    kind, lines = tag("staff-type", "alternate"), tag("staff-lines", len(strings))
    return tag("staff-details", kind, lines, *tunings, *capo, number=staff)


def tuning_of_line(line: int, pitch: Pitch) -> Fragment:
    """The open string of a staff line, counted from the bottom."""
    alter = (tag("tuning-alter", pitch.alter),) if pitch.alter else ()
    name = tag("tuning-step", pitch.step), *alter, tag("tuning-octave", pitch.octave)
    return tag("staff-tuning", *name, line=line)
