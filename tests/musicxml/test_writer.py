"""What the written MusicXML says, element by element."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pytest
from lxml import etree

from tabtools.instrument import GUITAR, TUNINGS, instrument_from
from tabtools.musicxml.writer import write_musicxml
from tabtools.score import (
    ZERO,
    Bar,
    Event,
    Harmony,
    Key,
    Note,
    Part,
    Score,
    Technique,
    Tempo,
    TimeSignature,
    Tuplet,
    Words,
)
from tabtools.source import UnreadableError
from tabtools.techniques import BY_NAME
from tabtools.theory.spelling import spell
from tests.musicxml.lessons import LESSONS
from tests.musicxml.samples import BASS, CAPO, LICK, MELODY, REPEATS, SAMPLES, VOICES, events, note, one_part
from tests.xsd import problems


def _tree(score: Score) -> etree._Element:
    data = write_musicxml(score)
    assert problems(data) == []
    return etree.fromstring(data)


def _bar(*rows: tuple[object, ...], **fields: object) -> Score:
    return one_part(Bar(1, events=events(*rows))._replace(**fields))  # type: ignore[arg-type]


def _notes(root: etree._Element, staff: int) -> list[etree._Element]:
    return [n for n in root.iter("note") if n.findtext("staff") == str(staff)]


def _texts(elements: list[etree._Element], path: str) -> list[str | None]:
    return [element.findtext(path) for element in elements]


@pytest.mark.parametrize("score", [*SAMPLES.values(), *LESSONS.values()], ids=[*SAMPLES, *LESSONS])
def test_what_is_written_is_valid(score: Score) -> None:
    """Source: the MusicXML 4.0 XSD of the W3C Music Notation Community Group."""
    assert problems(write_musicxml(score)) == []


def test_a_pitch_above_all_octaves_is_refused_and_named() -> None:
    bar = Bar(1, events=(Event(ZERO, Fraction(4), (Note(1, 99, spell(163, None)),)),))
    with pytest.raises(UnreadableError, match="bar 1: fret 99 on string 1 would sound G12"):
        write_musicxml(Score((Part("Guitar", GUITAR, (bar,)),)))


def test_the_bytes_do_not_depend_on_the_hash_seed() -> None:
    code = (
        "import sys; from tests.musicxml.samples import LICK;"
        "from tabtools.musicxml.writer import write_musicxml;"
        "sys.stdout.buffer.write(write_musicxml(LICK))"
    )
    root = Path(__file__).parents[2]
    found = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
            cwd=root,
        ).stdout
        for seed in ("1", "2")
    }
    assert found == {write_musicxml(LICK)}


@pytest.mark.parametrize("name", BY_NAME)
def test_no_technique_is_dropped(name: str) -> None:
    """Every name of the table leaves a trace that the plain note does not have, alone and after a note."""
    size = Fraction(2) if BY_NAME[name].value else None
    plain = note(3, 5)
    marked = plain._replace(techniques=(Technique(name, size),))
    for rows in ((("4", plain),), (("2", plain), ("2", plain))):
        with_it = [*rows[:-1], (rows[-1][0], marked)]
        assert write_musicxml(_bar(*with_it)) != write_musicxml(_bar(*rows))
        assert problems(write_musicxml(_bar(*with_it))) == []


def test_an_unknown_technique_is_written_as_a_word() -> None:
    root = _tree(_bar(("4", note(3, 5, "wobble:3"))))
    assert {e.text for e in root.iter("other-technical")} == {"wobble:3"}


def test_both_staves_hold_the_same_pitches_and_only_the_tab_staff_strings() -> None:
    root = _tree(LICK)
    upper, lower = _notes(root, 1), _notes(root, 2)
    for path in ("pitch/step", "pitch/alter", "pitch/octave", "duration"):
        assert _texts(upper, path) == _texts(lower, path)
    assert not [n for n in upper if n.find("notations/technical/string") is not None]
    assert _texts(lower, "notations/technical/fret")[:4] == ["5", "7", "5", "7"]
    assert {n.findtext("voice") for n in lower} == {"5"}
    assert {n.findtext("stem") for n in lower} == {"none"}
    assert not [n for n in lower if n.find("beam") is not None]


def test_the_tab_staff_is_declared_from_the_bottom_line_up() -> None:
    details = next(_tree(VOICES).iter("staff-details"))
    assert details.get("number") == "2"
    assert details.findtext("staff-type") == "alternate"
    lines = [
        (t.get("line"), t.findtext("tuning-step"), t.findtext("tuning-octave"))
        for t in details.iter("staff-tuning")
    ]
    assert lines[0] == ("1", "E", "2")
    assert lines[-1] == ("6", "E", "4")
    assert details.findtext("capo") == "2"


def test_pitches_sound_and_nothing_transposes() -> None:
    """Open low E under an octave clef is E2; with a capo at 2 it is F#2 (MusicXML 4.0)."""
    root = _tree(one_part(Bar(1, events=events(("4", note(6, 0, instrument=CAPO)))), instrument=CAPO))
    assert next(root.iter("clef")).findtext("clef-octave-change") == "-1"
    assert not list(root.iter("transpose"))
    assert {(p.findtext("step"), p.findtext("alter"), p.findtext("octave")) for p in root.iter("pitch")} == {
        ("F", "1", "2")
    }


