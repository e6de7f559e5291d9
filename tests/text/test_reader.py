"""Hand-written pages against the reading of a careful person."""

from __future__ import annotations

import contextlib
import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.document import Document
from tabtools.lint.engine import check
from tabtools.lint.finding import Severity
from tabtools.lint.rules import load_all, names
from tabtools.score import Key, Part
from tabtools.source import Source, UnreadableError, decode
from tabtools.text.reader import read_text

WILD = Path(__file__).parent.parent / "cases" / "wild"
NAMES = sorted(path.stem for path in WILD.glob("*.txt"))

# What each problem word of the cases must show up as; any of several.
FINDINGS = {
    "no-labels": {"no-labels"},
    "order-low-high": {"label-order"},
    "missing-strings": {"missing-string"},
    "no-barlines": {"no-barlines"},
    "unclosed-bar": {"unclosed-bar"},
    "split-bar": {"split-bar"},
    "barline-gap": {"misaligned-barline"},
    "barline-shift": {"misaligned-barline"},
    "line-length": {"uneven-lines"},
    "misaligned": {"misaligned-notes"},
    "encoding": {"encoding"},
    "bar-length": {"bar-underfull", "beats-mismatch"},
}
# The lines that some of them are on, counted by eye.
LINES = {
    ("05-ukulele-waltz", "barline-shift"): [6],
    ("07-scale-number-labels", "barline-gap"): [17],
    ("09-no-labels-repeat-signs", "no-labels"): [5, 13],
    ("10-low-string-on-top", "order-low-high"): [5, 13],
    ("10-low-string-on-top", "unclosed-bar"): [13],
    ("13-quoted-mail-no-bars", "no-barlines"): [8, 18],
    ("14-misaligned-triads", "misaligned"): [6],
    ("16-broken-mid-bar", "split-bar"): [12],
    ("16-broken-mid-bar", "line-length"): [14],
    ("17-partial-strings-markdown", "missing-strings"): [8, 14, 19],
    ("17-partial-strings-markdown", "unclosed-bar"): [14],
}


def read(name: str) -> Document:
    return read_text(decode(name, (WILD / f"{name}.txt").read_bytes()))


def expected(name: str) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads((WILD / f"{name}.expect.json").read_text("utf-8"))
    return loaded


def notes(part: Part) -> list[list[Any]]:
    """``[bar, order, string, fret, techniques]`` of every note."""
    found = []
    for bar in part.bars:
        struck = [event for event in bar.events if event.notes]
        for order, event in enumerate(struck):
            for note in event.notes:
                words = [t.word for t in note.techniques] + (["tie"] if note.tied else [])
                found.append([bar.number, order, note.string, note.fret, "+".join(sorted(words)) or None])
    return found


def facts(part: Part) -> dict[str, Any]:
    first = part.bars[0]
    return {
        "tuning": [pitch.midi for pitch in reversed(part.instrument.tuning)],
        "capo": part.instrument.capo,
        "time": first.time.name,
        "bars": len(part.bars),
        "notes": notes(part),
    }


@pytest.mark.parametrize("name", NAMES)
def test_reads_a_page_as_a_careful_person_does(name: str) -> None:
    want = expected(name)
    got = facts(read(name).score.parts[0])
    assert got == {field: want[field] for field in got}


@pytest.mark.parametrize("name", NAMES)
def test_reads_chord_names_as_written(name: str) -> None:
    part = read(name).score.parts[0]
    assert [[bar.number, h.symbol] for bar in part.bars for h in bar.harmonies] == expected(name)["chords"]


@pytest.mark.parametrize("name", [name for name in NAMES if expected(name)["key"]])
def test_reads_the_key(name: str) -> None:
    key = read(name).score.parts[0].bars[0].key
    assert key is not None
    assert key.name == expected(name)["key"]


@pytest.mark.parametrize("name", [name for name in NAMES if "tempo" in expected(name)])
def test_reads_the_tempo(name: str) -> None:
    tempo = read(name).score.parts[0].bars[0].tempo
    assert tempo is not None
    assert tempo.per_minute == expected(name)["tempo"]


