"""What the lines around a system are."""

from __future__ import annotations

import pytest

from tabtools.text.words.annotations import repeat_count, section_name
from tabtools.text.words.telling import read_above


def kind(text: str) -> str:
    return read_above(text).kind


def words(text: str) -> list[str]:
    return [token.text for token in read_above(text).tokens]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("   Am      D7    G/B", "chords"),
        ("   A7  |  %  |  (E7)", "chords"),
        ("   N.C.", "chords"),
        ("   1 & 2 & 3 & 4 &", "counts"),
        ("   1 e & a 2 e & a", "counts"),
        ("   1   2   3   4", "counts"),
        ("   q  q  e e  q.", "letters"),
        ("   q  qr h", "letters"),
        ("   Q  E  E  Q.", "letters"),
        ("   E  E", "chords"),
        ("   |-3-|   --3--", "tuplets"),
        ("   PM------|", "marks"),
        ("      let ring---|   PH", "marks"),
        ("   full      1/2", "amounts"),
        ("   1.______ 2.______", "endings"),
        ("[Verse]", "section"),
        ("-- Riff 1 --", "section"),
        ("Gtr 1 (lead)", "part"),
        ("Guitar 2:", "part"),
        ("Part: Soprano", "part"),
        ("Verse:", "section"),
        ("(x2)", "times"),
        ("play 3 times", "times"),
        ("Key: G", "header"),
        ("   E form, 3rd position", "words"),
        ("   V pos.", "words"),
        ("Am I the only one", "words"),
        ("   T  I  T  M", "words"),
    ],
)
def test_kind(text: str, wanted: str) -> None:
    assert kind(text) == wanted


def test_a_chord_in_brackets_over_a_note_is_a_chord_and_at_the_margin_a_section() -> None:
    assert kind("      [C]") == "chords"
    assert kind("[C]") == "section"


def test_remarks_keep_their_single_blanks() -> None:
    assert words("   E form, 3rd position     then up") == ["E form, 3rd position", "then up"]


def test_the_closing_stroke_is_not_part_of_a_span() -> None:
    token = read_above("   PM--|").tokens[0]
    assert (token.text, token.start, token.end) == ("PM", 3, 7)


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("x2", 2),
        ("(x4)", 4),
        ("3x", 3),
        ("[2x]", 2),
        ("play twice", 2),
        ("repeat x4", 4),
        ("(4 times)", 4),
        ("x1", None),
        ("x", None),
        ("let it ring", None),
    ],
)
def test_repeat_count(text: str, count: int | None) -> None:
    assert repeat_count(text) == count


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("[Intro]", "Intro"),
        ("  [A]:", "A"),
        ("--- Solo ---", "Solo"),
        ("Riff 1:", "Riff 1"),
        ("Intro", "Intro"),
        ("(Intro)", "Intro"),
        ("** Solo **", "Solo"),
        ("B)", "B"),
        ("(play Intro again)", None),
        ("Note:", None),
    ],
)
def test_section_name(text: str, name: str | None) -> None:
    assert section_name(text) == name