@pytest.mark.parametrize(
    ("instrument", "clef"),
    [
        ("Guitar", "G2 -1"),
        ("Seven-string guitar", "G2 -1"),
        ("Eight-string guitar", "G2 -1"),
        ("Bass", "F4 -1"),
        ("Five-string bass", "F4 -1"),
        ("Six-string bass", "F4 -1"),
        ("Ukulele", "G2"),
        ("Mandolin", "G2"),
        ("Banjo", "G2"),
    ],
)
def test_the_clef_suits_the_instrument(instrument: str, clef: str) -> None:
    played = instrument_from(next(tuning for tuning in TUNINGS if tuning.instrument == instrument))
    found = next(_tree(one_part(Bar(1), instrument=played)).iter("clef"))
    octave = found.findtext("clef-octave-change")
    assert f"{found.findtext('sign')}{found.findtext('line')}" + (f" {octave}" if octave else "") == clef


def test_a_melody_has_one_staff() -> None:
    root = _tree(MELODY)
    assert not list(root.iter("staves", "staff", "staff-details", "string"))
    assert _texts(list(root.iter("note")), "pitch/step") == ["C", "C", "D", "D"]


def test_a_hammer_on_is_a_pair_with_one_slur_over_the_run() -> None:
    root = _tree(LICK)
    first, middle, last = (n.find("notations") for n in _notes(root, 1)[:3])
    assert first is not None
    assert middle is not None
    assert last is not None
    assert [(e.tag, e.get("type")) for e in first.iter("slur", "hammer-on")] == [
        ("slur", "start"),
        ("hammer-on", "start"),
    ]
    assert [(e.tag, e.get("type")) for e in middle.iter("slur", "hammer-on", "pull-off")] == [
        ("hammer-on", "stop"),
        ("pull-off", "start"),
    ]
    assert [(e.tag, e.get("type")) for e in last.iter("slur", "pull-off")] == [
        ("slur", "stop"),
        ("pull-off", "stop"),
    ]


@pytest.mark.parametrize("name", ["lick", "voices", "repeats"])
def test_every_start_has_its_stop(name: str) -> None:
    """Pairs by element, number and document order (musicxml 4.0, number-level)."""
    open_: set[tuple[str, str | None]] = set()
    for element in _tree(SAMPLES[name]).iter(
        "slur", "slide", "hammer-on", "pull-off", "dashes", "tuplet", "wavy-line"
    ):
        pair = element.tag, element.get("number")
        if element.get("type") == "start":
            assert pair not in open_
            open_.add(pair)
        else:
            open_.remove(pair)
    assert open_ == set()


def test_a_long_value_is_tied_and_played_once() -> None:
    root = _tree(LICK)
    held = [
        n for n in _notes(root, 1) if n.findtext("pitch/step") == "A" and n.findtext("pitch/octave") == "4"
    ]
    ties = [[tie.get("type") for tie in n.iter("tie")] for n in held[:3]]
    assert ties == [["start"], ["stop", "start"], ["stop"]]
    assert [[tie.get("type") for tie in n.iter("tied")] for n in held[:3]] == ties


def test_a_tie_to_another_pitch_has_no_start() -> None:
    """It is what the score says; a rule may report it."""
    root = _tree(_bar(("2", note(1, 5)), ("2", note(1, 7, tied=True))))
    assert [[tie.get("type") for tie in n.iter("tie")] for n in _notes(root, 1)] == [[], ["stop"]]


def test_grace_notes_come_first_and_take_no_time() -> None:
    grace = Event(ZERO, ZERO, (note(2, 5),), grace=True)
    score = one_part(Bar(1, events=(*events(("4", note(2, 7))), grace)))
    upper = _notes(_tree(score), 1)
    assert [(n.find("grace") is not None, n.findtext("duration")) for n in upper] == [
        (True, None),
        (False, "4"),
    ]


