"""The one table of what moves cost the fretting hand, and the profiles that differ in a few of them.

The unit is about one small shift of the hand. Marked [reference]: from published work or measured on
published fingerings; [practice]: common practice, no source; [fitted]: found on human fingerings, see
``python -m tests.benchmarks.fingering_sources`` for how they agree source by source, beside plain methods.

How the profiles came about. Editors print strings mostly where the obvious choice is wrong, and a player's
open strings are taste, so that no table fits all: profiles differ most in the price of open strings.
``classical`` was fitted as the odds of what editors printed, with all that they did not print summed over
(`fingering_fit`). What moved most was that a finger which moves along its string while the hand stays
(``slip``) is dear. Its price of open strings was lowered since: at 0.37 more fretted labels agree, at 0.12
more of all, on sources that were left out as well. ``lead`` was found on one recorded solo and on phrases
of our own: a hand that stays (``stick``, ``shift``), fingers that reach a fret, strings side by side
(``across``), the middle of the neck (``height``, ``low``), open strings for the open position
(``open_away``, ``free_open``). One solo is little: its choices are never called sure. ``plectrum`` prefers
the middle strings for chords (``edge``); for single notes that sent lines far up the neck.

What brought nothing, each weighed by how much likelier it makes the labels: the voice of an open string, its
pitch, length and how often it comes again, the key, the texture, shifts by size and direction, lines that
cross strings against their direction, fingers put down anew after a shift. What is left is taste, sound, and
the same figure fingered alike, which `tabtools.forms.hand_hints` adds.
"""

from __future__ import annotations

from tabtools.record import NamedTuple

UNIT = 1000  # costs are whole thousandths of the unit, so that sums are exact and ties are ties


class Weights(NamedTuple):
    """Costs in units of about one small shift; mm are along the neck or between fingertips."""

    grip: float = 0.25  # the cost of the grip (see `hand`) [fitted]
    off_window: float = 1.0  # a finger a fret away from its own, one finger a fret [fitted]
    off_window_chord: float = 0.1  # the same where several are down and another position suits them [fitted]
    little: float = 0.15  # finger 4 on its own [fitted]
    height: float = 0.06  # the lowest finger, for each 100 mm from the nut [fitted]
    low: float = 0.0  # each 100 mm that the lowest finger is nearer to the nut than fret 7 [fitted]
    body: float = 0.0  # each fret of it beyond the place where the neck meets the body [fitted]
    open_string: float = 0.1  # an open string; what the profiles differ in most [fitted]
    open_away: float = (
        0.0  # the same more where the hand is away from the nut, and no finger is down [fitted]
    )
    barre: float = 0.8  # five strings or six newly put under one finger [practice]
    half_barre: float = 0.15  # two to four [fitted]
    stick: float = 0.8  # any change of position [fitted]
    shift: float = 1.0  # each 100 mm of it, at four notes a second [fitted]
    free: float = 0.3  # share of a shift's cost while nothing sounds [practice]
    free_open: float = 0.3  # the same while an open string does [practice]
    edge: float = 0.02  # each string between a note of a chord and the middle of the neck [fitted]
    edge_alone: float = 0.02  # the same for a note on its own [fitted]
    across: float = 0.1  # each string between the middles of two forms [fitted]
    leave: float = 0.15  # a finger that must leave one place for another string [practice]
    slip: float = 0.15  # the same along its string, though the hand stays where it is [practice]
    guide: float = 0.0  # the same in a shift, which it guides [practice]
    hop: float = 0.8  # the same finger on another string within a quarter second [practice]
    roll: float = 0.2  # the same, where it can roll over the strings of one fret [practice]
    refinger: float = 0.5  # the same note held again by another finger [practice]
    release: float = 0.6  # a held note let go before its end [fitted]
    broken: float = 0.0  # a leap on one string, which cuts off a note of a broken chord [fitted]
    blur: float = 0.0  # an open string that rings on into a step on another [fitted]
    vibrato_little: float = 0.2  # vibrato of finger 4 [practice]
    temperature: float = 1.2  # what costs are to odds of choices: exp(-cost / temperature) [fitted]
    unlike: float = 0.8  # a finger that is not the one of the form that the notes come from [practice]
    position: int | None = None  # one that the player asks for
    astray: float = 1.0  # each 100 mm away from it


NEUTRAL = Weights()
PROFILES = {
    # Written lengths are kept, broken chords ring on, and the hand stays low on the neck.
    "classical": NEUTRAL._replace(
        grip=0.5,
        off_window=1.1,
        off_window_chord=0.85,
        little=0.05,
        height=0.15,
        body=0.28,
        open_string=0.12,
        barre=0.2,
        half_barre=0.1,
        stick=0.75,
        shift=0.75,
        edge=0.0,
        edge_alone=0.0,
        across=0.17,
        leave=0.5,
        slip=0.9,
        hop=0.35,
        roll=0.0,
        refinger=0.65,
        release=1.4,
        broken=0.37,
        blur=0.27,
        temperature=1.2,
    ),
    # Single notes and double stops: the hand stays in a box, open strings are for the open position.
    "lead": NEUTRAL._replace(
        open_string=0.35,
        open_away=1.0,
        free_open=1.0,
        height=0.12,
        low=0.2,
        edge=0.0,
        edge_alone=0.01,
        off_window=0.5,
        little=0.0,
        across=0.4,
        slip=0.3,
        leave=0.0,
        release=0.3,
        temperature=2.0,
    ),
    "neutral": NEUTRAL,
    # Forms on the middle strings that move along the neck; notes are let go early.
    "plectrum": NEUTRAL._replace(
        grip=0.2,
        open_string=0.4,
        release=0.3,
        edge=0.1,
        edge_alone=0.0,
        stick=0.5,
        across=0.15,
        height=0.02,
    ),
}

# Bends, all [practice]: by finger, by string from 1, near the nut, and a whole tone or more with finger 1.
BEND_FINGER = {1: 0.8, 2: 0.2, 3: 0.0, 4: 0.6}
BEND_STRING = (0.0, 0.0, 0.0, 0.3, 0.6, 0.6)
BEND_LOW_FRET = 0.5
BEND_WIDE_INDEX = 0.5

# Never sums to less than these however long the path: order matters, violations first, then mm of excess.
VIOLATION = 10**15
EXCESS = 10**10  # each tenth of a millimetre
IMPOSSIBLE = 10**30  # more than any path can cost

# A choice of string and fret that is less likely than this is doubtful: by the temperatures of the profiles
# people agree with less than three of four doubtful ones and with more than 92 of 100 others [fitted].
SURE = 0.7

# How much dearer a change of position is for players who want to keep their form [practice].
STAY = 4.0

# Two choices are about as good where their costs differ by less, in units of a small shift: half of one,
# where people agree with three of four choices. How it trades, `fingering_curves doubt` prints [practice].
AMBIGUOUS = 0.5

# Quarters a minute where a score gives no tempo [practice].
DEFAULT_TEMPO = 90
