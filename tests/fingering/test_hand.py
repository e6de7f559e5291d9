"""The hand: distances against worked geometry, grips against fingerings as they are taught."""

from __future__ import annotations

import pytest

from tabtools.fingering.hand import WIDE, Grip, easiest, grips
from tabtools.fingering.reach import REACH, Press, board
from tabtools.instrument import GUITAR, fret_wire

# Frets from string 6 to string 1 and the fingers that teach them; common practice.
CHORDS = [
    ("C", "x32010", "032010"),
    ("G", "320003", "210003"),
    ("E", "022100", "023100"),
    ("D", "xx0232", "000132"),
    ("Am", "x02210", "002310"),
    ("Dm", "xx0231", "000231"),
    ("C7", "x32310", "032410"),
    ("D7", "xx0212", "000213"),
    ("E7", "020100", "020100"),
    ("G7", "320001", "320001"),
    ("B7", "x21202", "021304"),
    ("Fmaj7", "xx3210", "003210"),
    ("F, E form", "133211", "134211"),
    ("F, E form higher", "8-10-10-9-8-8", "134211"),
    ("Fm, Em form", "133111", "134111"),
    ("G7, E7 form", "353433", "131211"),
    ("C7, A7 form", "335353", "113141"),
    ("Bm, Am form", "224432", "113421"),
    ("Am7, Em7 form", "575555", "131111"),
    ("Dm7, Am7 form", "557565", "113121"),
    ("F, D form", "xx3565", "001243"),
    ("D, C form", "x54232", "043121"),
    ("A5", "577xxx", "134000"),
    ("A", "x02220", "001230"),
    ("Em", "022000", "023000"),
    ("A7", "x02020", "002030"),
]
# The cheapest grip has a wide stretch; the one with the least stretch has a barre of the little finger.
STRETCHED = [("Bb, A form", "x13331", "012341")]
# These have several usual fingerings; they must be playable all the same.
PLAYABLE = ["x02220", "022000", "x02020", "x13331", "x24442", "355433", "x32033", "320033"]


def _notes(frets: str) -> list[tuple[int, int]]:
    cells = frets.split("-") if "-" in frets else list(frets)
    return [(6 - index, int(cell)) for index, cell in enumerate(cells) if cell != "x"]


def _fingers(grip: Grip) -> str:
    found = ["0"] * 6
    for press in grip.presses:
        for string in press.strings:
            found[6 - string] = str(press.finger)
    return "".join(found)


def _effort(*notes: tuple[int, int], hand: str = "medium") -> float:
    grip = easiest(GUITAR, notes, hand)
    assert grip is not None
    assert grip.worst is not None
    return grip.worst.effort


@pytest.mark.parametrize(
    ("low", "high", "span"),
    [(1, 4, 97.3), (1, 5, 126.2), (1, 6, 153.4), (5, 8, 77.2), (5, 9, 100.1), (5, 10, 121.8), (12, 17, 81.3)],
)
def test_fret_wires_lie_as_equal_temperament_puts_them(low: int, high: int, span: float) -> None:
    # Worked by hand from L (1 - 2^(-n/12)) with L = 648 mm.
    assert fret_wire(648, high) - fret_wire(648, low) == pytest.approx(span, abs=0.06)


@pytest.mark.parametrize(("name", "frets", "fingers"), CHORDS, ids=[name for name, _, _ in CHORDS])
def test_chords_get_the_taught_fingers(name: str, frets: str, fingers: str) -> None:
    grip = easiest(GUITAR, _notes(frets))
    assert grip is not None
    assert _fingers(grip) == fingers
    assert grip.excess == 0
    assert grip.worst is None or grip.worst.effort < WIDE


@pytest.mark.parametrize(
    ("name", "frets", "fingers"), CHORDS + STRETCHED, ids=[name for name, _, _ in CHORDS + STRETCHED]
)
def test_the_cheapest_grip_has_the_taught_fingers(name: str, frets: str, fingers: str) -> None:
    assert _fingers(grips(GUITAR, _notes(frets))[0]) == fingers


