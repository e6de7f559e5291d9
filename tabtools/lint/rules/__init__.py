"""The rules, one file each. A file ``bar_overfull.py`` holds ``RULE``, named ``bar-overfull``."""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tabtools.lint.rule import Rule


def names() -> list[str]:
    """The names of all rules, sorted; no rule is imported for it."""
    return sorted(module.name.replace("_", "-") for module in iter_modules(__path__))


def load(name: str) -> Rule:
    """The rule of this name. Raises KeyError for a name that is no rule's."""
    if name not in names():
        raise KeyError(name)
    rule: Rule = import_module(f"{__name__}.{name.replace('-', '_')}").RULE
    return rule


def load_all() -> list[Rule]:
    """All rules, by name."""
    return [load(name) for name in names()]
