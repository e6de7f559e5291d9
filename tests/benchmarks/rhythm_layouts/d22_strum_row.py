"""Chords with a row of strokes D and U under the grid of two columns an eighth."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "campfire book", "columns", False


def lay(t):
    t.need(t.style == "strum", t.struck_on(F(1, 2)), not t.has_ties())
    out = [t.name, f"{t.time} - D = down, U = up", ""]
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = even(b, F(1, 2), 2)
            s.bar(items, w, over=[("chord", 1 + int(e.onset * 4), e.chord) for e in b.events if e.chord],
                  under=[("strokes", 1 + int(e.onset * 4), e.stroke.upper()) for e in b.events])
        out += [s.text(), ""]
    return "\n".join(out)
