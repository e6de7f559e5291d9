"""Forum soloist: four or eight columns a quarter, but hammers and pulls are typed as one word (8h10p8---) where
the run starts.  Bars with a run: the page does not tell where inside the run's time the later notes fall."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "forum soloist", "columns", False


def lay(t):
    t.need(t.struck_on(F(1, 4)), t.has_joins())
    per = 2
    out = [f"Subject: {t.name}", "", f"Key {t.key}, Time: {t.time}", ""]
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = words(b, F(1, 4), per)
            s.bar(items, w)
        out += [s.text(), ""]
    return "\n".join(out)


def open_bars(t):
    return {i for i, b in enumerate(t.bars) if has_run(b)}
