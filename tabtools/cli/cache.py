"""What was found in a file's content before, under the same rules and configuration by the same program.

A file for each configuration holds the findings by a hash of the content, as JSON. It is replaced whole,
after what other runs have written meanwhile was read into it; one that can't be read counts as empty.
"""

from __future__ import annotations

import json
import os
import re
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from typing import Any

import tabtools
from tabtools.cli.files import write_atomic
from tabtools.config import Resolved
from tabtools.lint.finding import Edit, Fact, FileFindings, Finding, Fix, Severity
from tabtools.lint.rule import Rule
from tabtools.lint.rules import names
from tabtools.source import Source, Span

try:
    from _blake2 import (
        blake2b,  # as hashlib has it, which also loads OpenSSL: 3 ms of every start
    )
except ImportError:  # no interpreter that we know of
    from hashlib import blake2b

KEEP = 30 * 24 * 3600  # seconds that a cache file of another configuration stays
_OURS = re.compile(r"[0-9a-f]{24}\.json")  # the files of a cache
_TAG = (
    "Signature: 8a477f597d28d172789f06886806bc55\n"  # by the cache directory tagging specification
    "# Findings of tabtools; delete it at any time.\n"
)


def _hash(data: bytes) -> str:
    return blake2b(data, digest_size=32).hexdigest()


def key_of(data: bytes) -> str:
    """What a content is known by."""
    return _hash(data)


class Cache:
    """The findings that were stored for one configuration, those of the ``most`` latest contents."""

    def __init__(self, directory: str, resolved: Resolved, program: str, most: int) -> None:
        whole = "\0".join((program, _description(resolved)))
        name = _hash(whole.encode("utf-8", "surrogatepass"))[:24]
        self.file = os.path.join(directory, f"{name}.json")
        self._known = _read(self.file)
        self._new: dict[str, Any] = {}
        self._most = most

    def get(self, key: str, source: Callable[[], Source], name: str) -> FileFindings | None:
        """What is stored for a content; ``source`` makes its text, which only findings need."""
        stored = self._known.get(key)
        if stored is None:
            return None
        try:
            findings, facts = stored
            if not findings and not facts:
                return FileFindings(Source(name, ""))
            return FileFindings(source(), tuple(map(_finding, findings)), tuple(map(_facts, facts)))
        except (TypeError, ValueError, KeyError, IndexError):
            return None

    def put(self, key: str, file: FileFindings) -> None:
        """Remember what was found, to be written by `save`."""
        findings = [_plain_finding(finding) for finding in file.findings]
        self._new[key] = [findings, [[name, [_plain_fact(f) for f in facts]] for name, facts in file.facts]]

    def save(self) -> None:
        """Write what is new; a directory that can't be written to is no error."""
        if not self._new:
            return
        with suppress(OSError):
            _prepare(os.path.dirname(self.file))
            whole = {**_read(self.file), **self._new}
            kept = dict(list(whole.items())[-self._most :])
            write_atomic(self.file, json.dumps(kept, separators=(",", ":")).encode("ascii"), durable=False)


def program_stamp() -> str:
    """The version of the program, and sizes and times of its files, which change while it is worked on."""
    stamps = [tabtools.__version__]
    waiting = [os.path.dirname(tabtools.__file__)]
    while waiting:
        with os.scandir(waiting.pop()) as entries:
            for entry in sorted(entries, key=lambda entry: entry.name):
                if entry.is_dir():
                    waiting.append(entry.path)
                elif entry.name.endswith(".py"):
                    state = entry.stat()
                    stamps.append(f"{entry.name} {state.st_size} {state.st_mtime_ns}")
    return _hash("\0".join(stamps).encode("utf-8", "surrogateescape"))


def _description(resolved: Resolved) -> str:
    """All of a configuration that findings depend on."""
    plan = resolved.plan
    options = sorted((name, sorted(own.items())) for name, own in plan.options.items())
    others = [_origin(plan.rules[name]) for name in plan.names if name not in names()]
    said = (plan.names, plan.settings, sorted(plan.severities.items()), options)
    return repr((said, others, resolved.defaults))


def _origin(rule: Rule) -> tuple[str, int, int]:
    """The file that a rule of another package comes from, and its size and time."""
    file = sys.modules[(rule.collect or rule.check).__module__].__file__ or ""
    state = os.stat(file)
    return file, state.st_size, state.st_mtime_ns


def _prepare(directory: str) -> None:
    """Make the directory, tagged for backup programs, and clear out what nobody has used for long.

    Raises FileExistsError where it holds other files: nothing is put among them, nor deleted.
    """
    if holds_other_files(directory):
        raise FileExistsError(directory)
    os.makedirs(directory, exist_ok=True)
    for name, text in (("CACHEDIR.TAG", _TAG), (".gitignore", "*\n")):
        with suppress(FileExistsError), open(os.path.join(directory, name), "x", encoding="utf-8") as file:
            file.write(text)
    limit = time.time() - KEEP
    with os.scandir(directory) as entries:
        ours = [entry for entry in entries if _OURS.fullmatch(entry.name)]
        old = [entry.path for entry in ours if entry.stat(follow_symlinks=False).st_mtime < limit]
    for path in old:
        with suppress(FileNotFoundError):  # another run was first
            os.unlink(path)


def holds_other_files(directory: str) -> bool:
    """Whether a directory holds anything and is not tagged as one of these caches."""
    try:
        with open(os.path.join(directory, "CACHEDIR.TAG"), encoding="utf-8", errors="replace") as tag:
            return tag.read(len(_TAG)) != _TAG
    except OSError:
        return os.path.isdir(directory) and bool(os.listdir(directory))


def _read(file: str) -> dict[str, Any]:
    try:
        with open(file, "rb") as opened:
            whole = json.load(opened)
    except (OSError, ValueError, RecursionError):
        return {}
    return whole if isinstance(whole, dict) else {}


def _plain_finding(finding: Finding) -> list[Any]:
    fixes = [
        [fix.message, fix.safe, [_edit(e) for e in fix.edits], _spans(fix.changes)] for fix in finding.fixes
    ]
    place = [finding.span.start, finding.span.end]
    return [
        finding.rule,
        int(finding.severity),
        finding.message,
        place,
        _spans(finding.related),
        finding.bar,
        fixes,
    ]


def _edit(edit: Edit) -> list[Any]:
    return [edit.span.start, edit.span.end, edit.text]


def _spans(spans: tuple[Span, ...]) -> list[list[int]]:
    return [[span.start, span.end] for span in spans]


def _finding(stored: list[Any]) -> Finding:
    rule, severity, message, place, related, bar, fixes = stored
    return Finding(
        rule,
        Severity(severity),
        message,
        Span(*place),
        tuple(Span(*span) for span in related),
        bar,
        tuple(map(_fix, fixes)),
    )


def _fix(stored: list[Any]) -> Fix:
    message, safe, edits, changes = stored
    return Fix(
        tuple(Edit(Span(start, end), text) for start, end, text in edits),
        message,
        safe,
        tuple(Span(*span) for span in changes),
    )


def _plain_fact(fact: Fact) -> list[Any]:
    return [fact.key, fact.value, fact.says, fact.span.start, fact.span.end, fact.line, fact.bar]


def _facts(stored: list[Any]) -> tuple[str, tuple[Fact, ...]]:
    name, facts = stored
    return name, tuple(
        Fact(key, value, says, Span(start, end), line, bar)
        for key, value, says, start, end, line, bar in facts
    )
