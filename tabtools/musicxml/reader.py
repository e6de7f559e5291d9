"""MusicXML read into the score: notation, tab, or both on two staves, plain or in an .mxl package."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lxml import etree

from tabtools.collecting import uncollected
from tabtools.document import Document
from tabtools.doubts import Doubt
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import Located, LocatedPart
from tabtools.musicxml.package import is_package, unpack
from tabtools.musicxml.reading.measures import read_measure
from tabtools.musicxml.reading.merge import finished, same_music
from tabtools.musicxml.reading.state import RawBar, State
from tabtools.musicxml.reading.staves import declared
from tabtools.musicxml.reading.xml import decode, parse
from tabtools.record import NamedTuple
from tabtools.score import Instrument, Part, Score
from tabtools.source import MAX_BYTES, Edit, Source, applied, too_large


class _RawPart(NamedTuple):
    name: str
    located: LocatedPart
    doubts: tuple[Doubt, ...]
    bars: list[RawBar]
    instrument: Instrument
    tab: frozenset[int]

    @property
    def staves(self) -> frozenset[int]:
        return frozenset(event.staff for raw in self.bars for event in raw.events)


class _Music(NamedTuple):
    """A measure, and the element with a part's music in it: the same unless the file is timewise."""

    measure: etree._Element
    content: etree._Element


def read_musicxml(name: str, data: bytes, limit: int = MAX_BYTES) -> Document:
    """Read a MusicXML file of at most ``limit`` bytes; ``name`` is only remembered.

    Every bar, event and note carries its span in the source's text. Of a package the text and the elements
    are those of the score inside; a timewise score gives the parts that the partwise one would.

    Raises UnreadableError for a file that is no MusicXML, or is damaged, too large or unsafe to open.
    """
    source, xml = _opened(name, data, limit)
    tree = parse(source, xml)
    root = tree.getroot()
    extents = Extents(source.text, root)
    faulty: list[etree._Element] = []
    with uncollected():
        raws = _raw_parts(root, extents, faulty)
        located = Located(tree, extents, tuple(raw.located for raw in raws), tuple(faulty))
        parts, doubts = _parts(raws)
    composer = next((e.text for e in root.iterfind("identification/creator[@type='composer']")), None)
    title = root.findtext("work/work-title") or root.findtext("movement-title")
    score = Score(parts, _clean(title), _clean(composer))
    return Document(source, score, doubts, located=located)


def edited(document: Document, edits: Iterable[Edit]) -> Document:
    """The document after edits of its text, read again; the same one where there are none.

    Raises UnreadableError where the edits make of it what cannot be read.
    """
    return edited_text(document, applied(document.source.text, edits))


def edited_text(document: Document, text: str) -> Document:
    """The document with another text; the same one where the text is the same. Raises as `edited` does."""
    if text == document.source.text:
        return document
    data = document.source.encode(text)
    return read_musicxml(document.source.name, data, len(data))


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


def _parts(raws: Iterable[_RawPart]) -> tuple[tuple[Part, ...], tuple[Doubt, ...]]:
    paired = list(_paired(raws))
    parts = []
    for raw in paired:
        copied = raw.tab if raw.tab and raw.staves - raw.tab else frozenset[int]()
        bars = tuple(finished(bar, copied, raw.instrument) for bar in raw.bars)
        parts.append(Part(raw.name, raw.instrument, bars))
    return tuple(parts), tuple(doubt for raw in paired for doubt in raw.doubts)


def _raw_parts(root: etree._Element, extents: Extents, faulty: list[etree._Element]) -> list[_RawPart]:
    headers = {header.get("id"): header for header in root.iterfind("part-list/score-part")}
    timewise = root.tag == "score-timewise"
    music = _timewise(root) if timewise else _partwise(root)
    return [_raw_part(name, bars, headers.get(name), extents, faulty) for name, bars in music]


def _partwise(root: etree._Element) -> Iterator[tuple[str, list[_Music]]]:
    """The measures of each part, with its identity."""
    for part in root.iterfind("part"):
        yield part.get("id") or "", [_Music(measure, measure) for measure in part.iterfind("measure")]


def _timewise(root: etree._Element) -> Iterator[tuple[str, list[_Music]]]:
    parts: dict[str, list[_Music]] = {}
    for measure in root.iterfind("measure"):
        for part in measure.iterfind("part"):
            parts.setdefault(part.get("id") or "", []).append(_Music(measure, part))
    yield from parts.items()


def _raw_part(
    identity: str,
    music: list[_Music],
    header: etree._Element | None,
    extents: Extents,
    faulty: list[etree._Element],
) -> _RawPart:
    instrument, tab, doubts = declared([content for _, content in music], header, extents)
    state = State(instrument, extents, tab, faulty)
    bars = [
        read_measure(measure, content, number, state) for number, (measure, content) in enumerate(music, 1)
    ]
    name = _clean(header.findtext("part-name")) if header is not None else None
    instrument = bars[0].instrument if bars else instrument
    located = LocatedPart(identity, [raw.located for raw in bars], tab, instrument, state.staves)
    return _RawPart(name or "", located, doubts, bars, instrument, tab)


def _paired(parts: Iterable[_RawPart]) -> Iterator[_RawPart]:
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
