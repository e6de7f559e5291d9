"""Findings for people: where, what, and the lines of the source with a marker under the very characters."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence

from tabtools.lint.finding import FileFindings, Finding, Severity, count
from tabtools.report.plain import one_line
from tabtools.source import Source, Span

WIDTH = 100  # columns of a source line that are shown
LINES = 8  # source lines that are shown for one finding
TAB_STOP = 8
COLOURS = {Severity.ERROR: "red", Severity.WARNING: "yellow", Severity.INFO: "cyan"}

Paint = Callable[[str, str], str]


def render(files: Sequence[FileFindings], *, least: Severity = Severity.WARNING, colour: bool = False) -> str:
    """The findings of the ``least`` severity and above with their excerpts, file by file, the worst first,
    and last a line with the counts of each rule and one of all.

    What is said of several places of a file in the same words stands there once, with the other lines. With
    ``colour`` the text holds ANSI colour codes.
    """
    paint = _painter(colour)
    blocks = [
        "\n".join(_finding_lines(file.source, alike, paint))
        for file in files
        for alike in _folded(file, least)
    ]
    told = [*by_rule(files), *repairable(files), *_unlisted(files, least), summary(files)]
    return "\n\n".join([*blocks, "\n".join(told)]) + "\n"


def _folded(file: FileFindings, least: Severity) -> list[list[Finding]]:
    """The findings that are listed, the worst first and then as they stand; those of one rule in the same
    words together."""
    alike: dict[tuple[str, str], list[Finding]] = {}
    for finding in sorted(file.findings, key=lambda finding: -finding.severity):
        if finding.severity >= least:
            alike.setdefault((finding.rule, finding.message), []).append(finding)
    return list(alike.values())


def _unlisted(files: Sequence[FileFindings], least: Severity) -> list[str]:
    """A line that says how many findings are not listed, where any are."""
    hidden = Counter(finding.severity for file in files for finding in file.findings)
    counts = [plural(hidden[each], each.word) for each in sorted(hidden, reverse=True) if each < least]
    lowest = min(hidden, default=least)
    return [f"not listed: {', '.join(counts)} (--show {lowest.word} lists them)"] if counts else []


def counts(files: Sequence[FileFindings]) -> str:
    """The counts alone: by rule, the most frequent first, and the last line that counts them all."""
    rows = [(number, rule) for rule, number in _counted(files).items()]
    width = max((len(str(number)) for number, _ in rows), default=0)
    lines = [f"{number:>{width}}  {rule}" for number, rule in sorted(rows, key=lambda row: (-row[0], row[1]))]
    return "\n".join([*lines, summary(files)]) + "\n"


def by_rule(files: Sequence[FileFindings]) -> list[str]:
    """A line with the number of findings of each rule, where there are any."""
    counted = _counted(files)
    return (
        ["by rule: " + ", ".join(f"{rule} {number}" for rule, number in counted.items())] if counted else []
    )


def repairable(files: Sequence[FileFindings]) -> list[str]:
    """A line that says how many findings can be repaired automatically, where any can."""
    offered = [finding.fixes for file in files for finding in file.findings if finding.fixes]
    safe = sum(any(fix.safe for fix in fixes) for fixes in offered)
    numbers = {"--repair": safe, "--repair-guesses": len(offered) - safe}
    ways = [f"{number} with {option}" for option, number in numbers.items() if number]
    return [f"can be repaired: {', '.join(ways)}"] if ways else []


def _counted(files: Sequence[FileFindings]) -> dict[str, int]:
    rules = Counter(finding.rule for file in files for finding in file.findings)
    return dict(sorted(rules.items()))


def summary(files: Sequence[FileFindings]) -> str:
    """As in ``3 files: 1 error, 2 warnings, 0 infos``."""
    counts = ", ".join(plural(number, severity.word) for severity, number in count(files).items())
    return f"{plural(len(files), 'file')}: {counts}"


def plural(number: int, word: str) -> str:
    """As in ``1 file`` and ``2 files``."""
    return f"{number} {word}{'' if number == 1 else 's'}"


def _painter(colour: bool) -> Paint:
    if not colour:
        return lambda text, _: text
    from click import style

    return lambda text, fg: style(text, fg=fg, bold=True)


def _finding_lines(source: Source, alike: Sequence[Finding], paint: Paint) -> list[str]:
    """A finding as lines; of several in the same words the first, with the lines of the others."""
    finding = alike[0]
    line, column = source.position(finding.span.start)
    shade = COLOURS[finding.severity]
    head = f"{one_line(source.name)}:{line}:{column}: {paint(finding.severity.word, shade)} {finding.rule}: "
    lines = dict.fromkeys(source.position(other.span.start)[0] for other in alike[1:])
    also = f" (also in line{'s' if len(lines) > 1 else ''} {', '.join(map(str, lines))})" if lines else ""
    excerpt = _excerpt(source, finding, lambda marks: paint(marks, shade))
    return [head + one_line(finding.message) + also, *excerpt]


def _excerpt(source: Source, finding: Finding, mark: Callable[[str], str]) -> list[str]:
    """The lines that the finding's spans lie in, each with a line of markers below it."""
    by_line: dict[int, list[tuple[int, int]]] = {}
    for span in (finding.span, *finding.related):
        for number, start, end in _pieces(source, span):
            by_line.setdefault(number, []).append((start, end))
    shown = sorted(by_line)[:LINES]
    gutter = len(str(max(shown)))
    rows = []
    for number in shown:
        if source.line(number).strip():
            text, marks = _display(source.line(number), by_line[number])
            rows += [f"  {number:>{gutter}}  {text}", f"  {'':{gutter}}  {mark(marks)}"]
    return rows


