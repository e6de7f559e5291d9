"""Every bar is stretched to 22 columns (a typist who likes bar lines under each other), notes at rounded places."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "typist of even bars", "columns", False


def lay(t):
    t.need(t.struck_on(F(1, 2)), not t.pickup, max(len(b.struck) for b in t.bars) < 9)
    out = [t.name, f"Time: {t.time}", ""]
    for group in chunks(t.bars, 3):
        s = System(LABELS[t.n])
        for b in group:
            items = [(1 + int(e.onset / b.length * 21 + F(1, 2)), cells(e)) for e in b.struck]
            s.bar(items, 22)
        out += [s.text(), ""]
    return "\n".join(out)
