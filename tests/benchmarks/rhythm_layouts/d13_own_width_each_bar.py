"""Each bar at its own scale: a bar of quarters narrow, a bar of sixteenths wide, even inside."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "typist of even bars", "columns", False


def lay(t):
    t.need(t.struck_on(F(1, 4)), not t.pickup)
    out = [t.name, f"Time: {t.time}    Key: {t.key}", ""]
    for group in chunks(t.bars, 3):
        s = System(LABELS[t.n])
        for b in group:
            step = next(x for x in (F(1), F(1, 2), F(1, 4)) if all((e.onset / x).denominator == 1 for e in b.struck))
            items, w = even(b, step, {F(1): 4, F(1, 2): 3, F(1, 4): 2}[step])
            s.bar(items, w)
        out += [s.text(), ""]
    return "\n".join(out)


def open_bars(t):
    """A bar of quarters at four columns and a whole-note bar look alike in scale only; full bars are decided by the metre."""
    return set()
