"""The user's configuration: what may be said, what is wrong with it, and what it means for one file.

A table as TOML gives it, checked against the options below and those of the rules. Nothing is read here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from tabtools.document import NO_DEFAULTS, Defaults
from tabtools.fingering.reach import HAND_SIZES
from tabtools.lint.finding import Severity
from tabtools.lint.option import Option, closest
from tabtools.lint.plan import Plan
from tabtools.lint.rules import group_of
from tabtools.lint.view import LEVELS, Settings
from tabtools.record import NamedTuple
from tabtools.score import Pitch, TimeSignature
from tabtools.theory.key import parse_key

if TYPE_CHECKING:
    from tabtools.lint.rule import Rule

Table = Mapping[str, Any]
Matches = Callable[[Sequence[str], str], bool]

ALWAYS = ("internal", "unreadable")
SEVERITY = Option("severity", "text", None, "How bad its findings are.", choices=("error", "warning", "info"))
GENERAL = (
    Option("only", "list", None, "The rules and groups of rules that run; all where it is left out."),
    Option("without", "list", (), "Rules and groups of rules that do not run."),
    Option("level", "text", "advanced", "Who the lessons are for: narrows what counts as a wide stretch or a "
           "fast shift.", choices=tuple(LEVELS)),
    Option("key", "text", None, 'The key of pages that name none, as in "A minor".'),
    Option("time", "text", None, 'The time signature of pages that name none, as in "3/4".'),
)  # fmt: skip
INSTRUMENT = (
    Option("tuning", "text", None, 'The tuning of pages that name none: "drop d", or the open strings from '
           'the last to string 1, as in "E2 A2 D3 G3 B3 E4".'),
    Option("frets", "integer", None, "The number of the last fret.", least=1, most=36),
    Option("scale-length", "number", None, "From nut to bridge in millimetres.", least=200, most=1200),
    Option("hand", "text", "medium", "The player's hand.", choices=tuple(HAND_SIZES)),
)  # fmt: skip
SKIP = Option(
    "skip",
    "list",
    (),
    "Files that are not looked at in a directory, as patterns like those of .gitignore.",
)
MATCH = Option(
    "match", "list", (), "Which files a table of paths is for, as patterns like those of .gitignore."
)


class ConfigError(Exception):
    """A configuration that says something wrong: where, what, and what was probably meant."""


class Config(NamedTuple):
    """A checked configuration. ``origin`` is the file that it stands in, as messages call it."""

    origin: str
    general: Table = MappingProxyType({})
    paths: tuple[tuple[tuple[str, ...], Table], ...] = ()
    skip: tuple[str, ...] = ()

    def table(self, path: str, matches: Matches) -> Table:
        """What holds for a file; ``path`` is relative to the configuration's directory, with ``/``.

        ``matches`` says whether a path fits any of some patterns. Of tables that match, later ones win.
        """
        whole = dict(self.general)
        for patterns, table in self.paths:
            if matches(patterns, path):
                whole = _merged(whole, table)
        return whole


class Resolved(NamedTuple):
    """What holds for one file: what runs, and what its reader takes for granted."""

    plan: Plan
    defaults: Defaults = NO_DEFAULTS


def parse(table: Table, origin: str, rules: Mapping[str, Rule]) -> Config:
    """The configuration that a table says. Raises ConfigError at the first thing that is wrong."""
    general = {name: value for name, value in table.items() if name not in ("paths", "skip")}
    _check_keys(general, (*GENERAL, SKIP), ("instrument", "rules", "paths"), origin, "")
    _check_tables(general, rules, origin, "")
    _check_value(SKIP, table.get("skip", []), origin, "")
    entries = table.get("paths", [])
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        raise ConfigError(f"{origin}: paths must be tables, each headed [[paths]]")
    for number, entry in enumerate(entries, 1):
        where = f"paths {number}: "
        if not entry.get("match"):
            raise ConfigError(f"{origin}: {where}match is missing: say which files the table is for")
        _check_keys(entry, (MATCH, *GENERAL), ("instrument", "rules"), origin, where)
        _check_tables(entry, rules, origin, where)
    return Config(
        origin,
        general,
        tuple((tuple(entry["match"]), _without(entry, "match")) for entry in entries),
        tuple(table.get("skip", ())),
    )


def resolve(table: Table, rules: Mapping[str, Rule]) -> Resolved:
    """What a checked table, as ``Config.table`` gives it, means."""
    settings = table.get("rules", {})
    wanted = _named(table["only"], rules) if "only" in table else set(rules)
    unwanted = _named(table.get("without", ()), rules)
    names = tuple(name for name in rules if name in ALWAYS or (name in wanted and name not in unwanted))
    severities = {
        name: Severity[own["severity"].upper()] for name, own in settings.items() if "severity" in own
    }
    options = {name: _without(own, "severity") for name, own in settings.items()}
    instrument = table.get("instrument", {})
    user = Settings(instrument.get("hand", "medium"), table.get("level", "advanced"))
    return Resolved(Plan(rules, names, user, severities, options), _defaults(table, instrument))


def schema(rules: Iterable[Rule]) -> dict[str, Any]:
    """The JSON Schema of a configuration."""
    rules = list(rules)
    names = sorted({rule.name for rule in rules} | {rule.group for rule in rules})
    tables = {"instrument": _object(INSTRUMENT, {}), "rules": {"$ref": "#/$defs/rules"}}
    general = {**_properties(GENERAL, names), **tables}
    entry = {
        "type": "object",
        "required": ["match"],
        "additionalProperties": False,
        "properties": {"match": {**MATCH.schema(), "minItems": 1}, **general},
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Configuration of tabtools",
        "description": "tabtools.toml, or the table tool.tabtools of pyproject.toml.",
        "type": "object",
        "additionalProperties": False,
        "properties": {
            **general,
            "skip": SKIP.schema(),
            "paths": {
                "description": "What holds for some files only; of tables that match a file, later ones win.",
                "type": "array",
                "items": entry,
            },
        },
        "$defs": {
            "rules": {
                "description": "Severity and options of rules, by name.",
                "type": "object",
                "additionalProperties": False,
                "properties": {
                    rule.name: {"description": rule.what, **_object((SEVERITY, *rule.options), {})}
                    for rule in rules
                },
            }
        },
    }


def _object(options: Iterable[Option], more: dict[str, Any]) -> dict[str, Any]:
    return {"type": "object", "additionalProperties": False, "properties": {**_properties(options), **more}}


def _properties(options: Iterable[Option], names: Sequence[str] = ()) -> dict[str, Any]:
    properties = {option.name: option.schema() for option in options}
    for name in ("only", "without"):
        if name in properties:
            properties[name]["items"] = {"enum": names}
    return properties


def _check_keys(
    table: Table, options: Iterable[Option], tables: tuple[str, ...], origin: str, where: str
) -> None:
    known = {option.name: option for option in options}
    for name, value in table.items():
        if name in known:
            _check_value(known[name], value, origin, where)
        elif name not in tables:
            raise ConfigError(f"{origin}: {where}{_unknown(name, [*known, *tables])}")
        elif not isinstance(value, list if name == "paths" else dict):
            wanted = "tables, each headed [[paths]]" if name == "paths" else "a table"
            raise ConfigError(f"{origin}: {where}{name} must be {wanted}")


def _check_value(option: Option, value: object, origin: str, where: str) -> None:
    if problem := option.problem(value):
        raise ConfigError(f"{origin}: {where}{option.name} {problem}")


def _check_tables(table: Table, rules: Mapping[str, Rule], origin: str, where: str) -> None:
    """The parts of a table that need more than a type: names of rules, tunings, keys."""
    _check_keys(table.get("instrument", {}), INSTRUMENT, (), origin, f"{where}instrument: ")
    for name, values in table.get("rules", {}).items():
        if name not in rules:
            raise ConfigError(f"{origin}: {where}rules: {_unknown(name, rules)}")
        if not isinstance(values, dict):
            raise ConfigError(f"{origin}: {where}rules: {name} must be a table")
        _check_keys(values, (SEVERITY, *rules[name].options), (), origin, f"{where}rules: {name}: ")
    groups = {group_of(name, rules) for name in rules}
    for key in ("only", "without"):
        for name in table.get(key, ()):
            if name not in rules and name not in groups:
                raise ConfigError(
                    f"{origin}: {where}{key}: {_unknown(name, [*rules, *groups], 'rule or group')}"
                )
            if key == "without" and name in ALWAYS:
                raise ConfigError(f"{origin}: {where}without: {name} can't be switched off")
    try:
        _defaults(table, table.get("instrument", {}))
    except ValueError as error:
        raise ConfigError(f"{origin}: {where}{error}") from None


def _unknown(name: str, known: Iterable[str], what: str = "key") -> str:
    close = closest(name, known)
    hint = f"did you mean {close}?" if close else f"it is one of {', '.join(sorted(known))}"
    return f"there is no {what} {name}: {hint}"


def _merged(under: Table, over: Table) -> dict[str, Any]:
    """Two tables, keys of the second over those of the first, tables within them key by key."""
    whole = dict(under)
    for name, value in over.items():
        both = isinstance(value, dict) and isinstance(whole.get(name), dict)
        whole[name] = _merged(whole[name], value) if both else value
    return whole


def _without(table: Table, name: str) -> Table:
    return {key: value for key, value in table.items() if key != name}


def _named(names: Iterable[str], rules: Mapping[str, Rule]) -> set[str]:
    """The rules that names of rules and groups stand for."""
    chosen = set(names)
    return {name for name in rules if name in chosen or group_of(name, rules) in chosen}


def _defaults(table: Table, instrument: Table) -> Defaults:
    """Raises ValueError for a key, time signature or tuning that is none."""
    return Defaults(
        _tuning(instrument["tuning"]) if "tuning" in instrument else None,
        instrument.get("frets"),
        float(instrument["scale-length"]) if "scale-length" in instrument else None,
        _read(parse_key(table["key"]), "key", table["key"]) if "key" in table else None,
        _time(table["time"]) if "time" in table else None,
    )


def _read(value: Any, name: str, text: str) -> Any:
    if value is None:
        raise ValueError(f'{name} can\'t be "{text}": that is no {name}')
    return value


def _tuning(text: str) -> tuple[Pitch, ...]:
    from tabtools.text.page.tuning import read_tuning

    tuning = read_tuning(text)
    if tuning is None:
        raise ValueError(
            f'instrument: tuning can\'t be "{text}": name one as in "drop d" or "ukulele", or give the open '
            'strings from the last to the first as in "E A D G B E" or "E2 A2 D3 G3 B3 E4"'
        )
    return tuning.strings


def _time(text: str) -> TimeSignature:
    beats, _, unit = text.partition("/")
    if not (beats.isdecimal() and unit in ("1", "2", "4", "8", "16", "32") and 0 < int(beats) < 100):
        raise ValueError(f'time can\'t be "{text}": write it as in "3/4"')
    return TimeSignature(int(beats), int(unit))