def test_bends_follow_the_relative_amounts_of_version_4() -> None:
    root = _tree(_bar(("2", note(3, 7, "bend-release:1.5")), ("2", note(3, 7, "prebend:2"))))
    bends = [[(c.tag, c.text) for c in b] for b in _notes(root, 1)[0].iter("bend")]
    assert bends == [[("bend-alter", "1.5")], [("bend-alter", "-1.5"), ("release", None)]]
    assert [(c.tag, c.text) for c in next(_notes(root, 1)[1].iter("bend"))] == [
        ("bend-alter", "-2"),
        ("pre-bend", None),
    ]
    assert {n.findtext("pitch/step") for n in root.iter("note")} == {"D"}


def test_a_dead_note_has_the_pitch_of_its_open_string() -> None:
    dead = [n for n in _tree(LICK).iter("note") if n.findtext("notehead") == "x"]
    assert [n.findtext("pitch/step") for n in dead] == ["E", "A", "E", "A"]
    assert [n.findtext("notations/technical/fret") for n in dead] == [None, None, "0", "0"]


def test_palm_muting_is_played_and_drawn_as_one_span() -> None:
    mute = "palm-mute"
    root = _tree(_bar(("1", note(6, 0, mute)), ("1", note(6, 0, mute)), ("2", note(6, 0))))
    assert [m.text for m in root.iter("mute")] == ["palm", "palm"]
    assert [(d.tag, d.get("type") or d.text) for d in root.iter("dashes", "words")] == [
        ("words", "P.M."),
        ("dashes", "start"),
        ("dashes", "stop"),
    ]
    siblings = [e.tag for e in next(root.iter("measure"))]
    assert siblings[1:5] == ["direction", "note", "note", "direction"]


def test_rests_fill_gaps_and_are_unseen_on_the_tab_staff() -> None:
    late = Event(Fraction(3, 2), Fraction(1), (note(1, 3),))
    root = _tree(one_part(Bar(1, events=(late,))))
    upper, lower = _notes(root, 1), _notes(root, 2)
    assert _texts(upper, "type") == ["quarter", "eighth", "eighth", "eighth"]
    assert [n.find("rest") is not None for n in upper] == [True, True, False, False]
    assert [n.get("print-object") for n in lower] == ["no", "no", None, None]


def test_an_empty_bar_is_a_whole_bar_rest() -> None:
    root = _tree(one_part(Bar(1, time=TimeSignature(3, 4))))
    assert [(n[0].get("measure"), n.findtext("duration")) for n in root.iter("note")] == [
        ("yes", "3"),
        ("yes", "3"),
    ]


@pytest.mark.parametrize("length", ["3", "5"])
def test_bars_of_the_wrong_length_stay_as_they_are(length: str) -> None:
    root = _tree(_bar((length, note(1, 3))))
    assert sum(int(n.findtext("duration") or 0) for n in _notes(root, 1)) == int(length)
    assert not list(root.iter("rest"))


def test_overlapping_notes_of_a_voice_are_all_kept() -> None:
    overlapping = (
        Event(ZERO, Fraction(4), (note(6, 3),)),
        Event(Fraction(1), Fraction(2), (note(3, 0),)),
        Event(Fraction(2), Fraction(2), (note(1, 3),)),
    )
    root = _tree(one_part(Bar(1, events=overlapping)))
    voices = {n.findtext("voice"): n.findtext("pitch/step") for n in _notes(root, 1)}
    assert voices == {"1": "G", "2": "G", "3": "G"}
    assert [b.findtext("duration") for b in root.iter("backup")] == ["4", "3", "4", "4", "3"]


def test_pickup_repeats_and_endings() -> None:
    root = _tree(REPEATS)
    measures = list(root.iter("measure"))
    assert [m.get("number") for m in measures] == ["0", "1", "2", "3", "4", "5"]
    assert [m.get("implicit") for m in measures[:2]] == ["yes", None]
    assert [(e.get("number"), e.get("type")) for e in root.iter("ending")] == [
        ("1, 2", "start"),
        ("1, 2", "stop"),
        ("3", "start"),
        ("3", "discontinue"),
    ]
    assert [(r.get("direction"), r.get("times")) for r in root.iter("repeat")] == [
        ("forward", None),
        ("backward", "3"),
    ]


def test_a_pickup_stands_at_the_end_of_its_metre_and_what_completes_it_at_the_start() -> None:
    """Three eighths of 2/4: the first one off the beat, or the last one alone."""
    short = Bar(1, TimeSignature(2, 4), events=events(*((Fraction(1, 2), note(1, 5)),) * 3), pickup=True)
    root = _tree(one_part(short, short._replace(number=2)))
    beams = [n.findtext("beam") for n in _notes(root, 1)]
    assert beams == [None, "begin", "end", "begin", "end", None]


def test_time_and_key_are_on_both_staves_but_seen_on_one() -> None:
    bars = [Bar(1, key=Key("G", 0, "major")), Bar(2, key=Key("F", 0, "major")), Bar(3)]
    keys = [
        (k.get("number"), k.get("print-object"), k.findtext("fifths"))
        for k in _tree(one_part(*bars)).iter("key")
    ]
    assert keys[:4] == [("1", None, "1"), ("2", "no", "1"), ("1", None, "-1"), ("2", "no", "-1")]


