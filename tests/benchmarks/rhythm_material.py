"""Tunes made into what a habit of the rhythm benchmark is measured on: metres, triplets, swing, licks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from tests.benchmarks.tab_habits import Habit
from tests.benchmarks.tab_pages import full_bars, replace_bars
from tests.benchmarks.tab_words import counted, lettered
from tests.benchmarks.tunes import TICKS, Tune, TuneBar


def material(habit: Habit, given: Iterable[Tune]) -> Iterator[Tune]:
    """The tunes that suit a habit, made into its metre, or the licks of them."""
    if habit.bars:
        yield from _licks(habit.bars, given)
        return
    for tune in given:
        made = _made(habit.material, tune)
        if made is None or len(made.bars) < 4 or not any(bar.onsets for bar in made.bars):
            continue
        if (habit.over == "letters" and not lettered(made)) or (habit.over == "counts" and not counted(made)):
            continue
        if habit.material == "straight" and not _on_steps(made, habit.step):
            continue
        yield made


def _on_steps(tune: Tune, step: str | int) -> bool:
    """Whether every onset is at a whole step, where the habit fixes one."""
    return isinstance(step, str) or not any(tick % step for bar in tune.bars for tick, _ in bar.onsets)


def _licks(bars: int, given: Iterable[Tune]) -> Iterator[Tune]:
    """Each tune's different stretches of so many bars that begin with a note and hold two or more each."""
    for tune in given:
        if tune.has_thirds:
            continue
        whole = full_bars(tune).bars
        cuts = [whole[at : at + bars] for at in range(0, len(whole) - bars + 1, bars)]
        kinds = {tuple(tuple(tick for tick, _ in bar.onsets) for bar in cut): cut for cut in cuts}
        for rhythm, cut in kinds.items():
            if all(len(ticks) > 1 and ticks[0] == 0 for ticks in rhythm):
                yield replace_bars(tune, cut)


def _made(kind: str, tune: Tune) -> Tune | None:
    whole = full_bars(tune)
    if kind in ("triplets", "fast triplets"):
        least = 8 if kind == "triplets" else 4
        return whole if tune.has_thirds and _closest(whole) >= least else None
    if tune.has_thirds:
        return None
    if kind == "pick-ups":
        short = tune.bars[0].length < tune.full and tune.bars[0].onsets
        last = tune.bars[-1]
        rest = [last] if last.length < tune.full and last.onsets else []
        return replace_bars(tune, [tune.bars[0], *whole.bars, *rest]) if short else None
    if kind == "swing":
        return _swung(whole)
    if kind == "some triplets":
        return _with_triplets(whole)
    if kind in _FROM:
        beats, unit = map(int, kind.split("/"))
        return _rebarred(whole, beats, unit) if (tune.beats, tune.unit) in _FROM[kind] else None
    return whole


# The metres that tunes of a wanted one are made from.
_FROM = {
    "12/8": [(6, 8)],
    "5/4": [(2, 4), (3, 4), (4, 4), (5, 4)],
    "7/8": [(2, 4), (3, 4), (4, 4), (5, 4)],
    "6/4": [(3, 4)],
    "5/8": [(3, 8), (6, 8)],
    "9/8": [(9, 8)],
    "3/8": [(3, 8)],
    "2/2": [(2, 2)],
}


def _with_triplets(tune: Tune) -> Tune | None:
    """Every third beat that a single note fills made a triplet; only tunes of eighths and longer notes."""
    if tune.unit != 4 or any(tick % 12 for bar in tune.bars for tick, _ in bar.onsets):
        return None
    bars, alone = [], 0
    for bar in tune.bars:
        ticks = {tick for tick, _ in bar.onsets}
        onsets = []
        for tick, pitch in bar.onsets:
            onsets.append((tick, pitch))
            if tick % TICKS == 0 and tick + TICKS // 2 not in ticks:
                alone += 1
                onsets += [(tick + 8, pitch + 2), (tick + 16, pitch)] * (alone % 3 == 0)
        bars.append(TuneBar(bar.length, tuple(onsets)))
    return replace_bars(tune, bars) if alone > 2 else None


def _closest(tune: Tune) -> int:
    """The fewest ticks from one onset to the next in a bar."""
    return min((b - a for bar in tune.bars for (a, _), (b, _) in pairwise(bar.onsets)), default=0)


def _swung(tune: Tune) -> Tune | None:
    """Off-beat eighths moved to the last third of their beat; only tunes that have no others."""
    if tune.unit != 4 or any(tick % 12 for bar in tune.bars for tick, _ in bar.onsets):
        return None
    bars = [
        TuneBar(bar.length, tuple((tick + 4 * (tick % 24 == 12), pitch) for tick, pitch in bar.onsets))
        for bar in tune.bars
    ]
    return replace_bars(tune, bars) if any(t % 24 for bar in bars for t, _ in bar.onsets) else None


def _rebarred(tune: Tune, beats: int, unit: int) -> Tune:
    length = 4 * TICKS * beats // unit
    notes = [(at * tune.full + tick, pitch) for at, bar in enumerate(tune.bars) for tick, pitch in bar.onsets]
    count = len(tune.bars) * tune.full // length
    bars = [
        TuneBar(length, tuple((t - n * length, p) for t, p in notes if n * length <= t < (n + 1) * length))
        for n in range(count)
    ]
    return Tune(tune.name, beats, unit, tuple(bars))
