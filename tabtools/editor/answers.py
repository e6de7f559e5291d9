"""What an editor shows of a page: findings, repairs, the new layout, the outline, what can be folded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher

from lsprotocol import types as lsp

from tabtools.editor.page import OpenPage
from tabtools.editor.places import Places
from tabtools.lint.finding import Finding, Severity
from tabtools.source import Source, Span, UnreadableError
from tabtools.text.page.layout import System

SEVERITIES = {
    Severity.ERROR: lsp.DiagnosticSeverity.Error,
    Severity.WARNING: lsp.DiagnosticSeverity.Warning,
    Severity.INFO: lsp.DiagnosticSeverity.Information,
}
REPAIR_ALL = lsp.CodeActionKind.SourceFixAll
_OUR_NAME = "tabtools"


def diagnostics(page: OpenPage, uri: str, encoding: str) -> list[lsp.Diagnostic]:
    """The findings of a page, in the order of the text, with their related places."""
    places = page.places(encoding)
    return [_diagnostic(finding, uri, places) for finding in page.findings()]


def _diagnostic(finding: Finding, uri: str, places: Places) -> lsp.Diagnostic:
    related = [
        lsp.DiagnosticRelatedInformation(lsp.Location(uri, places.range(span)), "belongs to it")
        for span in finding.related
    ]
    return lsp.Diagnostic(
        range=places.range(finding.span),
        message=finding.message,
        severity=SEVERITIES[finding.severity],
        code=finding.rule,
        source=_OUR_NAME,
        related_information=related or None,
    )


def actions(page: OpenPage, uri: str, wanted: lsp.Range, encoding: str) -> list[lsp.CodeAction]:
    """The repairs of the findings that a range touches, silence for each, and all safe repairs."""
    places = page.places(encoding)
    first, last = places.offset(wanted.start), places.offset(wanted.end)
    offered: list[lsp.CodeAction] = []
    for finding in page.findings():
        if finding.span.start <= last and first <= max(finding.span.end, finding.span.start + 1):
            offered += _repairs(page, finding, uri, places)
            offered += _silence(page, finding, uri, places)
    if any(fix.safe for finding in page.findings() for fix in finding.fixes):
        text = page.repaired()
        if text is not None:
            edits = changes(page.source, text, places)
            title = "Make all repairs that can't change what is played"
            offered.append(lsp.CodeAction(title, REPAIR_ALL, edit=_edit(uri, edits)))
    return offered


def _repairs(page: OpenPage, finding: Finding, uri: str, places: Places) -> Iterator[lsp.CodeAction]:
    for number, fix in enumerate(finding.fixes):
        if not page.keeps_its_promise(finding, number):
            continue
        edits = [lsp.TextEdit(places.exact(edit.span), edit.text) for edit in fix.edits]
        title = fix.message if fix.safe else f"{fix.message} (may change what is played)"
        yield lsp.CodeAction(
            title[:1].upper() + title[1:],
            lsp.CodeActionKind.QuickFix,
            diagnostics=[_diagnostic(finding, uri, places)],
            is_preferred=fix.safe,
            edit=_edit(uri, edits),
        )


def _silence(page: OpenPage, finding: Finding, uri: str, places: Places) -> Iterator[lsp.CodeAction]:
    """A remark over the system of a finding in text tab, with a reason to be put right."""
    system = _system_at(page, finding.span.start)
    if system is None or finding.rule in ("internal", "unreadable"):
        return
    start = page.source.line_starts[system.first - 1]
    remark = f"tabtools: ignore {finding.rule} in system because it is meant\n"
    yield lsp.CodeAction(
        f"Silence {finding.rule} for this system, with a reason",
        lsp.CodeActionKind.QuickFix,
        diagnostics=[_diagnostic(finding, uri, places)],
        edit=_edit(uri, [lsp.TextEdit(places.exact(Span(start, start)), remark)]),
    )


def _edit(uri: str, edits: Sequence[lsp.TextEdit]) -> lsp.WorkspaceEdit:
    return lsp.WorkspaceEdit(changes={uri: list(edits)})


def formatting(page: OpenPage, encoding: str, wanted: lsp.Range | None = None) -> list[lsp.TextEdit]:
    """What the canonical layout changes, of the whole page or where it touches some lines; nothing for a page
    that is no text tab."""
    from tabtools.text.writing.format import format_text

    document = page.document()
    if document is None or document.tree is not None:
        return []
    try:
        text = format_text(page.source).text
    except UnreadableError:
        return []
    edits = changes(page.source, text, page.places(encoding))
    if wanted is None:
        return edits
    return [
        e for e in edits if e.range.start.line <= wanted.end.line and wanted.start.line <= e.range.end.line
    ]


def changes(source: Source, text: str, places: Places) -> list[lsp.TextEdit]:
    """The edits that make a text of the source, by whole lines."""
    before, after = source.text.splitlines(keepends=True), text.splitlines(keepends=True)
    starts = [0]
    for line in before:
        starts.append(starts[-1] + len(line))
    matcher = SequenceMatcher(None, before, after, autojunk=False)
    return [
        lsp.TextEdit(places.exact(Span(starts[first], starts[last])), "".join(after[new:end]))
        for kind, first, last, new, end in matcher.get_opcodes()
        if kind != "equal"
    ]


def symbols(page: OpenPage, encoding: str) -> list[lsp.DocumentSymbol]:
    """The sections of each part and the bars in them, by where they begin."""
    document = page.document()
    if document is None:
        return []
    places = page.places(encoding)
    outline: list[lsp.DocumentSymbol] = []
    for part in document.score.parts:
        for bar in part.bars:
            if not bar.spans:
                continue
            spot = places.range(_in_editor(page, bar.spans[0]))
            if bar.section or not outline:
                name = bar.section or part.name or "Tab"
                outline.append(lsp.DocumentSymbol(name, lsp.SymbolKind.Namespace, spot, spot, children=[]))
            children = list(outline[-1].children or ())
            bar_symbol = lsp.DocumentSymbol(f"Bar {bar.number}", lsp.SymbolKind.Array, spot, spot)
            outline[-1].children = [*children, bar_symbol]
            outline[-1].range = lsp.Range(outline[-1].range.start, max(outline[-1].range.end, spot.end))
    return outline


def folds(page: OpenPage) -> list[lsp.FoldingRange]:
    """A fold for each system of text tab, with the lines right above and below it."""
    return [
        lsp.FoldingRange(system.first - 1, system.last - 1, kind=lsp.FoldingRangeKind.Region)
        for system in _systems(page)
        if system.first < system.last
    ]


def _systems(page: OpenPage) -> Sequence[System]:
    document = page.document()
    return document.page.systems if document is not None and document.page is not None else ()


def _system_at(page: OpenPage, offset: int) -> System | None:
    """The system whose lines hold a place, or the next one below."""
    line, _ = page.source.position(min(max(offset, 0), len(page.source.text)))
    return next((system for system in _systems(page) if line <= system.last), None)


def _in_editor(page: OpenPage, span: Span) -> Span:
    shift = page.in_document(0)
    return Span(max(span.start - shift, 0), max(span.end - shift, 0))
