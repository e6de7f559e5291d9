"""What a user can set: a name, a type, a default, and one check of a value for all places that read one."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from tabtools.record import NamedTuple

_TYPES: dict[str, tuple[str, dict[str, Any]]] = {
    "integer": ("a whole number", {"type": "integer"}),
    "number": ("a number", {"type": "number"}),
    "boolean": ("true or false", {"type": "boolean"}),
    "text": ("a text in quotes", {"type": "string"}),
    "list": ("a list of texts", {"type": "array", "items": {"type": "string"}}),
}


KINDS = {kind: words for kind, (words, _) in _TYPES.items()}


class Option(NamedTuple):
    """One setting. ``kind`` is ``integer``, ``number``, ``boolean``, ``text`` or ``list`` (of texts).

    ``choices`` are the only texts allowed, ``least`` and ``most`` the bounds of a number, both included.
    """

    name: str
    kind: str
    default: Any
    what: str
    choices: tuple[str, ...] = ()
    least: float | None = None
    most: float | None = None

    def problem(self, value: object) -> str | None:
        """What is wrong with a value, as in ``must be a whole number, not "five"``; None for a good one."""
        if not _fits(self.kind, value):
            return f"must be {_TYPES[self.kind][0]}, not {_shown(value)}"
        for text in value if isinstance(value, list) else [value]:
            if self.choices and text not in self.choices:
                return f"can't be {_shown(text)}: {_hint(str(text), self.choices)}"
        if isinstance(value, int | float):
            if value != value:
                return "must be a number, not nan"
            if self.least is not None and value < self.least:
                return f"must be {self.least} or more, not {value}"
            if self.most is not None and value > self.most:
                return f"must be {self.most} or less, not {value}"
        return None

    def schema(self) -> dict[str, Any]:
        """The JSON Schema of a value."""
        schema = dict(_TYPES[self.kind][1])
        if self.choices and self.kind == "list":
            schema["items"] = {"enum": list(self.choices)}
        elif self.choices:
            schema = {"enum": list(self.choices)}
        bounds = {"minimum": self.least, "maximum": self.most}
        default = list(self.default) if isinstance(self.default, tuple) else self.default
        extra = {"default": default} if default is not None else {}
        return {
            "description": self.what,
            **schema,
            **{name: bound for name, bound in bounds.items() if bound is not None},
            **extra,
        }


def closest(name: str, names: Iterable[str]) -> str | None:
    """The name that was probably meant; None where none is close."""
    from difflib import get_close_matches

    return next(iter(get_close_matches(name, list(names), n=1)), None)


def _hint(name: str, names: tuple[str, ...]) -> str:
    close = closest(name, names)
    return f"did you mean {close}?" if close else f"it is one of {', '.join(names)}"


def _fits(kind: str, value: object) -> bool:
    if kind == "boolean":
        return isinstance(value, bool)
    if kind == "list":
        return isinstance(value, list) and all(isinstance(item, str) for item in value)
    types = {"integer": int, "number": int | float, "text": str}[kind]
    return isinstance(value, types) and not isinstance(value, bool)


def _shown(value: object) -> str:
    return (
        f'"{value}"'
        if isinstance(value, str)
        else str(value).lower()
        if value in (True, False)
        else str(value)
    )
