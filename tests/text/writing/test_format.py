"""Canonical layout: pages side by side, and what must hold for any page."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.source import Source, UnreadableError, decode
from tabtools.text.reader import read_text
from tabtools.text.writing.format import format_text, music
from tabtools.text.writing.spacing import WIDTH

CASES = Path(__file__).parents[2] / "cases"
PAGES = sorted((CASES / "format").glob("*.in.txt"))
WILD = sorted([*(CASES / "wild").glob("*.txt"), *(CASES / "pages").glob("*.txt")])
SAMPLES = sorted((CASES.parent.parent / "samples").glob("*.txt"))


def load(path: Path) -> Source:
    return decode(path.name, path.read_bytes())


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name.split(".")[0])
def test_page(path: Path) -> None:
    """``name.in.txt`` becomes ``name.out.txt``; ``name.40.counts.in.txt`` with a width and a count row."""
    want = path.with_name(path.name.replace(".in.", ".out.")).read_bytes()
    options = path.name.split(".")[1:-2]
    width = next((int(option) for option in options if option.isdigit()), WIDTH)
    source = load(path)
    formatted = format_text(source, width=width, counts="counts" in options)
    assert formatted.left == ()
    assert source.encode(formatted.text) == want
    again = format_text(load(path.with_name(path.name.replace(".in.", ".out."))), width=width)
    assert source.encode(again.text) == want


@pytest.mark.parametrize("path", PAGES + WILD, ids=lambda path: path.name)
def test_twice_is_once_and_the_music_stays(path: Path) -> None:
    source = load(path)
    once = Source(source.name, format_text(source).text)
    assert format_text(once).text == once.text
    assert music(read_text(once).score) == music(read_text(source).score)


def test_a_doubtful_system_stays_and_the_reason_is_given() -> None:
    good = "e|-5-7-|\nB|-----|\nG|-----|\n"
    bad = "e|-5-§-|\nB|-----|\nG|-----|\n"
    source = Source("two", bad + "\n" + good)
    formatted = format_text(source)
    assert formatted.text.startswith(bad)
    assert formatted.text != source.text
    assert formatted.left == (
        (1, "not everything in it is certain: see what check says under unknown-symbol"),
    )


def test_only_string_rows_and_what_stands_over_them_change() -> None:
    source = load(CASES / "wild" / "06-banjo-roll-open-g.txt")
    before, after = source.text.split("\n"), format_text(source).text.split("\n")
    assert len(before) == len(after)
    page = read_text(source).page
    assert page is not None
    for line in page.prose:
        assert after[line.number - 1] == before[line.number - 1]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends_are_kept(end: str) -> None:
    page = end.join(["e|--5---7---|", "B|----------|", "G|----------|", ""])
    formatted = format_text(Source("ends", page)).text
    assert formatted != page
    assert [len(line) for line in formatted.split(end)] == [20, 20, 20, 0]
    assert not set("\r\n") & set(formatted.replace(end, ""))


PIECES = st.sampled_from(
    [
        "-",
        "--",
        "-5-",
        "-12-",
        "-5h7-",
        "-7/9-",
        "-7b9-",
        "-(5)-",
        "-x-",
        "-<12>-",
        "-5~-",
        "|",
        "-7p5-",
        "-§-",
    ]
)


OPTIONS = st.sampled_from([(100, False), (60, False), (40, True), (30, False), (100, True)])


@given(st.lists(st.lists(PIECES, min_size=1, max_size=12), min_size=3, max_size=6), OPTIONS)
@settings(max_examples=100)
def test_any_page_of_rows_formats_once_and_for_all(rows: list[list[str]], options: tuple[int, bool]) -> None:
    holds("\n".join(f"{label}|{''.join(row)}|" for label, row in zip("eBGDAE", rows, strict=False)), *options)


@st.composite
def damaged(draw: st.DrawFn) -> str:
    """A sample page with a few characters gone, added or changed."""
    path = draw(st.sampled_from([*PAGES, *WILD, *SAMPLES]))
    text = load(path).text
    for _ in range(draw(st.integers(0, 3))):
        at = draw(st.integers(0, len(text) - 1))
        sign = draw(st.sampled_from(["", *"-|0157hpb/\\~x(): .\nA"]))
        text = text[:at] + sign + text[at + draw(st.integers(0, 1)) :]
    return text


@given(damaged(), OPTIONS)
@settings(max_examples=80)
def test_a_damaged_page_formats_once_and_for_all(page: str, options: tuple[int, bool]) -> None:
    holds(page, *options)


@given(st.text(max_size=200) | st.text("eBGDAE|-0123h\n /:", min_size=20, max_size=300))
@settings(max_examples=200)
def test_any_text_is_formatted_or_refused(text: str) -> None:
    holds(text)


@pytest.mark.parametrize(
    "page",
    [
        # Dots of a repeat on one row of three, and what were three more rows behind a slip.
        (
            "    E5                E5\n||------------------|------------------||\n"
            "||------------------|------------------||\n||*-----------------|-----------------*||\n"
            "|\n|*-----2-----------|-----2-----------*||\n||------2-----0-1-2-|-----2------------||\n"
            "||--0-0-----0-------|-0-0-----3-2-0----||\n"
        ),
        "G|:-5-7~9x4h-(8)-|\nD||---------------|\nA||---------------|\nE||---------------|\n",
    ],
)
def test_dots_of_a_repeat_on_some_rows_move_nothing(page: str) -> None:
    holds(page, counts=True)
    holds(page)


def holds(page: str, width: int = WIDTH, counts: bool = False) -> None:
    """What must hold for any page: the music stays, and once is twice."""
    source = Source("page", page)
    try:
        text = format_text(source, width=width, counts=counts).text
    except UnreadableError:
        return
    once = Source("page", text)
    assert format_text(once, width=width, counts=counts).text == text
    assert music(read_text(once).score) == music(read_text(source).score)


def test_a_line_stays_within_the_width_where_a_bar_does() -> None:
    for path in SAMPLES:
        page = read_text(Source("page", format_text(load(path), width=60).text)).page
        assert page is not None
        for row in (row for system in page.systems for row in system.rows):
            assert row.end <= 60 or row.body.strip("|:").count("|") == 0 or row.remark


def test_a_system_that_counts_spoil_goes_without_them() -> None:
    # The letters leave beats out, so that counts would say other lengths.
    page = "Time: 2/4\n\n   q   er\ne|-5-----|\nB|-------|\nG|-------|\n"
    formatted = format_text(Source("rests", page), counts=True)
    assert formatted.left == ()
    assert music(read_text(Source("rests", formatted.text)).score) == music(
        read_text(Source("r", page)).score
    )


def test_a_remark_to_this_program_stays_over_its_system() -> None:
    rows = "e|--5--7--5--7--|\nB|--------------|\nG|--------------|\n"
    page = f"   Am\n# tabtools: ignore fast-shift -- on purpose\n{rows}"
    formatted = format_text(Source("remark", page))
    assert formatted.left == ()
    assert formatted.text.splitlines()[:3] == [
        "   Am",
        "# tabtools: ignore fast-shift -- on purpose",
        "e|-5---7---5---7---|",
    ]


def test_music_is_all_of_a_score_but_places_and_sureness() -> None:
    source = load(SAMPLES[0])
    score = read_text(source).score
    moved = read_text(Source("moved", "\n" + source.text)).score
    assert moved != score
    assert music(moved) == music(score)
    part = score.parts[0]
    bar = part.bars[0]
    event = next(event for event in bar.events if event.notes)
    for other in (
        bar._replace(section="Coda"),
        bar._replace(harmonies=()),
        bar._replace(events=tuple(e._replace(duration=e.duration / 2) for e in bar.events)),
        bar._replace(events=(event._replace(notes=(event.notes[0]._replace(fret=1),)),)),
        bar._replace(events=(event._replace(notes=(event.notes[0]._replace(techniques=()),)),)),
    ):
        assert music(part._replace(bars=(other, *part.bars[1:]))) != music(part)