@pytest.mark.parametrize("name", [name for name in NAMES if "durations" in expected(name)])
def test_reads_written_durations(name: str) -> None:
    part = read(name).score.parts[0]
    got = {
        (bar.number, order): event.duration
        for bar in part.bars
        for order, event in enumerate(event for event in bar.events if event.notes)
    }
    for bar, order, quarters in expected(name)["durations"]:
        assert got[bar, order] == Fraction(quarters), (bar, order)


@pytest.mark.parametrize("name", NAMES)
def test_notices_what_is_wrong_and_nothing_else(name: str) -> None:
    """Every problem word has its finding; nothing else is an error or warning of the page's layout."""
    found = check(read(name), load_all())
    kinds = {finding.rule for finding in found}
    wanted = {word: FINDINGS[word] & set(names()) for word in expected(name)["problems"]}
    assert [word for word, rules in wanted.items() if rules and not rules & kinds] == []
    meant = {rule for rules in wanted.values() for rule in rules}
    layout = {rule.name for rule in load_all() if rule.group == "layout"}
    extra = {f.rule for f in found if f.severity >= Severity.WARNING and f.rule in layout}
    assert extra <= meant


@pytest.mark.parametrize(("name", "word"), LINES, ids=lambda part: str(part)[:2])
def test_what_is_wrong_is_told_where_it_is(name: str, word: str) -> None:
    document = read(name)
    doubts = [doubt for doubt in document.doubts if doubt.kind in FINDINGS[word]]
    lines = sorted({document.source.position(doubt.span.start)[0] for doubt in doubts})
    assert lines == LINES[name, word]


def _score_of(name: str) -> tuple[float, float, list[str]]:
    """Note F1 and technique agreement over all parts of a page, and the facts that are not right."""
    want, document = expected(name), read(name)
    pages = want.get("parts") or [want]
    hits = found = meant = agree = 0
    wrong = [] if len(pages) == len(document.score.parts) else ["parts"]
    for part, page in zip(document.score.parts, pages, strict=False):
        got = {tuple(note[:4]): note[4] for note in notes(part)}
        good = {tuple(note[:4]): note[4] for note in page["notes"]}
        hits, found, meant = hits + len(got.keys() & good.keys()), found + len(got), meant + len(good)
        agree += sum(got.get(note, "missing") == word for note, word in good.items())
        own = facts(part) | {"key": key.name if (key := part.bars[0].key) else None}
        wrong += [fact for fact in ("tuning", "capo", "time", "bars", "key") if own[fact] != page[fact]]
    return 2 * hits / (found + meant), agree / meant, wrong


def test_the_whole_set_is_read_right(capsys: pytest.CaptureFixture[str]) -> None:
    """Mean note F1 and technique agreement over the development set, with the table (``pytest -s``)."""
    rows = {name: _score_of(name) for name in NAMES}
    with capsys.disabled():
        print(f"\n{'page':36}{'note F1':>8}{'technique':>11}  wrong facts")
        for name, (f1, technique, wrong) in rows.items():
            print(f"{name:36}{100 * f1:8.1f}{100 * technique:11.1f}  {', '.join(wrong) or '-'}")
    assert sum(f1 for f1, _, _ in rows.values()) >= 0.99 * len(rows)
    assert sum(technique for _, technique, _ in rows.values()) >= 0.95 * len(rows)
    assert [name for name, (_, _, wrong) in rows.items() if wrong] == []


@pytest.mark.parametrize("name", [name for name in NAMES if "repeats" in expected(name)])
def test_reads_repeats(name: str) -> None:
    bars = read(name).score.parts[0].bars
    starts = [bar.number for bar in bars if bar.repeat_start]
    ends = [(bar.number, bar.repeat_times) for bar in bars if bar.repeat_times]
    assert [[start, *end] for start, end in zip(starts, ends, strict=True)] == expected(name)["repeats"]


@pytest.mark.parametrize("name", [name for name in NAMES if "sections" in expected(name)])
def test_reads_sections(name: str) -> None:
    bars = read(name).score.parts[0].bars
    assert [[bar.number, bar.section] for bar in bars if bar.section] == expected(name)["sections"]


