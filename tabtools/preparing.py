"""A document made ready to be written: mended, moved into range, given strings and staves.

A MusicXML file is changed in its own text, and read again after each step.
"""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.document import Document
from tabtools.fingering.plan import plan
from tabtools.fingering.resolve import resolved
from tabtools.fingering.texture import suited
from tabtools.record import NamedTuple
from tabtools.score import Note, Part, Score
from tabtools.theory.holding import hold
from tabtools.theory.octaves import fit_octaves

_OF_THE_SCHEMA = "schema-invalid"  # it names what others repair, and takes longest


class Wishes(NamedTuple):
    """``tab``: the result shows strings and frets. ``both_staves``: each part gets the staff it lacks.
    ``fit_octave``: parts without strings are moved by octaves into the instrument's range. ``hold``: notes
    that are let ring get the lengths that they sound."""

    tab: bool = False
    both_staves: bool = False
    fit_octave: bool = False
    hold: bool = False


def prepared(document: Document, wishes: Wishes) -> tuple[Document, tuple[str, ...]]:
    """The document with the wishes met, and remarks for the user on what was mended or could not be done.

    Raises UnreadableError where a step makes of the file what cannot be read, which would be our own fault.
    """
    remarks: list[str] = []
    if document.located is not None:
        document, mended = _mended(document)
        remarks += mended
    if wishes.fit_octave:
        document = _fitted(document)
    if wishes.tab or wishes.both_staves:
        score = _placed(document.score)
        remarks += (remark for part in score.parts if (remark := _off_range(part, wishes)))
        document = _with_staves(document, score) if wishes.both_staves else document._replace(score=score)
    if wishes.hold and document.located is None:
        document = document._replace(score=hold(document.score))
    elif wishes.hold:
        remarks.append("--hold leaves MusicXML alone, which writes the lengths of its notes itself")
    return document, tuple(remarks)


def _mended(document: Document) -> tuple[Document, list[str]]:
    """The document after the repairs that cannot change what is played, each proved; what was done, and what
    else could be."""
    from tabtools.lint.fixes import repair
    from tabtools.lint.plan import Plan
    from tabtools.lint.rules import Rules, group_of
    from tabtools.musicxml.reader import edited_text

    source, rules = document.source, Rules()
    names = tuple(name for name in rules if group_of(name, rules) == "MusicXML" and name != _OF_THE_SCHEMA)
    done = repair(document, Plan(rules, names), lambda text: edited_text(document, text))
    remarks = [f"line {line}: repaired: {words} ({rule})" for line, words, rule in done.made]
    for finding in done.left.findings:
        if finding.fixes:
            line, _ = done.document.source.position(finding.span.start)
            remarks.append(
                f"line {line}: not repaired, for it changes what is played: {finding.fixes[0].message} "
                f"({finding.rule}); tabtools check --unsafe-fixes {source.name} does it"
            )
    return done.document, remarks


def _fitted(document: Document) -> Document:
    score = fit_octaves(document.score)
    if document.located is None or score == document.score:
        return document._replace(score=score)
    from tabtools.musicxml.edit.octaves import shift_octaves
    from tabtools.musicxml.reader import edited

    pairs = zip(_notes(document.score), _notes(score), strict=True)
    shifts = {
        old.span.start: new.pitch.octave - old.pitch.octave
        for old, new in pairs
        if old.span and old.pitch and new.pitch
    }
    return edited(document, shift_octaves(document.located, shifts))


def _placed(score: Score) -> Score:
    """Strings, frets and fingers for the parts that lack some; a part that has them all gets no fingers that
    nobody asked for."""
    parts: list[Part] = []
    for part in score.parts:
        lacking = any(note.pitch and note.string is None for note in _notes(Score((part,))))
        parts.append(_resolved(part) if lacking else part)
    return score._replace(parts=tuple(parts))


def _resolved(part: Part) -> Part:
    from tabtools.forms.hand_hints import hand_hints

    return resolved(plan(part, profile=suited(part).profile, hints=hand_hints(part)))


def _with_staves(document: Document, score: Score) -> Document:
    if document.located is None:
        return document._replace(score=score)
    from tabtools.musicxml.edit.staves import both_staves
    from tabtools.musicxml.reader import edited

    return edited(document, both_staves(document.located, score))


def _notes(score: Score) -> Iterator[Note]:
    for part in score.parts:
        for bar in part.bars:
            for event in bar.events:
                yield from event.notes


def _off_range(part: Part, wishes: Wishes) -> str | None:
    """What to tell of a part some of whose notes got no string."""
    notes = [note for note in _notes(Score((part,))) if note.pitch is not None]
    left = [note.pitch for note in notes if note.string is None and note.pitch]
    if not left:
        return None
    names = sorted(left, key=lambda pitch: pitch.midi)
    lowest, highest = names[0].name, names[-1].name
    span = lowest if lowest == highest else f"{lowest} to {highest}"
    advice = "" if wishes.fit_octave else "; --fit-octave moves a part by octaves"
    return (
        f"part {part.name}: {len(left)} of {len(notes)} notes ({span}) can't be played with the others "
        f"on the {part.instrument.name} and stay off the tab{advice}"
    )
