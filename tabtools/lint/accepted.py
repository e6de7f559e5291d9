"""Findings that a repository has accepted: what is new is told from what was there, wherever lines moved.

A finding is known by its rule and by the text of the line that it points at, not by its place. Where one line
is there several times, they are counted.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from tabtools.lint.finding import FileFindings, Finding
from tabtools.source import Source

FORMAT = "tabtools-accepted"
VERSION = 1
# Our own faults are never accepted.
_NEVER = ("internal",)

Known = Mapping[str, Mapping[str, int]]


def fingerprint(source: Source, finding: Finding) -> str:
    """What a finding is known by, as 16 hexadecimal digits."""
    line, _ = source.position(finding.span.start)
    marked = source.text[finding.span.start : finding.span.end]
    facts = "\0".join((finding.rule, " ".join(source.line(line).split()), marked))
    return hashlib.sha256(facts.encode("utf-8", "surrogatepass")).hexdigest()[:16]


def made(files: Iterable[FileFindings], path_of: Callable[[str], str]) -> dict[str, Any]:
    """The list that accepts all findings; ``path_of`` gives the path under which a file is remembered."""
    known = {
        path_of(file.source.name): dict(
            sorted(
                Counter(
                    f"{finding.rule} {fingerprint(file.source, finding)}"
                    for finding in file.findings
                    if finding.rule not in _NEVER
                ).items()
            )
        )
        for file in files
    }
    return {
        "format": FORMAT,
        "version": VERSION,
        "files": {path: known[path] for path in sorted(known) if known[path]},
    }


def known(whole: object) -> Known:
    """The findings of a list of accepted ones, by file. Raises ValueError for anything else."""
    if not isinstance(whole, dict) or whole.get("format") != FORMAT or whole.get("version") != VERSION:
        raise ValueError(
            "it is no list of accepted findings of this version: write it anew with --accept-into"
        )
    files: dict[str, dict[str, int]] = whole.get("files", {})
    good = isinstance(files, dict) and all(
        isinstance(counts, dict) and all(isinstance(number, int) for number in counts.values())
        for counts in files.values()
    )
    if not good:
        raise ValueError("it is damaged: write it anew with --accept-into")
    return files


def new(
    files: Sequence[FileFindings], accepted: Known, path_of: Callable[[str], str]
) -> tuple[list[FileFindings], int]:
    """The files with the findings that the list does not hold, and how many it holds that are gone."""
    gone = 0
    kept = []
    for file in files:
        left = Counter(accepted.get(path_of(file.source.name), {}))
        fresh = []
        for finding in file.findings:
            key = f"{finding.rule} {fingerprint(file.source, finding)}"
            if left[key] > 0:
                left[key] -= 1
            else:
                fresh.append(finding)
        gone += sum(left.values())
        kept.append(file._replace(findings=tuple(fresh)))
    return kept, gone
