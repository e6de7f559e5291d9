"""``tabtools compare``: how one take of a phrase differs from another."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import click

from tabtools.cli import DONE
from tabtools.cli.chords import OUTPUT_FORMAT
from tabtools.cli.files import MAX_MEGABYTES, discover
from tabtools.cli.load import load_or_report
from tabtools.cli.output import say, say_bytes
from tabtools.cli.reporting import exit_code, show
from tabtools.lint.finding import FileFindings
from tabtools.record import NamedTuple
from tabtools.score import Part

if TYPE_CHECKING:
    from tabtools.phrases.comparing import Comparison, Difference
    from tabtools.phrases.motifs import Appearance

_BARS = re.compile(r"(\d+)(?:-(\d+))?")


class _Take(NamedTuple):
    """A part with the file that it is in."""

    file: str
    part: Part

    @property
    def name(self) -> str:
        return f"{self.file}, {self.part.name}"


@click.command("compare", short_help="How one take of a phrase differs from another.")
@click.argument("names", metavar="A [B]", nargs=-1, required=True)
@click.option("--part", metavar="NAME", help="The part of A, by its name; the first without.")
@click.option("--with", "other", metavar="NAME", help="The part of B, or of A where there is no B.")
@click.option("--motif", metavar="FIRST-LAST", help="Find the bars of A again instead, there and in B.")
@OUTPUT_FORMAT
@MAX_MEGABYTES
def command(
    names: tuple[str, ...],
    part: str | None,
    other: str | None,
    motif: str | None,
    report_format: str,
    limit: int,
) -> int:
    """Say how the take in B differs from the one in A, bar by bar: notes, strings, forms, times, and how they
    are played.

    The takes are aligned by pitch and time, and B may lie higher or lower as a whole. Of one file the first
    two parts are compared, or those that --part and --with name. With --motif some bars of A are looked for
    everywhere else, also transposed or with a few ornaments, and each appearance is compared with them.
    """
    if len(names) > 2:
        raise click.UsageError("compare takes one file or two.")
    files: list[tuple[str, Sequence[Part]]] = []
    for entry in discover(names, limit=limit):
        document = load_or_report(entry)
        if isinstance(document, FileFindings):
            show([document])
            return exit_code([document])
        files.append((entry.name, document.score.parts))
    if motif:
        _find(files, part, motif, report_format)
        return DONE
    first, second = _takes(files, part, other)
    from tabtools.phrases.comparing import compare

    found = compare(first.part, second.part)
    if report_format == "json":
        _say_json({"first": _take(first), "second": _take(second), **_comparison(found)})
    else:
        say("\n".join(_text(first, second, found)) + "\n")
    return DONE


def _takes(files: Sequence[tuple[str, Sequence[Part]]], part: str | None, other: str | None) -> list[_Take]:
    name, parts = files[0]
    first = _Take(name, _named(parts, part))
    if len(files) > 1:
        return [first, _Take(files[1][0], _named(files[1][1], other))]
    rest = [one for one in parts if one is not first.part]
    if not rest:
        raise click.UsageError(f"{name} has one part: name a second file, or look for bars with --motif.")
    return [first, _Take(name, _named(rest, other))]


def _named(parts: Sequence[Part], name: str | None) -> Part:
    if name is None:
        return parts[0]
    for part in parts:
        if part.name == name:
            return part
    raise click.UsageError(f"no part is called {name!r}: use {', '.join(part.name for part in parts)}.")


def _text(first: _Take, second: _Take, found: Comparison) -> Iterator[str]:
    yield f"{second.name} against {first.name}"
    yield from _lines(found)


def _lines(found: Comparison) -> Iterator[str]:
    if found.interval:
        way = "higher" if found.interval > 0 else "lower"
        count = abs(found.interval)
        yield f"  the whole of it {count} semitone{'' if count == 1 else 's'} {way}"
    if not found.differences:
        yield "  nothing else differs" if found.interval else "  nothing differs"
    for one in found.differences:
        yield f"  {_bar(one)}{one.words}"


def _bar(one: Difference) -> str:
    if one.first_bar is None and one.second_bar is None:
        return ""
    if one.first_bar == one.second_bar or one.second_bar is None:
        return f"bar {one.first_bar}: "
    if one.first_bar is None:
        return f"bar {one.second_bar} of the second: "
    return f"bar {one.first_bar} (bar {one.second_bar} of the second): "


def _find(
    files: Sequence[tuple[str, Sequence[Part]]], part: str | None, motif: str, report_format: str
) -> None:
    from tabtools.phrases.aligning import strokes
    from tabtools.phrases.motifs import appearances

    home = _Take(files[0][0], _named(files[0][1], part))
    model = [stroke for stroke in strokes(home.part) if stroke.bar.number in _numbers(motif, home.part)]
    found: list[tuple[_Take, Appearance]] = []
    for name, parts in files:
        for one in parts:
            line = strokes(one)
            again = appearances(model, line, at_home=one is home.part)
            found += [(_Take(name, one), appearance) for appearance in again]
    if report_format == "json":
        _say_json(
            {"motif": {**_take(home), "bars": motif}, "appearances": [_appearance(*one) for one in found]}
        )
        return
    lines = [f"bars {motif} of {home.name} come again {len(found)} time{'' if len(found) == 1 else 's'}"]
    lines += [f"  {_where(take, appearance)}{_how(appearance)}" for take, appearance in found]
    say("\n".join(lines) + "\n")


def _numbers(text: str, part: Part) -> range:
    match = _BARS.fullmatch(text)
    first, last = (int(match[1]), int(match[2] or match[1])) if match else (0, 0)
    if not 1 <= first <= last <= len(part.bars):
        raise click.UsageError(f"--motif takes bars such as 3-4, out of 1 to {len(part.bars)}: not {text!r}.")
    return range(first, last + 1)


def _where(take: _Take, appearance: Appearance) -> str:
    return f"{take.name}, bar {appearance.strokes[0].bar.number}"


def _how(appearance: Appearance) -> str:
    by = appearance.alignment.interval
    alone = sum(1 for pair in appearance.alignment.pairs if pair.first is None or pair.second is None)
    words = f", {abs(by)} semitones {'higher' if by > 0 else 'lower'}" if by else ""
    return words + (f", with {alone} note{'' if alone == 1 else 's'} more or fewer" if alone else "")


def _take(take: _Take) -> dict[str, Any]:
    return {"file": take.file, "part": take.part.name}


def _appearance(take: _Take, appearance: Appearance) -> dict[str, Any]:
    alone = sum(1 for pair in appearance.alignment.pairs if pair.first is None or pair.second is None)
    return {
        **_take(take),
        "bar": appearance.strokes[0].bar.number,
        "interval": appearance.alignment.interval,
        "more_or_fewer": alone,
    }


def _comparison(found: Comparison) -> dict[str, Any]:
    return {
        "interval": found.interval,
        "alike": found.alike,
        "differences": [{**one._asdict(), "onset": str(one.onset)} for one in found.differences],
    }


def _say_json(content: dict[str, Any]) -> None:
    whole = {"format": "tabtools-compare", "version": 1, **content}
    say_bytes((json.dumps(whole, indent=2, ensure_ascii=False) + "\n").encode("utf-8"))
