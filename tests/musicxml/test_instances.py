"""Every element and attribute of the schema, in documents made at random by walking it."""

from __future__ import annotations

from contextlib import suppress

import pytest

from tabtools.musicxml.reader import read_musicxml
from tabtools.preparing import Wishes, prepared
from tabtools.source import UnreadableError
from tabtools.text.writing.writer import write_text
from tests.musicxml.instances import instance
from tests.musicxml.mending import mended
from tests.xsd import problems

# Those that something went wrong with once: identities twice, an empty first bar, footnotes, octaves below 0.
_SEEDS = (43, 58, 70, 173, 186)


def _root(seed: int) -> str:
    return "score-timewise" if seed % 4 == 3 else "score-partwise"


@pytest.mark.parametrize("seed", _SEEDS)
def test_what_is_valid_is_read_kept_and_stays_valid(seed: int) -> None:
    """Read, written without a change, cleaned, and given staves; the schema is the judge."""
    data = instance(seed, _root(seed))
    assert problems(data) == []
    document = read_musicxml("x.musicxml", data)
    assert document.source.encode(document.source.text) == data
    done = mended(document)
    assert problems(document.source.encode(done.text)) == []
    assert "misordered-elements" not in done.rules
    for wishes in (Wishes(both_staves=True), Wishes(both_staves=True, fit_octave=True)):
        made, _ = prepared(document, wishes)
        assert problems(made.source.encode(made.source.text)) == []


@pytest.mark.parametrize("seed", [5, 41, 201])
def test_bars_of_nothing_can_be_laid_out(seed: int) -> None:
    """A pick-up that holds nothing has no length that columns could be shared out over."""
    with suppress(UnreadableError):  # notes without strings
        write_text(read_musicxml("x.musicxml", instance(seed, _root(seed))).score)
