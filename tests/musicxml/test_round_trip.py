"""What is written is read back the same, and is valid MusicXML."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import HealthCheck, given, settings

from tabtools.instrument import GUITAR
from tabtools.musicxml.package import pack
from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.writer import write_musicxml
from tabtools.score import Bar, Event, Part, Pitch, Score
from tests.musicxml.essence import essence
from tests.musicxml.samples import note
from tests.strategies import scores
from tests.xsd import problems

_SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]


@settings(max_examples=60, suppress_health_check=_SLOW)
@given(scores)
def test_a_random_score_is_valid_and_comes_back(score: Score) -> None:
    data = write_musicxml(score)
    assert problems(data) == []
    reading = read_musicxml("random.musicxml", data)
    assert reading.doubts == ()
    assert essence(reading.score) == essence(score)


@settings(max_examples=20, suppress_health_check=_SLOW)
@given(scores)
def test_writing_what_was_read_changes_nothing(score: Score) -> None:
    once = write_musicxml(read_musicxml("once", write_musicxml(score)).score)
    twice = write_musicxml(read_musicxml("twice", pack(once)).score)
    assert twice == once


def test_another_tuning_and_a_capo_inside_a_part_come_back() -> None:
    dropped = GUITAR._replace(tuning=(*GUITAR.tuning[:5], Pitch("D", 0, 2)))
    played = (None, GUITAR._replace(capo=3), GUITAR._replace(capo=3), None, dropped)
    bars = (
        Bar(number, instrument=instrument, events=(Event(Fraction(0), Fraction(4), (note(6, 0),)),))
        for number, instrument in enumerate(played, 1)
    )
    data = write_musicxml(Score((Part("Guitar", GUITAR, tuple(bars)),)))
    assert problems(data) == []
    assert data.count(b"<staff-details") == 4
    found = [bar.instrument for bar in read_musicxml("capo", data).score.parts[0].bars]
    assert [i and (i.tuning, i.capo) for i in found] == [i and (i.tuning, i.capo) for i in played]
