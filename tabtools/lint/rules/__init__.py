"""The rules: a folder for each group, a file for each rule. ``rhythm/bar_overfull.py`` holds ``RULE``, named
``bar-overfull``. What a rule looks at is known by its group, so that it is imported only where it is needed.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from functools import cache, cached_property
from importlib import import_module
from typing import TYPE_CHECKING

from tabtools.doubts import kinds
from tabtools.techniques import BENDS

if TYPE_CHECKING:
    from tabtools.document import Document
    from tabtools.lint.rule import Rule

_GROUPS = {"musicxml": "MusicXML"}  # where a group is not called as its folder
_PLAYED = {  # rules that look at nothing but notes played in one of these ways
    "bend-too-far": BENDS,
    "harmonic-node": ("harmonic",),
    "legato-direction": ("hammer", "pull"),
    "open-string-bend": BENDS,
    "slide-nowhere": ("slide",),
}
COLLECTION = "collection"  # its rules compare files and have nothing to say about a single one


@cache
def _folders() -> Mapping[str, str]:
    """The folder of every rule, by the rule's name; names sorted."""
    found: dict[str, str] = {}
    for folder in next(os.walk(__path__[0]))[1]:
        for file in os.listdir(os.path.join(__path__[0], folder)):
            if file.endswith(".py") and not file.startswith("_"):
                found[file.removesuffix(".py").replace("_", "-")] = folder
    return dict(sorted(found.items()))


def names() -> tuple[str, ...]:
    """The names of all rules, sorted; no rule is imported for it."""
    return tuple(_folders())


def group_of(name: str, rules: Mapping[str, Rule]) -> str:
    """The group of a rule; one of ours is not imported for it. Raises KeyError for what is no rule's name."""
    folder = _folders().get(name)
    return rules[name].group if folder is None else _GROUPS.get(folder, folder)


class Concerns:
    """Which rules can have anything to say about a document."""

    def __init__(self, document: Document) -> None:
        self._document = document
        self._doubts = {doubt.kind for doubt in document.doubts}

    def __contains__(self, name: str) -> bool:
        if name in kinds():  # a rule that puts readers' doubts into words does nothing else
            return name in self._doubts
        if name in _PLAYED:
            return not self._techniques.isdisjoint(_PLAYED[name])
        folder = _folders().get(name)
        return folder != "housekeeping" and (folder != "musicxml" or self._document.tree is not None)

    @cached_property
    def _techniques(self) -> set[str]:
        """The names of all that notes are played with."""
        parts = self._document.score.parts
        notes = (note for part in parts for bar in part.bars for event in bar.events for note in event.notes)
        return {technique.name for note in notes for technique in note.techniques}


def load(name: str) -> Rule:
    """The rule of this name. Raises KeyError for a name that is no rule's."""
    rule: Rule = import_module(f"{__name__}.{_folders()[name]}.{name.replace('-', '_')}").RULE
    return rule


def load_all() -> list[Rule]:
    """All rules, by name."""
    return [load(name) for name in names()]


class Rules(Mapping[str, "Rule"]):
    """Our own rules and others by name, sorted; one of ours is imported when it is first asked for."""

    def __init__(self, others: Iterable[Rule] = ()) -> None:
        self._others = {rule.name: rule for rule in others}
        self._names = sorted({*names(), *self._others})

    def __getitem__(self, name: str) -> Rule:
        return self._others[name] if name in self._others else load(name)

    def __contains__(self, name: object) -> bool:
        return name in self._names

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)
