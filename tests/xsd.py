"""Validation against the MusicXML 4.0 schema that the `musicxml` package ships (the W3C file)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from lxml import etree

from tabtools.musicxml.schema import installed_schema, load_schema


def xsd_path() -> Path:
    """The schema file inside the installed package."""
    path = installed_schema()
    assert path is not None
    return Path(path)


def schema() -> etree.XMLSchema:
    """The schema, loaded once."""
    return load_schema(str(xsd_path()))


def problems(data: bytes) -> list[str]:
    """What the schema finds wrong with a MusicXML file; empty when it is valid."""
    parser = etree.XMLParser(load_dtd=False, no_network=True, resolve_entities=False)
    document = etree.fromstring(data, parser)
    if schema().validate(document):
        return []
    log: Any = schema().error_log
    return [f"line {error.line}: {error.message}" for error in log]
