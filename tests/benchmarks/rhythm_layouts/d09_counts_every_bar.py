"""A drummer counts every bar: 1 & 2 & under the rows, two columns an eighth or four."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "drummer who took up guitar", "says", False


def lay(t):
    t.need(t.struck_on(F(1, 2)), t.den == 4, t.num < 10)
    out = [t.name, f"{t.time} time - count out loud!", ""]
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = even(b, F(1, 2), 3)
            first = t.full - b.length if b is t.bars[0] and t.pickup else 0
            under = []
            at = F(0)
            while at < b.length:
                p = at + first
                under.append(("count", 1 + int(at * 6), str(int(p) + 1) if p.denominator == 1 else "&"))
                at += F(1, 2)
            s.bar(items, w, under=under)
        out += [s.text(), ""]
    return "\n".join(out)
