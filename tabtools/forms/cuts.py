"""Labels for stretches of a part, and the cutting of a part into such stretches."""

from __future__ import annotations

from tabtools.forms.boxcost import BoxLabel
from tabtools.forms.cost import LABELS
from tabtools.forms.table import FORMS
from tabtools.record import NamedTuple


class FormLabel(NamedTuple):
    """A form with its quality, as an index of `tabtools.forms.cost.LABELS`, at an anchor fret."""

    fq: int
    anchor: int


class RunLabel(NamedTuple):
    """Motion without a form."""


Label = FormLabel | BoxLabel | RunLabel


class Cut(NamedTuple):
    """Strokes ``start`` up to ``end``, not included, under one label; linked to the cut before."""

    start: int
    end: int
    label: Label
    before: Cut | None


class Ending(NamedTuple):
    """A cutting that may end at a stroke: its cost, and the last stretch with the cut before."""

    total: int
    start: int
    label: Label
    before: Cut | None

    @property
    def rank(self) -> tuple[int, ...]:
        """The order of ways: cost, longest, forms before boxes before runs, then form, anchor, quality."""
        label = self.label
        if isinstance(label, FormLabel):
            form = FORMS.index(LABELS[label.fq][0])
            return self.total, self.start, 0, form, label.anchor, label.fq
        return self.total, self.start, 1 if isinstance(label, BoxLabel) else 2, *label


def chain(cut: Cut | None) -> list[Cut]:
    """The cuts up to and with a cut, in order."""
    found: list[Cut] = []
    while cut is not None:
        found.append(cut)
        cut = cut.before
    return found[::-1]
