"""Whether a check of the samples found exactly what is known: `python -m tests.known_findings REPORT.json`.

The report is that of ``tabtools check samples --report json``; the known findings are those of
``cases/samples/expected.json``. Exit code 1, with the differences, where they are not the same.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

EXPECTED = Path(__file__).parent / "cases" / "samples" / "expected.json"


def found_and_known(findings: Iterable[dict[str, Any]]) -> list[str]:
    """The differences, as ``+`` for a finding that is new and ``-`` for one that is gone."""
    known = {
        f"{name}:{finding}"
        for name, expected in json.loads(EXPECTED.read_text("utf-8")).items()
        for finding in expected["findings"]
    }
    found = {
        "{name}:{line}:{column} {severity} {rule}".format(name=item["path"].partition("samples/")[2], **item)
        for item in findings
    }
    return [f"+ {new}" for new in sorted(found - known)] + [f"- {gone}" for gone in sorted(known - found)]


if __name__ == "__main__":
    differences = found_and_known(json.loads(Path(sys.argv[1]).read_text("utf-8"))["findings"])
    print("\n".join(differences) or "the findings of the samples are exactly the known ones")
    sys.exit(1 if differences else 0)
