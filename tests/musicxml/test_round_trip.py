"""What is written is read back the same, and is valid MusicXML."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings

from tabtools.musicxml.package import pack
from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.writer import write_musicxml
from tabtools.score import Score
from tests.musicxml.essence import essence
from tests.strategies import scores
from tests.xsd import problems

_SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]


@settings(max_examples=60, deadline=None, suppress_health_check=_SLOW)
@given(scores)
def test_a_random_score_is_valid_and_comes_back(score: Score) -> None:
    data = write_musicxml(score)
    assert problems(data) == []
    reading = read_musicxml("random.musicxml", data)
    assert reading.doubts == ()
    assert essence(reading.score) == essence(score)


@settings(max_examples=20, deadline=None, suppress_health_check=_SLOW)
@given(scores)
def test_writing_what_was_read_changes_nothing(score: Score) -> None:
    once = write_musicxml(read_musicxml("once", write_musicxml(score)).score)
    twice = write_musicxml(read_musicxml("twice", pack(once)).score)
    assert twice == once
