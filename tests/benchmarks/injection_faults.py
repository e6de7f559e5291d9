"""The faults of the injection test: each takes a clean file and puts one mistake into it, or finds no place.

A fault gives the damaged text and the lines that a finding must point at; any of them is right.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from tabtools.document import Document
from tabtools.score import Bar, Event, Note
from tabtools.theory.key import pitch_classes

Place = tuple[str, set[int]]
Inject = Callable[["Clean", random.Random], Place | None]


@dataclass(frozen=True)
class Clean:
    """A clean file: its text, and the document that is read from it."""

    text: str
    document: Document

    def line(self, offset: int) -> int:
        """The line of an offset."""
        return self.document.source.position(offset)[0]

    def notes(self) -> list[tuple[Bar, Event, Note]]:
        """Every note that has a place in the text."""
        return [
            (bar, event, note)
            for part in self.document.score.parts
            for bar in part.bars
            for event in bar.events
            for note in event.notes
            if note.span is not None
        ]

    def rows(self) -> list[list[int]]:
        """The line numbers of the string rows, system by system."""
        systems = self.document.page.systems if self.document.page else ()
        return [[row.line.number for row in system.rows] for system in systems]

    @property
    def labelled(self) -> bool:
        """Whether its string rows have names."""
        page = self.document.page
        return page is not None and all(row.label for system in page.systems for row in system.rows)


@dataclass(frozen=True)
class Fault:
    """A kind of mistake, the rules of which any is right to report it, and where it happens."""

    name: str
    rules: tuple[str, ...]
    inject: Inject


def _put(clean: Clean, start: int, end: int, text: str) -> Place:
    return clean.text[:start] + text + clean.text[end:], {clean.line(start)}


def _choice(places: Sequence[Place], generator: random.Random) -> Place | None:
    return generator.choice(places) if places else None


def _matches(pattern: str, group: int | str, text: str, *, rows: bool = True) -> Inject:
    """A fault that replaces what a group of a pattern matches in string rows (or in other lines)."""

    def inject(clean: Clean, generator: random.Random) -> Place | None:
        numbers = {number for system in clean.rows() for number in system}
        places = [
            _put(clean, match.start(group), match.end(group), match.expand(text))
            for match in re.finditer(pattern, clean.text, re.MULTILINE)
            if (clean.line(match.start(group)) in numbers) == rows
        ]
        return _choice(places, generator)

    return inject


def _lost_string(clean: Clean, generator: random.Random) -> Place | None:
    rows = generator.choice(clean.rows())
    lost = generator.choice(rows)
    lines = clean.text.split("\n")
    del lines[lost - 1]
    return "\n".join(lines), set(range(rows[0], rows[-1]))


def _swapped_labels(clean: Clean, generator: random.Random) -> Place | None:
    rows = generator.choice(clean.rows())
    if not clean.labelled:
        return None
    at = generator.randrange(len(rows) - 1)
    one, other = rows[at] - 1, rows[at + 1] - 1
    lines = clean.text.split("\n")
    lines[one], lines[other] = lines[other][0] + lines[one][1:], lines[one][0] + lines[other][1:]
    return "\n".join(lines), set(rows)


def _copied_line(clean: Clean, generator: random.Random) -> Place | None:
    rows = generator.choice(clean.rows())
    if len(clean.rows()) < 3:
        return None
    lines = clean.text.split("\n")
    copied = generator.choice(rows)
    lines.insert(copied, lines[copied - 1])
    return "\n".join(lines), set(range(rows[0], rows[-1] + 2))


def _exchanged_lines(clean: Clean, generator: random.Random) -> Place | None:
    rows = generator.choice(clean.rows())
    at = generator.randrange(len(rows) - 1)
    lines = clean.text.split("\n")
    one, other = rows[at] - 1, rows[at + 1] - 1
    if not clean.labelled or lines[one][:2] == lines[other][:2]:
        return None
    lines[one], lines[other] = lines[other], lines[one]
    return "\n".join(lines), set(rows)


def _lost_end(clean: Clean, generator: random.Random) -> Place | None:
    rows = generator.choice(clean.rows())
    lines = clean.text.split("\n")
    at = generator.choice(rows) - 1
    lines[at] = re.sub(r"\|(\r?)$", r"\1", lines[at])
    return "\n".join(lines), set(rows)


def outside(clean: Clean, generator: random.Random, way: int = 1) -> Place | None:
    """A note a fret too high, or with ``way`` -1 too low, on the beat, long, and outside the key."""
    places = []
    for bar, event, note in clean.notes():
        strong = event.onset.denominator == 1 and event.duration >= Fraction(1, 2)
        if not (strong and bar.key and note.pitch and note.fret is not None and note.span):
            continue
        digits = str(note.fret + way)
        fits = note.fret + way >= 0 and len(digits) == note.span.end - note.span.start
        if fits and (note.pitch.midi + way) % 12 not in pitch_classes(bar.key):
            places.append(_put(clean, note.span.start, note.span.end, digits))
    return _choice(places, generator)


def _stretch(clean: Clean, generator: random.Random) -> Place | None:
    """A second note nine frets away in the column of a note, on another string."""
    places = []
    for _, _, note in clean.notes():
        if note.span is None or note.string is None or not note.fret or note.fret > 9:
            continue
        number, column = clean.document.source.position(note.span.start)
        far = str(note.fret + 9)
        for system in clean.rows():
            for other in system:
                row = clean.document.source.line(other)
                cells = row[column - 1 : column - 1 + len(far)]
                if number in system and abs(other - number) > 1 and cells == "-" * len(far):
                    start = clean.document.source.line_starts[other - 1] + column - 1
                    text, lines = _put(clean, start, start + len(far), far)
                    places.append((text, lines | {number}))
    return _choice(places, generator)


def _other_tuning(clean: Clean, generator: random.Random) -> Place | None:
    """A header that tunes the strings otherwise than the labels say."""
    if not clean.labelled:
        return None
    match = re.search(r"^Tuning: .*$", clean.text, re.MULTILINE)
    header = "Tuning: D A D G A D"
    if match and "D A D G A D" in match.group():
        header = "Tuning: D G D G B D"
    if match:
        text, lines = _put(clean, match.start(), match.end(), header)
    else:
        text, lines = header + "\n" + clean.text, {1}
        return text, lines | {number + 1 for system in clean.rows() for number in system}
    return text, lines | {number for system in clean.rows() for number in system}


def _dot_or_double(longer: bool) -> Inject:
    """A letter of the duration row that is twice or half as long."""
    letters = {"e": "q", "q": "h", "h": "w"} if longer else {"e": "s", "q": "e", "h": "q", "w": "h"}

    def inject(clean: Clean, generator: random.Random) -> Place | None:
        places = []
        rows = clean.rows()
        for match in re.finditer(r"^ +(?:[wqhes]\.? *)+$", clean.text, re.MULTILINE):
            number = clean.line(match.start())
            system = [row for row in rows if row[0] > number][:1]
            for letter in re.finditer(r"[qhew](?!\.)", match.group()):
                if letter.group() in letters:
                    start = match.start() + letter.start()
                    text, lines = _put(clean, start, start + 1, letters[letter.group()])
                    places.append((text, lines | {n for rows in system for n in rows}))
        return _choice(places, generator)

    return inject


NOTE = r"(?<=-)(\d)(?=--)"

TEXT = (
    Fault("lost hyphen", ("uneven-lines",), _matches(r"(?<=\d-)(-)(?=-)", 1, "")),
    Fault("hyphen too many", ("uneven-lines",), _matches(r"(?<=\d-)(-)(?=-)", 1, "--")),
    Fault("lost bar line", ("misaligned-barline",), _matches(r"(?<=-)(\|)(?=-)", 1, "-")),
    Fault("lost string", ("missing-string",), _lost_string),
    Fault("line twice", ("too-many-rows", "unnamed-tuning"), _copied_line),
    Fault("lines exchanged", ("label-order", "tuning-disagrees", "labels-change"), _exchanged_lines),
    Fault("lost end of a line", ("misaligned-barline", "uneven-lines"), _lost_end),
    Fault("stray bar line", ("misaligned-barline",), _matches(r"(?<=--)(-)(?=--)", 1, "|")),
    Fault("letter l", ("unknown-symbol", "stray-character"), _matches(r"(?<=-)(1)(?=-)", 1, "l")),
    Fault("letter O", ("unknown-symbol", "stray-character"), _matches(r"(?<=-)(0)(?=-)", 1, "O")),
    Fault("fret 37", ("fret-off-neck",), _matches(r"(?<=-)(\d-)(?=-)", 1, "37")),
    Fault("stretch of nine frets", ("wide-stretch",), _stretch),
    Fault("note outside", ("outside-harmony",), outside),
    Fault("hammer downwards", ("legato-direction",), _matches(r"(?<=-)([6-9])(-+)(?=[1-5]-)", 2, "h")),
    Fault("pull-off upwards", ("legato-direction",), _matches(r"(?<=-)([1-5])(-+)(?=[6-9]-)", 2, "p")),
    Fault("bend on an open string", ("open-string-bend",), _matches(r"(?<=-0)(-)(?=-)", 1, "b")),
    Fault("bend too far", ("bend-too-far",), _matches(r"(?<=-)(5)(-{3})(?=-)", 2, "b12")),
    Fault("swapped labels", ("label-order", "tuning-disagrees"), _swapped_labels),
    Fault("tuning that disagrees", ("tuning-disagrees",), _other_tuning),
    Fault("stray symbol", ("unknown-symbol", "stray-character"), _matches(r"(?<=--)(-)(?=--)", 1, "@")),
    Fault("harmonic at fret 6", ("harmonic-node",), _matches(r"(?<=-)(-\d-)(?=-)", 1, "<6>")),
    Fault("misspelled chord", ("unknown-chord",),
          _matches(r"^ +([A-G])(?=$| +[A-G])", 1, r"\1mj7q", rows=False)),
    Fault("slide to the same fret", ("slide-nowhere",), _matches(r"(?<=-)(\d)(--)(?=-)", 2, r"/\1")),
    Fault("note too long", ("bar-overfull",), _dot_or_double(longer=True)),
    Fault("note too short", ("bar-underfull",), _dot_or_double(longer=False)),
    Fault("digits run together", ("split-number",), _matches(r"(?<=-)(\d{1,2})(-{4})(?=-)", 2, "1012")),
)  # fmt: skip


def _xml(pattern: str, text: str, *, lines: int = 0) -> Inject:
    """A fault of MusicXML that replaces a match; a finding may point up to ``lines`` lines around it."""

    def inject(clean: Clean, generator: random.Random) -> Place | None:
        places = []
        for match in re.finditer(pattern, clean.text):
            damaged = clean.text[: match.start()] + match.expand(text) + clean.text[match.end() :]
            first, last = clean.line(match.start()), clean.line(match.end())
            places.append((damaged, set(range(first - lines, last + lines + 1))))
        return _choice(places, generator)

    return inject


_DURATION = r"<duration>(\d+)</duration>"

MUSICXML = (
    Fault("wrong fret", ("fret-pitch-mismatch",), _xml(r"<fret>(\d)</fret>", r"<fret>1\1</fret>", lines=2)),
    Fault("wrong duration", ("type-duration-mismatch", "bar-overfull"),
          _xml(_DURATION + r"(?=\s*<voice>1<)", r"<duration>\g<1>0</duration>", lines=2)),
    Fault("wrong type", ("type-duration-mismatch",),
          _xml("<type>eighth</type>", "<type>quarter</type>", lines=2)),
    Fault("lost tie end", ("broken-tie",), _xml(r'<tie type="stop"/>|<tied type="stop"/>', "", lines=24)),
    Fault("lost tuning", ("tuning-missing",), _xml(r"(?s)<staff-details.*?</staff-details>", "", lines=40)),
    Fault("string 9", ("string-off-instrument",),
          _xml(r"<string>\d</string>", "<string>9</string>", lines=2)),
    Fault("two notes on a string", ("same-string-clash", "notation-tab-differ"),
          _xml(r"(?s)(<note>)((?:(?!</note>).)*?<string>\d</string>.*?</note>)",
               r"\1\2\n\1<chord/>\2", lines=12)),
    Fault("wrong element order", ("schema-invalid",),
          _xml(r"(<duration>\d+</duration>)(\s*)(<voice>\d</voice>)", r"\3\2\1", lines=12)),
    Fault("fret 37", ("fret-off-neck", "fret-pitch-mismatch"),
          _xml(r"<fret>\d+</fret>", "<fret>37</fret>", lines=2)),
    Fault("octave off", ("fret-pitch-mismatch", "notation-tab-differ"),
          _xml(r"<octave>\d</octave>", "<octave>7</octave>", lines=2)),
    Fault("dot too many", ("type-duration-mismatch",), _xml("(<type>eighth</type>)", r"\1<dot/>", lines=2)),
    Fault("no string", ("place-missing",), _xml(r"<string>\d</string>", "", lines=2)),
    Fault("no fret", ("place-missing",), _xml(r"<fret>\d+</fret>", "", lines=2)),
    Fault("another part's id", ("part-unlisted",), _xml('<part id="P1">', '<part id="P2">')),
    Fault("lost note", ("bar-underfull", "notation-tab-differ"),
          _xml(r"(?s)<note>(?:(?!</note>).)*?<string>.*?</note>", "", lines=40)),
)  # fmt: skip
