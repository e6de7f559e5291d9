"""Every character of a page has one owner, and what nobody owns is told."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.account import OWNERS, UNKNOWN, Owned, owned_twice, unowned
from tabtools.document import Document
from tabtools.source import Source, Span, UnreadableError, decode
from tabtools.text.account import ROW_KINDS, account, left_behind
from tabtools.text.page.kinds import KINDS
from tabtools.text.reader import read_text
from tests.benchmarks.account import mutated
from tests.benchmarks.pages import notes

CASES = Path(__file__).parent.parent / "cases"
PAGES = sorted([*CASES.glob("wild/*.txt"), *CASES.glob("pages/*.txt")])
LABELS = json.loads((CASES / "labels.json").read_text("utf-8"))
SENTENCES = (CASES / "sentences.txt").read_text("utf-8").splitlines()
SYSTEM = "\n".join(f"{name}|-5---7---|-8---7---|" for name in "eBGDAE")


def untold(document: Document) -> Iterator[str]:
    """What is wrong with the account of a page: nothing should be."""
    pieces = account(document)
    text = document.source.text
    yield from (f"unowned {text[span.start : span.end]!r}" for span in unowned(text, pieces))
    yield from (f"{first} and {second}" for first, second in owned_twice(pieces))
    for piece in pieces:
        span = piece.span
        told = any(
            doubt.span.start < span.end and span.start < max(doubt.span.end, doubt.span.start + 1)
            for doubt in document.doubts
        )
        if piece.owner == UNKNOWN and not told:
            yield f"not told: {text[span.start : span.end]!r}"


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
def test_every_character_has_one_owner(path: Path) -> None:
    assert list(untold(read_text(decode(path.name, path.read_bytes())))) == []


@given(st.integers(0, len(PAGES) - 1), st.randoms(use_true_random=False))
@settings(max_examples=40)
def test_so_has_every_character_of_a_damaged_page(number: int, random: object) -> None:
    text = decode("page", PAGES[number].read_bytes()).text
    try:
        document = read_text(Source("page", mutated(text, random)))  # type: ignore[arg-type]
    except UnreadableError:
        return
    assert list(untold(document)) == []


def test_an_account_that_leaves_something_out_is_noticed() -> None:
    pieces = [Owned(Span(0, 2), "note", "fret"), Owned(Span(1, 3), "fact", "key")]
    assert list(unowned("abc de", pieces)) == [Span(4, 6)]
    assert list(owned_twice(pieces)) == [(pieces[0], pieces[1])]


def test_every_kind_has_an_owner_and_words() -> None:
    assert {kind.owner for kind in KINDS.values()} <= set(OWNERS)
    assert all(kind.says for kind in KINDS.values())
    assert all(ROW_KINDS.values())


@pytest.mark.parametrize("sentence", SENTENCES)
def test_a_lyric_sets_nothing(sentence: str) -> None:
    plain = read_text(Source("page", f"Song\n\n{SYSTEM}\n\n{SYSTEM}\n")).score
    sung = read_text(Source("page", f"Song\n\n{SYSTEM}\n{sentence}\n\n{SYSTEM}\n{sentence}\n"))
    assert [part.instrument for part in sung.score.parts] == [part.instrument for part in plain.parts]
    for bar, like in zip(sung.score.parts[0].bars, plain.parts[0].bars, strict=True):
        assert (bar.key, bar.time, bar.tempo, bar.section, bar.repeat_times) == (
            like.key,
            like.time,
            like.tempo,
            like.section,
            like.repeat_times,
        )
    assert left_behind(sung.page)  # type: ignore[arg-type]


@pytest.mark.parametrize("case", LABELS, ids=lambda case: case["name"])
@pytest.mark.parametrize("form", ["with_bar", "without_bar"])
def test_a_string_is_told_by_whatever_name_it_has(case: dict[str, object], form: str) -> None:
    part = read_text(Source("page", str(case[form]))).score.parts[0]
    assert set(notes(part)) == {tuple(note[:4]) for note in case["notes"]}  # type: ignore[attr-defined]
    assert [pitch.midi for pitch in reversed(part.instrument.tuning)] == case["tuning"]
