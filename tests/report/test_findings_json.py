from __future__ import annotations

import json
from typing import Any

import pytest

from tabtools.lint.finding import Edit, FileFindings, Finding, Fix, Severity
from tabtools.report.findings_json import render
from tabtools.source import Source, Span
from tests.schemas import assert_strict, assert_valid, schema


def _example() -> list[FileFindings]:
    fix = Fix((Edit(Span(8, 10), "17"), Edit(Span(11, 11), "-")), "make it 17", safe=False)
    finding = Finding("fret-off-neck", Severity.ERROR, "fret 27 …", Span(8, 10), bar=1, fixes=(fix,))
    info = Finding("colour-note", Severity.INFO, "F# is …", Span(0, 5))
    return [
        FileFindings(Source("lick.txt", "Lick\n\ne|27--|"), (info, finding)),
        FileFindings(Source("clean.txt", "")),
    ]


def test_exact_form() -> None:
    assert json.loads(render(_example())) == {
        "format": "tabtools-findings",
        "version": 1,
        "findings": [
            {
                "path": "lick.txt",
                "line": 1,
                "column": 1,
                "end_line": 2,
                "end_column": 1,
                "rule": "colour-note",
                "severity": "info",
                "message": "F# is …",
                "bar": None,
                "fixes": [],
            },
            {
                "path": "lick.txt",
                "line": 3,
                "column": 3,
                "end_line": 3,
                "end_column": 5,
                "rule": "fret-off-neck",
                "severity": "error",
                "message": "fret 27 …",
                "bar": 1,
                "fixes": [
                    {
                        "message": "make it 17",
                        "safe": False,
                        "edits": [
                            {"line": 3, "column": 3, "end_line": 3, "end_column": 5, "text": "17"},
                            {"line": 3, "column": 6, "end_line": 3, "end_column": 6, "text": "-"},
                        ],
                    }
                ],
            },
        ],
        "summary": {
            "files": 2,
            "errors": 1,
            "warnings": 0,
            "infos": 1,
            "by_rule": {"colour-note": 1, "fret-off-neck": 1},
        },
    }


def test_form_and_schema_agree() -> None:
    assert_valid("findings", render(_example()))
    assert_valid("findings", render([]))


@pytest.mark.parametrize(
    "where",
    [[], ["findings", 1], ["findings", 1, "fixes", 0], ["findings", 1, "fixes", 0, "edits", 0], ["summary"]],
)
def test_schema_allows_nothing_else_and_misses_nothing(where: list[Any]) -> None:
    assert_strict("findings", render(_example()), where)


def test_both_schemas_describe_findings_alike() -> None:
    score = schema("score")["$defs"]
    for name, definition in schema("findings")["$defs"].items():
        assert score[name] == definition
