"""Stems and beams drawn under the rows: | a quarter, |_| two eighths beamed, |=| sixteenths, ( a half.  Notes are packed."""
from tests.benchmarks.rhythm_layouts.paper import *
HAND, RHYTHM, DURATIONS = "teacher with a ruler", "says", True


def lay(t):
    ok = {F(1), F(1, 2), F(1, 4), F(2), F(3, 2)}
    t.need(all(e.dur in ok for b in t.bars for e in b.events), not t.has_rests(), not t.has_ties(), not t.has_joins())
    out = [t.name, t.time, "stems: ( half  | quarter  |. dotted  |_| eighths  |=| sixteenths", ""]
    for group in chunks(t.bars, 2):
        s = System(LABELS[t.n])
        for b in group:
            items, w = packed(b, 2)
            cols = [c for c, _ in items]
            line = [" "] * w
            evs = b.events
            for i, e in enumerate(evs):
                line[cols[i]] = "(" if e.dur == 2 else "|"
                if e.dur == F(3, 2):
                    line[cols[i] + 1] = "."
                nxt = evs[i + 1] if i + 1 < len(evs) else None
                if e.dur < 1 and nxt and nxt.dur < 1 and int(e.onset / t.beat) == int(nxt.onset / t.beat):
                    beam = "=" if e.dur == nxt.dur == F(1, 4) else "_"
                    for c in range(cols[i] + 1, cols[i + 1]):
                        line[c] = beam
                elif e.dur < 1 and (i == 0 or int(evs[i - 1].onset / t.beat) != int(e.onset / t.beat) or evs[i - 1].dur >= 1):
                    line[cols[i] + 1] = "'"
            s.bar(items, w, under=[("stems", cols[0], "".join(line)[cols[0]:].rstrip())])
        out += [s.text(), ""]
    return "\n".join(out)


def open_bars(t):
    """A beam of an eighth and sixteenths mixed is drawn with one stroke only where they meet: not told apart for sure."""
    mixed = set()
    for i, b in enumerate(t.bars):
        durs = {e.dur for e in b.events if e.dur < 1}
        if len(durs) > 1:
            mixed.add(i)
    return mixed
