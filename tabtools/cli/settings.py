"""The configuration file of an input: the nearest one, read once, and what it means for the input."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping, Sequence
from typing import Any

import click

from tabtools.cli.files import below
from tabtools.config import Config, ConfigError, Resolved, Table, parse, resolve
from tabtools.lint.rule import Rule
from tabtools.record import NamedTuple
from tabtools.source import MAX_BYTES

OWN = "tabtools.toml"
SHARED = "pyproject.toml"
# A table of ours in pyproject.toml. Most have none, and then the TOML reader is not loaded.
_OURS = re.compile(rb"^[ \t]*\[+[ \t]*[\"']?tool[\"']?[ \t]*(?:\]|\.[ \t]*[\"']?tabtools\b)", re.MULTILINE)


class Choice(NamedTuple):
    """The rules and groups that a command line names for one run: the only ones, and those left out."""

    only: tuple[str, ...] = ()
    without: tuple[str, ...] = ()

    def over(self, table: Table) -> Table:
        """A table of settings with the choice in force."""
        chosen = {**table, "only": list(self.only)} if self.only else table
        if not self.without:
            return chosen
        return {**chosen, "without": [*chosen.get("without", ()), *self.without]}


ALL_RULES = Choice()


class Settings:
    """The configurations of all inputs of a run, each read once; inputs of more than ``limit`` bytes are
    refused. ``choice`` goes before what the files say. Raises UsageError for a choice of no rule."""

    def __init__(self, rules: Mapping[str, Rule], limit: int = MAX_BYTES, choice: Choice = ALL_RULES) -> None:
        self.limit = limit
        self.choice = choice
        if choice != ALL_RULES:
            _parsed(choice.over({}), "the command line", rules)
        self.rules = rules
        self.files: set[str] = set()  # the configuration files that were read
        self._by_directory: dict[str, tuple[Config, str]] = {}
        self._by_folder: dict[str, Resolved] = {}
        self._by_matches: dict[object, Resolved] = {}
        self._specs: dict[Sequence[str], Any] = {}

    def of(self, path: str | None) -> Resolved:
        """What holds for a file; for None, standard input without a name, what holds in this directory."""
        folder = str(path).rpartition(os.sep)[0]
        if folder in self._by_folder:
            return self._by_folder[folder]
        config, base = self.config(path)
        relative = _relative(path, base)
        tables = tuple(self.matches(patterns, relative) for patterns, _ in config.paths)
        key = (id(config), tables)
        if key not in self._by_matches:
            table = self.choice.over(config.table(relative, self.matches))
            resolved = resolve(table, self.rules)
            defaults = resolved.defaults._replace(max_bytes=self.limit)
            self._by_matches[key] = resolved._replace(defaults=defaults)
        if not config.paths:
            self._by_folder[folder] = self._by_matches[key]
        return self._by_matches[key]

    def excluded(self, path: str) -> bool:
        """Whether the configuration keeps a file, or a directory, out of what is found in directories."""
        config, base = self.config(path)
        return bool(config.skip) and self.matches(config.skip, _relative(path, base))

    def table(self, path: str | None) -> tuple[str, Table]:
        """The file that the configuration of a path stands in, and what it says for the path."""
        config, base = self.config(path)
        return config.origin, config.table(_relative(path, base), self.matches)

    def config(self, path: str | None) -> tuple[Config, str]:
        """The configuration nearest to a file, and the directory that its patterns start from."""
        directory = os.getcwd() if path is None else os.path.dirname(os.path.abspath(path))
        if directory not in self._by_directory:
            self._by_directory[directory] = self._find(directory)
        return self._by_directory[directory]

    def matches(self, patterns: Sequence[str], path: str) -> bool:
        """Whether a path fits any pattern; patterns are those of .gitignore files."""
        from tabtools.cli.ignored import spec_of

        if patterns not in self._specs:
            self._specs[patterns] = spec_of(patterns)
        return bool(self._specs[patterns].match_file(path))

    def _find(self, directory: str) -> tuple[Config, str]:
        for name in (OWN, SHARED):
            file = os.path.join(directory, name)
            if os.path.isfile(file) and (table := _read(file)) is not None:
                self.files.add(file)
                return _parsed(table, _shown(file), self.rules), directory
        if os.path.dirname(directory) == directory:
            return Config(""), directory
        return self.config(directory)


def _parsed(table: Table, origin: str, rules: Mapping[str, Rule]) -> Config:
    """The configuration of a table. Raises UsageError, with the origin, for one that is none."""
    try:
        return parse(table, origin, rules)
    except ConfigError as error:
        words = str(error)
        raise click.UsageError(words if words.endswith("?") else f"{words}.") from None


def _read(file: str) -> Table | None:
    """The table of a configuration file; None for a pyproject.toml that has none for us."""
    with open(file, "rb") as opened:
        data = opened.read()
    if os.path.basename(file) == SHARED and not (b"tabtools" in data and _OURS.search(data)):
        return None
    import tomllib

    try:
        table = tomllib.loads(data.decode("utf-8"))
    except RecursionError:
        raise click.UsageError(f"{_shown(file)}: its tables or lists are nested too deeply.") from None
    except ValueError as error:  # no TOML, no UTF-8, or a number of thousands of digits
        raise click.UsageError(f"{_shown(file)}: {error}.") from None
    if os.path.basename(file) == OWN:
        return table
    tools = table.get("tool", {})
    found = tools.get("tabtools") if isinstance(tools, dict) else None
    if found is not None and not isinstance(found, dict):
        raise click.UsageError(f"{_shown(file)}: tool.tabtools must be a table.")
    return found


def _shown(file: str) -> str:
    """A path as messages show it: from here where it lies below."""
    return file if below(file, os.getcwd()) is None else os.path.relpath(file)


def _relative(path: str | None, base: str) -> str:
    return "-" if path is None else below(os.path.abspath(path), base) or os.path.basename(path)


def shown(origin: str, table: Table, resolved: Resolved) -> str:
    """What holds for a file, as TOML that could be written into tabtools.toml."""
    lines = [f"# from {origin}" if origin else "# no configuration file: these are the defaults"]
    settings = resolved.plan.settings
    active = resolved.plan.all()
    lines += [_line("only", list(resolved.plan.names))]
    lines += [_line("level", settings.level)]
    lines += [_line(name, table[name]) for name in ("key", "time") if name in table]
    instrument: dict[str, Any] = dict(table.get("instrument", {}))
    lines += ["", "[instrument]", *(_line(*item) for item in {**instrument, "hand": settings.hand}.items())]
    for one in active:
        severity = one.severity or one.rule.severity
        lines += ["", f"[rules.{one.rule.name}]", _line("severity", severity.word)]
        lines += [_line(*item) for item in one.options.items()]
    return "\n".join(lines) + "\n"


def _line(name: str, value: object) -> str:
    """A key and its value; JSON's texts, lists and numbers are TOML's too."""
    import json

    plain = list(value) if isinstance(value, tuple) else value
    return f"{name} = {json.dumps(plain, ensure_ascii=False)}"
