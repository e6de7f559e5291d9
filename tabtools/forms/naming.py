"""Names for groups of notes: which movable form they come from, and what every note is in it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from tabtools.forms import search
from tabtools.forms.boxcost import BoxLabel
from tabtools.forms.boxes import BLUE, MINOR_PENTATONIC, RELATIVE, anchor, boxes, minor_key
from tabtools.forms.cost import LABELS
from tabtools.forms.cuts import Cut, FormLabel, Label, RunLabel
from tabtools.forms.evidence import Stroke, Tone, strokes
from tabtools.forms.figures import Figures
from tabtools.forms.neck import Stringing, common_offset, neck
from tabtools.forms.places import barre_of
from tabtools.forms.position import HandPlace, hand_place
from tabtools.forms.readings import is_member, rank, rank_box, rooted
from tabtools.forms.roles import Judge
from tabtools.forms.scales import run_scale
from tabtools.forms.segments import BoxReading, NamedNote, Reading, Segment
from tabtools.forms.table import QUALITIES, STRINGS
from tabtools.instrument import above_shapes
from tabtools.score import Key, Part, Score
from tabtools.theory.chord import Chord, parse_chord
from tabtools.theory.key import pitch_classes
from tabtools.theory.line_of_fifths import pitch_class, place
from tabtools.theory.spelling import spell

_NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


def name_forms(music: Score | Part) -> tuple[Segment, ...]:
    """The segments of a score or of a part, part by part in order of time, without gap or overlap.

    Left out are notes without string, fret or pitch, and those that are held on. A segment never reaches
    across the beginning of a section or a rest of a bar.
    """
    parts = music.parts if isinstance(music, Score) else (music,)
    return tuple(named.segment for number, part in enumerate(parts) for named in outline(part, number))


class Named:
    """A segment that is put into words when somebody asks for it. ``bar`` and ``event`` are where it begins;
    ``reads`` is whether it has a reading."""

    def __init__(self, namer: _Namer, cut: Cut) -> None:
        first = namer.line[cut.start].tones[0]
        self.bar, self.event = first.bar, first.event
        self.reads = not isinstance(cut.label, RunLabel)
        self._namer, self._cut = namer, cut

    @cached_property
    def segment(self) -> Segment:
        """The segment, with all that its notes are."""
        return self._namer.segment(self._cut)


def outline(part: Part, number: int = 0) -> list[Named]:
    """The segments of a part in order; ``number`` is the one that the part is counted by."""
    if not part.instrument.tuning:
        return []
    at = neck(part.instrument)
    line = strokes(part, at)
    keys = [stroke.tones[0].bar.key for stroke in line]
    # Chords and key are those that sound or those of the shapes: the cheaper way counts, then the one with
    # fewer notes outside the key.
    told = any(keys) or any(stroke.chord for stroke in line)
    above = above_shapes(part.instrument)
    ways = (at.capo, at.capo - above) if above and told else (at.capo,)
    found = {capo: search.cheapest(line, at, keys, capo) for capo in ways}
    capo = min(found, key=lambda way: (found[way].total, _foreign(line, at.capo - way)))
    namer = _Namer(number, at, line, capo)
    return [Named(namer, cut) for cut in found[capo].cuts]


def _foreign(line: Sequence[Stroke], heard: int) -> int:
    """How many notes lie outside their key, if they sound ``heard`` semitones above it."""
    tones = (tone for stroke in line for tone in stroke.tones)
    return sum(
        (tone.midi - heard) % 12 not in pitch_classes(tone.bar.key)
        for tone in tones
        if tone.bar.key is not None
    )


class _Namer:
    """A part with what all its segments are named by."""

    def __init__(self, part: int, at: Stringing, line: Sequence[Stroke], capo: int) -> None:
        self.part = part
        self.neck = at
        self.line = line
        self.shift = at.common + capo  # of chord symbols and keys above the form table's tuning
        self.heard = at.capo - capo  # semitones that the notes sound above chord symbols and keys
        self.judge = Judge(line, self.heard)
        self.figures = Figures(line, at, self.heard)

    def segment(self, cut: Cut) -> Segment:
        if isinstance(cut.label, FormLabel):
            return self._form(cut, cut.label)
        if isinstance(cut.label, BoxLabel):
            return self._box(cut, cut.label)
        return self._run(cut)

    def _run(self, cut: Cut) -> Segment:
        line = self.line[cut.start : cut.end]
        classes = frozenset((tone.midi - self.heard) % 12 for stroke in line for tone in stroke.tones)
        scale = run_scale(line[0].tones[0].bar.key, classes)
        return Segment(
            self.part,
            "run",
            self._notes(cut),
            _frets(line),
            _hand(line),
            0.0,
            scale=scale,
            figure=self.figures.of(cut, None),
        )

    def _form(self, cut: Cut, label: FormLabel) -> Segment:
        line = self.line[cut.start : cut.end]
        ranking = rank(line, label, self.neck, self.shift)
        if rooted(line, label, ranking) != label:
            label = rooted(line, label, ranking)
            ranking = rank(line, label, self.neck, self.shift)
            cut = cut._replace(label=label)
        moved = self._moved(line)

        def read(other: FormLabel) -> Reading:
            return self._reading(other, line, moved)

        return Segment(
            self.part,
            "form",
            self._notes(cut),
            _frets(line),
            _hand(line),
            ranking.confidence,
            reading=read(label),
            margin=ranking.margin,
            equal_readings=tuple(map(read, ranking.equal)),
            readings=tuple(map(read, ranking.others)),
            figure=self.figures.of(cut, read(label).symbol),
        )

    def _moved(self, line: Sequence[Stroke]) -> int:
        """How far anchors move where the strings in use share another tuning offset than the whole neck."""
        offsets = {tone.string: tone.retuned + self.neck.common for stroke in line for tone in stroke.tones}
        return self.neck.common - common_offset(tuple(offsets.values()), self.neck.offsets)

    def _reading(self, label: FormLabel, line: Sequence[Stroke], moved: int) -> Reading:
        form, quality = LABELS[label.fq]
        root = self._spelled(self.neck.root(form, label.anchor), line)
        return Reading(
            form, quality, root, label.anchor + moved, barre_of(form, quality, label.anchor + moved)
        )

    def _spelled(self, sounding: int, line: Sequence[Stroke]) -> str:
        """The name of a pitch class: as a chord symbol of the segment spells it, else as the key does."""
        if not self.heard:
            for stroke in line:
                if stroke.chord and _root_class(stroke.chord) == sounding:
                    return stroke.chord.root
            key = line[0].tones[0].bar.key
            if key is not None:
                return spell(60 + sounding, key).letter
        return _NAMES[sounding]

    def _box(self, cut: Cut, label: BoxLabel) -> Segment:
        line = self.line[cut.start : cut.end]
        box = boxes()[label.box - 1]
        low, high = label.position
        minor_class = (STRINGS[5] + label.tonic) % 12
        readings = []
        for form, quality, root in (
            (box.minor_form, "min", minor_class),
            (box.major_form, "maj", (minor_class + RELATIVE) % 12),
        ):
            name = self._spelled((root + self.neck.common + self.neck.capo) % 12, line)
            nut = anchor(form, root, low, high)
            readings.append(Reading(form, quality, name, nut, barre_of(form, quality, nut)))
        minor, major = readings
        named = BoxReading(label.box, minor.root, major.root, minor, major)
        chosen = major if self._speaks_major(line, minor_class) else minor
        return Segment(
            self.part,
            "pentatonic",
            self._notes(cut, minor_key(minor.root)),
            (low, high),
            _hand(line),
            rank_box(line, label),
            reading=chosen,
            box=named,
            figure=self.figures.of(cut, None),
        )

    def _speaks_major(self, line: Sequence[Stroke], minor_class: int) -> bool:
        """Whether the key, or without one the first chord, has the major tonic of a box."""
        major = (minor_class + RELATIVE + self.shift) % 12
        key = line[0].tones[0].bar.key
        if key is not None:
            return _tonic_class(key) == major
        return line[0].chord is not None and _root_class(line[0].chord) == major

    def _notes(self, cut: Cut, scale: Key | None = None) -> tuple[NamedNote, ...]:
        """The notes of a cut with what they are; ``scale`` is the minor key that a box is named by."""
        notes = []
        chord = self._chord(cut.label) if isinstance(cut.label, FormLabel) else None
        for index in range(cut.start, cut.end):
            for tone in self.line[index].tones:
                blue = isinstance(cut.label, BoxLabel) and cut.label.degree(tone) == BLUE
                role = self.judge.role(index, tone, chord, scale, blue=blue)
                member = _belongs(cut.label, tone)
                notes.append(NamedNote(tone.bar, tone.event, tone.note, member, role, tone.where))
        return tuple(notes)

    def _chord(self, label: FormLabel) -> Chord:
        """The chord of a label as chord symbols would name it."""
        form, quality = LABELS[label.fq]
        root = (self.neck.root(form, label.anchor) - self.heard) % 12
        chord = parse_chord(_NAMES[root] + QUALITIES[quality])
        assert chord is not None
        return chord


def _belongs(label: Label, tone: Tone) -> bool:
    """Whether a note is one of a form or a box; a run has none."""
    if isinstance(label, FormLabel):
        return is_member(label, tone)
    return isinstance(label, BoxLabel) and label.degree(tone) in MINOR_PENTATONIC


def _hand(line: Sequence[Stroke]) -> HandPlace:
    return hand_place([(tone.fret, tone.note.finger) for stroke in line for tone in stroke.tones])


def _frets(line: Sequence[Stroke]) -> tuple[int, int]:
    """The lowest and highest fret of a line; open strings count only where there is nothing else."""
    frets = [tone.fret for stroke in line for tone in stroke.tones]
    fretted = [fret for fret in frets if fret] or frets
    return min(fretted), max(fretted)


def _root_class(chord: Chord) -> int:
    return pitch_class(place(chord.root_step, chord.root_alter))


def _tonic_class(key: Key) -> int:
    return pitch_class(place(key.step, key.alter))
