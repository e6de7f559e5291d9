"""A letter stands only where the length changes and holds on until the next one (also over bar lines)."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "lazy letter writer", "says", True


def lay(t):
    t.need(not t.has_triplets(), not t.has_ties(), not t.has_rests())
    out = [t.name, f"Time: {t.time}", f"Key: {t.key}", "(a letter holds until the next letter)", ""]
    before = None
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = packed(b, 1 if max(e.dur for e in b.events) < 1 else 2)
            marks = []
            for (col, _), e in zip(items, b.struck):
                if e.dur != before:
                    marks.append(("letters", col, LETTER[e.dur]))
                    before = e.dur
            s.bar(items, w, over=marks)
        out += [s.text(), ""]
    return "\n".join(out)
