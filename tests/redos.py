"""A search for texts on which a regular expression takes longer than in proportion to their length.

Every repetition in a pattern is a place where a matcher can go back and try again. The texts repeat what such
a place can match, behind what leads there, and end in something that makes the whole fail.
"""

from __future__ import annotations

import collections
import random
import re
import signal
import time
from collections.abc import Iterator
from importlib import import_module
from pkgutil import walk_packages
from re import _constants as code  # type: ignore[attr-defined]
from re import _parser as parser  # type: ignore[attr-defined]
from typing import Any

import tabtools

_REPRESENTATIVES = " -1a|"
_ENDS = ("", "\x01")
PATIENCE = 2.0  # seconds for one text
_LONG = 8  # repetitions that go on beyond this can be pumped


class Usage:
    """A pattern of the package, and the methods by which its module calls it."""

    def __init__(self, name: str, pattern: re.Pattern[Any], methods: tuple[str, ...]) -> None:
        self.name = name
        self.pattern = pattern
        self.methods = methods


def patterns() -> list[Usage]:
    """Every pattern that stands in a module of the package under a name, once."""
    usages: dict[tuple[object, int], Usage] = {}
    for found in walk_packages(tabtools.__path__, "tabtools."):
        if found.name.endswith("__main__"):
            continue
        module = import_module(found.name)
        with open(str(module.__file__), encoding="utf-8") as file:
            code_of_module = file.read()
        for name, value in vars(module).items():
            if isinstance(value, type) or not (hasattr(value, "pattern") and hasattr(value, "search")):
                continue
            flags = getattr(value, "flags", None)
            flags = value._lazy.flags if flags is None else flags
            methods = set(re.findall(rf"\b{name}\.(\w+)", code_of_module)) - {"pattern"}
            usage = usages.setdefault(
                (value.pattern, flags), Usage(f"{found.name}.{name}", re.compile(value.pattern, flags), ())
            )
            usage.methods = tuple(sorted({*usage.methods, *methods}))
    return list(usages.values())


def attacks(pattern: re.Pattern[Any]) -> list[tuple[str, str, str]]:
    """What to put first, what to repeat and what to end with; the same for every run."""
    text = pattern.pattern
    tree = parser.parse(text, pattern.flags & ~re.UNICODE if isinstance(text, bytes) else pattern.flags)
    chance = random.Random(1)
    letters = sorted({*_REPRESENTATIVES, *_letters(tree)})
    repeats = [place for _ in range(4) for place in _repeats(tree, "", chance)]
    firsts = sorted({"", *(before for before, _ in repeats)}, key=lambda first: (len(first), first))[:6]
    pumps = {body for _, body in repeats if body} | set(letters)
    pumps |= {one + two for one in letters for two in _REPRESENTATIVES}
    return [(first, pump, end) for first in firsts for pump in sorted(pumps) for end in _ENDS]


def _repeats(tree: Any, before: str, chance: random.Random) -> Iterator[tuple[str, str]]:
    """Every repetition without a near end: a text that leads there, and one that it can repeat."""
    for operation, value in tree:
        if operation in (code.MAX_REPEAT, code.MIN_REPEAT):
            _, most, body = value
            inner = _sample(body, chance)
            if most is code.MAXREPEAT or most > _LONG:
                yield before, inner
            yield from _repeats(body, before, chance)
        elif operation is code.SUBPATTERN:
            yield from _repeats(value[3], before, chance)
        elif operation is code.BRANCH:
            for branch in value[1]:
                yield from _repeats(branch, before, chance)
        elif operation in (code.ASSERT, code.ASSERT_NOT):
            yield from _repeats(value[1], before, chance)
        elif operation is code.ATOMIC_GROUP:
            yield from _repeats(value, before, chance)
        before += _sample([(operation, value)], chance)


def _sample(tree: Any, chance: random.Random) -> str:
    """A text that a part of a pattern fits, as short as it can be but for chance."""
    return "".join(_sample_one(operation, value, chance) for operation, value in tree)


def _sample_one(operation: Any, value: Any, chance: random.Random) -> str:
    if operation is code.LITERAL:
        return chr(value)
    if operation is code.IN:
        members = sorted(_members(value)) or ["x"]
        return chance.choice(members)
    if operation in (code.MAX_REPEAT, code.MIN_REPEAT, code.POSSESSIVE_REPEAT):
        least, most, body = value
        count = max(least, min(most if most is not code.MAXREPEAT else 1, chance.choice((0, 1, 1))))
        return "".join(_sample(body, chance) for _ in range(count))
    if operation is code.SUBPATTERN:
        return _sample(value[3], chance)
    if operation is code.BRANCH:
        return _sample(chance.choice(value[1]), chance)
    if operation is code.ATOMIC_GROUP:
        return _sample(value, chance)
    if operation in (code.ANY, code.NOT_LITERAL):
        return "q"
    return ""


def _members(value: Any) -> set[str]:
    """Some characters of a class."""
    categories = {code.CATEGORY_DIGIT: "15", code.CATEGORY_SPACE: " \t", code.CATEGORY_WORD: "a1_"}
    if value and value[0][0] is code.NEGATE:
        return set(' q-.1|<"') - _members(value[1:])
    members: set[str] = set()
    for kind, what in value:
        if kind is code.LITERAL:
            members.add(chr(what))
        elif kind is code.RANGE:
            members |= {chr(what[0]), chr(what[1])}
        elif kind is code.CATEGORY:
            members |= set(categories.get(what, " q-."))
    return members


def _letters(tree: Any) -> set[str]:
    """The first few characters that a pattern names."""
    letters: list[str] = []
    for operation, value in tree:
        if operation is code.LITERAL:
            letters.append(chr(value))
        elif operation is code.IN:
            letters += sorted(_members(value))[:4]
        elif operation in (code.MAX_REPEAT, code.MIN_REPEAT, code.POSSESSIVE_REPEAT):
            letters += sorted(_letters(value[2]))
        elif operation is code.SUBPATTERN:
            letters += sorted(_letters(value[3]))
        elif operation is code.BRANCH:
            letters += [letter for branch in value[1] for letter in sorted(_letters(branch))]
    return set(letters[:14])


def seconds(pattern: re.Pattern[Any], method: str, text: str) -> float:
    """Processor time that one call takes."""
    subject: Any = text.encode("utf-8", "replace") if isinstance(pattern.pattern, bytes) else text
    arguments: tuple[Any, ...] = (subject[:0], subject) if method == "sub" else (subject,)
    start = time.process_time()
    signal.signal(signal.SIGPROF, _give_up)
    signal.setitimer(signal.ITIMER_PROF, PATIENCE)
    try:
        result = getattr(pattern, method)(*arguments)
        if method == "finditer":
            collections.deque(result, maxlen=0)
    except TimeoutError:
        return PATIENCE
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    return time.process_time() - start


def _give_up(*_: object) -> None:
    raise TimeoutError


def slowest(usage: Usage, length: int, limit: float) -> tuple[float, str, tuple[str, str, str], int] | None:
    """The first text up to ``length`` characters on which a method takes longer than ``limit`` seconds."""
    for method in usage.methods or ("match", "fullmatch", "search"):
        for first, pump, end in attacks(usage.pattern):
            size = 16
            while size <= length:
                text = first + pump * (size // max(len(pump), 1)) + end
                taken = seconds(usage.pattern, method, text)
                if taken > limit:
                    return taken, method, (first, pump, end), size
                size *= 2 if size < 64 else 8
    return None
