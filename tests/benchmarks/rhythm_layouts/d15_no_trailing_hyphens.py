"""After the last note of a bar one hyphen and the bar line: long last notes lose their time.  Two columns an eighth."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "hurried student", "columns", False


def lay(t):
    t.need(t.struck_on(F(1, 2)), not t.pickup)
    out = [t.name, f"Time: {t.time}", f"Key: {t.key}", ""]
    for group in chunks(t.bars, 3):
        s = System(LABELS[t.n])
        for b in group:
            if not b.struck:
                raise Unfit("empty bar")
            items, w = even(b, F(1, 2), 2)
            end = max(c + max(len(x) - p for x, p in d.values()) for c, d in items) + 1
            s.bar(items, min(w, end))
        out += [s.text(), ""]
    return "\n".join(out)


def open_bars(t):
    """Bars whose cut leaves less than the metre: the reader may not be sure (full bars of the page show the grid)."""
    return {i for i, b in enumerate(t.bars) if b.struck[-1].onset + F(1, 2) < b.length}
