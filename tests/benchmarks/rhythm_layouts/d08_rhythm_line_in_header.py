"""Every bar has the same rhythm, and the header says it once: `Rhythm: q e e q q`; the rows are packed."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "lazy letter writer", "says", True


def lay(t):
    t.need(len({b.shape() for b in t.bars}) == 1, not t.has_rests())
    pattern = " ".join(LETTER[e.dur] for e in t.bars[0].events)
    out = [t.name, f"Time: {t.time}", f"Rhythm: {pattern}", ""]
    for group in chunks(t.bars, 4):
        s = System(LABELS[t.n])
        for b in group:
            items, w = packed(b, 1)
            s.bar(items, w)
        out += [s.text(), ""]
    return "\n".join(out)