def test_every_stacked_guitar_is_a_part() -> None:
    want = expected("24-two-guitars-stacked")["parts"]
    got = read("24-two-guitars-stacked").score.parts
    assert [notes(part) for part in got] == [part["notes"] for part in want]
    assert [part.name for part in got] == ["Gtr 1 (lead)", "Gtr 2 (rhythm)"]


def test_every_numbered_lick_is_a_part() -> None:
    want = expected("17-partial-strings-markdown")["parts"]
    got = read("17-partial-strings-markdown").score.parts
    assert [notes(part) for part in got] == [part["notes"] for part in want]
    assert [part.name for part in got] == ["Lick 1", "Lick 2", "Lick 3"]


def test_every_note_knows_its_characters() -> None:
    document = read("08-arpeggio-shapes-line-numbers")
    for part in document.score.parts:
        for note in (n for bar in part.bars for event in bar.events for n in event.notes):
            assert note.span is not None
            assert document.source.text[note.span.start : note.span.end] == str(note.fret)


def test_a_page_without_tab_is_refused_with_the_reason() -> None:
    with pytest.raises(UnreadableError, match="no tab found"):
        read_text(Source("notes.txt", "Dear student,\n\nplay slowly - and then less slowly.\n"))


def test_a_mark_that_the_legend_takes_for_a_stroke_marks_nothing() -> None:
    rows = "".join(f"{label}|--0--3--|\n" for label in "GDAE")
    document = read_text(Source("bass", f"Bass\n\n{rows}   T  T\n\nT = thumb\n"))
    assert all(
        note.techniques == () for event in document.score.parts[0].bars[0].events for note in event.notes
    )


TAB_LIKE = st.text(st.sampled_from("-|0123456789hpb/\\rsxt()<>[]~*=:.eBGDAE \n\r\tPM&#"), max_size=300)


@given(st.one_of(TAB_LIKE, st.text(max_size=200)))
@settings(max_examples=300)
def test_no_text_makes_the_reader_fail(text: str) -> None:
    """Whatever it is given, it reads it or says why not."""
    try:
        document = read_text(Source("any", text))
    except UnreadableError:
        return
    for doubt in document.doubts:
        assert 0 <= doubt.span.start <= doubt.span.end <= len(text)


@given(st.binary(max_size=200))
@settings(max_examples=200)
def test_no_bytes_make_it_fail(data: bytes) -> None:
    with contextlib.suppress(UnreadableError):
        read_text(decode("any", data))


def test_key_is_used_to_spell() -> None:
    page = "Key: {}\n\ne|-2---|\nB|-----|\nG|-----|\nD|-----|\nA|-----|\nE|-----|\n"
    for key, name in (("G", "F#4"), ("Db", "Gb4")):
        part = read_text(Source("spelling", page.format(key))).score.parts[0]
        pitch = part.bars[0].events[0].notes[0].pitch
        assert pitch is not None
        assert pitch.name == name
        assert part.bars[0].key == Key(key[0], -1 if "b" in key else 0, "major")


@given(st.binary(max_size=400))
@settings(max_examples=300)
def test_no_bytes_make_the_reader_fail(data: bytes) -> None:
    with contextlib.suppress(UnreadableError):
        read_text(decode("any", data))


@pytest.mark.parametrize(
    "text",
    [
        "-" * 10_000_000,
        ("-" * 200 + "\n") * 20_000,
        "e|" + "-" * 3_000_000 + "|\nB|---|\n",
        "|-" * 1_000_000,
        ">" * 1_000_000,
        "<b " * 500_000,
        "e|" + "5" * 300_000 + "|\nB|---|\nG|---|\n",
        "E A D " * 200_000,
        "capo " * 200_000,
        "." * 1_000_000,
        "- " * 500_000,
        "   PM" + "-" * 100_000 + "5\n" + "e|--5--|\nB|-----|\nG|-----|\n",
    ],
    ids=lambda text: text[:6].strip(),
)
def test_however_long_a_page_is_it_ends(text: str) -> None:
    """Nothing here takes more than a time in proportion to its length; anything more would run for hours."""
    with contextlib.suppress(UnreadableError):
        read_text(Source("long", text))
