"""A real client drives the real server process, over standard input and output."""

from __future__ import annotations

import asyncio
import contextlib
import random
import sys
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest

pytest.importorskip("pygls")
from lsprotocol import types as lsp
from pygls.exceptions import JsonRpcException
from pygls.lsp.client import LanguageClient

from tabtools.source import Source
from tests.cli.support import CLEAN, OFF_NECK, run

ROOT = Path(__file__).parents[2]
PAUSE = 30.0  # seconds at most until all is shown after the typing
REPAIRABLE = OFF_NECK + "tabtools: ignore bar-overfull in file because of the notes\n"


class Session:
    """One editor: the texts that it has open, and the findings that it was sent last."""

    def __init__(self, client: LanguageClient, directory: Path) -> None:
        self.client = client
        self.directory = directory
        self.shown: dict[str, lsp.PublishDiagnosticsParams] = {}
        self.texts: dict[str, str] = {}
        self.versions: dict[str, int] = {}
        self.on_shown: Callable[[lsp.PublishDiagnosticsParams], object] = lambda _: None

        @client.feature(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)  # type: ignore[untyped-decorator]
        def published(params: lsp.PublishDiagnosticsParams) -> None:
            self.shown[params.uri] = params
            self.on_shown(params)

    def uri(self, name: str) -> str:
        return (self.directory / name).as_uri()

    def open(self, name: str, text: str) -> str:
        uri = self.uri(name)
        self.texts[uri], self.versions[uri] = text, 1
        item = lsp.TextDocumentItem(uri, "tab", 1, text)
        self.client.text_document_did_open(lsp.DidOpenTextDocumentParams(item))
        return uri

    def edit(self, uri: str, start: int, end: int, text: str) -> None:
        """Put a text in the place of some characters."""
        source = Source("x", self.texts[uri])
        place = lsp.Range(_position(source, start), _position(source, end))
        self.texts[uri] = source.text[:start] + text + source.text[end:]
        self.versions[uri] += 1
        self.client.text_document_did_change(
            lsp.DidChangeTextDocumentParams(
                lsp.VersionedTextDocumentIdentifier(self.versions[uri], uri),
                [lsp.TextDocumentContentChangePartial(text=text, range=place)],
            )
        )

    async def findings(self, uri: str) -> list[tuple[str, int, int]]:
        """Rule, line and column of what is shown after saving, counted from 1. The answer to a request comes
        behind everything that was sent before it."""
        identifier = lsp.TextDocumentIdentifier(uri)
        self.client.text_document_did_save(lsp.DidSaveTextDocumentParams(identifier))
        await self.client.text_document_folding_range_async(lsp.FoldingRangeParams(identifier))
        source = Source("x", self.texts[uri])
        return [
            (str(d.code), d.range.start.line + 1, _column(source, d.range.start))
            for d in self.shown[uri].diagnostics
        ]


