"""One long staff, two columns an eighth, cut at 72 columns wherever that falls; labels again on each piece."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "mail of the nineties", "columns", False


def lay(t):
    t.need(t.struck_on(F(1, 2)), not t.pickup)
    s = System([""] * t.n, opener="")
    for b in t.bars:
        items, w = even(b, F(1, 2), 2)
        s.bar(items, w)
    out = [f"{t.name} ({t.time})", ""]
    for at in range(0, s.width, 70):
        piece = [lab + "|" + row[at:at + 70] for lab, row in zip(LABELS[t.n], s.rows)]
        if len(piece[0]) < 4:
            raise Unfit("tiny tail")
        for cut in range(t.n):
            a, b_ = s.rows[cut][max(0, at - 1):at], s.rows[cut][at:at + 1]
            if at and (b_.isdigit() and (a.isalnum() or a in "/\\") or b_ == "|"):
                raise Unfit("cut inside a word, or at a bar line")
        out += piece + [""]
    return "\n".join(out)
