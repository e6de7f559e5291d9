"""One input file, read: its source, its score, and what its format alone knows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tabtools.doubts import Doubt
from tabtools.record import NamedTuple
from tabtools.score import Key, Pitch, Score, TimeSignature
from tabtools.source import MAX_BYTES, Source

if TYPE_CHECKING:
    from lxml import etree

    from tabtools.musicxml.located import Located
    from tabtools.text.page.layout import Page


class Defaults(NamedTuple):
    """What a reader takes for granted where a page says nothing, None for its own choice.

    ``tuning`` holds the open strings, string 1 first; ``scale_length`` is in millimetres. Files of more than
    ``max_bytes`` are refused.
    """

    tuning: tuple[Pitch, ...] | None = None
    frets: int | None = None
    scale_length: float | None = None
    key: Key | None = None
    time: TimeSignature | None = None
    max_bytes: int = MAX_BYTES


NO_DEFAULTS = Defaults()


class Document(NamedTuple):
    """What the rules look at. ``page`` is set for text tab, ``located`` for MusicXML."""

    source: Source
    score: Score
    doubts: tuple[Doubt, ...] = ()
    page: Page | None = None
    located: Located | None = None

    @property
    def tree(self) -> etree._ElementTree | None:
        """The tree of a MusicXML file."""
        return self.located.tree if self.located is not None else None
