"""What a lesson needs and teaches: everything a course is ordered and searched by, from one document."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from itertools import pairwise

from tabtools.document import Document
from tabtools.fingering.plan import plan
from tabtools.forms.naming import name_forms
from tabtools.forms.words import form_words
from tabtools.phrases.aligning import strokes
from tabtools.record import NamedTuple
from tabtools.score import Part, Score
from tabtools.techniques import TECHNIQUES

_FEWEST = 6  # notes of a lick that is compared with those of other lessons
_QUARTERS = 60  # a minute has so many seconds
_FORM = re.compile(r"(?<![\w#])([EADCG])(m7|m|maj7|7)?[- ](?:form|shape)\b")
_SIZED = ("bend", "bend-release", "prebend", "prebend-release")


class Lick(NamedTuple):
    """A bar that can be known again in another lesson: its number, and a hash of its intervals and times."""

    bar: int
    music: str


class Facts(NamedTuple):
    """One lesson. ``things`` are what it uses, as in ``form E``, ``technique bend``, ``key G major``.

    ``named`` are those of them that its words name, which it teaches. ``speed`` is in notes a second,
    ``stretch`` the widest in percent of what the hand reaches, ``shifts`` changes of position a bar,
    ``seconds`` how long it lasts. ``text`` is all that it says.
    """

    name: str
    title: str
    things: tuple[str, ...]
    named: tuple[str, ...]
    bars: int
    speed: float
    stretch: int
    shifts: float
    seconds: float
    licks: tuple[Lick, ...]
    text: str


def facts(document: Document, hand: str = "medium") -> Facts:
    """The facts of a lesson, worked out from its score and its words."""
    score = document.score
    text = _text(document)
    things = tuple(dict.fromkeys(_things(score)))
    speeds, stretches, shifts, seconds = [0.0], [0], 0, 0.0
    for part in score.parts:
        speeds.append(_speed(part))
        seconds = max(seconds, _seconds(part))
        stretch, moves = _hand(part, hand)
        stretches.append(stretch)
        shifts += moves
    bars = sum(len(part.bars) for part in score.parts)
    return Facts(
        document.source.name,
        score.title or document.source.name,
        things,
        tuple(thing for thing in things if _is_named(thing, text)),
        bars,
        round(max(speeds), 2),
        max(stretches),
        round(shifts / max(bars, 1), 2),
        round(seconds, 1),
        tuple(_licks(score)),
        text,
    )


def _text(document: Document) -> str:
    """All words of a lesson: the prose of a page, and the words over the notes."""
    score = document.score
    words = [w.text for part in score.parts for bar in part.bars for w in bar.words]
    sections = [bar.section for part in score.parts for bar in part.bars if bar.section]
    prose = [line.line.text for line in document.page.prose] if document.page is not None else []
    return "\n".join([score.title or "", *prose, *sections, *words])


def _things(score: Score) -> Iterator[str]:
    for part in score.parts:
        tuning = " ".join(pitch.letter for pitch in reversed(part.instrument.tuning))
        yield f"instrument {part.instrument.name}"
        yield f"tuning {tuning}"
        if part.instrument.capo:
            yield "capo"
        for bar in part.bars:
            if bar.key:
                yield f"key {bar.key.name}"
            yield f"metre {bar.time.name}"
            yield from (
                f"technique {technique.name}"
                for event in bar.events
                for note in event.notes
                for technique in note.techniques
            )
    yield from _forms(score)


def _forms(score: Score) -> Iterator[str]:
    for segment in name_forms(score):
        if segment.box is not None:
            yield f"box {segment.box.number}"
        elif segment.reading is not None and segment.sure:
            yield f"form {form_words(segment.reading.form, segment.reading.quality).removesuffix(' form')}"
        if segment.scale:
            yield f"scale {segment.scale}"
        if segment.position:
            yield "positions up the neck" if segment.position > 4 else "positions near the nut"
        else:
            yield "open position"


def _is_named(thing: str, text: str) -> bool:
    """Whether the words of a lesson name a thing that it uses."""
    kind, _, value = thing.partition(" ")
    lower = text.lower()
    if kind == "form":
        return any("".join(match) == value for match in _FORM.findall(text))
    if kind == "technique":
        heads = _HEADS.get(value, (value,))
        return any(re.search(rf"\b{re.escape(head)}", lower) for head in heads)
    if kind == "scale":
        return value.lower() in lower
    return kind in ("key", "metre", "tuning", "instrument") or re.search(rf"\b{thing}\b", lower) is not None


_HEADS = {
    kind.name: (kind.name.replace("-", " "), kind.says.partition(":")[0].lower())
    for kind in TECHNIQUES
    if kind.name not in _SIZED
} | dict.fromkeys(_SIZED, ("bend", "bent"))


def _speed(part: Part) -> float:
    """Notes a second in the fastest bar, at the tempo that is written; at 90 where none is."""
    quarter, fastest = 60 / 90, 0.0
    for bar in part.bars:
        if bar.tempo and bar.tempo.per_minute > 0:
            quarter = float(_QUARTERS / (bar.tempo.per_minute * bar.tempo.beat))
        onsets = sorted({event.onset for event in bar.events if event.notes and not event.grace})
        gaps = sorted(after - before for before, after in pairwise(onsets))
        if gaps:
            fastest = max(fastest, 1 / (float(gaps[len(gaps) // 2]) * quarter))
    return fastest


def _seconds(part: Part) -> float:
    quarter, total = 60 / 90, 0.0
    for bar in part.bars:
        if bar.tempo and bar.tempo.per_minute > 0:
            quarter = float(_QUARTERS / (bar.tempo.per_minute * bar.tempo.beat))
        total += float(bar.lasts) * quarter
    return total


def _hand(part: Part, hand: str) -> tuple[int, int]:
    """The widest stretch in percent of what the hand reaches, and how often the position changes."""
    ways = plan(part, hand=hand).ways(1) if part.instrument.tuning else []
    if not ways:
        return 0, 0
    visited = ways[0].visited
    moves = sum(1 for before, after in pairwise(visited) if before != after)
    return (ways[0].widest.percent if ways[0].widest else 0), moves


def _licks(score: Score) -> Iterator[Lick]:
    """The bars with enough notes to be known again."""
    for part in score.parts:
        by_bar: dict[int, list[str]] = {}
        first: dict[int, int] = {}
        for stroke in strokes(part):
            for pitch in stroke.pitches:
                low = first.setdefault(stroke.number, pitch)
                by_bar.setdefault(stroke.number, []).append(f"{stroke.event.onset} {pitch - low}")
        for number, music in by_bar.items():
            if len(music) >= _FEWEST:
                digest = hashlib.sha256("|".join(music).encode()).hexdigest()[:16]
                yield Lick(part.bars[number].number, digest)
