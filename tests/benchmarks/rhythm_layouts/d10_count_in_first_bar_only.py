"""Counts stand over the first bar; the same columns hold on every other bar."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "patient grandmother", "says", False


def lay(t):
    t.need(t.struck_on(F(1, 2)), t.den == 4, not t.pickup)
    out = [t.name, f"Time: {t.time}", ""]
    for k, group in enumerate(chunks(t.bars, 2)):
        s = System(LABELS[t.n])
        for j, b in enumerate(group):
            items, w = even(b, F(1, 2), 4)
            over = []
            if k == j == 0:
                over = [("count", 1 + 8 * i + h * 4, "&" if h else str(i + 1)) for i in range(t.num) for h in (0, 1)]
            s.bar(items, w, over=over)
        out += [s.text(), ""]
    return "\n".join(out)
