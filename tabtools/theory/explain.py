"""What a teacher says about a note that `tabtools.theory.harmony` has judged."""

from __future__ import annotations

from tabtools.score import Key
from tabtools.theory import chord as chords
from tabtools.theory.chord import Chord, degree_words
from tabtools.theory.harmony import MelodyNote, Verdict, pentatonic_name
from tabtools.theory.key import pitch_classes
from tabtools.theory.line_of_fifths import letter, pitch_class, place

_BY_STEP = {
    "passing": "a chromatic passing note",
    "neighbour": "a chromatic neighbour note",
    "approach": "a chromatic approach to the next note",
}


def explain(verdict: Verdict, note: MelodyNote, key: Key | None) -> str:
    """One sentence, without a full stop, on why a note fits or does not.

    As in ``F# is the third of D and the seventh of G; G major pentatonic lacks it``.
    """
    name = verdict.letter
    match verdict.name:
        case "outside":
            return f"{name} is {_nowhere(note.chord, key)}"
        case "passing" | "neighbour" | "approach":
            return f"{name} is {_BY_STEP[verdict.name]}"
        case "third-not-given":
            size = "minor" if _third(note) == 3 else "major"
            return f"{name} is the {size} third of {_text(note.chord)}, which has no third of its own"
        case "anticipation":
            return f"{name} is the {verdict.role} of {_text(note.next_chord)}, the next chord: it comes early"
    says = f"{name} is " + " and ".join(_places(verdict, note.chord, key))
    if key is None:
        return says
    match verdict.name:
        case "colour":
            return f"{says}; {_tonic(key)} {pentatonic_name(key)} lacks it"
        case "colour-chromatic":
            return says + _chromatic(verdict, note, key)
        case "minor-variable":
            return says + _clash(note)
        case "blue":
            return f"{says}, a blue note"
    return says


def resolution(chord: Chord, key: Key) -> str | None:
    """The chord of the key that a chord leads to as its dominant, a fifth below: ``Am`` for E7 in G.

    None for chords without a dominant's major third and perfect fifth, and where the fifth below is the
    tonic, outside the key, or carries a diminished chord.
    """
    degrees = chord.quality.degrees
    if "3" not in degrees or "5" not in degrees or "7" in degrees:
        return None
    goal_place = place(chord.root_step, chord.root_alter) - 1
    goal, notes = pitch_class(goal_place), pitch_classes(key)
    if goal not in notes or (goal + 7) % 12 not in notes or goal_place == place(key.step, key.alter):
        return None
    return letter(goal_place) + ("" if (goal + 4) % 12 in notes else "m")


def _places(verdict: Verdict, chord: Chord | None, key: Key | None) -> list[str]:
    """What the note is in the chord, then what it is in the key if it belongs there."""
    places = []
    if verdict.role:
        places.append(f"the {verdict.role} of {_text(chord)}")
    if key is not None and verdict.degree and _in_key(verdict, key):
        places.append(f"the {degree_of_key(verdict.degree, key)}")
    same = chord is not None and key is not None and _key(key) == _text(chord)
    return places[:1] if same else places


def _in_key(verdict: Verdict, key: Key) -> bool:
    movable = key.mode == "minor" and verdict.degree in ("6", "7")
    return movable or verdict.name != "colour-chromatic"


def _chromatic(verdict: Verdict, note: MelodyNote, key: Key) -> str:
    """What to add for a chord tone from outside the key: where its chord leads, if it is a dominant."""
    if _in_key(verdict, key):
        return f"; {_tonic(key)} {pentatonic_name(key) or key.mode} lacks it"
    goal = resolution(note.chord, key) if note.chord else None
    leads = f", and {_text(note.chord)} leads to {goal}" if goal else ""
    return f"; it is outside {key.name}{leads}"


def _clash(note: MelodyNote) -> str:
    """The remark that a raised degree rubs against the natural one in the chord."""
    natural = chords.tone(note.chord, (note.target - 1) % 12) if note.chord else None
    return f", against the {natural[1]} of {_text(note.chord)}" if natural else ""


def _nowhere(chord: Chord | None, key: Key | None) -> str:
    silent = chord is None or not chord.quality.degrees
    if key is None:
        return f"not in the chord {_text(chord)}"
    return f"not in {key.name}" if silent else f"neither in {key.name} nor in the chord {_text(chord)}"


def _third(note: MelodyNote) -> int:
    assert note.chord is not None
    return (note.target - pitch_class(place(note.chord.root_step, note.chord.root_alter))) % 12


def degree_of_key(name: str, key: Key) -> str:
    """A degree with its key in words, as in ``fourth of C`` or ``raised seventh of A minor``."""
    return f"{_degree(name, key)} of {_key(key)}"


def _degree(name: str, key: Key) -> str:
    if name == "1":
        return "tonic"
    raised = key.mode == "minor" and name in ("6", "7")
    return "raised " + degree_words(name) if raised else degree_words(name)


def _tonic(key: Key) -> str:
    return letter(place(key.step, key.alter))


def _key(key: Key) -> str:
    """A key by its tonic alone where it is major, as players name it."""
    return _tonic(key) if key.mode == "major" else key.name


def _text(chord: Chord | None) -> str:
    return chord.text if chord else "no chord"
