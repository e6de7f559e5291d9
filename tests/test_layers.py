"""Imports run one way. Held over the whole package by reading its source, not by running it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "tabtools"

# From the bottom up; a module imports only from layers below its own, and freely within its own package.
LAYERS = [
    ["tabtools.record", "tabtools.collecting"],
    ["tabtools.source"],
    ["tabtools.account", "tabtools.doubts"],
    ["tabtools.score"],
    ["tabtools.timeline", "tabtools.playing"],
    ["tabtools.techniques", "tabtools.instrument", "tabtools.theory"],
    ["tabtools.document"],
    ["tabtools.text", "tabtools.musicxml", "tabtools.fingering"],
    ["tabtools.forms"],
    ["tabtools.drawing"],
    ["tabtools.reading", "tabtools.interop", "tabtools.midi"],
    ["tabtools.phrases"],
    ["tabtools.course"],
    ["tabtools.lint"],
    ["tabtools.preparing"],
    ["tabtools.config"],
    ["tabtools.report", "tabtools.sheet"],
    ["tabtools.dump"],
    ["tabtools.editor"],
    ["tabtools.cli"],
    ["tabtools.__main__"],
]
UNITS = {unit: level for level, units in enumerate(LAYERS) for unit in units}
# The directions inside the package of the rules.
LINT = [
    "option",
    "finding",
    "view",
    "rule",
    "plan",
    "places",
    "joins",
    "moments",
    "proof",
    "gaps",
    "repairs",
    "string_repairs",
    "melody",
    "meant",
    "tonic",
    "odd_chords",
    "claims",
    "foreign",
    "elements",
    "examples",
    "rules",
    "suppressions",
    "engine",
    "fixes",
    "accepted",
]
# Inside the package of text tab: its packages, and the modules that put them together.
TEXT = [
    {"patterns"},
    {"page"},
    {"rows"},
    {"words"},
    {"rhythm"},
    {
        "account",
        "page_doubts",
        "part_doubts",
        "parts",
        "read",
        "system_doubts",
        "systems",
        "timed",
        "unclear",
    },
    {"reader"},
    {"writing"},
]


def _name(path: Path) -> str:
    parts = ["tabtools", *path.relative_to(PACKAGE).with_suffix("").parts]
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _unit(module: str) -> str | None:
    found = [unit for unit in UNITS if module == unit or module.startswith(f"{unit}.")]
    return found[0] if found else None


def _imports(tree: ast.AST) -> Iterator[str]:
    """The modules that a file imports anywhere, but for typing only."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
        yield from _imports(node)


MODULES = {
    _name(path): sorted(set(_imports(ast.parse(path.read_text("utf-8"))))) for path in PACKAGE.rglob("*.py")
}


def test_every_module_has_a_layer() -> None:
    assert {name for name in MODULES if _unit(name) is None} == {"tabtools"}


@pytest.mark.parametrize("module", sorted(MODULES))
def test_imports_go_down(module: str) -> None:
    own = _unit(module)
    for target in MODULES[module]:
        unit = _unit(target)
        if unit is not None and unit != own:
            assert own is not None, f"{module} imports {target}"
            assert UNITS[unit] < UNITS[own], f"{module} imports {target}"


@pytest.mark.parametrize(("package", "order"), [("lint", [{name} for name in LINT]), ("text", TEXT)])
def test_the_direction_inside_a_package(package: str, order: list[set[str]]) -> None:
    def level(name: str) -> int:
        own = name.split(".")[2]
        return next((number for number, names in enumerate(order) if own in names), -1)

    inside = f"tabtools.{package}."
    for module, targets in MODULES.items():
        for target in targets:
            if module.startswith(inside) and target.startswith(inside):
                assert level(target) <= level(module), f"{module} imports {target}"


@pytest.mark.parametrize(
    ("library", "home"),
    [
        ("lxml", "tabtools.musicxml"),
        ("click", "tabtools.cli"),
        ("music21", "tabtools.interop"),
        ("mido", "tabtools.midi"),
    ],
)
def test_a_library_has_one_home(library: str, home: str) -> None:
    users = {m for m, targets in MODULES.items() if any(t.split(".")[0] == library for t in targets)}
    assert {user for user in users if not user.startswith(home)} <= {"tabtools.report.terminal"}


def test_only_the_command_line_prints_exits_and_touches_files() -> None:
    for path in PACKAGE.rglob("*.py"):
        if _name(path).startswith(("tabtools.cli", "tabtools.__main__")):
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call):
                called = ast.unparse(node.func)
                assert called not in {"print", "exit", "sys.exit", "open", "input"}, f"{path}: {called}"
