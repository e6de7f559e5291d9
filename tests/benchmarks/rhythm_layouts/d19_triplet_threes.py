"""Twelve columns a quarter would be too wide, so: six columns a quarter; a `3` above the middle note of each triplet."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "jazz student", "says", False


def lay(t):
    t.need(t.has_triplets(), t.struck_on(F(1, 6)), t.den == 4)
    out = [t.name, f"Time: {t.time}", "3 = triplet", ""]
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = even(b, F(1, 6), 1)
            marks, trip = [], []
            for e in b.events:
                if e.dur in (F(1, 3), F(2, 3)):
                    trip.append(e)
                    if len(trip) == 3:
                        marks.append(("trip", 1 + int(trip[1].onset * 6), "3"))
                        trip = []
                else:
                    trip = []
            s.bar(items, w, over=marks)
        out += [s.text(), ""]
    return "\n".join(out)
