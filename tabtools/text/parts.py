"""Which systems make a part, and where one goes on with the bar that the one before left open."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from tabtools.text.page_doubts import GridSystem, capo_doubt, grid_doubts, repeat_doubts
from tabtools.text.read import ReadSystem
from tabtools.text.system_doubts import bar_doubts

# A bar cut in two by the end of a line may be so many columns wider or narrower than the others.
_SLACK = 2


def groups(systems: Sequence[ReadSystem]) -> list[list[ReadSystem]]:
    """Neighbouring systems of one instrument make one part, and so do all systems under one part name."""
    groups: list[list[ReadSystem]] = []
    named: dict[str, list[ReadSystem]] = {}
    for system in systems:
        name = system.attached.part
        if name is not None and name in named:
            named[name].append(system)
        elif name is None and groups and _same_instrument(groups[-1][-1], system):
            groups[-1].append(system)
        else:
            groups.append([system])
            if name is not None:
                named[name] = groups[-1]
    return groups


def _same_instrument(one: ReadSystem, other: ReadSystem) -> bool:
    return one.strings.instrument.tuning == other.strings.instrument.tuning


def joined(systems: list[ReadSystem]) -> list[ReadSystem]:
    """The systems of one part, each told whether it goes on with the bar that the one before left open."""
    done: list[ReadSystem] = []
    usual = _usual_width(systems)
    for number, system in enumerate(systems):
        before = systems[number - 1] if number else None
        after = systems[number + 1] if number + 1 < len(systems) else None
        begins = before is not None and _goes_on(before, system, usual)
        goes_on = after is not None and _goes_on(system, after, usual)
        found = tuple(bar_doubts(system.system, system.bars, begins=begins, goes_on=goes_on))
        done.append(sorted_out(system._replace(doubts=system.doubts + found, continues=begins)))
    pairs = [(system.system, system.bars) for system in done]
    open_ends = [
        *repeat_doubts(pairs),
        *grid_doubts(list(_grid(done))),
        *((0, doubt) for doubt in capo_doubt(done[0].strings, pairs)),
    ]
    for index, doubt in open_ends:
        done[index] = done[index]._replace(remarks=(*done[index].remarks, doubt))
    return done


def _grid(systems: Sequence[ReadSystem]) -> Iterator[GridSystem]:
    lead = 0
    for system in systems:
        attached = system.attached
        timed = frozenset((*attached.letters, *attached.brackets))
        yield GridSystem(system.system, system.bars, lead if system.continues else 0, timed)
        lead = system.bars[-1].end - system.bars[-1].start if system.bars else 0


def _goes_on(one: ReadSystem, other: ReadSystem, usual: int) -> bool:
    """Whether a bar is cut by the end of a system: no bar line there and none where the next one begins,
    though both have bar lines elsewhere. The stroke behind a label is none where the two pieces make up a
    bar as wide as most, and pieces that are each as wide as most are whole bars."""
    if not one.bars or not other.bars or len(one.system.rows) != len(other.system.rows):
        return False
    first, last = other.bars[0], one.bars[-1]
    if last.closed or not last.opened or not first.closed:
        return False
    if other.section or one.attached.passes or other.attached.part != one.attached.part:
        return False
    labelled = any(row.label for row in other.system.rows)
    if len(one.bars) == len(other.bars) == 1 and not first.opened:
        return True  # one stroke begins and one ends what both together hold
    return (not first.opened or labelled) and _make_one(last.end - last.start, first.end - first.start, usual)


def _make_one(before: int, after: int, usual: int) -> bool:
    """Whether pieces of so many columns are together as wide as a bar usually is, or nearly so, for what a
    writer leaves out at the end of a line, and neither is one on its own."""
    if not usual or before + after == usual:
        return usual > 0
    nearly = abs(before + after - usual) <= _SLACK
    return nearly and min(before, after) > 2 and max(before, after) < usual - 1


def _usual_width(systems: Sequence[ReadSystem]) -> int:
    """The width that most bars have: of those that no end of a system can have cut, where there are some."""
    bars = [(number, system, bar) for system in systems for number, bar in enumerate(system.bars)]
    inner = [
        bar for number, system, bar in bars if bar.closed and bar.opened and (number or system is systems[0])
    ]
    # Two bars alone may be the pieces of one.
    widths = Counter(bar.end - bar.start for bar in inner or [bar for _, _, bar in bars[2:] and bars])
    return widths.most_common(1)[0][0] if widths else 0


def sorted_out(system: ReadSystem) -> ReadSystem:
    remarks = tuple(doubt for doubt in system.doubts if doubt.remark)
    doubts = tuple(doubt for doubt in system.doubts if not doubt.remark)
    return system._replace(doubts=doubts, remarks=(*system.remarks, *remarks))
