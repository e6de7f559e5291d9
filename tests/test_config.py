from __future__ import annotations

import fnmatch
import json
import tomllib
from collections.abc import Sequence
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from tabtools.config import Config, ConfigError, Resolved, parse, resolve, schema
from tabtools.lint.finding import Severity
from tabtools.lint.option import Option
from tabtools.lint.rule import Rule
from tabtools.lint.rules import load_all
from tabtools.reading import read
from tests.schemas import schema as written

LIMIT = Option("limit", "integer", 4, "How many.", least=1, most=9)
NAMES = Option("names", "list", ("a",), "Which.", choices=("a", "b"))
RULES = {
    rule.name: rule
    for rule in (
        Rule("off-beat", "rhythm", Severity.WARNING, "What.", "Why.", options=(LIMIT, NAMES)),
        Rule("off-neck", "playability", Severity.ERROR, "What.", "Why."),
        Rule("internal", "housekeeping", Severity.ERROR, "What.", "Why."),
    )
}


def _parsed(text: str) -> Config:
    return parse(tomllib.loads(text), "tabtools.toml", RULES)


def _matches(patterns: Sequence[str], path: str) -> bool:
    return any(fnmatch.fnmatch(path, pattern) for pattern in patterns)


def _resolved(text: str, path: str = "a.txt") -> Resolved:
    return resolve(_parsed(text).table(path, _matches), RULES)


def _names(resolved: Resolved) -> list[str]:
    return list(resolved.plan.names)


WRONG = [
    ('onyl = ["off-beat"]', "there is no key onyl: did you mean only?"),
    ('only = ["off-bet"]', "only: there is no rule or group off-bet: did you mean off-beat?"),
    ('without = ["internal"]', "without: internal can't be switched off"),
    ('only = "off-beat"', 'only must be a list of texts, not "off-beat"'),
    ('level = "beginer"', 'level can\'t be "beginer": did you mean beginner?'),
    ('key = "H sharp"', 'key can\'t be "H sharp": that is no key'),
    ('time = "3/5"', 'time can\'t be "3/5": write it as in "3/4"'),
    ("[rules.off-bet]", "rules: there is no key off-bet: did you mean off-beat?"),
    (
        '[rules.off-beat]\nseverity = "fatal"',
        'rules: off-beat: severity can\'t be "fatal": it is one of error',
    ),
    ("[rules.off-beat]\nlimit = 0", "rules: off-beat: limit must be 1 or more, not 0"),
    ("[rules.off-beat]\nlimit = 10", "rules: off-beat: limit must be 9 or less, not 10"),
    ("[rules.off-beat]\nlimit = true", "rules: off-beat: limit must be a whole number, not true"),
    ('[rules.off-beat]\nnames = ["c"]', 'names can\'t be "c"'),
    ("[rules.off-beat]\nlimits = 1", "rules: off-beat: there is no key limits: did you mean limit?"),
    ("[instrument]\nfret = 1", "instrument: there is no key fret: did you mean frets?"),
    ('[instrument]\nhand = "tiny"', 'hand can\'t be "tiny": it is one of small, medium, large'),
    ('[instrument]\ntuning = "dorp d"', 'tuning can\'t be "dorp d"'),
    ('[[paths]]\nlevel = "beginner"', "paths 1: match is missing"),
    ('[[paths]]\nmatch = ["a"]\nskip = ["b"]', "paths 1: there is no key skip"),
    ('[paths]\nmatch = ["a"]', "paths must be tables, each headed [[paths]]"),
    ("rules = 1", "rules must be a table"),
    ("rules.off-beat = 1", "rules: off-beat must be a table"),
]


# What a schema can't tell: which words are a key, a tuning, a metre, and that a rule can't be switched off.
BEYOND_SCHEMA = ("internal", "H sharp", "3/5", "dorp d")


@pytest.mark.parametrize(("text", "words"), WRONG, ids=[text for text, _ in WRONG])
def test_what_is_wrong_is_an_error_that_says_so(text: str, words: str) -> None:
    with pytest.raises(ConfigError) as caught:
        _parsed(text)
    assert str(caught.value).startswith("tabtools.toml: ")
    assert words in str(caught.value)
    valid = Draft202012Validator(schema(RULES.values())).is_valid(tomllib.loads(text))
    assert valid == any(word in text for word in BEYOND_SCHEMA)


