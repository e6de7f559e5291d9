"""Note names as players write them: letters, sol-fa and German names. Common practice, no source."""

from __future__ import annotations

NoteName = tuple[str, int]

_SIGNS = {"": 0, "#": 1, "b": -1}
_SOL_FA = {
    "Do": "C",
    "Dó": "C",
    "Re": "D",
    "Ré": "D",
    "Mi": "E",
    "Fa": "F",
    "Fá": "F",
    "Sol": "G",
    "La": "A",
    "Lá": "A",
    "Si": "B",
}

SOL_FA: dict[str, NoteName] = {
    cased + sign: (step, alter)
    for name, step in _SOL_FA.items()
    for cased in (name, name.upper())
    for sign, alter in _SIGNS.items()
}

# German B is B flat, but only context tells it from B: see `tabtools.theory.key.parse_key`.
GERMAN: dict[str, NoteName] = {
    "H": ("B", 0),
    "Cis": ("C", 1),
    "Dis": ("D", 1),
    "Fis": ("F", 1),
    "Gis": ("G", 1),
    "Ais": ("A", 1),
    "Ces": ("C", -1),
    "Des": ("D", -1),
    "Es": ("E", -1),
    "Ges": ("G", -1),
    "As": ("A", -1),
}

NOTE_NAMES: dict[str, NoteName] = {
    **{letter + sign: (letter, alter) for letter in "CDEFGAB" for sign, alter in _SIGNS.items()},
    **SOL_FA,
    **GERMAN,
}

_LONGEST = max(map(len, NOTE_NAMES))
_PLAIN_SIGNS = str.maketrans({"♭": "b", "♯": "#"})


def plain_accidentals(text: str) -> str:
    """The text with ``b`` and ``#`` for the typographic flat and sharp."""
    return text.translate(_PLAIN_SIGNS)


def leading_names(text: str) -> list[tuple[str, str]]:
    """Every way to cut a text into a note name and the rest, longest name first.

    ``Esus4`` gives ``Es`` and ``us4``, then ``E`` and ``sus4``: the rest decides.
    """
    cuts = range(min(len(text), _LONGEST), 0, -1)
    return [(text[:cut], text[cut:]) for cut in cuts if text[:cut] in NOTE_NAMES]
