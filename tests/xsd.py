"""Validation against the MusicXML 4.0 schema that the `musicxml` package ships (the W3C file).

The schema imports two others by web address; two small ones of our own answer, so nothing is fetched.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from lxml import etree


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


def xsd_path() -> Path:
    """The schema file inside the installed package."""
    spec = find_spec("musicxml")
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent / "generate_classes" / "musicxml_4_0.xsd"


@cache
def schema() -> etree.XMLSchema:
    """The schema, loaded once."""
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(_Offline())
    return etree.XMLSchema(etree.parse(str(xsd_path()), parser))


def problems(data: bytes) -> list[str]:
    """What the schema finds wrong with a MusicXML file; empty when it is valid."""
    parser = etree.XMLParser(load_dtd=False, no_network=True, resolve_entities=False)
    document = etree.fromstring(data, parser)
    if schema().validate(document):
        return []
    log: Any = schema().error_log
    return [f"line {error.line}: {error.message}" for error in log]
