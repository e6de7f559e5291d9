"""A score as plain lines, so that what a case must give can stand beside its file and be read by people."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.document import Document
from tabtools.score import Bar, Event, Instrument, Note, Part


def rendered(document: Document) -> str:
    """Everything that a reading holds but spans."""
    lines = [f"title {document.score.title}"] if document.score.title else []
    lines += [f"doubt {doubt.kind}" for doubt in document.doubts]
    lines += [line for part in document.score.parts for line in _part(part)]
    return "\n".join(lines) + "\n"


def _part(part: Part) -> Iterator[str]:
    yield f"part {part.name}: {_instrument(part.instrument)}"
    for bar in part.bars:
        yield " ".join(["bar", *_bar(bar)])
        yield from (f"  {harmony.onset} chord {harmony.symbol}" for harmony in bar.harmonies)
        yield from (f"  {words.onset} words {words.text}" for words in bar.words)
        yield from (f"  {_event(event)}" for event in bar.events)


def _instrument(instrument: Instrument) -> str:
    guess = "".join(f" ({inferred.fact} inferred)" for inferred in instrument.inferred)
    strings = " ".join(pitch.name for pitch in instrument.tuning)
    return f"{instrument.name} {strings} capo {instrument.capo}{guess}"


def _bar(bar: Bar) -> Iterator[str]:
    yield f"{bar.number} {bar.time.name} {bar.key.name if bar.key else 'no key'}"
    facts = {
        f"label {bar.label}": bar.label is not None,
        "pickup": bar.pickup,
        "repeat-start": bar.repeat_start,
        f"repeat-times {bar.repeat_times}": bool(bar.repeat_times),
        f"endings {bar.endings}": bool(bar.endings),
        f"section {bar.section}": bar.section is not None,
    }
    yield from (fact for fact, holds in facts.items() if holds)
    if bar.tempo is not None:
        yield f"tempo {bar.tempo.per_minute} of {bar.tempo.beat}"
    if bar.instrument is not None:
        yield f"instrument {_instrument(bar.instrument)}"


def _event(event: Event) -> str:
    tuplet = f" tuplet {event.tuplet.actual}:{event.tuplet.normal}" if event.tuplet else ""
    length = "grace" if event.grace else f"for {event.duration}"
    notes = ", ".join(map(_note, event.notes)) or "rest"
    return f"{event.onset} {length}{tuplet} voice {event.voice}: {notes}"


def _note(note: Note) -> str:
    words = [note.pitch.name if note.pitch else "-"]
    if note.string is not None or note.fret is not None:
        words.append(f"string {note.string} fret {note.fret}")
    words += [technique.word for technique in note.techniques]
    words += ["tied"] if note.tied else []
    words += [f"finger {note.finger}"] if note.finger else []
    return " ".join(words)
