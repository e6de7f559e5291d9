"""Reads, works out, checks, repairs and writes the tab of guitar lessons.

    >>> import tabtools
    >>> document = tabtools.read("lick.txt", data)
    >>> findings = tabtools.check(document, tabtools.load_all())
    >>> xml = tabtools.write_musicxml(document.score)

Every name is loaded when it is first used: importing the package costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tabtools.document import Document as Document
    from tabtools.dump import dump_score as dump_score
    from tabtools.forms.naming import name_forms as name_forms
    from tabtools.lint.engine import check as check
    from tabtools.lint.rules import load_all as load_all
    from tabtools.musicxml.writer import write_musicxml as write_musicxml
    from tabtools.reading import read as read
    from tabtools.score import Score as Score
    from tabtools.source import UnreadableError as UnreadableError
    from tabtools.text.writing.format import format_text as format_text
    from tabtools.text.writing.writer import write_text as write_text

__version__ = "0.1.0"

_HOMES = {
    "Document": "tabtools.document",
    "Score": "tabtools.score",
    "UnreadableError": "tabtools.source",
    "check": "tabtools.lint.engine",
    "dump_score": "tabtools.dump",
    "format_text": "tabtools.text.writing.format",
    "load_all": "tabtools.lint.rules",
    "name_forms": "tabtools.forms.naming",
    "read": "tabtools.reading",
    "write_musicxml": "tabtools.musicxml.writer",
    "write_text": "tabtools.text.writing.writer",
}
__all__ = ["__version__", *_HOMES]


if not TYPE_CHECKING:

    def __getattr__(name: str) -> object:
        if name not in _HOMES:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        from importlib import import_module

        return getattr(import_module(_HOMES[name]), name)
