"""Nothing but one sentence about the lengths: all eighth notes (or all triplets); packed rows."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "forum soloist", "says", True


def lay(t):
    durs = {e.dur for b in t.bars for e in b.events}
    t.need(len(durs) == 1 or (durs <= {F(1, 2), t.full} or durs <= {F(1, 2), F(1)}), not t.has_rests(), not t.has_ties())
    if len(durs) == 1:
        text = {F(1, 2): "All eighth notes.", F(1, 4): "All sixteenths.", F(1): "All quarter notes.", F(1, 3): "All eighth-note triplets."}.get(durs.pop())
    else:
        bad = [b for b in t.bars if len({e.dur for e in b.events}) > 1 and any(e.dur > F(1, 2) for e in b.events[:-1])]
        t.need(not bad)
        text = "All eighth notes, let the last note of each line ring to the end of its bar."
    t.need(text is not None)
    out = [t.name, f"In {t.time}. {text}", ""]
    for group in chunks(t.bars, 1 if "last" in text else 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = packed(b, 1)
            s.bar(items, w)
        out += [s.text(), ""]
    return "\n".join(out)
