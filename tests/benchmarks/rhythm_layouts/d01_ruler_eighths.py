"""A teacher with a ruler: two columns an eighth, two bars a system, chord names above."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "teacher with a ruler", "columns", False


def lay(t):
    t.need(t.struck_on(F(1, 2)))
    out = [t.name, f"Key: {t.key}", f"Time: {t.time}", ""]
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = even(b, F(1, 2), 2)
            s.bar(items, w, over=[("chord", 1 + int(e.onset * 4), e.chord) for e in b.events if e.chord])
        out += [s.text(), ""]
    return "\n".join(out)
