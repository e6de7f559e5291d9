"""A phone typist: one column a sixteenth, no blank hyphen at the bar's start, four bars a line if they fit."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "phone typist", "columns", False


def lay(t):
    t.need(t.struck_on(F(1, 4)), not t.struck_on(F(1)))
    out = [f"{t.name.lower()} {t.time} {t.tempo}bpm", ""]
    for group in chunks(t.bars, 3 if t.full > 4 else 4):
        s = System(LABELS[t.n])
        for b in group:
            items, w = even(b, F(1, 4), 1, lead=0)
            s.bar(items, w + 1)
        out += [s.text(), ""]
    return "\n".join(out)
