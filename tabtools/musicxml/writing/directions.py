"""What stands above the staff: chord symbols, words, sections, tempo, and dashed lines."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.musicxml.marks import SPAN_WORDS
from tabtools.musicxml.writing.fragment import Fragment, decimal, tag
from tabtools.score import Bar, Feel, Harmony, Quarters, Tempo
from tabtools.theory.chord import Chord, musicxml_kind, parse_chord
from tabtools.theory.duration import single
from tabtools.theory.line_of_fifths import letter, place
from tabtools.theory.names import NOTE_NAMES, leading_names, plain_accidentals
from tabtools.theory.qualities import quality_of_suffix


def opening(bar: Bar, staff: int | None) -> Iterator[Fragment]:
    """The section name and the tempo of a bar."""
    if bar.section is not None:
        yield _direction(tag("rehearsal", bar.section), staff=staff)
    if bar.tempo is not None:
        yield _tempo(bar.tempo, staff)
    if bar.feel is not None:
        yield _feel(bar.feel, staff)


def chord_symbol(harmony: Harmony, offset: int, staff: int | None) -> Fragment:
    """A ``harmony``, ``offset`` divisions from here; words where the symbol is not understood."""
    chord = parse_chord(harmony.symbol)
    if chord is None:
        return words(harmony.symbol, offset, staff)
    root, suffix, bass = _cut(chord)
    kind, changes = musicxml_kind(chord)
    parts = [_named("root", root, (chord.root_step, chord.root_alter)), tag("kind", kind, text=suffix)]
    if chord.bass:
        parts.append(_named("bass", bass, chord.bass))
    for change in changes:
        value, alter = tag("degree-value", change.value), tag("degree-alter", change.alter)
        parts.append(tag("degree", value, alter, tag("degree-type", change.type), print_object="no"))
    return tag("harmony", *parts, *_where(offset, staff))


def words(text: str, offset: int, staff: int | None) -> Fragment:
    """A remark, ``offset`` divisions from here."""
    return _direction(tag("words", text), offset=offset, staff=staff)


def dashes(kind: str, names: tuple[str, ...], voice: int, staff: int | None) -> Iterator[Fragment]:
    """The ``start`` or ``stop`` of the dashed lines of some techniques, the start with its word."""
    for name in names:
        number = list(SPAN_WORDS).index(name) + 1 + len(SPAN_WORDS) * ((voice - 1) % 4)
        line = tag("dashes", type=kind, number=number)
        if kind == "start":
            yield _direction(tag("words", SPAN_WORDS[name]), line, staff=staff)
        else:
            yield _direction(line, staff=staff)


def _direction(
    *kinds: Fragment, offset: int = 0, staff: int | None, sound: Fragment | None = None
) -> Fragment:
    children = [*(tag("direction-type", kind) for kind in kinds), *_where(offset, staff)]
    return tag("direction", *children, *([sound] if sound else []), placement="above")


def _where(offset: int, staff: int | None) -> list[Fragment]:
    where = [tag("offset", offset)] if offset else []
    return where if staff is None else [*where, tag("staff", staff)]


def _tempo(tempo: Tempo, staff: int | None) -> Fragment:
    """Metronome mark and sound; the sound counts quarter notes whatever the mark shows."""
    quarters: Quarters = tempo.per_minute * tempo.beat
    sound = tag("sound", tempo=decimal(quarters))
    beat = single(tempo.beat)
    if beat is None:
        return _direction(tag("words", f"{decimal(quarters)} bpm"), staff=staff, sound=sound)
    unit = tag("beat-unit", beat.type), *[tag("beat-unit-dot")] * beat.dots
    mark = tag("metronome", *unit, tag("per-minute", decimal(tempo.per_minute)))
    return _direction(mark, staff=staff, sound=sound)


def _feel(feel: Feel, staff: int | None) -> Fragment:
    """How notes are felt, in words and as it sounds: half time is words alone."""
    text = tag("words", feel.name.capitalize())
    if feel.name not in ("swing", "shuffle", "straight"):
        return _direction(text, staff=staff)
    if feel.first == feel.second:
        swing = tag("swing", tag("straight"))
    else:
        kind = "16th" if feel.unit == Quarters(1, 4) else "eighth"
        swing = tag("swing", tag("first", feel.first), tag("second", feel.second), tag("swing-type", kind))
    return _direction(text, staff=staff, sound=tag("sound", swing))


def _named(element: str, text: str, name: tuple[str, int]) -> Fragment:
    """A ``root`` or ``bass``, with its text where MusicXML would print the name in another way."""
    step, alter = name
    if text == letter(place(step, alter)):
        shown, hidden = {}, {}
    else:
        shown, hidden = {"text": text}, {"print_object": "no"}
    alters = [tag(f"{element}-alter", alter, **hidden)] if alter else []
    return tag(element, tag(f"{element}-step", step, **shown), *alters)


def _cut(chord: Chord) -> tuple[str, str, str]:
    """Root, suffix and bass of a chord symbol, exactly as written."""
    if chord.quality.kind == "none":
        return "", chord.text, ""
    symbol, bass = chord.text, ""
    if chord.bass:
        symbol, _, bass = chord.text.rpartition("/")
    for name, suffix in leading_names(plain_accidentals(symbol)):
        same = NOTE_NAMES[name] == (chord.root_step, chord.root_alter)
        if same and quality_of_suffix(suffix) == chord.quality:
            return symbol[: len(name)], symbol[len(name) :], bass
    raise AssertionError(f"{chord.text} was parsed, so it has a root")
