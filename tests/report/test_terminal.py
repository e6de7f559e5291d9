from __future__ import annotations

from tabtools.lint.finding import FileFindings, Finding, Severity
from tabtools.report.terminal import LINES, WIDTH, render, summary
from tabtools.source import Source, Span


def _file(text: str, *spans: tuple[int, int], severity: Severity = Severity.WARNING) -> FileFindings:
    first, *others = [Span(*span) for span in spans]
    finding = Finding("some-rule", severity, "that is wrong", first, tuple(others))
    return FileFindings(Source("page.txt", text), (finding,))


def _excerpt(text: str, *spans: tuple[int, int]) -> list[str]:
    return render([_file(text, *spans)]).split("\n\n")[0].split("\n")[1:]


def test_a_finding_gives_place_severity_rule_and_message() -> None:
    text = "Title\n\ne|---27---|\n"
    assert render([_file(text, (12, 14), severity=Severity.ERROR)]) == (
        "page.txt:3:6: error some-rule: that is wrong\n"
        "  3  e|---27---|\n"
        "          ^^\n"
        "\n"
        "by rule: some-rule 1\n"
        "1 file: 1 error, 0 warnings, 0 infos\n"
    )


def test_no_findings_is_one_line() -> None:
    assert render([FileFindings(Source("a.txt", "x"))]) == "1 file: 0 errors, 0 warnings, 0 infos\n"
    assert summary([]) == "0 files: 0 errors, 0 warnings, 0 infos"


def test_related_spans_are_marked_in_their_own_lines() -> None:
    text = "ab\ncd\nef"
    assert _excerpt(text, (1, 2), (6, 8)) == ["  1  ab", "      ^", "  3  ef", "     ^^"]


def test_line_numbers_line_up() -> None:
    text = "a\n" * 10
    assert _excerpt(text, (16, 17), (18, 19)) == ["   9  a", "      ^", "  10  a", "      ^"]


def test_tab_characters_count_as_the_terminal_shows_them() -> None:
    assert _excerpt("a\tb|\tc", (2, 3), (5, 6)) == ["  1  a       b|      c", "             ^       ^"]


def test_a_marked_tab_character_is_marked_in_full() -> None:
    assert _excerpt("ab\tc", (2, 3)) == ["  1  ab      c", "       ^^^^^^"]


def test_wide_and_combining_characters() -> None:
    assert _excerpt("曲|5", (2, 3)) == ["  1  曲|5", "        ^"]
    assert _excerpt("曲", (0, 1)) == ["  1  曲", "     ^^"]
    assert _excerpt("e\u0301x", (2, 3)) == ["  1  e\u0301x", "      ^"]


def test_control_characters_never_reach_the_terminal() -> None:
    output = render([_file("\x1b[31me|\x07--5\u202e--|", (10, 11))])
    assert all(character.isprintable() or character == "\n" for character in output)
    line, marks = _excerpt("\x1b[31me|\x07--5\u202e--|", (10, 11))
    assert line[marks.index("^")] == "5"


def test_a_place_at_the_end_of_a_line_and_an_empty_span_are_marked() -> None:
    assert _excerpt("abc\nd", (3, 3)) == ["  1  abc", "        ^"]
    assert _excerpt("abc", (1, 1)) == ["  1  abc", "      ^"]


def test_a_span_over_several_lines() -> None:
    assert _excerpt("abc\r\nde\r\nf", (1, 7)) == ["  1  abc", "      ^^", "  2  de", "     ^^"]


def test_a_very_long_line_is_cut_around_the_marker() -> None:
    text = "-" * 5000 + "7" + "-" * 5000
    line, marks = _excerpt(text, (5000, 5001))
    assert len(line) <= WIDTH + 10
    assert line[marks.index("^")] == "7"
    assert line.count("…") == 2


def test_a_finding_shows_a_handful_of_lines_at_most() -> None:
    assert len(_excerpt("abc\n" * 1000, (0, 3999))) == 2 * LINES


def test_blank_lines_give_no_excerpt() -> None:
    assert _excerpt("\n\n", (1, 1)) == []


def test_colour_only_when_asked() -> None:
    file = _file("abc", (1, 2))
    plain, coloured = render([file]), render([file], colour=True)
    assert "\x1b" not in plain
    assert "\x1b[33m\x1b[1mwarning\x1b[0m" in coloured


def test_infos_are_counted_and_listed_on_request() -> None:
    file = _file("e|---27---|\n", (5, 7), severity=Severity.INFO)
    assert render([file]) == (
        "by rule: some-rule 1\n"
        "not listed: 1 info (--show info lists them)\n"
        "1 file: 0 errors, 0 warnings, 1 info\n"
    )
    assert render([file], least=Severity.INFO).startswith("page.txt:1:6: info some-rule: that is wrong\n")


def test_the_worst_comes_first_and_the_same_words_once() -> None:
    source = Source("page.txt", "a\nb\nc\nd\n")
    findings = (
        Finding("some-rule", Severity.WARNING, "that is odd", Span(0, 1)),
        Finding("some-rule", Severity.WARNING, "that is odd", Span(4, 5)),
        Finding("some-rule", Severity.WARNING, "that is odd", Span(6, 7)),
        Finding("other-rule", Severity.ERROR, "that is wrong", Span(2, 3)),
    )
    blocks = render([FileFindings(source, findings)]).split("\n\n")
    assert [block.split("\n")[0] for block in blocks[:2]] == [
        "page.txt:2:1: error other-rule: that is wrong",
        "page.txt:1:1: warning some-rule: that is odd (also in lines 3, 4)",
    ]