def _position(source: Source, offset: int) -> lsp.Position:
    line, column = source.position(offset)
    return lsp.Position(line - 1, len(source.line(line)[: column - 1].encode("utf-16-le")) // 2)


def _column(source: Source, position: lsp.Position) -> int:
    line = source.line(position.line + 1).encode("utf-16-le")
    return len(line[: 2 * position.character].decode("utf-16-le", "replace")) + 1


def drive(directory: Path, work: Callable[[Session], Awaitable[None]]) -> None:
    """Start a server, do some work as its client, end it."""

    async def session() -> None:
        client = LanguageClient("a test", "1")
        await client.start_io(sys.executable, "-m", "tabtools", "serve")
        general = lsp.GeneralClientCapabilities(position_encodings=[lsp.PositionEncodingKind.Utf16])
        await client.initialize_async(
            lsp.InitializeParams(
                lsp.ClientCapabilities(general=general), root_uri=directory.as_uri(), process_id=None
            )
        )
        client.initialized(lsp.InitializedParams())
        try:
            await work(Session(client, directory))
            await client.shutdown_async(None)
        finally:
            client.exit(None)
            await client.stop()  # type: ignore[no-untyped-call]

    asyncio.run(asyncio.wait_for(session(), 120))


def _by_command(path: Path) -> list[tuple[str, int, int]]:
    import json

    result = run("check", path, "--forget", "--report", "json")
    findings = json.loads(result.stdout)["findings"]
    return [(finding["rule"], finding["line"], finding["column"]) for finding in findings]


def test_everything_an_editor_asks_for(tmp_path: Path) -> None:
    async def work(session: Session) -> None:
        client = session.client
        uri = session.open("a.txt", REPAIRABLE)
        identifier = lsp.TextDocumentIdentifier(uri)
        assert [rule for rule, _, _ in await session.findings(uri)] == ["fret-off-neck", "unused-ignore"]

        last = len(REPAIRABLE.splitlines()) - 1
        everything = lsp.Range(lsp.Position(0, 0), lsp.Position(last, 0))
        context = lsp.CodeActionContext(session.shown[uri].diagnostics)
        offered = await client.text_document_code_action_async(
            lsp.CodeActionParams(identifier, everything, context)
        )
        actions = [action for action in offered or [] if isinstance(action, lsp.CodeAction)]
        titles = [action.title for action in actions]
        assert "Silence fret-off-neck for this system, with a reason" in titles
        assert "Make all repairs that can't change what is played" in titles
        silence = next(action for action in actions if action.title.startswith("Silence fret-off-neck"))
        assert silence.edit is not None
        assert silence.edit.changes is not None
        (edit,) = silence.edit.changes[uri]
        lines = REPAIRABLE.splitlines(keepends=True)
        quiet = "".join([*lines[: edit.range.start.line], edit.new_text, *lines[edit.range.start.line :]])
        (tmp_path / "quiet.txt").write_text(quiet)
        assert "fret-off-neck" not in [rule for rule, _, _ in _by_command(tmp_path / "quiet.txt")]

        line = next(at for at, text in enumerate(REPAIRABLE.splitlines()) if text.startswith("G|"))
        hover = await client.text_document_hover_async(lsp.HoverParams(identifier, lsp.Position(line, 7)))
        assert hover is not None
        assert isinstance(hover.contents, lsp.MarkupContent)
        assert hover.contents.value.startswith("C4: string 3, fret 5")
        remark = lsp.Position(last, 20)
        hover = await client.text_document_hover_async(lsp.HoverParams(identifier, remark))
        assert hover is not None
        assert "bar-overfull" in str(hover.contents)

        symbols = await client.text_document_document_symbol_async(lsp.DocumentSymbolParams(identifier))
        assert symbols
        folds = await client.text_document_folding_range_async(lsp.FoldingRangeParams(identifier))
        assert [(fold.start_line, fold.end_line) for fold in folds or []] == [(3, 9)]
        options = lsp.FormattingOptions(4, True)
        edits = await client.text_document_formatting_async(lsp.DocumentFormattingParams(identifier, options))
        assert edits is not None
        client.text_document_did_close(lsp.DidCloseTextDocumentParams(identifier))

    drive(tmp_path, work)


def test_findings_after_edits_are_those_of_the_command(tmp_path: Path) -> None:
    chance = random.Random(7)
    pages = [CLEAN, *(path.read_text() for path in sorted((ROOT / "samples" / "drafts").glob("*.txt")))]

    async def work(session: Session) -> None:
        for number, page in enumerate(pages):
            uri = session.open(f"{number}.txt", page.replace("\n", "\r\n") if number == 1 else page)
            for _ in range(25):
                text = session.texts[uri]
                start = chance.randrange(len(text) + 1)
                end = min(len(text), start + chance.choice((0, 0, 1, 3)))
                session.edit(
                    uri, start, end, chance.choice(("", "-", "7", "|", "𝄞", "\n", "e|--5--|\n", "Am"))
                )
            shown = await session.findings(uri)
            path = tmp_path / f"{number}.txt"
            path.write_bytes(session.texts[uri].encode())
            assert shown == _by_command(path)

    drive(tmp_path, work)


def test_an_unfinished_line_waits_until_the_typing_stops(tmp_path: Path) -> None:
    async def work(session: Session) -> None:
        uri = session.open("a.txt", CLEAN)
        assert await session.findings(uri) == []
        sent: list[list[str]] = []
        session.on_shown = lambda params: sent.append([str(d.code) for d in params.diagnostics])
        session.edit(uri, CLEAN.index("B|") + 4, CLEAN.index("B|") + 5, "")
        waited = 0.0
        while len(sent) < 2 and waited < PAUSE:
            await asyncio.sleep(0.1)
            waited += 0.1
        assert sent[0] == []
        assert "uneven-lines" in sent[1]

    drive(tmp_path, work)


def test_nothing_an_editor_sends_ends_the_server(tmp_path: Path) -> None:
    async def work(session: Session) -> None:
        client = session.client
        uri = session.open("a.musicxml", "<score-partwise><part")
        assert [rule for rule, _, _ in await session.findings(uri)] == ["unreadable"]
        nowhere = lsp.TextDocumentIdentifier(session.uri("gone.txt"))
        for position in (lsp.Position(0, 0), lsp.Position(99, 99)):
            for identifier in (lsp.TextDocumentIdentifier(uri), nowhere):
                with contextlib.suppress(JsonRpcException):  # an error is an answer too
                    await client.text_document_hover_async(lsp.HoverParams(identifier, position))
        session.edit(uri, 0, len(session.texts[uri]), CLEAN * 30)
        assert await session.findings(uri) is not None

    drive(tmp_path, work)
