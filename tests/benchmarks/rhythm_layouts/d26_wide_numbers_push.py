"""Typed column by column: every column is as wide as its widest number, so a 10 pushes all rows on by one."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "typist of even bars", "columns", False


def lay(t):
    step = F(1, 2)
    t.need(t.struck_on(step), any(n[1] is not None and n[1] > 9 for b in t.bars for e in b.struck for n in e.notes), not t.pickup)
    out = [t.name, f"Time: {t.time}", f"Key: {t.key}", ""]
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            by = {e.onset: e for e in b.struck}
            items, col, at = [], 1, F(0)
            while at < b.length:
                if at in by:
                    c = cells(by[at])
                    items.append((col, c))
                    col += max(len(x) - p for x, p in c.values()) + 1
                else:
                    col += 2
                at += step
            s.bar(items, col)
        out += [s.text(), ""]
    return "\n".join(out)
