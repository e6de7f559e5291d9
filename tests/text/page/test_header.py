"""What a page says about itself in words."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.source import Source
from tabtools.text.page.clean import clean_lines
from tabtools.text.page.facts import facts_of, is_header
from tabtools.text.page.header import Header, header_of, later_header
from tabtools.text.page.kinds import ReadLine


def header(text: str) -> Header:
    lines = clean_lines(Source("page", text))
    return header_of([ReadLine("prose", line, (), facts_of(line.text)) for line in lines])


@pytest.mark.parametrize(
    ("text", "time"),
    [
        ("Time: 3/4", "3/4"),
        ("time sig = 6/8", "6/8"),
        ("UKULELE   gCEA (high g)     3/4   slow waltz", "3/4"),
        ("Tuning DADGAD, capo II, 6/8.  Key of D", "6/8"),
        ("Count it in SEVEN (7/8), 150 bpm, B minor", "7/8"),
        ("6/8 feel", "6/8"),
        ("use 3/4 of the pick", None),
        ("full = 1 step, 1/4 = just a curl", None),
        ("Mandolin\tGDAE\t6/8".expandtabs(), "6/8"),
        ("Banjo gDGBD 12/8", "12/8"),
        ("Guitar solo over 4/4", None),
        ("played with a capo, in 3/4 time and the key of D", "3/4"),
        ("jig time 6/8, not too fast", "6/8"),
        ("7/4 then 4/4", "7/4"),
        ("capo IV / tuned: D A D G A D / 6/8 feel", "6/8"),
        ("*Time:* **3/4**", "3/4"),
        ("The first 3/4 of the song is easy", None),
        ("all in 3/4 of the cases", None),
        ("Repeat the 2/4 bar", None),
        ("Размер: 6/8", "6/8"),
        ("im 3/4-Takt", "3/4"),
        ("Dreivierteltakt", "3/4"),
        ("compás de 3/4", "3/4"),
        ("Mesure à 3 temps", "3/4"),
        ("Waltz in D minor.", "3/4"),
        ("Waltz in 6/8", "6/8"),
        ("dance the waltz with me", None),
    ],
)
def test_metre(text: str, time: str | None) -> None:
    found = header(text).time
    assert (found.name if found else None) == time


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("Key: A        Tempo: 96 bpm", "A major"),
        ("Key of A minor", "A minor"),
        ("Key of D (before the capo)", "D major"),
        ("Movable arpeggios, ii V I IV (key of G)", "G major"),
        ("Bass - slap groove in E minor (one bar answer)", "E minor"),
        ("Two guitars, Em, 112 bpm", "E minor"),
        ("Triads on the top three strings, key A", "A major"),
        ("the key is to relax", None),
        ("Slow blues in A, for beginners", "A major"),
        ("Waltz in Bb - three chords", "Bb major"),
        ("Heavy riff in E", None),
        ("put the capo in a box", None),
        ("a lick in the style of nobody", None),
        ("It's in D, in 6/8 time", "D major"),
        ("4/4 in G, standard", "G major"),
        ("key is A minor", "A minor"),
        ("Tono de La menor", "A minor"),
        ("tonacja G-dur", "G major"),
        ("Ton: Sol majeur", "G major"),
        ("Тональность: ля минор", "A minor"),
        ("A minor pentatonic lick", "A minor"),
        ("Key of G/Em", "G major"),
        ("Chords: C, Am, F, G7", None),
        ("(Am, C, G)", None),
        ("| Am | F | C | G |", None),
        ("Am, C and G are all you need", None),
        ("[Am]  [F]  walking down the  [C]", None),
        ("Groove, Em, drop D", "E minor"),
    ],
)
def test_key(text: str, key: str | None) -> None:
    found = header(text).key
    assert (found.name if found else None) == key


@pytest.mark.parametrize(
    ("text", "capo"),
    [
        ("Capo: 2", 2),
        ("capo 3rd fret", 3),
        ("Capo II", 2),
        ("no capo", 0),
        ("capo: none", 0),
        ("a cap on it", None),
    ],
)
def test_capo(text: str, capo: int | None) -> None:
    assert header(text).capo == capo


@pytest.mark.parametrize(
    ("text", "per_minute", "beat"),
    [
        ("Tempo: 96", 96, Fraction(1)),
        ("120 bpm", 120, Fraction(1)),
        ("quarter = 84", 84, Fraction(1)),
        ("Tempo: dotted quarter = 60", 60, Fraction(3, 2)),
        ("half = 50", 50, Fraction(2)),
    ],
)
def test_tempo(text: str, per_minute: int, beat: Fraction) -> None:
    tempo = header(text).tempo
    assert tempo is not None
    assert tempo.per_minute == per_minute
    assert tempo.beat == beat


@pytest.mark.parametrize(
    ("text", "named", "strings"),
    [
        ("Tuning: standard", "standard", ""),
        ("Tuning: Drop D", "drop d", ""),
        ("tuned down a semitone, tuning half step down", "half step down", ""),
        ("Tuning: D A D G A D", None, "D A D G A D"),
        ("Tuning: DADGAD", None, "D A D G A D"),
        ("Tuning: Eb-Ab-Db-Gb-Bb-Eb", None, "Eb Ab Db Gb Bb Eb"),
        ("Tuning: E2 A2 D3 G3 B3 E4", None, "E2 A2 D3 G3 B3 E4"),
        ("drop the pick", None, ""),
        ("Mandolin GDAD 6/8", None, "G D A D"),
        ("Ukulele GCEA", None, "G C E A"),
        ("Bass DEAD", None, "D E A D"),
        ("bass dead", None, ""),
    ],
)
def test_tuning(text: str, named: str | None, strings: str) -> None:
    found = header(text)
    assert (found.named.names[0] if found.named else None) == named
    shown = [f"{s.letter}{s.octave if s.octave is not None else ''}" for s in found.strings]
    assert " ".join(shown) == strings


def test_title_and_composer_need_their_colon() -> None:
    found = header("Title: A study\nAuthor: Nobody Inparticular\n")
    assert (found.title, found.composer) == ("A study", "Nobody Inparticular")
    assert header("Title track of the day\nAuthor unknown") == Header()


def test_the_first_value_wins() -> None:
    found = header("Key: G\nKey: D\nTime: 3/4\nTime: 4/4")
    assert found.key is not None
    assert found.time is not None
    assert (found.key.name, found.time.name) == ("G major", "3/4")


@pytest.mark.parametrize(
    ("text", "said"),
    [("Tempo: 80", True), ("   Am    D7", False), ("Play it slowly", False), ("Author unknown", False)],
)
def test_what_counts_as_a_header_line(text: str, said: bool) -> None:
    assert is_header(text) is said


FIRST = "Title: A page\nTuning: E A D G B E\nCapo: 2\nKey: G\nTime: 3/4\n"


def later(text: str) -> Header:
    lines = clean_lines(Source("page", FIRST + text))
    told = [ReadLine("prose", line, (), facts_of(line.text)) for line in lines]
    return later_header(header_of(told[:5]), header_of(told[5:]))


def test_another_tuning_begins_another_instrument() -> None:
    found = later("Instrument: Bass\nTuning: E A D G\n")
    assert (found.instrument, found.capo, found.key) == ("Bass", None, None)
    assert found.time == header(FIRST).time
    assert found.title == "A page"


def test_the_same_tuning_again_changes_only_what_is_said() -> None:
    found = later("Tuning: E A D G B E\nKey: D\n")
    assert found.key is not None
    assert (found.key.name, found.capo) == ("D major", 2)


def test_words_without_a_tuning_change_nothing() -> None:
    assert later("Key: D\nTime: 4/4\n") == header(FIRST)