def _pieces(source: Source, span: Span) -> list[tuple[int, int, int]]:
    """A span cut at line ends: line number and the first and end character in it; LINES of them at most."""
    first, column = source.position(span.start)
    last, end = source.position(max(span.start, span.end - 1))
    pieces = []
    for number in range(first, min(last, first + LINES - 1) + 1):
        start = column - 1 if number == first else 0
        stop = end if number == last else len(source.line(number))
        pieces.append((number, start, max(stop, start + 1)))
    return pieces


def _display(line: str, pieces: list[tuple[int, int]]) -> tuple[str, str]:
    """A line as the terminal shows it, at most WIDTH columns around the first piece, and its markers."""
    offset = 0
    if len(line) > WIDTH:
        offset = max(0, min(min(pieces)[0] - WIDTH // 3, len(line) - WIDTH))
    window = line[offset : offset + WIDTH]
    if window.isascii() and window.isprintable():
        text, marks = window, _marks(len(window), offset, pieces)
    else:
        text, marks = _odd(window, offset, pieces)
    lead = "…" if offset else ""
    tail = "…" if offset + WIDTH < len(line) else ""
    return lead + text.rstrip() + tail, " " * len(lead) + marks.rstrip()


def _marks(length: int, offset: int, pieces: list[tuple[int, int]]) -> str:
    """The markers below a line whose characters are one column wide each."""
    row = [" "] * (length + 1)
    for start, end in pieces:
        first, last = max(start - offset, 0), min(end - offset, length + 1)
        row[first:last] = "^" * max(last - first, 0)
    return "".join(row)


def _odd(window: str, offset: int, pieces: list[tuple[int, int]]) -> tuple[str, str]:
    """A line with tab characters, wide ones or others that a terminal treats specially, and its markers."""
    cells = _cells(window)
    marks = ""
    for index, cell in enumerate([*cells, " "]):
        marked = any(start <= offset + index < end for start, end in pieces)
        marks += ("^" if marked else " ") * _width(cell)
    return "".join(cells), marks


def _cells(text: str) -> list[str]:
    """What the terminal gets for each character: tab characters as spaces, no control characters."""
    cells: list[str] = []
    column = 0
    for character in text:
        cell = character
        if character == "\t":
            cell = " " * (TAB_STOP - column % TAB_STOP)
        elif not character.isprintable() and not character.isspace():
            cell = "·"
        cells.append(cell)
        column += _width(cell)
    return cells


def _width(cell: str) -> int:
    """How many columns a terminal gives to a cell: two for wide characters, none for combining ones."""
    if cell.isascii():
        return len(cell)
    from unicodedata import combining, east_asian_width

    return sum(0 if combining(c) else 2 if east_asian_width(c) in "WF" else 1 for c in cell)
