"""What stands around a system, given to bars and notes by column."""

from __future__ import annotations

import pytest

from tabtools.score import Bar, Part
from tabtools.source import Source
from tabtools.text.reader import read_text


def parts(text: str) -> tuple[Part, ...]:
    return read_text(Source("page", text)).score.parts


def bars(above: str, row: str, below: str = "") -> tuple[Bar, ...]:
    """One system whose first row is ``row``; ``above`` and ``below`` count columns like it."""
    rows = [f"e{row}", *(label + "".join("|" if c == "|" else "-" for c in row) for label in "BG")]
    return parts("\n".join([above, *rows, below, ""]))[0].bars


def chords(found: tuple[Bar, ...]) -> list[tuple[int, str, str]]:
    return [(bar.number, str(h.onset), h.symbol) for bar in found for h in bar.harmonies]


ROW = "|-5---5---5---5---|-7---7---7---7---|"


@pytest.mark.parametrize(
    ("above", "want"),
    [
        ("   Am", [(1, "0", "Am")]),
        ("Am", [(1, "0", "Am")]),
        ("           Am", [(1, "2", "Am")]),
        ("            Am", [(1, "2", "Am")]),  # a column late
        ("          Am", [(1, "2", "Am")]),  # a column early
        ("                  C", [(2, "0", "C")]),  # hung before its bar line, where no note follows
        ("   Am               C", [(1, "0", "Am"), (2, "0", "C")]),
        ("   Am      (D7)", [(1, "0", "Am"), (1, "2", "D7")]),
    ],
)
def test_a_chord_stands_over_its_note(above: str, want: list[tuple[int, str, str]]) -> None:
    assert chords(bars(above, ROW)) == want


def test_a_chord_near_a_note_has_the_time_of_that_note_however_short_the_note() -> None:
    row = "|-" + "5---" * 8 + "|"
    above = "   " + "    " + " Am"  # a column right of the second sixteenth
    page = f"Time: 2/4\n\n{above}\ne{row}\nB{row.replace('5', '-')}\nG{row.replace('5', '-')}\n"
    assert chords(parts(page)[0].bars) == [(1, "1/4", "Am")]


def test_a_mark_is_for_the_notes_under_it_alone() -> None:
    (bar, _) = bars("       PM---|", ROW)
    assert [[t.name for t in event.notes[0].techniques] for event in bar.events] == [
        [],
        ["palm-mute"],
        ["palm-mute"],
        [],
    ]


def test_a_bend_takes_the_size_over_it() -> None:
    (bar, _) = bars("   full    1/2", "|-5b--5---5b--5---|-7---7---7---7---|")
    assert [[t.word for t in event.notes[0].techniques] for event in bar.events] == [
        ["bend:2"],
        [],
        ["bend:1"],
        [],
    ]


@pytest.mark.parametrize("sign", ["x3", "(3x)", "play 3 times"])
def test_a_count_alone_over_a_system_repeats_all_of_it(sign: str) -> None:
    first, last = bars(sign, ROW)
    assert (first.repeat_start, first.repeat_times) == (True, 0)
    assert (last.repeat_start, last.repeat_times) == (False, 3)


def test_a_count_says_how_often_a_repeat_sign_is_played() -> None:
    first, last = bars("x4", "|:-5---5---5---5---|-7---7---7---7---:|")
    assert (first.repeat_start, last.repeat_times) == (True, 4)


def test_an_ending_holds_until_its_repeat_sign() -> None:
    row = "|-5---5---|-5---7---:|-7---7---|-9---9---|"
    found = bars("            1.         2.", row)
    assert [bar.endings for bar in found] == [(), (1,), (2,), (2,)]
    found = bars("            1.", row)
    assert [bar.endings for bar in found] == [(), (1,), (), ()]


def test_systems_under_one_name_are_one_part() -> None:
    system = "e|-5---|\nB|-----|\nG|-----|\n"
    page = "\n".join(f"{name}\n{system}" for name in ("Gtr 1", "Gtr 2", "Gtr 1", "Gtr 2"))
    assert [(part.name, len(part.bars)) for part in parts(page)] == [("Gtr 1", 2), ("Gtr 2", 2)]
