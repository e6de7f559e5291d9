"""Work that makes many objects and no garbage, without the collector looking for some all the time."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uncollected() -> Iterator[None]:
    """Leave the search for reference cycles until later: reading makes many objects, and no cycles.

    It would take up to a quarter of the time.
    """
    enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if enabled:
            gc.enable()