def test_tempo_counts_quarters_for_the_sound_and_beats_for_the_eye() -> None:
    """A dotted quarter at 80 sounds as 120 quarters (musicxml 4.0, sound)."""
    root = _tree(LICK)
    assert next(root.iter("sound")).get("tempo") == "120"
    assert [e.tag for e in next(root.iter("metronome"))] == ["beat-unit", "beat-unit-dot", "per-minute"]
    odd = _tree(_bar(("4", note(1, 3)), tempo=Tempo(Fraction(90), Fraction(5, 4))))
    assert next(odd.iter("sound")).get("tempo") == "112.5"


def test_chord_symbols_keep_their_text_and_gain_their_meaning() -> None:
    symbols = (Harmony(ZERO, "D7(#9)/F#"), Harmony(Fraction(1), "Lam"), Harmony(Fraction(2), "N.C."))
    root = _tree(_bar(("4", note(1, 3)), harmonies=symbols))
    first, second, third = root.iter("harmony")
    kind = first.find("kind")
    assert kind is not None
    assert (kind.text, kind.get("text")) == ("dominant", "7(#9)")
    assert (first.findtext("bass/bass-step"), first.findtext("bass/bass-alter")) == ("F", "1")
    assert [d.findtext("degree-value") for d in first.iter("degree")] == ["9"]
    assert next(second.iter("root-step")).get("text") == "La"
    assert next(third.iter("root-step")).get("text") == ""


def test_a_chord_symbol_that_is_not_understood_becomes_words() -> None:
    root = _tree(_bar(("4", note(1, 3)), harmonies=(Harmony(ZERO, "Xq/7"),)))
    assert not list(root.iter("harmony"))
    assert [w.text for w in root.iter("words")] == ["Xq/7"]


def test_words_between_notes_stand_at_their_place() -> None:
    root = _tree(_bar(("4", note(1, 3)), words=(Words(Fraction(3, 2), "V"),)))
    assert next(root.iter("offset")).text == "3"
    assert next(root.iter("divisions")).text == "2"


def test_markup_and_control_characters_in_texts_do_no_harm() -> None:
    score = Score((Part("<&>", GUITAR, (Bar(1, section='"\x00\n'),)),), title="a\x1bb & c")
    root = _tree(score)
    assert root.findtext("work/work-title") == "a\ufffdb & c"
    assert root.findtext("part-list/score-part/part-name") == "<&>"


def test_tuplets_have_ratio_and_bracket() -> None:
    third = Fraction(1, 3)
    group = tuple(Event(third * i, third, (note(1, i),), tuplet=Tuplet(3, 2)) for i in range(6))
    upper = _notes(_tree(one_part(Bar(1, events=group))), 1)
    assert _texts(upper, "time-modification/actual-notes") == ["3"] * 6
    assert [[t.get("type") for t in n.iter("tuplet")] for n in upper] == [["start"], [], ["stop"]] * 2


@pytest.mark.parametrize(
    ("metre", "lengths", "beams"),
    [
        ((4, 4), "1/2 1/2 1/2 1/2 1 1", "begin end begin end - -"),
        ((6, 8), "1/2 1/2 1/2 1/2 1/2 1/2", "begin continue end begin continue end"),
        ((2, 4), "1/4 1/2 1/4 1/2 1/2", "begin,forward+hook continue end,backward+hook begin end"),
        ((2, 4), "1/2 1/4 1/4 3/4 1/4", "begin continue,begin end,end begin end,backward+hook"),
    ],
)
def test_beams_go_by_the_beat(metre: tuple[int, int], lengths: str, beams: str) -> None:
    score = one_part(
        Bar(1, TimeSignature(*metre), events=events(*((length, note(1, 3)) for length in lengths.split())))
    )
    found = [",".join(b.text or "" for b in n.iter("beam")) or "-" for n in _notes(_tree(score), 1)]
    assert found == [word.replace("+", " ") for word in beams.split()]


def test_a_bass_without_notes_keeps_its_tuning() -> None:
    root = _tree(one_part(Bar(1), instrument=BASS))
    assert next(root.iter("staff-lines")).text == "4"


def test_notes_without_a_string_in_a_tab_part_are_on_the_notation_staff_only() -> None:
    unplaced = Note(None, None, note(1, 3).pitch)
    root = _tree(_bar(("2", note(1, 5)), ("2", unplaced)))
    assert len(_notes(root, 1)) == 2
    assert len(_notes(root, 2)) == 1
    assert [f.findtext("duration") for f in root.iter("forward")] == ["2"]
