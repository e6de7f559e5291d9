"""What single rules say, and where they keep silent."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from tabtools.document import Document
from tabtools.instrument import GUITAR
from tabtools.lint.engine import check
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.rules import load as load_rule
from tabtools.lint.rules import load_all
from tabtools.lint.view import Settings, View
from tabtools.reading import read
from tabtools.score import Bar, Event, Part, Score, TimeSignature
from tabtools.source import Source


def _run(name: str, text: str) -> list[Finding]:
    return check(read("page.txt", text.encode()), [load_rule(name)])


def _marked(text: str, finding: Finding) -> str:
    return text[finding.span.start : finding.span.end]


def _page(rows: str, header: str = "", above: str = "") -> str:
    """A page of one system: the notes of strings 1 to 6, one row a line, without labels and bar lines."""
    lines = rows.split()
    width = max(map(len, lines))
    body = [f"{label}|{row.ljust(width, '-')}|" for label, row in zip("eBGDAE", lines, strict=True)]
    return "\n".join([header, "", *([above] if above else []), *body, ""])


@pytest.mark.parametrize(
    ("rows", "lower"),
    [("-1h5- ----- ----- ----- ----- -----", True), ("----- ----- ----- ----- ----- -1h5-", False)],
)
def test_there_is_no_string_below_the_lowest(rows: str, lower: bool) -> None:
    (finding,) = _run("wide-stretch", _page(rows))
    assert "pick the second note" in finding.message
    assert ("lower string" in finding.message) == lower


STRETCH = [
    ("1-4 on one string, joined", "-1h4- ----- ----- ----- ----- -----", None),
    ("1-5 on one string, joined", "-1h5- ----- ----- ----- ----- -----", Severity.WARNING),
    ("1-6 on one string, joined", "-1h6- ----- ----- ----- ----- -----", Severity.ERROR),
    ("6-1 pulled off", "-6p1- ----- ----- ----- ----- -----", Severity.ERROR),
    ("12-16 joined", "-12h16- ------- ------- ------- ------- -------", None),
    ("1-6 picked one by one", "-1-6- ----- ----- ----- ----- -----", None),
    ("from an open string", "-0h7- ----- ----- ----- ----- -----", None),
    ("over an open string between", "-1-0h7- ------- ------- ------- ------- -------", None),
    ("a chord over five frets", "----- -1--- ----- ----- -5--- -----", Severity.WARNING),
    ("a chord over six frets", "----- -1--- ----- ----- -6--- -----", Severity.ERROR),
    ("a full barre chord", "-1--- -1--- -2--- -3--- -3--- -1---", None),
]


@pytest.mark.parametrize(("case", "rows", "severity"), STRETCH, ids=[case for case, _, _ in STRETCH])
def test_wide_stretch_levels(case: str, rows: str, severity: Severity | None) -> None:
    found = _run("wide-stretch", _page(rows))
    assert [f.severity for f in found] == ([] if severity is None else [severity])


def test_wide_stretch_gives_the_numbers_and_the_caution() -> None:
    text = _page("-1h6- ----- ----- ----- ----- -----")
    (finding,) = _run("wide-stretch", text)
    assert finding.bar == 1
    assert [text[s.start : s.end] for s in (finding.span, *finding.related)] == ["1", "6"]
    for words in ("fingers 1 and 4", "156 mm", "135 mm", "115 %", "medium hand", "stop when it hurts"):
        assert words in finding.message
    assert "teacher" in finding.message
    assert "physician" in finding.message


def test_wide_stretch_is_narrower_for_beginners() -> None:
    document = read("page.txt", _page("-1h4- ----- ----- ----- ----- -----").encode())
    rules = [load_rule("wide-stretch")]
    assert check(document, rules, Settings(level="intermediate")) == []
    (finding,) = check(document, rules, Settings(level="beginner"))
    assert finding.severity == Severity.WARNING
    assert "wide for lessons of the level beginner" in finding.message


def test_fret_off_neck_counts_the_capo() -> None:
    rows = "-20-- ----- ----- ----- ----- -----"
    assert _run("fret-off-neck", _page(rows)) == []
    (finding,) = _run("fret-off-neck", _page(rows, header="Capo: 5"))
    assert "last fret is 19, counted from the capo at 5" in finding.message
    assert "would sound C#6" in finding.message or "would sound F6" in finding.message


def test_fret_off_neck_marks_the_number() -> None:
    text = _page("----- -27-- ----- ----- ----- -----")
    (finding,) = _run("fret-off-neck", text)
    assert _marked(text, finding) == "27"
    assert "fret 27 on string 2 would sound D6" in finding.message


@pytest.mark.parametrize(
    ("time", "length", "says"),
    [
        ((4, 4), "5", "holds 5 quarter notes, 4/4 has room for 4: shorten or remove 1 quarter note"),
        ((4, 4), "9/2", "holds 4 1/2 quarter notes, 4/4 has room for 4: shorten or remove 1/2 quarter note"),
        ((6, 8), "4", "holds 8 eighth notes, 6/8 has room for 6: shorten or remove 2 eighth notes"),
    ],
)
def test_bar_overfull_counts_in_the_unit_of_the_metre(time: tuple[int, int], length: str, says: str) -> None:
    bar = Bar(3, TimeSignature(*time), events=(Event(Fraction(0), Fraction(length)),))
    document = Document(Source("page.txt", ""), Score((Part("Guitar", GUITAR, (bar,)),)))
    (finding,) = load_rule("bar-overfull").check(View(document))
    assert finding.message == f"bar 3 {says}"
    assert finding.bar == 3


def test_bar_overfull_says_nothing_about_rhythm_that_was_inferred() -> None:
    assert _run("bar-overfull", _page("-1-2-3-4-5-6-7-8-9-10- --- --- --- --- ---")) == []


def _harmony(rows: str, header: str, above: str) -> list[tuple[str, Severity]]:
    text = _page(rows, header, above)
    found = [*_run("outside-harmony", text), *_run("colour-note", text)]
    return [(f.rule, f.severity) for f in found]


def test_outside_harmony_names_note_key_chord_and_what_fits() -> None:
    text = _page("----- ----- ----- ----- -4--- -----", header="Key: A minor", above="  Am\n  w")
    (finding,) = _run("outside-harmony", text)
    assert finding.severity == Severity.WARNING
    assert _marked(text, finding) == "4"
    for words in (
        "string 5, fret 4: C#",
        "A minor",
        "Am",
        "C, one fret lower, or D, one fret higher, would fit",
    ):
        assert words in finding.message


OUT = ("outside-harmony", Severity.WARNING)
PASSING = ("outside-harmony", Severity.INFO)
COLOUR = ("colour-note", Severity.INFO)
MELODIES = [
    ("a chord tone of the key", "-5--- ----- ----- ----- ----- -----", "Key: A minor", "  Am\n  w", []),
    ("without a key nothing is judged", "----- ----- ----- ----- -4--- -----", "", "  Am\n  w", []),
    ("a chord that is not known", "----- ----- ----- ----- -4--- -----", "Key: Am", "  A?!\n  w", [OUT]),
    ("passing", "-3---4---5--- " + 5 * " -------------", "Key: C", "   q.  e   h", [PASSING]),
    ("on the beat", "-3---4---5--- " + 5 * " -------------", "Key: C", "   q   q   h", [OUT]),
    ("third of a borrowed chord", "----- ----- ----- ----- -4--- -----", "Key: Am", "  A\n  w", [COLOUR]),
    ("shapes over a capo", "-3--- ----- ----- ----- ----- -----", "Key: G\nCapo: 1", "  G\n  w", []),
    ("sounding key over a capo", "-2--- ----- ----- ----- ----- -----", "Key: G\nCapo: 1", "  G\n  w", []),
    ("a dead note", "----- ----- ----- ----- -x--- -----", "Key: A minor", "  Am\n  w", []),
    ("bent into the key", "-4b5- ----- ----- ----- ----- -----", "Key: A minor", "  Am\n  w", []),
]


@pytest.mark.parametrize(
    ("case", "rows", "header", "above", "expected"), MELODIES, ids=[melody[0] for melody in MELODIES]
)
def test_harmony_rules(
    case: str, rows: str, header: str, above: str, expected: list[tuple[str, Severity]]
) -> None:
    assert _harmony(rows, header, above) == expected


def test_dominant_sevenths_on_one_and_four_are_a_blues() -> None:
    rows = "-8---8--- --------- --------- --------- --------- ---------"
    assert _harmony(rows, "Key: A", "  A7  D7\n  h   h") == [COLOUR, COLOUR]
    assert _harmony(rows, "Key: A", "  A   D\n  h   h") == [OUT, OUT]


@pytest.mark.parametrize(
    ("rule", "rows", "mark", "says"),
    [
        (
            "unknown-symbol",
            "-5§- ---- ---- ---- ---- ----",
            "§",
            '"§" on a string line is no fret, and no technique',
        ),
        ("unknown-symbol", "-5h- ---- ---- ---- ---- ----", "h", "no technique where it stands"),
        (
            "split-number",
            "-101210- -------- -------- -------- -------- --------",
            "101210",
            "the frets 10 12 10",
        ),
    ],
)
def test_what_a_reader_doubted_is_marked_and_worded(rule: str, rows: str, mark: str, says: str) -> None:
    text = _page(rows)
    (finding,) = _run(rule, text)
    assert _marked(text, finding) == mark
    assert says in finding.message
    assert finding.bar == 1


SHORT = "e|-5---|-7---|\nB|-----|-----|\nG|-----|----|\nD|-----|-----|\n"


def _warnings(text: str) -> list[Finding]:
    found = check(read("page.txt", text.encode()), load_all())
    return [finding for finding in found if finding.severity >= Severity.WARNING]


def test_a_row_that_is_short_at_its_end_is_told_once() -> None:
    assert [finding.rule for finding in _warnings(SHORT)] == ["uneven-lines"]


def test_a_row_that_is_short_in_the_middle_has_its_bar_line_told_too() -> None:
    page = SHORT.replace("G|-----|----|", "G|----|-----|")
    (shifted, uneven) = _warnings(page)
    assert (shifted.rule, uneven.rule) == ("misaligned-barline", "uneven-lines")
    assert "string G does not stand below those of the other strings" in shifted.message
    assert "string G is 12 characters long and the others of its system 13: add 1" in uneven.message


NAMED = "e|-5---|\nB|-----|\nG|-----|\nD|-7---|\nA|-----|\nE|-----|\n"


@pytest.mark.parametrize(
    ("rule", "pages", "says"),
    [
        (
            "label-order",
            [NAMED.replace("A|", "x|").replace("D|", "A|").replace("x|", "D|")],
            "in another order",
        ),
        ("missing-string", [re.sub("^.", "", NAMED, flags=re.M)] * 2, ""),
        ("too-many-rows", [NAMED, NAMED.replace("A|-----|\n", "A|-----|\n" * 2), NAMED], "stands here twice"),
        ("too-many-rows", [NAMED, NAMED, NAMED], ""),
    ],
)
def test_a_system_that_is_drawn_unlike_the_others(rule: str, pages: list[str], says: str) -> None:
    found = _run(rule, "\n".join(pages))
    assert [says in finding.message for finding in found] == [True] * bool(says)


def test_a_bare_line_is_missed_where_all_other_systems_have_it() -> None:
    bare = re.sub("^.", "", NAMED, flags=re.M)
    (finding,) = _run("missing-string", "\n".join((bare, bare.replace("|-7---|\n", ""), bare)))
    assert finding.message.startswith("only 5 lines are drawn here and 6 in every other system")


# On string 2 in G major, a quarter each; fret 4 is D#, fret 2 C#, and fret 6 F.
@pytest.mark.parametrize(
    ("bars", "expected"),
    [
        ("3-5-1-0 3-5-1-0", []),
        ("3-5-1-0 3-4-1-0", [Severity.WARNING]),
        ("3-4-1-0 3-4-1-0", [Severity.WARNING] * 2),  # a slip, and a copy of its bar
        ("3-4-1-0 3-5-4-0", [Severity.INFO] * 2),
        ("3-5-1-0 1-2-3-0", [Severity.INFO]),  # leads into the dominant
        ("3-5-1-0 1-2-5-0", [Severity.WARNING]),
        ("3-5-1-0 6-5-3-0", [Severity.INFO]),
        ("3-5-1-0 5-4-5-0", [Severity.INFO]),  # turns about a note, from below
        ("3-5-1-0 5-4-7-5", [Severity.INFO]),  # and by way of the note above it
        ("3-5-1-0 1-4-5-0", [Severity.INFO]),  # leads into the sixth, from afar
        ("3-5-1-0 3-2-0-1", [Severity.INFO]),  # steps down through the dominant's key
        ("3-5-1-0 8-6-8-7", [Severity.INFO]),  # turns about the tonic, from the tone below
        ("3-5-1-0 3-4-5-0", [Severity.WARNING]),  # a run upwards: the step may be a slip
        ("3-5-1-0 1-0-2-0", [Severity.WARNING]),
    ],
)
def test_a_note_outside_that_comes_back_or_leads_on_is_only_told(bars: str, expected: list[Severity]) -> None:
    page = "Key: G major\nTime: 4/4\n\n"
    for bar in bars.split():
        row = "-" + "".join(fret.ljust(4, "-") for fret in bar.split("-"))
        page += "   q   q   q   q\n" + "".join(
            f"{label}|{row if label == 'B' else '-' * len(row)}|\n" for label in "eBGDAE"
        )
        page += "\n"
    assert [finding.severity for finding in _run("outside-harmony", page)] == expected
