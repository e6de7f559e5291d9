"""Capital letters in a row under the strings, even grid of two columns an eighth: both agree."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "drummer who took up guitar", "says", True


def lay(t):
    t.need(t.on(F(1, 2)), not t.has_ties(), not t.has_rests())
    out = [t.name.upper(), f"TIME {t.time}", ""]
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = even(b, F(1, 2), 3)
            s.bar(items, w, under=[("letters", 1 + int(e.onset * 6), LETTER[e.dur].upper()) for e in b.events])
        out += [s.text(), ""]
    return "\n".join(out)
