from __future__ import annotations

from pathlib import Path

import pytest

from tabtools.forms.labels import fits
from tabtools.forms.naming import name_forms
from tabtools.forms.neck import neck
from tabtools.forms.plain import plainly_fits
from tabtools.forms.written import Label, parse_label
from tabtools.instrument import GUITAR
from tabtools.reading import read
from tests.forms.cases import part_of

_SAMPLES = Path(__file__).parents[2] / "samples"


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("E form, 3rd pos.", Label("E", None, 3)),
        ("Em form, 12th position", Label("E", "min", 12)),
        ("D7 shape, fifth position", Label("D", "7", 5)),
        ("D form at fret 7", Label("D", None, 7)),
        ("open C form", Label("C", None, None)),
        ("Open position", Label(None, None, 0)),
        ("First position", Label(None, None, 1)),
        ("Minor pentatonic, 10th position", Label(None, None, 10)),
        ("D form, 5th position, then 7th", Label("D", None, 5)),
        ("Am7b5 form", Label("A", "m7b5", None)),
        ("Open shapes", None),
        ("Strings 3 and 1", None),
        ("A form and D form", None),
        ("2nd position to 5th position", None),
        ("Play the whole form again", None),
        ("F form", None),
    ],
)
def test_what_a_text_says(text: str, label: Label | None) -> None:
    assert parse_label(text) == label


def _case(tab: str, chord: str | None = None) -> dict[str, object]:
    notes = []
    for onset, token in enumerate(tab.split()):
        string, fret = map(int, token.split(":"))
        notes.append({"string": string, "fret": fret, "onset": onset / 2, "chord": chord})
    return {"tuning": "standard", "capo": 0, "key": None, "notes": notes}


D_FORM_OF_G = "4:5 3:7 2:8 1:7"


@pytest.mark.parametrize(
    ("tab", "label", "right"),
    [
        (D_FORM_OF_G, "D form, 5th position", True),
        (D_FORM_OF_G, "D form, 7th position", True),  # its barre
        (D_FORM_OF_G, "C form, 7th position", False),  # string 4 decides
        ("3:7 2:8 1:7", "C form, 7th position", True),  # without it the half barre is that of both
        (D_FORM_OF_G, "D form", True),
        (D_FORM_OF_G, "D7 form, 5th position", True),
        (D_FORM_OF_G, "Dm form, 5th position", False),
        (D_FORM_OF_G, "D form, 8th position", False),
        (D_FORM_OF_G, "E form, 3rd position", False),
        (D_FORM_OF_G, "A form", False),
        (D_FORM_OF_G, "5th position", True),
        (D_FORM_OF_G, "12th position", False),
        ("4:7 3:4 3:5 3:6 2:5", "E form, 4th position", True),  # the first finger is on a note between
    ],
)
def test_whether_the_notes_bear_it_out(tab: str, label: str, right: bool) -> None:
    part = part_of(_case(tab))
    parsed = parse_label(label)
    assert parsed is not None
    assert fits(parsed, name_forms(part)[0], neck(part.instrument)) is right


def test_no_label_of_the_lessons_is_called_wrong() -> None:
    from tabtools.lint.engine import check
    from tabtools.lint.rules.harmony.form_label_wrong import RULE

    labels = 0
    for path in sorted(_SAMPLES.glob("[01]*")):
        document = read(path.name, path.read_bytes())
        assert check(document, [RULE]) == []
        words = [w for part in document.score.parts for bar in part.bars for w in bar.words]
        labels += sum(parse_label(w.text) is not None for w in words)
    assert labels > 30


@pytest.mark.parametrize(
    ("text", "notes", "fits_plainly"),
    [
        ("Em form, 12th position", [(2, 15), (3, 14), (3, 12), (2, 12)], True),  # E minor pentatonic
        ("E form, 12th position", [(2, 15), (3, 14), (3, 12), (2, 12)], True),
        ("Em form, 12th position", [(2, 15), (3, 15), (3, 12), (2, 12)], False),  # its blue note
        ("Em form, 5th position", [(2, 15), (3, 14), (3, 12), (2, 12)], False),  # out of reach
        ("Em form, 12th position", [(2, 12), (3, 12), (3, 14), (2, 12)], False),  # too few pitches
    ],
)
def test_notes_of_the_pentatonic_around_a_form_plainly_fit_it(
    text: str, notes: list[tuple[int, int]], fits_plainly: bool
) -> None:
    label = parse_label(text)
    assert label is not None
    assert plainly_fits(label, notes, neck(GUITAR)) == fits_plainly
