"""``tabtools finger``: string, fret and finger for every note."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from tabtools.cli.files import (
    MAX_MEGABYTES,
    MUSICXML_SUFFIXES,
    TEXT_SUFFIXES,
    Input,
    discover,
    make_folder_of,
    refuse_inputs,
    write_atomic,
)
from tabtools.cli.load import failure, load_or_report
from tabtools.cli.output import complain, say, say_bytes
from tabtools.cli.positions import BarsPosition, in_part, parse_positions
from tabtools.cli.reporting import exit_code, show
from tabtools.document import Document
from tabtools.lint.finding import FileFindings
from tabtools.record import NamedTuple
from tabtools.score import Part, Score

if TYPE_CHECKING:
    from tabtools.fingering.plan import Plan
    from tabtools.fingering.texture import Suited

STDOUT = "-"
_HANDS = ("small", "medium", "large")
_PROFILES = ("auto", "lead", "plectrum", "neutral", "classical")


class _Wishes(NamedTuple):
    """What the user says about hand, neck and taste."""

    hand: str
    profile: str
    max_fret: int | None
    positions: tuple[BarsPosition, ...]
    no_open: bool
    stay: bool
    rework: bool

    def plans(self, score: Score) -> list[Plan]:
        return [self._plan(part) for part in score.parts]

    def _plan(self, part: Part) -> Plan:
        from tabtools.fingering.plan import plan
        from tabtools.forms.hand_hints import hand_hints

        hints = hand_hints(part, tuple(in_part(self.positions, part)))
        return plan(
            part,
            hand=self.hand,
            profile=self.suited(part).profile,
            max_fret=self.max_fret,
            stay=self.stay,
            rework=self.rework,
            no_open=self.no_open,
            hints=hints._replace(held={}) if self.rework else hints,
        )

    def suited(self, part: Part) -> Suited:
        """The profile, with the reason where nobody named it."""
        from tabtools.fingering.texture import Suited, suited

        return suited(part) if self.profile == "auto" else Suited(self.profile, "")


@click.command("finger", short_help="String, fret and finger for every note.")
@click.argument("name", metavar="IN")
@click.option("-o", "--output", metavar="OUT", help="The file to write; - for standard output.")
@click.option(
    "--alternatives", metavar="N", type=click.IntRange(1, 20), help="List N ways to play it instead."
)
@click.option(
    "--way", metavar="N", type=click.IntRange(1, 20), default=1, help="Write way N of --alternatives."
)
@click.option(
    "--hand", type=click.Choice(_HANDS), default="medium", show_default=True, help="The hand's size."
)
@click.option(
    "--profile",
    type=click.Choice(_PROFILES),
    default="auto",
    show_default=True,
    help="Whose habits decide between ways that are about as easy; auto goes by the notes.",
)
@click.option("--scale-length", metavar="MM", type=click.FloatRange(200, 1200), help="Nut to bridge.")
@click.option("--max-fret", metavar="FRET", type=click.IntRange(0, 36), help="Send no note beyond this fret.")
@click.option(
    "--position",
    "positions",
    metavar="FRET[@BARS]",
    default="",
    callback=parse_positions,
    help="Prefer this position; for some bars: 5@1-4,7@5-8.",
)
@click.option("--no-open", is_flag=True, help="No open string where the note is found elsewhere.")
@click.option("--keep-form", is_flag=True, help="Stay in one position for as long as the notes allow.")
@click.option(
    "--rework", is_flag=True, help="Choose strings, frets and fingers anew, also where they are given."
)
@MAX_MEGABYTES
def command(
    name: str,
    output: str | None,
    alternatives: int | None,
    way: int,
    scale_length: float | None,
    keep_form: bool,
    limit: int,
    **wishes: object,
) -> int:
    """Work out how a hand plays IN: string, fret and finger for every note, written to OUT.

    IN is text tab or MusicXML, or - for standard input; OUT is of the same kind. What IN says is kept, what
    it lacks is filled in: in text tab, a row of fingers under each system; in MusicXML, string,
    fret and fingering of each note, and a frame at each chord symbol that stands over a chord. Positions and
    forms that are written over the notes count as evidence. With --alternatives nothing is written: N ways
    to play each part are listed, the easiest first; --way writes one of them.

    The limits of a hand are typical ones and hands differ: stop when it hurts, ask a teacher, and see a
    physician if pain stays.
    """
    if (output is None) == (alternatives is None):
        raise click.UsageError("say where to write with -o OUT, or ask for a list with --alternatives N.")
    entries = discover([name], limit=limit)
    if len(entries) != 1:
        raise click.UsageError(f"{name} holds {len(entries)} files: name one.")
    document = load_or_report(entries[0])
    if isinstance(document, FileFindings):
        return _refuse(document, output)
    _check_kind(document, output)
    try:
        wished = _Wishes(stay=keep_form, **wishes)  # type: ignore[arg-type]
        score = _scaled(document.score, scale_length)
        plans = wished.plans(score)
        if alternatives is not None:
            say("".join(_listing(plan, alternatives) for plan in plans))
            return 0
        fingered = _resolved(score, plans, way)
        if _lays_out_anew(document, score, fingered) and output and output != STDOUT:
            refuse_inputs([output], entries)
        data = _fingered(document, score, fingered)
    except click.UsageError:
        raise
    except Exception as error:
        return _refuse(failure(entries[0].name, error, "fingering"), output)
    _write(data, output or STDOUT, entries[0])
    for plan in plans:
        for words in (*_chosen(wished, plan.part), *_warnings(plan)):
            complain(f"{entries[0].name}: {words}")
    return 0


def _lays_out_anew(document: Document, score: Score, fingered: Score) -> bool:
    """Whether notes of text tab go elsewhere, so that the page is written anew, without most of its words."""
    return document.tree is None and _places(fingered) != _places(score)


def _check_kind(document: Document, output: str | None) -> None:
    """Raises UsageError where OUT is named like the other kind of file."""
    text = document.tree is None
    kind, other = ("text tab", MUSICXML_SUFFIXES) if text else ("MusicXML", TEXT_SUFFIXES)
    if output is not None and output.lower().endswith(other):
        raise click.UsageError(
            f"{document.source.name} is {kind}, and {output} is named like another kind of file: write "
            f"{kind}, then turn it into the other kind with tabtools convert."
        )


def _refuse(found: FileFindings, output: str | None) -> int:
    show([found], to_stderr=output == STDOUT)
    return exit_code([found])


def _scaled(score: Score, length: float | None) -> Score:
    if length is None:
        return score
    parts = (p._replace(instrument=p.instrument._replace(scale_length=length)) for p in score.parts)
    return score._replace(parts=tuple(parts))


def _chosen(wished: _Wishes, part: Part) -> list[str]:
    """What is said of a profile that nobody named."""
    profile, why = wished.suited(part)
    return [f"profile {profile} ({why}): --profile takes another"] if why else []


def _resolved(score: Score, plans: list[Plan], way: int) -> Score:
    from tabtools.fingering.resolve import resolved

    return score._replace(parts=tuple(resolved(plan, way) for plan in plans))


def _fingered(document: Document, score: Score, fingered: Score) -> bytes:
    if document.tree is not None:
        from tabtools.musicxml.fingers import with_fingers

        return document.source.encode(with_fingers(document, fingered))
    from tabtools.text.writing.finger_rows import with_finger_rows
    from tabtools.text.writing.writer import write_text

    if _lays_out_anew(document, score, fingered):
        complain(f"{document.source.name}: notes move, and the page is written anew without its remarks")
        return write_text(fingered).encode("utf-8")
    text, crowded = with_finger_rows(document, fingered)
    if crowded:
        complain(
            f"{document.source.name}: {crowded} chords stand too close for their fingers: write them further "
            "apart"
        )
    return document.source.encode(text)


def _places(score: Score) -> list[tuple[int | None, int | None]]:
    """String and fret of all notes."""
    return [
        (note.string, note.fret)
        for part in score.parts
        for bar in part.bars
        for event in bar.events
        for note in event.notes
    ]


def _write(data: bytes, output: str, entry: Input) -> None:
    if output == STDOUT:
        say_bytes(data)
        return
    if output.lower().endswith(".mxl"):
        data = entry.packed(data)
    make_folder_of(output)
    write_atomic(output, data)


def _warnings(plan: Plan) -> list[str]:
    from tabtools.fingering.weights import DEFAULT_TEMPO

    found = []
    if not any(bar.tempo for bar in plan.part.bars):
        found.append(f"no tempo is given: {DEFAULT_TEMPO} quarter notes a minute are taken")
    if plan.broken:
        places = f"{plan.broken} place{'' if plan.broken == 1 else 's'}"
        found.append(f"{places} ask more than a hand can do: tabtools check names what it can")
    chosen, doubtful = plan.doubtful
    if doubtful:
        found.append(
            f"of {chosen} notes that could go on several strings, {doubtful} are doubtful: "
            "--alternatives shows other ways"
        )
    return found


def _listing(plan: Plan, count: int) -> str:
    """The ways to play a part: cost, positions, widest stretch, and where each differs from the first."""
    title = plan.part.name or "the part"
    lines = [f"{title}: cost in small shifts of the hand, positions as frets under finger 1"]
    ways = plan.ways(count)
    for number, way in enumerate(ways, 1):
        lines.append(f"{number:3}. cost {way.cost:.2f}, {way.positions}, {way.stretch}")
        shown = way.line if number == 1 else way.changes(ways[0])
        lines.append(f"     {shown}")
    if len(ways) < count:
        lines.append(f"     there {'is' if len(ways) == 1 else 'are'} no more than {len(ways)}")
    return "\n".join(lines) + "\n"
