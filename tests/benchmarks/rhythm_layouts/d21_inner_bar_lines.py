"""Bar lines only between bars, none at the ends of a line; one system holds four bars; `e-` labels."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "mail of the nineties", "columns", False


def lay(t):
    t.need(t.struck_on(F(1, 2)), not t.pickup)
    out = [f"{t.name}, {t.time}, in {t.key}", ""]
    for group in chunks(t.bars, 3):
        s = System(LABELS[t.n], opener="-")
        for i, b in enumerate(group):
            items, w = even(b, F(1, 2), 2, lead=0 if i == 0 else 1)
            s.bar(items, w, close="|" if i < len(group) - 1 else "")
        out += [s.text(), ""]
    return "\n".join(out)
