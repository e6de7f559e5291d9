"""Valid MusicXML made at random by walking the schema: every element in every place that it may have.

What it says makes no music; it shows what a reader has to get through unharmed.
"""

from __future__ import annotations

from functools import cache
from random import Random
from typing import Any

from lxml import etree

from tests.xsd import xsd_path

_X = "{http://www.w3.org/2001/XMLSchema}"
_XLINK = "{http://www.w3.org/1999/xlink}"
_DEEP = 14
# Values for the patterns of the schema, and for the base types that need more than a number.
_BY_PATTERN = {
    "(acc": "accSagittalFlat",
    "#[": "#40800080",
    "pict": "pictBeaterBow",
    "segno": "segnoSerpent1",
    "coda": "codaSquare",
    "[^,]": "Serif, Sans",
    "[1-9]": "1, 2",
    "([ ]*": "2,3",
    "(wiggle": "wiggleVibrato",
    "lyrics": "lyricsElision",
    "[^:Z]": "2024-02-29",
}
_WORDS = ("word", "two words", "\u00e9 & <", "7", "\u266f", "")
_BY_BASE = {
    "string": _WORDS,
    "token": _WORDS,
    "NMTOKEN": ("token",),
    "language": ("en", "de-AT"),
    "anyURI": ("part-2.musicxml",),
    "date": ("2024-02-29",),
    "decimal": ("0", "1", "2.5", "-3", "1000000.25"),
    "integer": ("0", "1", "-2", "7"),
    "positiveInteger": ("1", "2", "6", "12"),
    "nonNegativeInteger": ("0", "3", "24"),
}


@cache
def _definitions() -> dict[tuple[str, str], Any]:
    root = etree.parse(str(xsd_path())).getroot()
    return {(str(child.tag), child.get("name") or ""): child for child in root.iterchildren(f"{_X}*")}


def _inside(part: Any) -> list[Any]:
    """What a part of the schema is made of, without its documentation."""
    return [child for child in part.iterchildren(f"{_X}*") if child.tag != f"{_X}annotation"]


def element_names() -> frozenset[str]:
    """The names of all elements of the schema."""
    root = etree.parse(str(xsd_path())).getroot()
    return frozenset(name for e in root.iter(f"{_X}element") if (name := e.get("name")))


def instance(seed: int, root: str = "score-partwise") -> bytes:
    """A valid document; the same seed gives the same bytes."""
    return etree.tostring(
        _Maker(Random(seed)).element(_definitions()[_X + "element", root], 0),
        xml_declaration=True,
        encoding="UTF-8",
    )


# The schema lets these hold any words; a reader may refuse the file for them.
_BY_NAME = {"beats": ("4", "3+2", "12"), "beat-type": ("4", "8", "2")}


class _Maker:
    """Walks the schema, choosing at random. What lies deep in the tree gets only what it must have."""

    def __init__(self, random: Random) -> None:
        self.random = random
        self.identities: list[str] = []

    def element(self, declared: Any, depth: int) -> etree._Element:
        made = etree.Element(declared.get("name"))
        inline = declared.find(f"{_X}complexType")
        name = declared.get("type") or ""
        kind = inline if inline is not None else _definitions().get((_X + "complexType", name))
        if made.tag in _BY_NAME:
            made.text = self.random.choice(_BY_NAME[made.tag])
        elif kind is None:
            made.text = self.value(name)
        else:
            self.fill(made, kind, depth)
        return made

    def fill(self, made: etree._Element, kind: Any, depth: int) -> None:
        for part in _inside(kind):
            tag = part.tag.removeprefix(_X)
            if tag in ("simpleContent", "complexContent"):
                extension = _inside(part)[0]
                base = extension.get("base")
                inner = _definitions().get((_X + "complexType", base))
                if inner is None:
                    made.text = self.value(base)
                else:
                    self.fill(made, inner, depth)
                self.fill(made, extension, depth)
            elif tag in ("sequence", "choice", "group"):
                self.content(made, part, depth)
            elif tag == "attribute":
                self.attribute(made, part)
            elif tag == "attributeGroup":
                self.fill(made, _definitions()[_X + "attributeGroup", part.get("ref")], depth)

    def content(self, made: etree._Element, part: Any, depth: int) -> None:
        tag = part.tag.removeprefix(_X)
        for _ in range(self.times(part, depth)):
            if tag == "element":
                made.append(self.element(part, depth + 1))
            elif tag == "group":
                self.content(made, _inside(_definitions()[_X + "group", part.get("ref")])[-1], depth)
            elif tag == "choice":
                self.content(made, self.random.choice(_inside(part)), depth)
            elif tag == "sequence":
                for inner in _inside(part):
                    self.content(made, inner, depth)

    def times(self, part: Any, depth: int) -> int:
        least, most = int(part.get("minOccurs", 1)), part.get("maxOccurs", "1")
        if depth > _DEEP:
            return least
        if most == "1":
            return max(least, int(self.random.random() < 0.5))
        bound = 8 if most == "unbounded" else int(most)
        return max(least, min(bound, int(self.random.expovariate(0.35))))

    def attribute(self, made: etree._Element, part: Any) -> None:
        if part.get("use") != "required" and self.random.random() < 0.7:
            return
        name, ref = part.get("name"), part.get("ref")
        if ref is None:
            text = part.get("fixed") or self.value(part.get("type"))
        else:
            name, text = _FOREIGN[ref]
        if text is not None:
            made.set(name, text)

    def value(self, name: str) -> str:
        plain = name.removeprefix("xs:")
        if plain == "ID":
            self.identities.append(f"id{len(self.identities)}")
            return self.identities[-1]
        if plain == "IDREF":
            return self.random.choice(self.identities or ["id0"])
        if name.startswith("xs:"):
            return self.random.choice(_BY_BASE[plain])
        return self.simple(_definitions()[_X + "simpleType", name])

    def simple(self, kind: Any) -> str:
        body = _inside(kind)[0]
        if body.tag == f"{_X}union":
            names = (body.get("memberTypes") or "").split()
            inner = list(body.iterchildren(f"{_X}simpleType"))
            chosen = self.random.choice([*names, *inner])
            return self.value(chosen) if isinstance(chosen, str) else self.simple(chosen)
        listed = [e.get("value") for e in body.iterchildren(f"{_X}enumeration")]
        if listed:
            return str(self.random.choice(listed))
        pattern = body.find(f"{_X}pattern")
        if pattern is not None:
            return next(v for start, v in _BY_PATTERN.items() if pattern.get("value").startswith(start))
        least, most = body.find(f"{_X}minInclusive"), body.find(f"{_X}maxInclusive")
        over = body.find(f"{_X}minExclusive")
        if over is not None:
            return self.random.choice(("1", "0.5", "3"))
        if least is not None or most is not None:
            low = int(least.get("value")) if least is not None else -9
            return str(self.random.randint(low, int(most.get("value")) if most is not None else low + 9))
        if body.find(f"{_X}minLength") is not None:
            return "x"
        return self.value(body.get("base"))


_FOREIGN: dict[str, tuple[str, str | None]] = {
    "xml:lang": ("{http://www.w3.org/XML/1998/namespace}lang", "la"),
    "xml:space": ("{http://www.w3.org/XML/1998/namespace}space", "preserve"),
    "xlink:href": (_XLINK + "href", "other.musicxml"),
    "xlink:type": (_XLINK + "type", "simple"),
    "xlink:role": (_XLINK + "role", "role"),
    "xlink:title": (_XLINK + "title", "title"),
    "xlink:show": (_XLINK + "show", "replace"),
    "xlink:actuate": (_XLINK + "actuate", "onLoad"),
}
