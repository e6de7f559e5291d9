"""Letters over every note, a tied note is written again in brackets with its own letter; two columns an eighth."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS, TIES = "word-processor teacher", "says", True, True


def again(e):
    return {n[0]: (f"({n[1]})", 1) for n in e.notes}


def lay(t):
    t.need(t.has_ties(), t.on(F(1, 2)), not t.has_rests())
    out = [t.name, f"Time: {t.time}", "(5) = held over, do not pick", ""]
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = even(b, F(1, 2), 4, lead=2, ties=again)
            s.bar(items, w, over=[("letters", 2 + int(e.onset * 8), LETTER[e.dur]) for e in b.events])
        out += [s.text(), ""]
    return "\n".join(out)
