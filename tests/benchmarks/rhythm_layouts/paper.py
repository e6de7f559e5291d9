"""Small paper and pencil for the layouts: tunes with exact times, cells, systems of rows.

A tune is a dict from JSON (see README.md); `Tune(dict)` holds it with Fractions.  A layout raises
`Unfit` when its writer would never have typed this tune in this way.
"""
from fractions import Fraction as F

LABELS = {6: "eBGDAE", 4: "GDAE"}
LETTER = {F(4): "w", F(3): "h.", F(2): "h", F(3, 2): "q.", F(1): "q", F(3, 4): "e.", F(1, 2): "e",
          F(3, 8): "s.", F(1, 4): "s", F(1, 8): "t", F(7, 2): "h..", F(4, 3): "h3",
          F(2, 3): "q3", F(1, 3): "e3", F(1, 6): "s3"}


class Unfit(Exception):
    """This writer would not have typed this tune so."""


class Event:
    def __init__(self, e):
        self.onset, self.dur = F(e["onset"]), F(e["duration"])
        self.notes = [(n[0], n[1], n[2]) for n in e["notes"]]  # string, fret (None = dead), technique
        self.tie = e.get("tie", False)                      # goes on from the event before, not struck
        self.chord, self.stroke = e.get("chord"), e.get("stroke")

    @property
    def end(self):
        return self.onset + self.dur

    def joined(self):
        """True when the (single) note is reached by hammer, pull or slide."""
        return len(self.notes) == 1 and self.notes[0][2] in ("h", "p", "/", "\\")


class Bar:
    def __init__(self, b):
        self.length = F(b["length"])
        self.events = [Event(e) for e in b["events"]]

    @property
    def struck(self):
        return [e for e in self.events if not e.tie]

    def rests(self):
        """(onset, duration) of the silences."""
        at, out = F(0), []
        for e in self.events:
            if e.onset > at:
                out.append((at, e.onset - at))
            at = max(at, e.end)
        if at < self.length:
            out.append((at, self.length - at))
        return out

    def shape(self):
        return tuple((e.onset, e.dur, e.tie) for e in self.events)


class Tune:
    def __init__(self, d):
        self.d = d
        self.name, self.time, self.key, self.tempo = d["name"], d["time"], d["key"], d["tempo"]
        self.style, self.feel, self.n = d["style"], d.get("feel"), d.get("strings", 6)
        self.pickup = d.get("pickup", False)
        self.bars = [Bar(b) for b in d["bars"]]
        self.num, self.den = map(int, self.time.split("/"))
        self.full = F(4 * self.num, self.den)
        self.beat = F(3, 2) if self.den == 8 and self.num % 3 == 0 else F(4, self.den)

    def onsets(self):
        return [e.onset for b in self.bars for e in b.events]

    def on(self, step):
        """Every onset and every end lies on multiples of `step` quarters."""
        return all((t / step).denominator == 1 for b in self.bars for e in b.events for t in (e.onset, e.end)
                   ) and all((b.length / step).denominator == 1 for b in self.bars)

    def struck_on(self, step):
        return all((e.onset / step).denominator == 1 for b in self.bars for e in b.struck
                   ) and all((b.length / step).denominator == 1 for b in self.bars)

    def has_triplets(self):
        return not self.on(F(1, 8))

    def has_ties(self):
        return any(e.tie for b in self.bars for e in b.events)

    def has_rests(self):
        return any(b.rests() for b in self.bars)

    def has_joins(self):
        return any(e.joined() for b in self.bars for e in b.events)

    def need(self, *conditions):
        if not all(conditions):
            raise Unfit(self.name)


def fret(note, wave="~", bend="b"):
    s, f, t = note
    if f is None:
        return "x"
    if t == "~":
        return f"{f}{wave}"
    if t and t.startswith("b"):
        return f"{f}{bend}{f + int(t[1:])}"
    return str(f)


def cells(event, joins=True, **kw):
    """{string: (text, how many characters stand before the fret)}."""
    out = {}
    for note in event.notes:
        pre = note[2] if joins and note[2] in ("h", "p", "/", "\\") else ""
        out[note[0]] = (pre + fret(note, **kw), len(pre))
    return out


