"""What the rules on chords and keys say, where they keep silent, and what they repair."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.instrument import GUITAR
from tabtools.lint.engine import check
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.rules import load
from tabtools.lint.rules.harmony.form_label_wrong import passages
from tabtools.reading import read
from tabtools.score import Bar, Harmony, Part


def _run(rule: str, text: str, name: str = "page.txt") -> list[Finding]:
    return check(read(name, text.encode()), [load(rule)])


def _grips(chord: str, *frets: str, header: str = "Key: C major") -> str:
    """A page of one bar of quarter-note grips under one chord; frets from string 1, x not played."""
    rows = [
        f"{label}|" + "".join(f"-{grip[i] if grip[i] != 'x' else '-'}--" for grip in frets) + "|"
        for i, label in enumerate("eBGDAE")
    ]
    return "\n".join([header, "", f"   {chord}", "   " + "q   " * len(frets), *rows, ""])


@pytest.mark.parametrize(
    ("chord", "grip", "spelled"),
    [
        ("C", "01023x", None),
        ("C", "00023x", None),  # Cmaj7 has all of C
        ("Am", "02220x", "A"),
        ("A", "01220x", "Am"),
        ("A", "xxx220", None),  # a power chord has no third
        ("D7", "2120xx", None),
        ("Dmaj7", "2120xx", "D7"),
        ("C", "112331", "F"),
        ("F", "112331", None),
        ("Gsus4", "330023", "G"),
    ],
)
def test_grips_against_their_symbol(chord: str, grip: str, spelled: str | None) -> None:
    found = _run("chord-disagrees", _grips(chord, grip, grip, grip, grip))
    assert [f.severity for f in found] == ([] if spelled is None else [Severity.WARNING])
    if spelled:
        assert f"spell {spelled} (" in found[0].message


def test_a_capo_may_stand_under_a_symbol_that_sounds() -> None:
    shape_of_g = "330023"
    assert _run("chord-disagrees", _grips("G", *[shape_of_g] * 4, header="Capo: 2\nKey: G major")) == []
    assert _run("chord-disagrees", _grips("A", *[shape_of_g] * 4, header="Capo: 2\nKey: A major")) == []
    assert len(_run("chord-disagrees", _grips("Gm", *[shape_of_g] * 4, header="Capo: 2\nKey: G minor"))) == 1


def test_strings_tuned_down_may_keep_the_names_of_their_shapes() -> None:
    """Common practice, no source: on strings half a step down a G shape is called G, or Gb as it sounds."""
    down = "Tuning: half step down\nKey: G major"
    assert _run("chord-disagrees", _grips("G", *["330023"] * 4, header=down)) == []
    assert _run("chord-disagrees", _grips("Gb", *["330023"] * 4, header=down)) == []
    assert _run("outside-harmony", _grips("G", *["330023"] * 4, header=down)) == []
    assert _run("key-disagrees", _grips("G", *["330023"] * 4, header=down)) == []
    assert len(_run("chord-disagrees", _grips("Gm", *["330023"] * 4, header=down))) == 1


def test_notes_over_a_capo_are_named_as_the_other_symbols_of_the_page_are() -> None:
    page = _grips("G", *["330023"] * 4, header="Capo: 3") + _grips("Em", *["01023x"] * 4, header="")
    (finding,) = _run("chord-disagrees", page)
    assert "the chord written is Em (E G B), but the notes in bar 2 spell C (C E G)" in finding.message


def test_the_nearest_symbol_is_offered_and_keeps_the_columns() -> None:
    text = load("unknown-chord").bad
    (finding,) = _run("unknown-chord", text)
    assert text[finding.span.start : finding.span.end] == "Gmja7"
    assert "if you mean Gmaj7, write that" in finding.message
    (fix,) = finding.fixes
    (edit,) = fix.edits
    assert not fix.safe
    fixed = text[: edit.span.start] + edit.text + text[edit.span.end :]
    assert fixed == text.replace("Gmja7", "Gmaj7")


@pytest.mark.parametrize(
    ("row", "unknown"),
    [
        ("Gmja7           C", ["Gmja7"]),
        ("Gmj7q           C", ["Gmj7q"]),
        ("Xm7             C", ["Xm7"]),
        ("G               Csu4", ["Csu4"]),
        ("slow 2          C", []),
        ("Bar12", []),
        ("G then D", []),
    ],
)
def test_a_slip_in_a_row_of_chords_is_told_and_a_remark_is_not(row: str, unknown: list[str]) -> None:
    text = load("unknown-chord").bad.replace("Gmja7           C", row)
    found = _run("unknown-chord", text)
    assert [text[f.span.start : f.span.end] for f in found] == unknown


@pytest.mark.parametrize(
    ("word", "unknown"),
    [("Cmj7q", True), ("Gsu4", True), ("Amx7", True), ("D7x", True)]
    + [(word, False) for word in ("Bar5", "Ex3", "Box1", "Fig", "Gtr2", "let", "Am")],
)
def test_a_slip_alone_over_its_bar_is_told_where_other_bars_have_chords(word: str, unknown: bool) -> None:
    """A system of a bar has one symbol; the other systems tell what stands in its place."""
    system = load("unknown-chord").good.split("\n\n")[1].replace("Gmaj7           C", "{}")
    text = "Key: G major\n\n" + "\n".join(system.format(symbol) for symbol in ("G", "C", word))
    found = _run("unknown-chord", text)
    assert [text[f.span.start : f.span.end] for f in found] == [word] * unknown


def test_a_chord_in_a_row_that_is_a_remark_is_no_slip() -> None:
    system = load("unknown-chord").good.split("\n\n")[1].replace("Gmaj7           C", "{}")
    rows = ("G               C", "G  0  D7        0  x", "C")
    text = "Key: G major\n\n" + "\n".join(system.format(row) for row in rows)
    assert _run("unknown-chord", text) == []


def test_an_accidental_in_notation_without_tab_accuses_nobody() -> None:
    notes = "".join(_note(*n) for n in (("G", 0), ("C", 1), ("G", 0), ("E", 0)))
    found = _run("outside-harmony", XML.format(notes=notes), "page.musicxml")
    assert {finding.severity for finding in found} == {Severity.INFO}


def test_a_longer_symbol_takes_the_room_behind_it() -> None:
    text = load("unknown-chord").bad.replace("Gmja7 ", "Gsu4  ")
    (finding,) = _run("unknown-chord", text)
    (fix,) = finding.fixes
    (edit,) = fix.edits
    fixed = text[: edit.span.start] + edit.text + text[edit.span.end :]
    row = next(line for line in fixed.splitlines() if line.endswith(" C"))
    assert row.index("C") == next(line for line in text.splitlines() if line.endswith(" C")).index("C")


XML = """\
<score-partwise version="4.0">
<part-list><score-part id="P1"><part-name>Lead</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions><key><fifths>1</fifths></key>
<time><beats>4</beats><beat-type>4</beat-type></time></attributes>{notes}</measure></part></score-partwise>
"""


def _note(step: str, alter: int) -> str:
    return (
        f"<note><pitch><step>{step}</step><alter>{alter}</alter><octave>4</octave></pitch>"
        "<duration>1</duration><type>quarter</type></note>"
    )


def test_a_flat_in_a_key_with_sharps_is_told_once_a_bar() -> None:
    notes = _note("G", -1) + _note("G", 0) + _note("G", -1) + _note("B", -1)
    (finding,) = _run("odd-spelling", XML.format(notes=notes), "page.musicxml")
    assert "Gb is an odd name in G major, where that note is called F#" in finding.message
    assert len(finding.related) == 1


def test_the_chord_of_the_moment_may_ask_for_an_odd_name() -> None:
    root = "<root><root-step>C</root-step><root-alter>-1</root-alter></root>"
    harmony = f"<harmony>{root}<kind>major</kind></harmony>"
    notes = harmony + "".join(_note(*n) for n in (("G", -1), ("E", -1), ("C", -1), ("G", 0)))
    found = _run("odd-spelling", XML.format(notes=notes), "page.musicxml")
    assert [f.message.split(":")[0] for f in found] == [
        "the chord Cb is named from the far side of G major, where its root is called B"
    ]


def test_a_key_that_nobody_wrote_accuses_nobody() -> None:
    page = load("outside-harmony").bad
    line = "\n".join(
        [
            "Tuning: standard",
            "",
            "e|-3-----2---3-----|-----------------|",
            "B|-----3---------3-|-1---0---2-------|",
            "G|-----------------|---------2---0---|",
            *(f"{label}|-----------------|-----------------|" for label in "DAE"),
            "",
        ]
    )
    assert [f.severity for f in _run("outside-harmony", page)][:1] == [Severity.WARNING]
    (finding,) = _run("outside-harmony", line)
    assert finding.severity is Severity.INFO
    assert "no key is written; the notes tell G major" in finding.message


def _bars_named(chords: set[int], wrong: set[int], capo: int = 0) -> list[list[int]]:
    """The bars that are looked at, of nine with chords at the beginning of some, for labels in others."""
    chord = (Harmony(Fraction(0), "G"),)
    bars = tuple(Bar(number, harmonies=chord if number in chords else ()) for number in range(1, 10))
    part = Part("Guitar", GUITAR._replace(capo=capo), bars)
    return [[bar.number for bar in run] for run in passages(part, wrong)]


def test_only_the_bars_around_a_doubtful_label_are_named() -> None:
    assert _bars_named(set(), {5}) == [[4, 5, 6]]
    assert _bars_named(set(), {1, 9}) == [[1, 2], [8, 9]]
    assert _bars_named({2}, {5}) == [[2, 3, 4, 5, 6]]  # the chord of bar 2 is still in force
    assert _bars_named({4, 7}, {5, 9}) == [[4, 5, 6, 7, 8, 9]]
    assert _bars_named({3}, {5, 9}) == [[3, 4, 5, 6, 7, 8, 9]]
    assert _bars_named({1}, {5}, capo=2) == [[1, 2, 3, 4, 5, 6, 7, 8, 9]]
