"""What must hold whatever the input: an end in time, no fault of ours, the same music after a repair."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from tabtools.cli.load import Checked, check_data
from tabtools.config import Config, resolve
from tabtools.document import Document
from tabtools.lint.proof import proved
from tabtools.lint.rules import Rules
from tabtools.preparing import Wishes, prepared
from tabtools.reading import read
from tabtools.source import MAX_BYTES, Source, UnreadableError, decode

PATIENCE = 10  # seconds of processor time for one input and one oracle
RESOLVED = resolve(Config("").general, Rules([]))


class BreachError(Exception):
    """What an input broke."""


@contextmanager
def in_time() -> Iterator[None]:
    """Raises BreachError where what is done takes longer than PATIENCE."""

    def late(*_: object) -> None:
        raise BreachError(f"no end within {PATIENCE} seconds")

    signal.signal(signal.SIGPROF, late)
    signal.setitimer(signal.ITIMER_PROF, PATIENCE)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)


def is_checked(data: bytes) -> None:
    """A check ends without a fault of ours."""
    _without_fault(data, None)


def is_repaired(data: bytes) -> None:
    """Safe repairs keep the music, and once is enough; no repair ends in a fault of ours."""
    _without_fault(data, "unsafe")
    checked = _without_fault(data, "safe")
    if checked.text is None or checked.before is None:
        return
    after = checked.before.encode(checked.text)
    before = _document(data)
    if before is not None and not proved(before.score, read("x", after).score, ()):
        raise BreachError("safe repairs change the music")
    again = check_data("x", after, RESOLVED, "safe")
    if again.text is not None:
        raise BreachError(f"repaired once more: {', '.join(again.repaired)}")


def is_laid_out(data: bytes) -> None:
    """The canonical layout has the same music, and is its own layout."""
    from tabtools.text.writing.format import format_text

    before = _document(data)
    if before is None or before.tree is not None:
        return
    source = decode("x", data, MAX_BYTES)
    text = format_text(source).text
    after = read("x", source.encode(text))
    if not proved(before.score, after.score, ()):
        raise BreachError("format changes the music")
    again = format_text(Source("x", text)).text
    if again != text:
        raise BreachError("format changes its own result")


def is_converted(data: bytes) -> None:
    """Each format is written, and what is written is read."""
    from tabtools.musicxml.writer import write_musicxml
    from tabtools.text.writing.writer import write_text

    before = _document(data)
    if before is None:
        return
    with_tab = prepared(before, Wishes(tab=True))[0].score
    try:
        read("x", write_musicxml(before.score))
        text = write_text(with_tab)
    except UnreadableError:  # no note has a place on the neck
        return
    if any(event.notes for part in with_tab.parts for bar in part.bars for event in bar.events):
        read("x", text.encode("utf-8", "backslashreplace"))


ORACLES: tuple[Callable[[bytes], None], ...] = (is_checked, is_repaired, is_laid_out, is_converted)


def broken(data: bytes) -> str | None:
    """What an input breaks; None for nothing."""
    for oracle in ORACLES:
        try:
            with in_time():
                oracle(data)
        except BreachError as breach:
            return f"{oracle.__name__}: {breach}"
        except UnreadableError:
            continue
        except Exception as error:
            return f"{oracle.__name__}: {_place(error)}"
    return None


def _without_fault(data: bytes, fix: str | None) -> Checked:
    checked = check_data("x", data, RESOLVED, fix)
    for finding in checked.file.findings:
        if finding.rule == "internal":
            raise BreachError(finding.message.partition(". This is a fault")[0])
    return checked


def _document(data: bytes) -> Document | None:
    try:
        return read("x", data)
    except UnreadableError:
        return None


def _place(error: Exception) -> str:
    """An exception with the innermost place of ours that it passed."""
    trace, place = error.__traceback__, ""
    while trace is not None:
        file = trace.tb_frame.f_code.co_filename
        if "tabtools" in file.replace("\\", "/").split("/"):
            place = f"{file.rpartition('tabtools')[2]}:{trace.tb_lineno}"
        trace = trace.tb_next
    return f"{type(error).__name__}: {error} ({place})"
