"""How techniques stand in MusicXML: the one table that writer and reader share.

Hammer-ons, pull-offs, slides, ties, bends, harmonics, note heads and palm mutes have forms of their own in
the modules; what no MusicXML element says is written as ``other-technical`` with the technique's word.
"""

from __future__ import annotations

from tabtools.record import NamedTuple


class Mark(NamedTuple):
    """An element that says a technique; ``group`` is the child of ``notations`` that it stands in."""

    group: str
    element: str
    text: str = ""
    attributes: tuple[tuple[str, str], ...] = ()


MARKS = {
    "tap": Mark("technical", "tap", "T", (("hand", "right"),)),
    "pop": Mark("technical", "snap-pizzicato"),
    "slide-in": Mark("articulations", "scoop"),
    "slide-out": Mark("articulations", "doit"),
    "trill": Mark("ornaments", "trill-mark"),
    "tremolo": Mark("ornaments", "tremolo", "3", (("type", "single"),)),
}
# The techniques that also go down have another element for it.
FALLING = {"slide-in": Mark("articulations", "plop"), "slide-out": Mark("articulations", "falloff")}
# Other elements that say the same; they are read only.
ALSO_READ = {"shake": "trill"}

# Techniques that are drawn as words and a dashed line over all the notes that have them.
SPAN_WORDS = {"palm-mute": "P.M.", "let-ring": "let ring", "whammy": "w/bar", "rake": "rake"}
