"""One input file, read: its source, its score, and what its format alone knows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tabtools.score import Score
from tabtools.source import Doubt, Source

if TYPE_CHECKING:
    from lxml import etree

    from tabtools.text.layout import Page


@dataclass(frozen=True, slots=True)
class Document:
    """What the rules look at. ``page`` is set for text tab, ``tree`` for MusicXML."""

    source: Source
    score: Score
    doubts: tuple[Doubt, ...] = ()
    page: Page | None = None
    tree: etree._ElementTree | None = None
