"""One open file: its text as the editor has it, what is found in it, and its document."""

from __future__ import annotations

import codecs
import re
from collections.abc import Callable

from tabtools.document import Document
from tabtools.editor.places import Places
from tabtools.lint.finding import FileFindings, Finding
from tabtools.lint.proof import proved
from tabtools.record import NamedTuple
from tabtools.source import Edit, Source, Span, UnreadableError, applied

_DECLARED = re.compile(r"\s*<\?xml[^>]*?encoding\s*=\s*[\"']([\w.:-]+)")


class Tool(NamedTuple):
    """What is done with the bytes of a file of some name, under the settings that hold for it.

    ``check`` finds; ``repair`` gives the text after all safe repairs, None where there are none; ``read``
    makes the document and raises UnreadableError.
    """

    check: Callable[[str, bytes], FileFindings]
    repair: Callable[[str, bytes], str | None]
    read: Callable[[str, bytes], Document]


class OpenPage:
    """A file in an editor. What is worked out of its text is worked out once."""

    def __init__(self, name: str, text: str, tool: Tool) -> None:
        self.name = name
        self.source = Source(name, text)
        self._tool = tool
        self._findings: tuple[Finding, ...] | None = None
        self._document: tuple[Document | None] | None = None
        self._shift = 0

    def places(self, encoding: str) -> Places:
        """Its places as the protocol counts them."""
        return Places(self.source, encoding)

    def findings(self) -> tuple[Finding, ...]:
        """What ``tabtools check`` finds in this text, at places of the editor's text."""
        if self._findings is None:
            checked = self._tool.check(self.name, self._data())
            self._shift = self._shift_of(checked.source.text)
            self._findings = tuple(self._moved(finding) for finding in checked.findings)
        return self._findings

    def document(self) -> Document | None:
        """The text, read; None where it is no tab."""
        if self._document is None:
            try:
                document = self._tool.read(self.name, self._data())
                self._shift = self._shift_of(document.source.text)
                self._document = (document,)
            except UnreadableError:
                self._document = (None,)
        return self._document[0]

    def repaired(self) -> str | None:
        """The text after all safe repairs; None where there are none."""
        text = self._tool.repair(self.name, self._data())
        return text if text is None or self._shift >= 0 else text[-self._shift :]

    def keeps_its_promise(self, finding: Finding, number: int) -> bool:
        """Whether the repair of a finding changes no more than it says."""
        fix, document = finding.fixes[number], self.document()
        if document is None:
            return False
        try:
            after = self._tool.read(self.name, self._data(applied(self.source.text, fix.edits)))
        except UnreadableError:
            return False
        return self._shift != 0 or proved(document.score, after.score, (fix,))

    def in_document(self, offset: int) -> int:
        """A place of the editor's text in the document's."""
        return offset - self._shift

    def _data(self, text: str | None = None) -> bytes:
        """The text as a file would hold it: XML in the encoding that it declares."""
        text = self.source.text if text is None else text
        declared = _DECLARED.match(text)
        try:
            name = codecs.lookup(declared[1]).name if declared else "utf-8"
            return text.encode(name, "surrogatepass" if name == "utf-8" else "xmlcharrefreplace")
        except (LookupError, UnicodeError):
            return text.encode("utf-8", "surrogatepass")

    def _shift_of(self, text: str) -> int:
        """How far places move where the reader put something before a text: XML without a declaration."""
        mine = self.source.text
        return len(mine) - len(text) if text != mine and text.endswith(mine) else 0

    def _moved(self, finding: Finding) -> Finding:
        shift = self._shift
        if not shift:
            return finding
        fixes = (
            fix._replace(
                edits=tuple(Edit(_moved(edit.span, shift), edit.text) for edit in fix.edits),
                changes=tuple(_moved(span, shift) for span in fix.changes),
            )
            for fix in finding.fixes
            if all(edit.span.start + shift >= 0 for edit in fix.edits)
        )
        related = tuple(_moved(span, shift) for span in finding.related)
        return finding._replace(span=_moved(finding.span, shift), related=related, fixes=tuple(fixes))


def _moved(span: Span, shift: int) -> Span:
    return Span(max(span.start + shift, 0), max(span.end + shift, 0))
