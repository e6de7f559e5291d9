"""Roomy hand: two columns a sixteenth everywhere, one bar a system when the bars are long, else two."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "teacher with a ruler", "columns", False


def lay(t):
    t.need(t.struck_on(F(1, 4)))
    out = [f"{t.name}   {t.time}   q = {t.tempo}", ""]
    for group in chunks(t.bars, 1 if t.full > 4 else 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = even(b, F(1, 4), 2)
            s.bar(items, w)
        out += [s.text(), ""]
    return "\n".join(out)
