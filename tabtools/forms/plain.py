"""Notes that plainly lie in the form that is written over them: no other reading needs to be looked for."""

from __future__ import annotations

from collections.abc import Sequence

from tabtools.forms.neck import Neck
from tabtools.forms.places import placed
from tabtools.forms.table import BARRE, REACH, grips
from tabtools.forms.written import Label

_FEWEST = 3  # notes; fewer lie in many forms


def plainly_fits(label: Label, notes: Sequence[tuple[int, int]], neck: Neck) -> bool:
    """Whether notes, as string and fret from the capo, all belong to the form at the position of a label.

    A position alone must have them within reach. False says nothing: the notes may fit all the same.
    """
    if label.position is None or len(notes) < _FEWEST:
        return False
    if label.form is None:
        low, high = REACH["D"]
        return all(low <= fret - label.position <= high for _, fret in notes if fret)
    wanted = set(notes)
    for anchor in {label.position, label.position - BARRE[label.form]}:
        for grip in grips():
            if grip.form == label.form and label.quality in (None, grip.quality):
                found = placed(neck, grip, anchor)
                if found and wanted <= {(string, fret) for string, fret, _ in found.notes}:
                    return True
    return False
