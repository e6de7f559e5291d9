"""The project's own JSON Schemas, and checks that they hold a form and nothing else.

``python -m tests.schemas`` writes the schema of the configuration anew from the rules and their options.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator

_DIRECTORY = Path(__file__).parents[1] / "schemas"


def schema(name: str) -> dict[str, Any]:
    """The schema of a name like ``findings``."""
    found: dict[str, Any] = json.loads((_DIRECTORY / f"{name}.schema.json").read_text("utf-8"))
    return found


def assert_valid(name: str, text: str) -> None:
    """The schema is one, and the JSON fits it."""
    Draft202012Validator.check_schema(schema(name))
    Draft202012Validator(schema(name)).validate(json.loads(text))


def assert_strict(name: str, text: str, where: list[Any]) -> None:
    """At the place that ``where`` leads to, one field more or one fewer does not fit the schema."""
    for field in (None, *_at(json.loads(text), where)):
        whole = json.loads(text)
        target = _at(whole, where)
        if field is None:
            target["extra"] = 1
        else:
            del target[field]
        assert not Draft202012Validator(schema(name)).is_valid(whole), field


def _at(whole: Any, where: list[Any]) -> dict[str, Any]:
    for step in where:
        whole = whole[step]
    assert isinstance(whole, dict)
    return whole


def write() -> None:
    """Write the schema that is made from the rules."""
    from tabtools.config import schema as made
    from tabtools.lint.rules import load_all

    text = json.dumps(made(load_all()), indent=2, ensure_ascii=False)
    (_DIRECTORY / "config.schema.json").write_text(text + "\n", "utf-8")


if __name__ == "__main__":
    write()
