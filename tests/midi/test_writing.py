"""MIDI files as independent readers hear them: music21 for events, partitura for seconds."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from music21 import midi

from tabtools.midi.losses import midi_losses
from tabtools.midi.performance import Playing, felt, perform
from tabtools.midi.writing import write_midi
from tabtools.score import Feel, Score
from tabtools.source import Source
from tabtools.text.reader import read_text
from tests.musicxml.samples import LICK, REPEATS
from tests.strategies import scores


def page(text: str) -> Score:
    return read_text(Source("page.txt", text)).score


def events(data: bytes) -> list[tuple[int, midi.MidiEvent]]:
    """Every event of a file with its tick, as music21 reads it."""
    file = midi.MidiFile()
    file.openFileLike(BytesIO(data))
    file.read()
    result = []
    for track in file.tracks:
        now = 0
        for event in track.events:
            if event.isDeltaTime():
                now += event.time
            else:
                result.append((now, event))
    return result


def struck(data: bytes) -> list[tuple[float, int]]:
    """Onset in quarter notes and MIDI number of every note."""
    return sorted((tick / 960, e.pitch) for tick, e in events(data) if e.isNoteOn() and e.velocity)


def wheel(data: bytes, channel: int) -> list[tuple[float, float]]:
    """The pitch wheel of a channel (from 1): quarter notes, and semitones at a range of 12."""
    return [
        (tick / 960, round((e.parameter1 + 128 * e.parameter2 - 8192) * 12 / 8192, 2))
        for tick, e in events(data)
        if e.type == midi.ChannelVoiceMessages.PITCH_BEND and e.channel == channel
    ]


def test_repeats_are_played() -> None:
    # The pickup, then three passes: bars 2 and 3 twice, bars 2 and 4 the third time; then bar 5.
    assert [pitch for _, pitch in struck(write_midi(REPEATS))] == [67, 69, 71, 69, 71, 69, 72, 60, 62]


def test_a_forward_repeat_alone_and_a_dal_segno_without_a_sign_are_played_once_and_twice() -> None:
    score = page("e|:-0-1-|-3-5-|\n")
    assert [pitch for _, pitch in struck(write_midi(score))] == [64, 65, 67, 69]
    part = score.parts[0]
    jump = part.bars[1]._replace(navigation=("dal-segno",))
    jumping = Score((part._replace(bars=(part.bars[0], jump)),))
    assert [pitch for _, pitch in struck(write_midi(jumping))] == [64, 65, 67, 69] * 2


def test_a_full_bend_rises_two_semitones_on_the_channel_of_its_string() -> None:
    data = write_midi(page("Time: 4/4\n   h    h\nB|-8b10-----|\nG|-----7----|\n"))
    curve = wheel(data, 3)  # channel 1 has the notes without a string, then come strings 1, 2 …
    assert curve[0] == (0, 0)
    assert max(height for _, height in curve) == 2
    assert [height for _, height in curve] == sorted(height for _, height in curve)
    assert wheel(data, 4) == []


def test_a_release_comes_back_and_a_prebend_starts_high() -> None:
    heights = [height for _, height in wheel(write_midi(page("Time: 4/4\n   w\nB|-8b10r8----|\n")), 3)]
    assert (heights[0], max(heights), heights[-1]) == (0, 2, 0)
    heights = [height for _, height in wheel(write_midi(page("Time: 4/4\n   w\nB|-8pb10----|\n")), 3)]
    assert heights[0] == 2


def test_the_wheel_is_told_its_range() -> None:
    """Registered parameter 0 of the MIDI 1.0 specification: pitch bend sensitivity in semitones."""
    controls = [
        (e.parameter1, e.parameter2)
        for _, e in events(write_midi(page("B|-8b10--|\n")))
        if e.type == midi.ChannelVoiceMessages.CONTROLLER_CHANGE and e.channel == 3
    ]
    assert controls[:4] == [(101, 0), (100, 0), (6, 12), (38, 0)]


def test_a_slide_passes_the_frets_between() -> None:
    data = write_midi(page("Time: 4/4\n   h h\nB|-5/8----|\n"))
    heights = [height for _, height in wheel(data, 3)]
    assert {0, 1, 2, 3} >= set(heights) >= {1, 2}
    assert heights[-1] == 0, "the next note begins unbent"
    assert [pitch for _, pitch in struck(data)] == [64, 67]


def test_in_swing_the_second_eighth_of_a_beat_comes_on_its_last_third() -> None:
    """Two to one, as handbooks of jazz give it for medium tempos; from memory."""
    score = page("Time: 4/4\nSwing feel\n\n   e  e  e  e  q     q\nG|-2--4--5--4--2-----4-----|\n")
    onsets = [tone.start for tone in perform(score.parts[0])]
    third = Fraction(1, 3)
    assert onsets == [0, 2 * third, 1, 1 + 2 * third, 2, 3]


def test_written_triplets_stay_where_they_are_in_swing() -> None:
    swing = Feel("swing", 2, 1)
    assert [felt(Fraction(n, 3), swing) for n in range(4)] == [Fraction(n, 3) for n in range(4)]
    assert felt(Fraction(3, 2), None) == felt(Fraction(3, 2), Feel("straight")) == Fraction(3, 2)


def test_what_the_fretting_hand_does_alone_is_softer() -> None:
    loud, soft = (tone.velocity for tone in perform(page("G|-5h7--|\n").parts[0]))
    assert loud > soft


def test_a_muted_note_is_short_and_a_ringing_one_long() -> None:
    muted = page("Time: 4/4\n  PM---|\n   h   h\nE|-0---0---|\n")
    assert next(tone.end - tone.start for tone in perform(muted.parts[0])) == Fraction(1, 2)
    ringing = page("Time: 4/4\n  let ring---|\n   q   q   h\nB|-1---------|\nG|-----0---2-|\n")
    assert [tone.end - tone.start for tone in perform(ringing.parts[0])] == [4, 1, 2]


@pytest.mark.parametrize(("fret", "heard"), [(12, 76), (7, 83), (5, 88), (4, 92), (9, 92), (19, 83)])
def test_a_natural_harmonic_sounds_a_partial(fret: int, heard: int) -> None:
    """Partials 2 to 5 lie 12, 19, 24 and 28 semitones above the open string: the overtone series in equal
    temperament, as handbooks of acoustics give it (from memory)."""
    assert struck(write_midi(page(f"e|-<{fret}>--|\n")))[0][1] == heard


def test_seconds_at_a_share_of_the_tempo_with_a_count_in(tmp_path: Path) -> None:
    """partitura reads the seconds; 60 a minute at 50 % and a bar of 4/4 counted in."""
    partitura = pytest.importorskip("partitura")
    path = tmp_path / "slow.mid"
    score = page("Time: 4/4\nTempo: 60\n   q  q  h\nG|-5--7--9--|\n")
    path.write_bytes(write_midi(score, Playing(Fraction(1, 2), 1)))
    notes = partitura.load_performance_midi(str(path)).note_array()
    tones = sorted((float(note["onset_sec"]), int(note["pitch"])) for note in notes if note["channel"] != 9)
    assert tones == [(8.0, 60), (10.0, 62), (12.0, 64)]
    assert sum(note["channel"] == 9 for note in notes) == 4


def test_what_is_left_out_is_counted() -> None:
    score = page("  Am\nG|-5--x--7--|\n   PH\n")
    assert midi_losses(score) == ("1 chord symbol", "1 pinch mark", "1 dead note")


def test_a_bend_with_no_channel_to_itself_is_told() -> None:
    chords = "B|-8b10--|\nG|-9-----|\n\n"
    score = page("".join(f"[Guitar {n}]\n{chords}" for n in range(1, 17)))
    many = Score(score.parts * 16 if len(score.parts) == 1 else score.parts)
    assert any("lacks a channel" in words for words in midi_losses(many))


def test_the_same_bytes_whatever_the_hash_seed() -> None:
    code = (
        "from tests.musicxml.samples import LICK; from tabtools.midi.writing import write_midi; "
        "import sys; sys.stdout.buffer.write(write_midi(LICK))"
    )
    root = Path(__file__).parents[2]
    runs = {
        subprocess.run(
            [sys.executable, "-c", code],
            cwd=root,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(root)},
            check=True,
            capture_output=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert runs == {write_midi(LICK)}


@settings(max_examples=40, deadline=None)
@given(scores)
def test_any_score_is_written_and_has_every_note(score: Score) -> None:
    count = sum(len(perform(part)) for part in score.parts)
    assert len(struck(write_midi(score))) == count
