"""The reports for other programs, against the published schema, an independent reader, and their forms."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft4Validator

from tabtools.lint.engine import examine
from tabtools.lint.finding import Edit, FileFindings, Finding, Fix, Severity
from tabtools.lint.plan import plain
from tabtools.lint.rules import load_all
from tabtools.reading import read
from tabtools.report import github, gitlab, junit, sarif
from tabtools.source import Source, Span
from tests.cli.support import OFF_NECK

# The schema of the OASIS standard SARIF 2.1.0; see the README beside it.
_SARIF = json.loads((Path(__file__).parents[1] / "cases/sarif/sarif-2.1.0-rtm.5.json").read_text("utf-8"))
RULES = load_all()


def _files() -> list[FileFindings]:
    fix = Fix((Edit(Span(8, 10), "17"), Edit(Span(11, 11), "-")), "make it 17", safe=False)
    finding = Finding("fret-off-neck", Severity.ERROR, "100 %", Span(8, 10), (Span(0, 4),), 1, (fix,))
    info = Finding("colour-note", Severity.INFO, "F# is …", Span(0, 6))
    return [
        FileFindings(Source("my licks/é,1.txt", "Lick\n\ne|27--|"), (info, finding)),
        FileFindings(Source("clean.txt", "")),
    ]


def _sarif(files: list[FileFindings]) -> dict[str, Any]:
    whole: dict[str, Any] = json.loads(sarif.render(files, RULES, "1.2.3"))
    Draft4Validator(_SARIF).validate(whole)
    return whole["runs"][0]  # type: ignore[no-any-return]


def test_sarif_is_valid_and_holds_rules_places_and_fixes() -> None:
    run = _sarif(_files())
    names = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    assert names == [rule.name for rule in RULES]
    assert (
        "## fret-off-neck" in run["tool"]["driver"]["rules"][names.index("fret-off-neck")]["help"]["markdown"]
    )
    info, error = run["results"]
    assert (info["level"], error["level"]) == ("note", "error")
    assert names[error["ruleIndex"]] == "fret-off-neck"
    place = error["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == "my%20licks/%C3%A9%2C1.txt"
    assert place["region"] == {"startLine": 3, "startColumn": 3, "endLine": 3, "endColumn": 5}
    (change,) = error["fixes"][0]["artifactChanges"]
    assert [item["insertedContent"]["text"] for item in change["replacements"]] == ["17", "-"]
    assert error["relatedLocations"][0]["physicalLocation"]["region"]["startLine"] == 1


def test_sarif_of_real_findings_and_of_none_is_valid() -> None:
    document = read("/abs/lick.txt", OFF_NECK.encode())
    run = _sarif([examine(document, plain(RULES))])
    assert (
        run["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
        == "file:///abs/lick.txt"
    )
    assert _sarif([])["results"] == []


def test_junit() -> None:
    root = ElementTree.fromstring(junit.render(_files()))
    assert (root.get("tests"), root.get("failures")) == ("3", "1")
    suites = root.findall("testsuite")
    assert [(s.get("name"), s.get("tests"), s.get("failures")) for s in suites] == [
        ("my licks/é,1.txt", "2", "1"),
        ("clean.txt", "1", "0"),
    ]
    failure = root.find("testsuite/testcase/failure")
    assert failure is not None
    assert failure.get("message") == "100 %"
    assert failure.text == "my licks/é,1.txt:3:3: error fret-off-neck: 100 %"


@given(st.text())
def test_junit_is_xml_whatever_the_message_and_the_name(text: str) -> None:
    finding = Finding("a-b", Severity.ERROR, text, Span(0, 0))
    name = text.encode("utf-8", "replace").decode() or "x"
    ElementTree.fromstring(
        junit.render([FileFindings(Source(name, ""), (finding,))]).encode("utf-8", "replace")
    )


def test_github() -> None:
    assert github.render(_files()) == (
        "::notice file=my licks/é%2C1.txt,line=1,col=1,title=colour-note::F# is …\n"
        "::error file=my licks/é%2C1.txt,line=3,col=3,title=fret-off-neck,endColumn=5::100 %25\n"
    )


def test_gitlab() -> None:
    info, error = json.loads(gitlab.render(_files()))
    assert (info["severity"], error["severity"]) == ("info", "major")
    assert error["check_name"] == "fret-off-neck"
    assert error["location"] == {"path": "my licks/é,1.txt", "lines": {"begin": 3, "end": 3}}
    twice = _files()[0]
    twice = FileFindings(twice.source, (*twice.findings, *twice.findings))
    marks = [issue["fingerprint"] for issue in json.loads(gitlab.render([twice]))]
    assert len(set(marks)) == 4
    assert marks[:2] == [info["fingerprint"], error["fingerprint"]]
