"""What reading a page gives before a score is made of it: systems with columns and times, and the page."""

from __future__ import annotations

from tabtools.doubts import Doubt
from tabtools.record import NamedTuple
from tabtools.score import TimeSignature
from tabtools.text.page.header import Header
from tabtools.text.page.layout import Page, System
from tabtools.text.page.strings import Strings
from tabtools.text.rhythm import Timing
from tabtools.text.rows.columns import RawBar
from tabtools.text.words.attach import Attached


class ReadSystem(NamedTuple):
    """One system: the header that it stands under, its strings, its bars with metre and timing, and what
    stands around it.

    ``doubts`` are about how it reads, ``remarks`` about how it may be meant. ``continues`` says that its
    first bar is the rest of the last bar of the system before, in the same part.
    """

    system: System
    header: Header
    strings: Strings
    bars: tuple[RawBar, ...]
    attached: Attached
    section: str | None
    doubts: tuple[Doubt, ...]
    times: tuple[TimeSignature, ...] = ()
    timings: tuple[Timing, ...] = ()
    remarks: tuple[Doubt, ...] = ()
    continues: bool = False


class ReadPage(NamedTuple):
    """A page: its systems grouped into parts, in order; ``doubts`` are those about the page as a whole."""

    page: Page
    header: Header
    title: str | None
    parts: tuple[tuple[ReadSystem, ...], ...]
    doubts: tuple[Doubt, ...]
