"""Other pitches for notes, by changing as few characters as possible."""

from __future__ import annotations

from lxml import etree

from tabtools.musicxml.edit.insert import insert, remove, set_text
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedNote
from tabtools.musicxml.reading.values import text_of, whole
from tabtools.musicxml.writing.accidentals import signature
from tabtools.musicxml.writing.fragment import tag
from tabtools.score import Key, Pitch
from tabtools.source import Edit
from tabtools.theory.key import key_from_fifths
from tabtools.theory.spelling import spell


def signature_alter(step: str, fifths: int) -> int:
    """What a key signature does to a step: 1, -1 or 0."""
    return signature(_key(fifths))[step]


def _key(fifths: int) -> Key:
    """The major key of a signature; one with more signs than there are steps is read as the fullest."""
    return key_from_fifths(max(-7, min(7, fifths)), "major")


def respelled(note: LocatedNote, sounding: int, model: LocatedNote | None = None) -> Pitch | None:
    """The pitch to write for a note that is to sound ``sounding``: as the signature alters the step that it
    has, else as ``model`` has it, else as the key names it."""
    if note.midi is None or note.sounding is None:
        return None
    target = sounding - (note.sounding - note.midi)
    if note.pitch is not None:
        altered = note.pitch._replace(alter=signature_alter(note.pitch.step, note.in_force.fifths))
        if altered.midi == target:
            return altered
    if model is not None and model.midi == target:
        return model.pitch
    return named(note, target)


def named(note: LocatedNote, midi_number: int) -> Pitch:
    """A pitch with the name that the key at the note wants."""
    return spell(midi_number, _key(note.in_force.fifths))


def write_pitch(where: Extents, pitch: etree._Element, target: Pitch, prefix: str = "") -> list[Edit]:
    """The edits that make ``target`` what a ``pitch`` says, or, with the prefix ``tuning-``, a tuning."""
    edits: list[Edit] = []
    for name, value in ((f"{prefix}step", target.step), (f"{prefix}octave", str(target.octave))):
        element = pitch.find(name)
        if element is not None and text_of(element) != value:
            edits.append(set_text(where, element, value))
    alter = pitch.find(f"{prefix}alter")
    if alter is None and target.alter:
        edits += insert(where, pitch, tag(f"{prefix}alter", target.alter))
    elif alter is not None and not target.alter and whole(alter):
        edits.append(remove(where, alter))
    elif alter is not None and whole(alter) != target.alter:
        edits.append(set_text(where, alter, str(target.alter)))
    return edits