def test_nothing_said_runs_everything_with_its_defaults() -> None:
    resolved = _resolved("")
    assert _names(resolved) == ["off-beat", "off-neck", "internal"]
    assert resolved.plan.all()[0].options == {"limit": 4, "names": ("a",)}
    assert (resolved.plan.settings.hand, resolved.plan.settings.level, resolved.plan.settings.share) == (
        "medium",
        "advanced",
        1.0,
    )


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ('only = ["rhythm"]', ["off-beat", "internal"]),
        ('only = ["off-neck"]', ["off-neck", "internal"]),
        ('without = ["rhythm", "off-neck"]', ["internal"]),
        ('only = ["off-beat"]\nwithout = ["off-beat"]', ["internal"]),
        ("only = []", ["internal"]),
    ],
)
def test_rules_are_chosen_by_name_and_group(text: str, names: list[str]) -> None:
    assert _names(_resolved(text)) == names


PATHS = """
level = "intermediate"
[rules.off-beat]
limit = 5
severity = "info"
[[paths]]
match = ["first/*"]
level = "beginner"
[paths.rules.off-beat]
limit = 2
[[paths]]
match = ["*/old.txt"]
without = ["off-neck"]
[paths.instrument]
hand = "small"
"""


@pytest.mark.parametrize(
    ("path", "level", "limit", "hand", "count"),
    [
        ("a.txt", "intermediate", 5, "medium", 3),
        ("first/a.txt", "beginner", 2, "medium", 3),
        ("second/old.txt", "intermediate", 5, "small", 2),
        ("first/old.txt", "beginner", 2, "small", 2),
    ],
)
def test_tables_for_paths_lie_over_what_holds_for_all(
    path: str, level: str, limit: int, hand: str, count: int
) -> None:
    resolved = _resolved(PATHS, path)
    first = resolved.plan.all()[0]
    assert (resolved.plan.settings.level, resolved.plan.settings.hand) == (level, hand)
    assert (first.options["limit"], first.severity) == (limit, Severity.INFO)
    assert len(resolved.plan.names) == count


@pytest.mark.parametrize(("tuning", "length"), [("G D A E", 352), ("E A D G", 864), ("standard", 648)])
def test_strings_are_as_long_as_the_instrument_has_them(tuning: str, length: float) -> None:
    rows = "|-5---|\n" * (6 if tuning == "standard" else 4)
    (part,) = read("a.txt", f"Tuning: {tuning}\n\n{rows}".encode()).score.parts
    assert part.instrument.scale_length == length


def test_defaults_reach_the_readers() -> None:
    resolved = _resolved(
        'key = "D minor"\ntime = "3/4"\n[instrument]\ntuning = "drop d"\nfrets = 19\nscale-length = 610'
    )
    page = b"|-5---|\n|-----|\n|-----|\n|-----|\n|-----|\n|-0---|\n"
    (part,) = read("a.txt", page, resolved.defaults).score.parts
    assert part.instrument.tuning[-1].name == "D2"
    assert (part.instrument.frets, part.instrument.scale_length) == (19, 610.0)
    assert part.bars[0].key is not None
    assert (part.bars[0].key.name, part.bars[0].time.name) == ("D minor", "3/4")
    said = b"Key: G\nTime: 4/4\nTuning: standard\n\n" + page
    (part,) = read("a.txt", said, resolved.defaults).score.parts
    assert part.instrument.tuning[-1].name == "E2"
    assert part.bars[0].key is not None
    assert (part.bars[0].key.name, part.bars[0].time.name) == ("G major", "4/4")


def test_strings_with_octaves_are_a_tuning() -> None:
    resolved = _resolved('[instrument]\ntuning = "C2 G2 C3 G3 C4 Eb4"')
    assert resolved.defaults.tuning is not None
    assert [pitch.name for pitch in resolved.defaults.tuning] == ["Eb4", "C4", "G3", "C3", "G2", "C2"]


def test_the_schema_is_one_and_allows_what_is_good() -> None:
    made: dict[str, Any] = schema(RULES.values())
    Draft202012Validator.check_schema(made)
    Draft202012Validator(made).validate(tomllib.loads(PATHS))


def test_the_written_schema_is_that_of_the_rules() -> None:
    """After a change of rules or options: ``python -m tests.schemas``."""
    assert written("config") == json.loads(json.dumps(schema(load_all())))
