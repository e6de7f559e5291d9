"""Letters with brackets for triplets: q (eee)3 q, over packed notes; a triplet's letters stand over its notes, the 3 after."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "jazz student", "says", True


def lay(t):
    t.need(t.has_triplets(), not t.has_rests(), not t.has_ties(), t.den == 4,
           all(e.dur in (F(1, 3), F(1), F(2), F(4), F(1, 2), F(3, 2), F(1, 4)) for b in t.bars for e in b.events))
    out = [t.name, f"Time: {t.time}", "q e s as usual, (e e e)3 = eighth triplet", ""]
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = packed(b, 4, lead=2)
            marks, k = [], 0
            for (col, _), e in zip(items, b.struck):
                if e.dur == F(1, 3):
                    word = ["(e", "e", "e)3"][k]
                    marks.append(("letters", col - (1 if k == 0 else 0), word))
                    k = (k + 1) % 3
                else:
                    marks.append(("letters", col, LETTER[e.dur]))
            s.bar(items, w, over=marks)
        out += [s.text(), ""]
    return "\n".join(out)
