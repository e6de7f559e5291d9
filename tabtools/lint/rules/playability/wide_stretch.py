"""Notes that must be held at once lie further apart than fingers reach."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tabtools.fingering.hand import WIDE, easiest
from tabtools.fingering.reach import Stretch
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.moments import pressed
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import Settings, View
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Instrument, Note, Part, Quarters
from tabtools.source import Span

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-1---------------|
G|-----------------|
D|-----------------|
A|-7---------------|
E|-----------------|
"""
CAUTION = (
    "These limits are typical and hands differ: stop when it hurts, ask a teacher, and see a physician "
    "if pain stays"
)
_JOINED = ("hammer", "pull")


class _Held(NamedTuple):
    """Notes that are down at one moment, and what joins them."""

    bar: Bar
    places: tuple[tuple[int, int], ...]
    spans: tuple[Span, ...]
    joined: bool


def _check(view: View) -> Iterable[Finding]:
    hand = view.settings.hand
    for part in view.score.parts:
        known: dict[tuple[tuple[int, int], ...], Stretch | None] = {}
        for held in (*_chords(part), *_joins(part)):
            if held.places not in known:
                known[held.places] = _worst(part.instrument, held.places, hand)
            stretch = known[held.places]
            if stretch is not None and _is_wide(stretch, view.settings.share):
                yield _finding(held, stretch, view.settings, _advice(held, part.instrument))


def _is_wide(stretch: Stretch, share: float) -> bool:
    """Whether fingers spread further than a wide stretch, or than the share of it that the level may use."""
    soft, hard = stretch.reach.soft, stretch.reach.hard
    return stretch.effort > WIDE or stretch.distance > share * (soft + WIDE * (hard - soft))


def _worst(instrument: Instrument, places: tuple[tuple[int, int], ...], hand: str) -> Stretch | None:
    grip = easiest(instrument, places, hand)
    return grip.worst if grip else None


def _chords(part: Part) -> Iterator[_Held]:
    """The notes that are struck together; a grace event is a moment of its own."""
    for bar in part.bars:
        moments: dict[tuple[Quarters, int], list[tuple[Event, Note]]] = {}
        for index, event in enumerate(bar.events):
            moment = moments.setdefault((event.onset, index if event.grace else -1), [])
            moment.extend((event, note) for note in event.notes if pressed(part, note))
        for pairs in moments.values():
            if len(pairs) > 1:
                yield _held(part, bar, pairs, joined=False)


def _joins(part: Part) -> Iterator[_Held]:
    """Each note that is reached by hammer-on or pull-off, with the note before it on the string."""
    before: dict[int | None, tuple[Event, Note]] = {}
    for bar in part.bars:
        for event in bar.events:
            for note in event.notes:
                last = before.get(note.string)
                before[note.string] = (event, note)
                if last and note.has(*_JOINED) and pressed(part, last[1]) and pressed(part, note):
                    yield _held(part, bar, [last, (event, note)], joined=True)


def _held(part: Part, bar: Bar, pairs: list[tuple[Event, Note]], *, joined: bool) -> _Held:
    places = sorted({place for _, note in pairs if (place := pressed(part, note))})
    spans = tuple(span_of(note, event, bar) for event, note in pairs)
    return _Held(bar, tuple(places), spans, joined)


def _advice(held: _Held, instrument: Instrument) -> str:
    if not held.joined:
        return "move one of the notes to another string, or leave one out"
    if held.places[0][0] == len(instrument.tuning):
        return "pick the second note"
    return "pick the second note, or play both on a lower string, further up the neck"


def _finding(held: _Held, stretch: Stretch, user: Settings, advice: str) -> Finding:
    low, high = stretch.fingers
    impossible = stretch.effort > 1
    what = "these two joined notes" if held.joined else "this chord"
    verdict = "more than a hand can do" if impossible else "hard for most"
    if stretch.effort <= WIDE:
        verdict = f"wide for lessons of the level {user.level}"
    message = (
        f"{what} in bar {held.bar.number} spread{'' if held.joined else 's'} fingers {low} and {high} over "
        f"{stretch.distance:.0f} mm, {verdict}: the limit for them is {stretch.reach.hard:.0f} mm in a "
        f"{user.hand} hand ({stretch.percent} % of it), even with the easiest fingering; {advice}. {CAUTION}"
    )
    severity = Severity.ERROR if impossible else Severity.WARNING
    return RULE.finding(
        message, held.spans[0], severity=severity, related=held.spans[1:], bar=held.bar.number
    )


RULE = Rule(
    name="wide-stretch",
    group="playability",
    severity=Severity.ERROR,
    what="Notes that must be held at once lie further apart than fingers reach.",
    why=(
        "Distances are measured in millimetres between the fingertips, for the easiest fingering: the "
        "same five frets are wide near the nut and easy near the body. Beyond the limit it is an error; "
        "from "
        "halfway between an easy reach and the limit on it is a warning. " + CAUTION + "."
    ),
    bad=BAD,
    good=BAD.replace("B|-1-", "B|-6-"),
    check=_check,
)
