"""1 e & a over every bar, two columns a sixteenth; one bar a system."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "drummer who took up guitar", "says", False


def lay(t):
    t.need(t.struck_on(F(1, 4)), t.den == 4, not t.struck_on(F(1, 2)), not t.pickup)
    out = [t.name, f"{t.time}   {t.tempo} bpm", ""]
    for b in t.bars:
        s = System(LABELS[t.n])
        items, w = even(b, F(1, 4), 2)
        words_ = [str(i + 1) if k == 0 else "e&a"[k - 1] for i in range(t.num) for k in range(4)]
        s.bar(items, w, over=[("count", 1 + 2 * i, x) for i, x in enumerate(words_)])
        out += [s.text(), ""]
    return "\n".join(out)
