"""Validation against the MusicXML schema, where one is at hand; nothing is fetched.

The schema of MusicXML 4.0 comes with the package ``musicxml`` (the extra ``schema``). It imports two others
by web address; two small ones of our own, with just the attributes that it uses, answer in their place.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from lxml import etree

from tabtools.record import NamedTuple


class Problem(NamedTuple):
    """What the schema has against a file, and the line, from 1."""

    line: int
    message: str


def _xsd(namespace: str, body: str) -> str:
    return f'<schema xmlns="http://www.w3.org/2001/XMLSchema" targetNamespace="{namespace}">{body}</schema>'


def _enum(name: str, *values: str) -> str:
    options = "".join(f'<enumeration value="{value}"/>' for value in values)
    kind = f'<simpleType><restriction base="NMTOKEN">{options}</restriction></simpleType>'
    return f'<attribute name="{name}">{kind}</attribute>'


_LOCAL = {
    "xml.xsd": _xsd(
        "http://www.w3.org/XML/1998/namespace",
        '<attribute name="lang" type="language"/>' + _enum("space", "default", "preserve"),
    ),
    "xlink.xsd": _xsd(
        "http://www.w3.org/1999/xlink",
        '<attribute name="href" type="anyURI"/><attribute name="role" type="token"/>'
        '<attribute name="title" type="token"/>'
        + _enum("type", "simple")
        + _enum("show", "new", "replace", "embed", "other", "none")
        + _enum("actuate", "onRequest", "onLoad", "other", "none"),
    ),
}


class _Offline(etree.Resolver):
    def resolve(self, system_url: str, public_id: str, context: object) -> object:  # type: ignore[override]
        text = _LOCAL.get(system_url.rsplit("/", 1)[-1])
        if text is None:
            return None
        return self.resolve_string(text, context)  # type: ignore[call-arg]


def installed_schema() -> str | None:
    """The path of the schema in the package ``musicxml``; None where that is not installed."""
    spec = find_spec("musicxml")
    if spec is None or spec.origin is None:
        return None
    path = Path(spec.origin).parent / "generate_classes" / "musicxml_4_0.xsd"
    return str(path) if path.exists() else None


@lru_cache(maxsize=4)
def load_schema(path: str) -> etree.XMLSchema:
    """The schema in a file, loaded once. Raises OSError or lxml's error where there is none."""
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(_Offline())
    return etree.XMLSchema(etree.parse(path, parser))


def problems(tree: etree._ElementTree, path: str) -> list[Problem]:
    """What the schema at ``path`` has against a file, in the order of the lines.

    Raises ValueError where ``path`` holds no schema.
    """
    try:
        schema = load_schema(path)
    except (OSError, etree.LxmlError) as error:
        raise ValueError(f"no XML schema can be read from {path}: {error}") from None
    if schema.validate(tree):
        return []
    log: Any = schema.error_log
    return [Problem(max(entry.line, 1), entry.message) for entry in log]
