"""One hyphen between all notes whatever their lengths: only a bar of equal notes could be told."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "hurried student", "undecidable", False


def lay(t):
    t.need(len({e.dur for b in t.bars for e in b.events}) > 1, not t.has_ties())
    out = [t.name, f"Time: {t.time}", ""]
    for group in chunks(t.bars, 4):
        s = System(LABELS[t.n])
        for b in group:
            items, w = packed(b, 1)
            s.bar(items, w)
        out += [s.text(), ""]
    return "\n".join(out)


def open_bars(t):
    return {i for i, b in enumerate(t.bars) if not equal(b)}


def equal(b):
    return not b.rests() and len({e.dur for e in b.events}) == 1 and len(b.events) > 1
