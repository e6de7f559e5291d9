"""The same phrase, transposed or not, is tabbed in two ways in two files."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from tabtools.lint.finding import Fact, Placed, Severity
from tabtools.lint.option import Option
from tabtools.lint.places import span_of
from tabtools.lint.rule import NEXT_FILE, Rule
from tabtools.lint.view import View
from tabtools.score import Bar, Event, Note

PAGE = """\
Tuning: standard
Key: A minor

   e e e e e e q
e|-----------5-----|
B|-------5-8-------|
G|---5-7-----------|
D|-7-----------7---|
A|-----------------|
E|-----------------|
"""
# Its second note on the fourth string.
OTHER = PAGE.replace("G|---5-7-----------|", "G|-----7-----------|").replace(
    "D|-7-----------7---|", "D|-7-10--------7---|"
)
_PITCHES = 3  # a lick has at least so many different ones


def _collect(view: View) -> Iterable[Fact]:
    least = view.options["notes"]
    done = set()
    for part in view.score.parts:
        for bar in part.bars:
            struck = [(event, note) for event, note in _struck(bar)]
            if len(struck) < least or len({note.pitch for _, note in struck}) < _PITCHES:
                continue
            key, value = _lick(struck)
            if key not in done:
                done.add(key)
                event, first = struck[0]
                span = span_of(first, event, bar)
                line = view.document.source.position(span.start)[0]
                yield Fact(key, value, f"string {first.string}, fret {first.fret}", span, line, bar.number)


def _struck(bar: Bar) -> Iterator[tuple[Event, Note]]:
    """The notes of a bar that are played at a place, in order; dead and tied ones and graces are left "
    "out."""
    for event in bar.events:
        for note in event.notes:
            if not (event.grace or note.tied) and note.pitch and note.fret is not None and note.string:
                yield event, note


def _lick(struck: Sequence[tuple[Event, Note]]) -> tuple[str, str]:
    """What is played, and how: onsets and intervals; strings, frets, fingers. All from the first note on."""
    import hashlib  # loads a large library, which a check of one file does without

    first_event, first = struck[0]
    assert first.pitch is not None
    assert first.fret is not None
    music, hand = [], []
    for event, note in struck:
        if note.pitch is not None and note.fret is not None:
            music.append(f"{event.onset - first_event.onset} {note.pitch.midi - first.pitch.midi}")
            hand.append(f"{note.string} {note.fret - first.fret} {note.finger or ''}")
    key = hashlib.sha256("|".join(sorted(music)).encode()).hexdigest()[:16]
    value = hashlib.sha256("|".join(sorted(hand)).encode()).hexdigest()[:16]
    return key, value


def _compare(facts: Sequence[Placed]) -> Iterable[tuple[Placed, str]]:
    """Whatever is not tabbed as most files have it; of ways that are as frequent the first counts."""
    usual = Counter(placed.fact.value for placed in facts).most_common(1)[0][0]
    model = next(placed for placed in facts if placed.fact.value == usual)
    for placed in facts:
        if placed.fact.value != usual and placed.path != model.path:
            there = f"{model.path}:{model.fact.line}"
            message = (
                f"the lick of this bar begins on {placed.fact.says} and is tabbed unlike the same one "
                f"in {there}, which begins on {model.fact.says}: choose one, or tell the students why both"
            )
            yield placed, message


RULE = Rule(
    name="same-lick-differs",
    group="collection",
    severity=Severity.INFO,
    what="The same lick, transposed or not, has other strings or other fingers in another file.",
    why=(
        "A student who has learned a lick in one place of the neck stumbles where the next lesson has it in "
        "another. It may be meant, so it is only told. A lick is a bar; only files that are checked "
        "together "
        "are compared, and the way that most of them have counts."
    ),
    bad=PAGE + NEXT_FILE + OTHER,
    good=PAGE + NEXT_FILE + PAGE,
    options=(
        Option("notes", "integer", 6, "How many notes a bar must have to be compared.", least=3, most=64),
    ),
    collect=_collect,
    compare=_compare,
)
