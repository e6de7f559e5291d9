"""Notes an even two columns an eighth, but silences are simply not drawn: the bar is shorter, and nobody can say where."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "hurried student", "columns", False


def lay(t):
    t.need(t.has_rests(), t.on(F(1, 2)), not t.has_ties(), not t.pickup)
    out = [t.name, f"Time: {t.time}", ""]
    for group in chunks(t.bars, 3):
        s = System(LABELS[t.n])
        for b in group:
            items, col = [], 1
            for e in b.events:
                items.append((col, cells(e)))
                col += int(e.dur * 4)
            s.bar(items, col)
        out += [s.text(), ""]
    return "\n".join(out)


def open_bars(t):
    return {i for i, b in enumerate(t.bars) if b.rests()}
