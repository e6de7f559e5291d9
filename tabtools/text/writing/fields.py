"""The words of a page in one form: headers in one order, section labels in brackets."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import groupby

from tabtools.source import Source
from tabtools.text.page.clean import Line
from tabtools.text.page.layout import Page
from tabtools.text.patterns import lazy
from tabtools.text.words.annotations import section_name
from tabtools.text.writing.plain import plain_line

# The order of the fields of a header, with the other names that the reader knows for them.
_ORDER = ("title", "composer", "author", "instrument", "tuning", "capo", "key", "time", "tempo")
_FIELD = lazy(rf"(?P<name>{'|'.join(_ORDER)})[ ]*[:=][ ]*(?P<value>\S+(?: \S+)*)", re.IGNORECASE)


def tidy_words(source: Source, page: Page) -> dict[int, str]:
    """New texts for lines by line number, where they differ: runs of one-field header lines in order, and
    section labels as ``[Name]``. Lines of prose stay."""
    words = dict(_sections(source, page))
    for run in _header_runs(page):
        fields = [_FIELD.fullmatch(line.text.rstrip()) for line in run]
        found = [match for match in fields if match is not None]
        found.sort(key=lambda match: _ORDER.index(match["name"].lower()))
        for line, match in zip(run, found, strict=True):
            text = f"{match['name'].capitalize()}: {match['value']}"
            if text != source.line(line.number) and plain_line(source, line) is not None:
                words[line.number] = text
    return words


def _header_runs(page: Page) -> Iterator[Sequence[Line]]:
    """Neighbouring lines, at the margin, each of which is one field and nothing else."""
    lines = [
        line.line for line in page.prose if _FIELD.fullmatch(line.text.rstrip()) and line.line.columns is None
    ]
    for _, run in groupby(enumerate(lines), key=lambda item: item[1].number - item[0]):
        yield [line for _, line in run]


def _sections(source: Source, page: Page) -> Iterator[tuple[int, str]]:
    """Section labels right over a system or between blank lines, in brackets."""
    numbers = {line.number for line in page.prose}
    lines = [*page.prose, *(line for system in page.systems for line in system.above)]
    for line in lines:
        name = section_name(line.text)
        if name is None or line.text[:1] == " " or line.line.columns is not None:
            continue
        alone = not {line.number - 1, line.number + 1} & numbers
        text = f"[{name}]"
        if alone and text != source.line(line.number):
            yield line.number, text
