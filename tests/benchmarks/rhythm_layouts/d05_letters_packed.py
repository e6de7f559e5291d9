"""Letters above every note, notes packed: columns mean nothing, letters everything.  Rests are written qr, er."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "word-processor teacher", "says", True


def lay(t):
    t.need(not t.has_triplets(), not t.has_ties())
    out = [t.name, f"{t.time}, {t.key}", "w h q e s t = whole .. thirty-second, r = rest", ""]
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            items, marks, col = [], [], 1
            things = sorted([(e.onset, e.dur, e) for e in b.events] + [(o, d, None) for o, d in split(b)], key=lambda x: x[0])
            for on, du, e in things:
                if du not in LETTER:
                    raise Unfit("no letter")
                word = LETTER[du] + ("" if e else "r")
                marks.append(("letters", col, word))
                wide = len(word)
                if e:
                    c = cells(e)
                    pre = max(p for _, p in c.values())
                    if pre and items and col - pre < nxt:
                        col += 1
                        marks[-1] = ("letters", col, word)
                    items.append((col, c))
                    nxt = col + max(len(x) - p for x, p in c.values())
                    wide = max(wide, max(len(x) - p for x, p in c.values()))
                col += wide + 1
            s.bar(items, col, over=marks)
        out += [s.text(), ""]
    return "\n".join(out)


def split(b):
    """Rests in pieces that have a letter."""
    out = []
    for on, du in b.rests():
        while du:
            piece = max(d for d in LETTER if d <= du and "3" not in LETTER[d] and (d == du or "." not in LETTER[d]))
            out.append((on, piece))
            on, du = on + piece, du - piece
    return out
