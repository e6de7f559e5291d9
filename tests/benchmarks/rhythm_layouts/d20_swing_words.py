"""Written as straight eighths on an even grid; the first line says to swing them."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS, SWUNG = "jazz student", "columns", False, True


def lay(t):
    t.need(t.feel == "swing", t.struck_on(F(1, 2)), t.den == 4)
    out = [t.name, f"Swing the eighths. {t.time}, {t.key}, about {t.tempo} bpm", ""]
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = even(b, F(1, 2), 3)
            s.bar(items, w)
        out += [s.text(), ""]
    return "\n".join(out)
