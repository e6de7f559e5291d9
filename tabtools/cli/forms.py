"""``tabtools forms``: the movable form that every group of notes comes from."""

from __future__ import annotations

import click

from tabtools.cli.files import MAX_MEGABYTES, Input, discover, make_folder_of, refuse_inputs, write_atomic
from tabtools.cli.load import failure, load_or_report
from tabtools.cli.output import complain, say, say_bytes
from tabtools.cli.pictures import PICTURE, check_picture_name, write_necks
from tabtools.cli.reporting import exit_code, show
from tabtools.document import Document
from tabtools.forms.naming import name_forms
from tabtools.forms.segments import Segment
from tabtools.lint.finding import FileFindings
from tabtools.score import Score
from tabtools.theory.inference import with_chords, with_key

_SURE = 0.9  # a key that is not written and less sure than this says nothing about the notes


@click.command("forms", short_help="Name the chord form of every group of notes.")
@click.argument("path", metavar="IN")
@click.option(
    "--report",
    "report_format",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="Text for people, or JSON for programs.",
)
@click.option(
    "--write",
    "lesson",
    metavar="OUT",
    help="Write IN with the forms' names over the notes; - for standard output.",
)
@PICTURE
@MAX_MEGABYTES
def command(path: str, report_format: str, lesson: str | None, output: str | None, limit: int) -> int:
    """Name the movable chord form that every group of notes comes from, and what each note is in it.

    IN is a text tab or MusicXML file, or - for standard input. The table gives for each group of notes its
    bar, its form, the root that sounds, and the position: the fret of the first finger, counted from the
    capo. Of every note it says what it is over the chord in force, and what it is to the line; a colour note
    is a chord tone that the pentatonic of the key lacks. Pentatonic boxes are numbered from the one whose
    minor tonic is its lowest note on the last string. Key and chords that the file does not write are worked
    out where the notes are clear, and said to be. Below the table stands the neck, string 1 on top, with the
    degrees of every form, and its anchor: the fret that takes the place of the nut.
    With --write the names go into a copy of the lesson, over the notes where each form begins, but not where
    it is named already; the copy is read again to see that it holds the same notes.
    Where a hand does not reach a form with ease, leave notes out: no form is one that everybody must hold.
    """
    check_picture_name(output)
    entries = discover([path], limit=limit)
    if len(entries) != 1:
        raise click.UsageError(f"{path} holds {len(entries)} files to read: name one.")
    document = load_or_report(entries[0])
    if isinstance(document, FileFindings):
        return _report([document], report_format)
    try:
        score = with_key(document.score, _SURE)
        segments: tuple[Segment, ...] = name_forms(score)
    except Exception as error:
        return _report([failure(entries[0].name, error, "naming the forms")], report_format)
    if document.doubts:
        complain(f"{entries[0].name}: read with doubts: tabtools check {entries[0].name} shows them")
    if (left := _unplaced(score)) > 0:
        notes = "1 note has" if left == 1 else f"{left} notes have"
        complain(f"{entries[0].name}: {notes} no string and fret, so no form: run tabtools finger first")
    if lesson is not None:
        return _write_lesson(entries[0], document, lesson)
    if output is not None:
        from tabtools.drawing.necks import first_pictures

        necks = [(words, picture) for _, words, picture in first_pictures(score, segments)]
        write_necks(output, necks, f"The forms of {entries[0].name}")
    elif report_format == "json":
        from tabtools.report import forms_json

        say_bytes(forms_json.render(segments).encode("utf-8", "backslashreplace"))
    else:
        from tabtools.report import forms_text

        say(forms_text.render(entries[0].name, with_chords(score), segments))
    return exit_code([])


def _write_lesson(entry: Input, document: Document, lesson: str) -> int:
    from tabtools.cli.named_lesson import named_lesson

    try:
        data, left_out = named_lesson(document)
    except Exception as error:
        return _report([failure(entry.name, error, "writing the names of the forms")], "json")
    if left_out:
        complain(f"{entry.name}: {left_out} names of forms found no place where they can be read again")
    if lesson == "-":
        say_bytes(data)
        return exit_code([])
    refuse_inputs([lesson], [entry])
    make_folder_of(lesson)
    write_atomic(lesson, entry.packed(data) if lesson.lower().endswith(".mxl") else data)
    return exit_code([])


def _unplaced(score: Score) -> int:
    """How many notes have a pitch but no place on a neck."""
    return sum(
        note.pitch is not None and (note.string is None or note.fret is None or not part.instrument.tuning)
        for part in score.parts
        for bar in part.bars
        for event in bar.events
        for note in event.notes
        if not note.tied
    )


def _report(failed: list[FileFindings], report_format: str) -> int:
    show(failed, to_stderr=report_format == "json")
    return exit_code(failed)
