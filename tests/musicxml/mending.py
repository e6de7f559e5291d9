"""The repairs of MusicXML, made and proved as `tabtools check` does."""

from __future__ import annotations

from tabtools.document import Document
from tabtools.lint.fixes import Repaired, repair
from tabtools.lint.plan import plain
from tabtools.lint.rules import load_all
from tabtools.musicxml.reader import edited_text

PLAN = plain(rule for rule in load_all() if rule.group == "MusicXML" and rule.name != "schema-invalid")


def mended(document: Document, *, unsafe: bool = True) -> Repaired:
    """A document after all repairs of its elements, or with ``unsafe`` false after those that are safe."""
    return repair(document, PLAN, lambda text: edited_text(document, text), unsafe=unsafe)
