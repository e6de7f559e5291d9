"""A pick-up bar is drawn short and said in words; four columns a quarter."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "patient grandmother", "columns", False


def lay(t):
    t.need(t.pickup, t.struck_on(F(1, 2)))
    out = [t.name, f"{t.time}, key of {t.key}", "starts with a pick-up", ""]
    for group in [t.bars[:3]] + chunks(t.bars[3:], 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = even(b, F(1, 2), 2)
            s.bar(items, w)
        out += [s.text(), ""]
    return "\n".join(out)
