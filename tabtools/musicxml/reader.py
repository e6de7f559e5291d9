"""MusicXML read into the score: notation, tab, or both on two staves, plain or in an .mxl package."""

from __future__ import annotations

from collections.abc import Iterator

from lxml import etree

from tabtools.collecting import uncollected
from tabtools.document import Document
from tabtools.doubts import Doubt
from tabtools.musicxml.package import is_package, unpack
from tabtools.musicxml.reading.measures import read_measure
from tabtools.musicxml.reading.merge import finished, same_music
from tabtools.musicxml.reading.spans import Places
from tabtools.musicxml.reading.state import RawBar, State
from tabtools.musicxml.reading.staves import declared
from tabtools.musicxml.reading.xml import decode, parse
from tabtools.record import NamedTuple
from tabtools.score import Instrument, Part, Score
from tabtools.source import MAX_BYTES, Source, too_large


class _RawPart(NamedTuple):
    name: str
    instrument: Instrument
    doubts: tuple[Doubt, ...]
    bars: list[RawBar]
    tab: frozenset[int]

    @property
    def staves(self) -> frozenset[int]:
        return frozenset(event.staff for raw in self.bars for event in raw.events)


def read_musicxml(name: str, data: bytes, limit: int = MAX_BYTES) -> Document:
    """Read a MusicXML file of at most ``limit`` bytes; ``name`` is only remembered.

    Every bar, event and note carries its span in the source's text. Of a package the text and the tree are
    those of the score inside; a timewise score is read as the partwise one that it stands for, and so is
    its tree.

    Raises UnreadableError for a file that is no MusicXML, or is damaged, too large or unsafe to open.
    """
    source, xml = _opened(name, data, limit)
    tree = parse(source, xml)
    root = tree.getroot()
    with uncollected():
        parts, doubts = _parts(root, source.text)
    composer = next((e.text for e in root.iterfind("identification/creator[@type='composer']")), None)
    title = root.findtext("work/work-title") or root.findtext("movement-title")
    score = Score(parts, _clean(title), _clean(composer))
    return Document(source, score, doubts, tree=tree)


def read_source(name: str, data: bytes, limit: int = MAX_BYTES) -> Source:
    """The text of a MusicXML file, or of the score inside a package.

    Raises UnreadableError for a file that is too large, a damaged package, and an encoding that does not fit.
    """
    return _opened(name, data, limit)[0]


def _opened(name: str, data: bytes, limit: int) -> tuple[Source, bytes]:
    """The text of a score, and the bytes that hold it."""
    if len(data) > limit:
        raise too_large(limit, len(data))
    xml = unpack(data, limit) if is_package(data) else data
    return decode(name, xml), xml


def _clean(text: str | None) -> str | None:
    return (" ".join(text.split()) or None) if text else None


def _parts(root: etree._Element, text: str) -> tuple[tuple[Part, ...], tuple[Doubt, ...]]:
    places = Places(text, root)
    if root.tag == "score-timewise":
        _to_partwise(root, places)
    headers = {header.get("id"): header for header in root.iterfind("part-list/score-part")}
    raws = list(
        _paired([_raw_part(part, headers.get(part.get("id")), places) for part in root.iterfind("part")])
    )
    parts = []
    for raw in raws:
        copied = raw.tab if raw.tab and raw.staves - raw.tab else frozenset[int]()
        bars = tuple(finished(bar, copied, raw.instrument) for bar in raw.bars)
        parts.append(Part(raw.name, raw.instrument, bars))
    return tuple(parts), tuple(doubt for raw in raws for doubt in raw.doubts)


def _raw_part(part: etree._Element, header: etree._Element | None, places: Places) -> _RawPart:
    played, tab, doubts = declared(part, header, places)
    state = State(played, places, tab)
    bars = [
        read_measure(measure, number, state) for number, measure in enumerate(part.iterfind("measure"), 1)
    ]
    name = _clean(header.findtext("part-name")) if header is not None else None
    return _RawPart(name or "", bars[0].instrument if bars else played, doubts, bars, tab)


def _paired(parts: list[_RawPart]) -> Iterator[_RawPart]:
    """A notation part followed by its own music as a tab part is one part."""
    waiting = list(parts)
    while waiting:
        part = waiting.pop(0)
        after = waiting[0] if waiting else None
        if after and not part.tab and _is_tab(after) and same_music(part.bars, after.bars):
            waiting.pop(0)
            part = _joined(part, after)
        yield part


def _is_tab(part: _RawPart) -> bool:
    return bool(part.tab) and part.tab >= part.staves


def _joined(notation: _RawPart, tab: _RawPart) -> _RawPart:
    """The two parts as one with a tab staff below its own."""
    below = max(notation.staves) + 1
    for bar, copy in zip(notation.bars, tab.bars, strict=False):
        for event in copy.events:
            event.staff = below
        bar.events += copy.events
        bar.instrument = copy.instrument
    for bar in notation.bars[len(tab.bars) :]:
        bar.instrument = tab.instrument
    return notation._replace(instrument=tab.instrument, doubts=tab.doubts, tab=frozenset({below}))


def _to_partwise(root: etree._Element, places: Places) -> None:
    """Turn a timewise score into a partwise one, in place; the bars of all parts have the measure's span."""
    parts: dict[str, etree._Element] = {}
    for outer in root.findall("measure"):
        for inner in outer.findall("part"):
            identity = inner.get("id") or ""
            if identity not in parts:
                parts[identity] = etree.SubElement(root, "part", {"id": identity})
            measure = etree.SubElement(parts[identity], "measure")
            measure.attrib.update(outer.attrib)
            outer.attrib.pop("id", "")  # the bars of the other parts are other elements
            measure.extend(list(inner))
            places.move(outer, measure)
        root.remove(outer)
    root.tag = "score-partwise"