class System:
    """Rows of one system; marks above and below are set by absolute column."""

    def __init__(self, labels, opener="|", fill="-"):
        self.rows = [f"{x}{opener}" for x in labels]
        self.fill, self.over, self.under = fill, {}, {}
        self.starts = []

    @property
    def width(self):
        return len(self.rows[0])

    def bar(self, items, width, close="|", over=(), under=()):
        """items: (column, {string: (text, prefix)}); over/under: (row name, column, text).  Columns in the bar."""
        start = self.width
        self.starts.append(start)
        for i, row in enumerate(self.rows):
            line = [self.fill] * width
            for col, by_string in items:
                if i + 1 in by_string:
                    text, pre = by_string[i + 1]
                    at = col - pre
                    if at < 0 or at + len(text) > width:
                        raise Unfit("no room at the bar's end")
                    for k, c in enumerate(text):
                        if line[at + k] != self.fill:
                            raise Unfit("no room for " + text)
                        line[at + k] = c
                    if at + len(text) < width and False:
                        pass
            for col, by_string in items:  # two numbers must not touch on one string
                pass
            self.rows[i] = row + "".join(line) + close
        touching(items)
        for name, col, text in over:
            self.mark(self.over, name, start + col, text)
        for name, col, text in under:
            self.mark(self.under, name, start + col, text)
        return start

    @staticmethod
    def mark(rows, name, col, text):
        line = rows.setdefault(name, "")
        if len(line) > col or (line and len(line) == col and line[-1] != " "):
            raise Unfit("marks run together")
        rows[name] = line.ljust(col) + text

    def text(self, over_order=None, under_order=None):
        over = [self.over[k].rstrip() for k in (over_order or sorted(self.over)) if k in self.over]
        under = [self.under[k].rstrip() for k in (under_order or sorted(self.under)) if k in self.under]
        return "\n".join(over + self.rows + under)


def touching(items):
    last = {}
    for col, by_string in items:
        for s, (text, pre) in by_string.items():
            if s in last and last[s] == col - pre and text[0].isdigit():
                raise Unfit("numbers touch")
            last[s] = col - pre + len(text)


def even(bar, step, per, lead=1, trail=0, joins=True, ties=None, **kw):
    """Items and width of an even grid: `per` columns for each `step` quarters.  ties: None or a function event->cells."""
    items = []
    for e in bar.events:
        col = lead + int(e.onset / step * per)
        if e.onset / step * per % 1:
            raise Unfit("between the columns")
        if e.tie:
            if ties:
                items.append((col, ties(e)))
            continue
        items.append((col, cells(e, joins, **kw)))
    return items, lead + int(bar.length / step * per) + trail


def packed(bar, gap=1, lead=1, joins=True, **kw):
    """Items one after another with `gap` hyphens between, whatever their lengths."""
    items, col = [], lead
    for e in bar.struck:
        c = cells(e, joins, **kw)
        pre = max(p for _, p in c.values())
        if pre and items:
            col += pre - min(gap, pre)
        if pre and not items:
            col += max(0, pre - lead)
        items.append((col, c))
        col += max(len(t) - p for t, p in c.values()) + gap
    return items, max(col, lead + 2)


def words(bar, step, per, lead=1, **kw):
    """As `even`, but a run of hammers and pulls on one string is one word at its first column (8h10p8---)."""
    items, runs = [], []
    for e in bar.struck:
        col = lead + e.onset / step * per
        if col % 1:
            raise Unfit("between the columns")
        if e.joined() and runs and len(runs[-1][1]) == 1 and e.notes[0][0] in runs[-1][1] \
                and e.onset == runs[-1][2]:
            s = e.notes[0][0]
            text, pre = runs[-1][1][s]
            runs[-1][1][s] = (text + cells(e, **kw)[s][0], pre)
            runs[-1][2] = e.end
            runs[-1][3] = True
            continue
        runs.append([int(col), cells(e, **kw), e.end, False])
    items = [(c, d) for c, d, _, _ in runs]
    return items, lead + int(bar.length / step * per)


def has_run(bar):
    prev = None
    for e in bar.struck:
        if e.joined() and prev is not None and len(prev.notes) == 1 and prev.notes[0][0] == e.notes[0][0] \
                and prev.end == e.onset:
            return True
        prev = e
    return False


def chunks(seq, n):
    return [seq[i:i + n] for i in range(0, len(seq), n)]
