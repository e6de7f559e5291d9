"""Rules of other packages, found by their entry points in the group ``tabtools.rules``."""

from __future__ import annotations

import os
import sys
from contextlib import suppress

import click

from tabtools.lint.rule import Rule
from tabtools.lint.rules import Rules, names

GROUP = "tabtools.rules"


def all_rules() -> Rules:
    """Our own rules and those of installed plug-ins.

    An entry point's name is that of the rule, its object the rule. Raises click.UsageError for one that
    can't be loaded or whose name is taken.
    """
    return Rules(_plugins())


def _plugins() -> list[Rule]:
    if not _any_offered():
        return []
    from importlib.metadata import entry_points

    found: list[Rule] = []
    for point in sorted(entry_points(group=GROUP), key=lambda point: (point.name, point.value)):
        try:
            rule = point.load()
        except Exception as error:
            raise click.UsageError(
                f"the plug-in rule {point.name} ({point.value}) can't be loaded: {error}."
            ) from None
        if not isinstance(rule, Rule) or rule.name != point.name:
            raise click.UsageError(f"the plug-in {point.value} is no rule named {point.name}.")
        if rule.name in names() or any(rule.name == other.name for other in found):
            raise click.UsageError(f"the plug-in {point.value}: there is a rule {rule.name} already.")
        found.append(rule)
    return found


def _any_offered() -> bool:
    """Whether any installed package names the group; looking is quicker than loading importlib.metadata."""
    mark = f"[{GROUP}]".encode()
    for place in sys.path:
        with suppress(OSError), os.scandir(place or ".") as entries:
            folders = [entry.path for entry in entries if entry.name.endswith(".dist-info")]
            if any(mark in _entry_points(folder) for folder in folders):
                return True
    return False


def _entry_points(folder: str) -> bytes:
    try:
        with open(os.path.join(folder, "entry_points.txt"), "rb") as file:
            return file.read()
    except OSError:
        return b""