@pytest.mark.parametrize("frets", PLAYABLE)
def test_usual_chords_are_no_stretch(frets: str) -> None:
    grip = easiest(GUITAR, _notes(frets))
    assert grip is not None
    assert grip.worst is None or grip.worst.effort < WIDE


def test_barre_covers_the_right_strings() -> None:
    grip = easiest(GUITAR, _notes("133211"))
    assert grip is not None
    assert grip.presses[0] == Press(1, 1, (6, 2, 1))
    assert grip.presses[0].covers == 6


def test_five_frets_near_the_nut_are_hard_and_six_are_too_many() -> None:
    assert _effort((1, 1), (1, 4)) < 0
    assert WIDE < _effort((1, 1), (1, 5)) < 1
    assert _effort((1, 1), (1, 6)) > 1


def test_the_same_frets_get_easier_up_the_neck() -> None:
    spans = [board(GUITAR).distance(Press(1, n, (2,)), Press(4, n + 4, (2,))) for n in range(1, 18)]
    assert spans == sorted(spans, reverse=True)
    assert _effort((2, 1), (2, 5)) > WIDE
    assert _effort((2, 12), (2, 16)) < 0


def test_a_capo_and_a_shorter_neck_bring_frets_together() -> None:
    notes = [(1, 1), (1, 6)]
    for instrument in (GUITAR._replace(capo=5), GUITAR._replace(scale_length=500.0)):
        grip = easiest(instrument, notes)
        assert grip is not None
        assert grip.excess == 0


def test_hand_size_scales_the_limits() -> None:
    assert _effort((1, 1), (1, 5), hand="small") > 1
    assert _effort((1, 1), (1, 5), hand="large") < WIDE
    with pytest.raises(KeyError):
        easiest(GUITAR, [(1, 1)], "huge")


def test_worst_pair_is_given_in_numbers() -> None:
    grip = easiest(GUITAR, [(1, 1), (1, 6)])
    assert grip is not None
    worst = grip.worst
    assert worst is not None
    assert worst.fingers == (1, 4)
    # Three quarters into the frets: 27.3 mm and 183.0 mm from the nut.
    assert worst.distance == pytest.approx(155.7, abs=0.1)
    assert worst.reach == REACH[1, 4]
    assert worst.percent == 115


def test_open_strings_need_no_finger() -> None:
    assert easiest(GUITAR, []) == Grip(())
    assert easiest(GUITAR, [(1, 0), (6, 0)]) == Grip(())


def test_a_barre_may_not_stop_an_open_or_lower_string() -> None:
    grip = easiest(GUITAR, [(4, 2), (3, 0), (2, 2)])
    assert grip is not None
    assert [len(press.strings) for press in grip.presses] == [1, 1]


def test_fingers_other_than_the_index_hold_four_strings_at_most() -> None:
    sixth = grips(GUITAR, _notes("x13333"))[0]  # printed so in the diagrams of chords-db, MIT
    assert _fingers(sixth) == "013333"
    assert not any(p.finger > 1 and p.covers > 4 for g in grips(GUITAR, _notes("133333")) for p in g.presses)


def test_no_grip_for_more_places_than_fingers() -> None:
    assert easiest(GUITAR, [(6, 1), (5, 2), (4, 3), (3, 4), (2, 5)]) is None
    # Open between them, the two first frets can't be one barre.
    assert easiest(GUITAR, [(6, 1), (5, 0), (4, 1), (3, 2), (2, 3), (1, 4)]) is None


def test_distance_to_a_barre_is_to_its_nearest_point() -> None:
    barre, above, beside = Press(1, 1, (6, 1)), Press(3, 3, (4,)), Press(1, 1, (4,))
    on = board(GUITAR)
    assert on.distance(barre, above) == pytest.approx(on.distance(beside, above), abs=1.0)
    assert on.distance(above, barre) == on.distance(barre, above)


def test_adding_a_note_never_makes_a_grip_easier() -> None:
    chord = [(4, 3), (3, 2), (2, 3)]
    fewer, more = easiest(GUITAR, chord), easiest(GUITAR, [*chord, (6, 3)])
    assert fewer is not None
    assert more is not None
    assert more.cost >= fewer.cost
