"""Other pitches for notes, by changing as few characters as possible."""

from __future__ import annotations

from lxml import etree

from tabtools.musicxml.edit.insert import insert, remove, set_text
from tabtools.musicxml.positions import Located
from tabtools.musicxml.walk import Noted, midi, text, whole
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


def respelled(note: Noted, sounding: int, model: Noted | None = None) -> Pitch | None:
    """The pitch to write for a note that is to sound ``sounding``: as the signature alters the step that it
    has, else as ``model`` has it, else as the key names it."""
    if note.midi is None or note.sounding is None:
        return None
    target = sounding - (note.sounding - note.midi)
    now = _pitch(note.element)
    if now is not None:
        implied = Pitch(now.step, signature_alter(now.step, note.fifths), now.octave)
        if implied.midi == target:
            return implied
    if model is not None and model.midi == target:
        return _pitch(model.element)
    return named(note, target)


def named(note: Noted, midi_number: int) -> Pitch:
    """A pitch with the name that the key at the note wants."""
    return spell(midi_number, _key(note.fifths))


def _pitch(element: etree._Element) -> Pitch | None:
    pitch = element.find("pitch")
    if pitch is None or midi(pitch) is None:
        return None
    return Pitch(text(pitch, "step") or "", whole(pitch.find("alter")), whole(pitch.find("octave")))


def write_pitch(where: Located, pitch: etree._Element, target: Pitch, prefix: str = "") -> list[Edit]:
    """The edits that make ``target`` what a ``pitch`` says, or, with the prefix ``tuning-``, a tuning."""
    edits: list[Edit] = []
    for name, value in ((f"{prefix}step", target.step), (f"{prefix}octave", str(target.octave))):
        element = pitch.find(name)
        if element is not None and text(pitch, name) != value:
            edits.append(set_text(where, element, value))
    alter = pitch.find(f"{prefix}alter")
    if alter is None and target.alter:
        edits += insert(where, pitch, tag(f"{prefix}alter", target.alter))
    elif alter is not None and not target.alter and whole(alter):
        edits.append(remove(where, alter))
    elif alter is not None and whole(alter) != target.alter:
        edits.append(set_text(where, alter, str(target.alter)))
    return edits
