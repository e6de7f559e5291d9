"""The server: the pages that an editor has open, and the answers to its requests."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable

from lsprotocol import types as lsp
from pygls.lsp.server import LanguageServer

from tabtools import __version__
from tabtools.editor import answers, hover
from tabtools.editor.page import OpenPage, Tool
from tabtools.lint.finding import Finding

SOON = 0.05  # seconds after a change until what is certain is shown
QUIET = 0.8  # seconds without a change after which everything is shown
# What a line that is being typed is likely to have for as long as it is unfinished.
_UNFINISHED = frozenset(
    ("uneven-lines", "misaligned-barline", "misaligned-notes", "unclosed-bar", "split-bar", "missing-string")
    + ("bar-overfull", "bar-underfull", "unread-text", "unknown-symbol", "stray-character", "unreadable")
)


class _Pages:
    """The open files of one editor, and when their findings are shown."""

    def __init__(self, server: LanguageServer, tool: Callable[[], Tool]) -> None:
        self._server = server
        self._make_tool = tool
        self._tool = tool()
        self._pages: dict[str, OpenPage] = {}
        self._timers: dict[str, list[asyncio.TimerHandle]] = {}

    @property
    def encoding(self) -> str:
        """The unit of positions that the client has agreed to."""
        encoding = self._server.workspace.position_encoding
        return str(getattr(encoding, "value", encoding) or "utf-16")

    def of(self, uri: str) -> OpenPage:
        """The page as the editor has it now; one that it never opened is read from its disk."""
        document = self._server.workspace.get_text_document(uri)
        page = self._pages.get(uri)
        if page is None or page.source.text != document.source:
            page = OpenPage(document.path or uri, document.source, self._tool)
            self._pages[uri] = page
        return page

    def changed(self, uri: str) -> None:
        """Show soon what is certain, and all of it when the typing stops."""
        self._forget(uri)
        before = {_mark(finding) for finding in self._pages[uri].findings()} if uri in self._pages else set()
        loop = asyncio.get_running_loop()
        self._timers[uri] = [
            loop.call_later(SOON, self.show, uri, frozenset(before)),
            loop.call_later(QUIET, self.show, uri),
        ]

    def settled(self, uri: str) -> None:
        """Show all of it at once: nobody is typing."""
        self._forget(uri)
        self.show(uri)

    def show(self, uri: str, before: frozenset[object] | None = None) -> None:
        """Send the findings of a page; with ``before``, without those that an unfinished line may have and
        that were not there."""
        page = self.of(uri)
        shown = answers.diagnostics(page, uri, self.encoding)
        if before is not None:
            pairs = zip(page.findings(), shown, strict=True)
            shown = [d for f, d in pairs if f.rule not in _UNFINISHED or _mark(f) in before]
        version = self._server.workspace.get_text_document(uri).version
        self._server.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, shown, version))

    def closed(self, uri: str) -> None:
        """Forget a page and take its findings away."""
        self._forget(uri)
        self._pages.pop(uri, None)
        self._server.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, []))

    def configured_anew(self) -> None:
        """Read settings again and show all open pages again."""
        self._tool = self._make_tool()
        uris = list(self._pages)
        self._pages.clear()
        for uri in uris:
            self.show(uri)

    def _forget(self, uri: str) -> None:
        for timer in self._timers.pop(uri, []):
            timer.cancel()


def _mark(finding: Finding) -> object:
    return finding.rule, finding.message


def make_server(tool: Callable[[], Tool], rule: Callable[[str], str | None]) -> LanguageServer:
    """A server that answers for pages as ``tool`` checks them; it is called again when settings change.

    ``rule`` gives the text about a rule of a name.
    """
    server = LanguageServer("tabtools", __version__)
    pages = _Pages(server, tool)
    _keep_pages(server, pages)
    _answer(server, pages, rule)
    return server


def _keep_pages(server: LanguageServer, pages: _Pages) -> None:
    @server.feature(lsp.TEXT_DOCUMENT_DID_OPEN)
    def opened(params: lsp.DidOpenTextDocumentParams) -> None:
        pages.settled(params.text_document.uri)

    @server.feature(lsp.TEXT_DOCUMENT_DID_CHANGE)
    async def changed(params: lsp.DidChangeTextDocumentParams) -> None:
        pages.changed(params.text_document.uri)

    @server.feature(lsp.TEXT_DOCUMENT_DID_SAVE)
    def saved(params: lsp.DidSaveTextDocumentParams) -> None:
        pages.settled(params.text_document.uri)

    @server.feature(lsp.TEXT_DOCUMENT_DID_CLOSE)
    def closed(params: lsp.DidCloseTextDocumentParams) -> None:
        pages.closed(params.text_document.uri)

    @server.feature(lsp.WORKSPACE_DID_CHANGE_CONFIGURATION)
    def configured(_: lsp.DidChangeConfigurationParams) -> None:
        pages.configured_anew()

    @server.feature(lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES)
    def on_disk(_: lsp.DidChangeWatchedFilesParams) -> None:
        pages.configured_anew()


def _answer(server: LanguageServer, pages: _Pages, rule: Callable[[str], str | None]) -> None:
    kinds = [lsp.CodeActionKind.QuickFix, answers.REPAIR_ALL]

    @server.feature(lsp.TEXT_DOCUMENT_CODE_ACTION, lsp.CodeActionOptions(code_action_kinds=kinds))
    def actions(params: lsp.CodeActionParams) -> list[lsp.CodeAction]:
        uri, only = params.text_document.uri, params.context.only
        offered = answers.actions(pages.of(uri), uri, params.range, pages.encoding)
        return [action for action in offered if not only or _is_among(action.kind, only)]

    @server.feature(lsp.TEXT_DOCUMENT_FORMATTING)
    def formatting(params: lsp.DocumentFormattingParams) -> list[lsp.TextEdit]:
        return answers.formatting(pages.of(params.text_document.uri), pages.encoding)

    @server.feature(lsp.TEXT_DOCUMENT_RANGE_FORMATTING)
    def range_formatting(params: lsp.DocumentRangeFormattingParams) -> list[lsp.TextEdit]:
        return answers.formatting(pages.of(params.text_document.uri), pages.encoding, params.range)

    @server.feature(lsp.TEXT_DOCUMENT_HOVER)
    def hovered(params: lsp.HoverParams) -> lsp.Hover | None:
        page = pages.of(params.text_document.uri)
        offset = page.places(pages.encoding).offset(params.position)
        words = hover.words_at(page, offset, rule)
        return lsp.Hover(lsp.MarkupContent(lsp.MarkupKind.Markdown, words)) if words else None

    @server.feature(lsp.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
    def symbols(params: lsp.DocumentSymbolParams) -> list[lsp.DocumentSymbol]:
        return answers.symbols(pages.of(params.text_document.uri), pages.encoding)

    @server.feature(lsp.TEXT_DOCUMENT_FOLDING_RANGE)
    def folds(params: lsp.FoldingRangeParams) -> list[lsp.FoldingRange]:
        return answers.folds(pages.of(params.text_document.uri))


def _is_among(kind: object, wanted: Iterable[object]) -> bool:
    """Whether a kind of action is one of some kinds or of their kinds: ``source`` holds ``source.fixAll``."""
    name = str(getattr(kind, "value", kind))
    return any(f"{name}.".startswith(f"{getattr(one, 'value', one)}.") for one in wanted)
