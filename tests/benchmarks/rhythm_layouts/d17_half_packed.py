"""The first half of the page on an even grid, then the writer ran out of patience: the rest is packed."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "hurried student", "columns", False


def lay(t):
    t.need(t.struck_on(F(1, 2)), not t.pickup, len(t.bars) >= 4, not t.has_ties())
    half = len(t.bars) // 2
    out = [t.name, f"Time: {t.time}", f"Key: {t.key}", ""]
    for k, group in enumerate((t.bars[:half], t.bars[half:])):
        for two in chunks(group, 2 if k == 0 else 3):
            s = System(LABELS[t.n])
            for b in two:
                items, w = packed(b, 1) if k else even(b, F(1, 2), 2)
                s.bar(items, w)
            out += [s.text(), ""]
    return "\n".join(out)


def open_bars(t):
    half = len(t.bars) // 2
    return {i for i, b in enumerate(t.bars) if i >= half and not (
        not b.rests() and len({e.dur for e in b.events}) == 1 and len(b.events) == b.length * 2)}
