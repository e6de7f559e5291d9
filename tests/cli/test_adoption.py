"""The check over a repository: configuration, repairs, baselines, ignore files, cache, processes, git."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest

from tabtools.cli.cache import Cache, key_of, program_stamp
from tabtools.cli.files import discover
from tabtools.cli.run import Mode
from tabtools.cli.run import run as run_inputs
from tabtools.cli.settings import Settings
from tabtools.lint.finding import Edit, Fact, FileFindings, Finding, Fix, Severity
from tabtools.lint.rules import Rules
from tabtools.source import Source, Span
from tests.cli.support import CLEAN, OFF_NECK, run

UNUSED = "tabtools: ignore fret-off-neck because it is long\n"


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / ".cache"))
    return tmp_path


def _write(path: str, text: str) -> None:
    Path(path).parent.mkdir(parents=True, exist_ok=True)
    Path(path).write_bytes(text.encode())


def _git(*arguments: str) -> None:
    identity = ["-c", "user.name=t", "-c", "user.email=t@example.org"]
    subprocess.run(["git", *identity, *arguments], check=True, capture_output=True)


# Configuration


def test_the_nearest_configuration_holds(here: Path) -> None:
    _write("tabtools.toml", 'ignore = ["fret-off-neck"]\n')
    _write("pyproject.toml", "[tool.tabtools]\nnonsense = 1\n")
    _write("a.txt", OFF_NECK)
    _write("sub/pyproject.toml", "[tool.tabtools]\n")
    _write("sub/b.txt", OFF_NECK)
    _write("other/pyproject.toml", "[tool.other]\n# tabtools\n")
    _write("other/c.txt", OFF_NECK)
    result = run("check", ".")
    assert [line.split(":")[0] for line in result.stdout.splitlines() if "fret-off-neck:" in line] == [
        "sub/b.txt"
    ]


def test_a_path_that_leads_up_has_its_own_configuration(here: Path) -> None:
    _write("tabtools.toml", 'ignore = ["fret-off-neck"]\n')
    _write("sub/tabtools.toml", "")
    _write("lessons/a.txt", OFF_NECK)
    os.chdir("sub")
    assert run("check", "../lessons/a.txt").exit_code == 0
    assert run("check", "../lessons").exit_code == 0
    assert run("check", "..").exit_code == 0


def test_tables_for_paths_and_severities(here: Path) -> None:
    _write("tabtools.toml", '[[paths]]\nmatch = ["old/"]\n[paths.rules.fret-off-neck]\nseverity = "info"\n')
    _write("old/a.txt", OFF_NECK)
    _write("new/a.txt", OFF_NECK)
    result = run("check", ".", "--statistics")
    assert result.stdout == "2  fret-off-neck\n2 files: 1 error, 0 warnings, 1 info\n"


@pytest.mark.parametrize(
    ("file", "text", "words"),
    [
        ("tabtools.toml", "ignor = []", "tabtools.toml: there is no key ignor: did you mean ignore?"),
        ("tabtools.toml", "ignore = [", "tabtools.toml: "),
        ("pyproject.toml", "[tool.tabtools]\nhand = 1", "pyproject.toml: there is no key hand"),
        ("pyproject.toml", "[tool]\ntabtools = 1", "pyproject.toml: tool.tabtools must be a table"),
    ],
)
def test_a_wrong_configuration_is_one_line(here: Path, file: str, text: str, words: str) -> None:
    _write(file, text)
    _write("a.txt", CLEAN)
    result = run("check", "a.txt")
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr
    assert result.stderr.count("\n") == 1


def test_show_config_is_toml_that_says_the_same(here: Path) -> None:
    import tomllib

    _write(
        "tabtools.toml",
        'level = "beginner"\nignore = ["encoding"]\n[rules.bar-overfull]\nseverity = "info"\n',
    )
    shown = run("check", "--show-config", "sub/a.txt").stdout
    assert shown.startswith("# from tabtools.toml\n")
    table = tomllib.loads(shown)
    assert table["level"] == "beginner"
    assert table["rules"]["bar-overfull"]["severity"] == "info"
    assert "encoding" not in table["select"]
    _write("tabtools.toml", shown)
    assert run("check", "--show-config", "sub/a.txt").stdout == shown
    Path("tabtools.toml").unlink()
    assert run("check", "--show-config", "a.txt").stdout.startswith("# no configuration file")


# Which files


def test_ignore_files_are_respected(here: Path) -> None:
    (here / ".git").mkdir()
    _write(".gitignore", "build/\n*.tab\n!keep.tab\n/top.txt\n")
    _write("sub/.gitignore", "local.txt\n")
    for name in (
        "top.txt",
        "a.txt",
        "x.tab",
        "keep.tab",
        "build/b.txt",
        "sub/local.txt",
        "sub/top.txt",
        "sub/deep/local.txt",
    ):
        _write(name, CLEAN)
    expected = ["a.txt", "keep.tab", "sub/top.txt"]
    assert _checked(".") == expected
    os.chdir("sub")
    assert _checked(".") == ["top.txt"]
    assert _checked("local.txt") == ["local.txt"]


def _checked(*paths: str) -> list[str]:
    result = run("check", *paths, "--output-format", "junit")
    return [line.split('"')[1] for line in result.stdout.splitlines() if "<testsuite " in line]


def test_the_configuration_excludes(here: Path) -> None:
    _write("tabtools.toml", 'exclude = ["drafts/", "*.old.txt"]\n')
    for name in ("a.txt", "a.old.txt", "drafts/b.txt", "c/drafts/d.txt"):
        _write(name, CLEAN)
    assert _checked(".") == ["a.txt"]
    assert _checked("a.old.txt") == ["a.old.txt"]


def test_since_a_revision(here: Path) -> None:
    _git("init", "-q")
    for name in ("a.txt", "b.txt", "sub/c.txt", "gone.txt"):
        _write(name, CLEAN)
    _git("add", ".")
    _git("commit", "-qm", "one")
    assert run("check", ".", "--since", "HEAD").stderr.startswith("tabtools: no files to check")
    _write("b.txt", OFF_NECK)
    _write("sub/new.txt", CLEAN)
    Path("gone.txt").unlink()
    result = run("check", ".", "--since", "HEAD", "--output-format", "junit")
    assert [line.split('"')[1] for line in result.stdout.splitlines() if "<testsuite " in line] == [
        "b.txt",
        "sub/new.txt",
    ]
    wrong = run("check", ".", "--since", "nonsense")
    assert (wrong.exit_code, wrong.stderr.count("\n")) == (2, 1)


def test_standard_input_has_a_name(here: Path) -> None:
    _write("sub/tabtools.toml", 'ignore = ["fret-off-neck"]\n')
    assert run("check", "-", stdin=OFF_NECK).exit_code == 1
    result = run("check", "-", "--stdin-filename", "sub/a.txt", stdin=OFF_NECK)
    assert (result.exit_code, result.stdout) == (0, "1 file: 0 errors, 0 warnings, 0 infos\n")


# Repairs


def test_safe_repairs_are_written_and_only_once(here: Path) -> None:
    _write("a.txt", UNUSED + CLEAN)
    _write("b.txt", CLEAN)
    os.utime("b.txt", (1, 1))
    result = run("check", ".", "--fix")
    assert (result.exit_code, result.stdout) == (0, "2 files: 0 errors, 0 warnings, 0 infos\n")
    assert result.stderr == "a.txt: repaired: unused-ignore 1\n"
    assert Path("a.txt").read_text() == CLEAN
    assert Path("b.txt").stat().st_mtime == 1
    os.utime("a.txt", (1, 1))
    again = run("check", ".", "--fix")
    assert again.stderr == ""
    assert Path("a.txt").stat().st_mtime == 1


def test_a_file_that_changes_meanwhile_is_left_alone(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def slow(*arguments: Any) -> Any:
        results = run_inputs(*arguments)
        _write("a.txt", "somebody else's work")
        return results

    monkeypatch.setattr("tabtools.cli.check.run", slow)
    _write("a.txt", UNUSED + CLEAN)
    result = run("check", "a.txt", "--fix")
    assert result.exit_code == 2
    assert "a.txt: the file was changed meanwhile" in result.stderr
    assert Path("a.txt").read_text() == "somebody else's work"


def test_what_can_be_repaired_is_told(here: Path) -> None:
    _write("a.txt", UNUSED + CLEAN)
    assert "\ncan be repaired: 1 with --fix\n1 file: " in run("check", "a.txt").stdout


def test_diff_shows_and_changes_nothing(here: Path) -> None:
    _write("a.txt", UNUSED + CLEAN)
    result = run("check", "a.txt", "--diff")
    assert result.stdout.startswith(f"--- a.txt\n+++ a.txt\n@@ -1,4 +1,3 @@\n-{UNUSED} Tuning")
    assert Path("a.txt").read_text() == UNUSED + CLEAN


def test_repairs_of_standard_input_go_to_standard_output(here: Path) -> None:
    assert run("check", "-", "--fix", stdin=UNUSED + CLEAN).stdout == CLEAN
    result = run("check", "-", "--fix", stdin=OFF_NECK)
    assert (result.exit_code, result.stdout) == (1, OFF_NECK)
    assert "fret-off-neck" in result.stderr


def test_encoding_line_ends_and_packages_stay(here: Path) -> None:
    from tests.lint.test_suppressions import XML

    crlf = ("Café\n" + UNUSED + CLEAN).replace("\n", "\r\n")
    Path("a.txt").write_bytes(crlf.encode("cp1252"))
    run("check", "a.txt", "--fix")
    assert Path("a.txt").read_bytes() == crlf.replace(UNUSED[:-1] + "\r\n", "").encode("cp1252")
    _package("b.mxl", XML.replace("<part-list>", "<!-- tabtools: ignore encoding because x --><part-list>"))
    assert "b.mxl: repaired: unused-ignore 1" in run("check", "b.mxl", "--fix").stderr
    import zipfile

    with zipfile.ZipFile("b.mxl") as archive:
        assert archive.read("x.xml").decode() == XML
        assert archive.read("extra.png") == b"picture"


def _package(name: str, xml: str) -> None:
    import zipfile

    container = '<container><rootfiles><rootfile full-path="x.xml"/></rootfiles></container>'
    with zipfile.ZipFile(name, "w") as archive:
        archive.writestr("META-INF/container.xml", container)
        archive.writestr("x.xml", xml)
        archive.writestr("extra.png", b"picture")


# Baselines


def test_a_baseline_accepts_what_is_there_and_nothing_new(here: Path) -> None:
    _write("a.txt", OFF_NECK)
    result = run("check", ".", "--write-baseline", "known.json")
    assert (result.exit_code, result.stdout) == (
        0,
        "known.json: 1 findings in 1 files are accepted from now on\n",
    )
    assert run("check", ".", "--baseline", "known.json").exit_code == 0
    _write("a.txt", "A line more\n\n" + OFF_NECK)
    assert run("check", ".", "--baseline", "known.json").exit_code == 0
    _write("a.txt", OFF_NECK + "\n" + OFF_NECK)
    result = run("check", ".", "--baseline", "known.json")
    assert (result.exit_code, result.stdout.count("error fret-off-neck")) == (1, 1)
    _write("a.txt", CLEAN)
    result = run("check", ".", "--baseline", "known.json")
    assert "1 findings that it accepts are gone" in result.stderr
    for text in ("{", "[]", '{"format": "tabtools-baseline", "version": 1, "files": 1}'):
        _write("known.json", text)
        assert run("check", ".", "--baseline", "known.json").exit_code == 2


# Cache


def _many(number: int = 12) -> None:
    for index in range(number):
        _write(f"{index:03}.txt", OFF_NECK.replace("A minor", f"A minor\nTitle: Lesson {index}"))


def _cache_files(here: Path) -> list[Path]:
    return sorted((here / ".cache" / "tabtools").glob("*.json"))


def test_what_is_remembered_is_what_was_found(here: Path) -> None:
    _many()
    first = run("check", ".", "--output-format", "json")
    (cache,) = _cache_files(here)
    assert (
        (cache.parent / "CACHEDIR.TAG").read_text().startswith("Signature: 8a477f597d28d172789f06886806bc55")
    )
    known = json.loads(cache.read_text())
    assert len(known) == 12
    assert run("check", ".", "--output-format", "json").stdout == first.stdout
    cache.write_text(json.dumps({key: [[], []] for key in known}))
    assert json.loads(run("check", ".", "--output-format", "json").stdout)["findings"] == []
    assert run("check", ".", "--output-format", "json", "--no-cache").stdout == first.stdout


@pytest.mark.parametrize(
    "content", ["", "{", "[1]", '{"x": 1}', "null", '{"KEY": [[["a"]], []]}', "[" * 100_000]
)
def test_a_corrupt_cache_is_ignored(here: Path, content: str) -> None:
    _many()
    first = run("check", ".", "--output-format", "json")
    (cache,) = _cache_files(here)
    key = key_of(Path("000.txt").read_bytes())
    cache.write_text(content.replace("KEY", key))
    assert run("check", ".", "--output-format", "json").stdout == first.stdout
    assert len(json.loads(cache.read_text())) >= 12


def test_another_configuration_is_another_cache(here: Path) -> None:
    _many()
    run("check", ".")
    _write("tabtools.toml", 'ignore = ["fret-off-neck"]\n')
    assert run("check", ".").exit_code == 0
    assert len(_cache_files(here)) == 2


def test_a_cache_that_cannot_be_written_is_no_error(here: Path) -> None:
    _many()
    _write("file", "")
    assert run("check", ".", "--cache-dir", "file/below").exit_code == 1


def test_everything_of_a_finding_is_remembered(tmp_path: Path) -> None:
    resolved = Settings(Rules()).of(tmp_path / "a.txt")
    fix = Fix((Edit(Span(1, 2), "ö"),), "do", False, (Span(0, 9),))
    finding = Finding("x-y", Severity.ERROR, "mês", Span(1, 4), (Span(5, 6),), 3, (fix,))
    whole = FileFindings(Source("a", "abc"), (finding,), (("r", (Fact("k", "v", "s", Span(1, 2), 3, 4),)),))
    cache = Cache(tmp_path, resolved, "program", 100)
    cache.put("key", whole)
    cache.save()
    assert Cache(tmp_path, resolved, "program", 100).get("key", lambda: Source("a", "abc"), "a") == whole
    assert Cache(tmp_path, resolved, "another", 100).get("key", lambda: Source("a", "abc"), "a") is None
    assert program_stamp() == program_stamp()


def test_two_runs_that_share_a_cache_keep_what_both_found(tmp_path: Path) -> None:
    resolved = Settings(Rules()).of(tmp_path / "a.txt")

    def store(number: int) -> None:
        cache = Cache(tmp_path, resolved, "program", 100)
        cache.put(str(number), FileFindings(Source("a", "")))
        cache.save()

    first, second = (Cache(tmp_path, resolved, "program", 100) for _ in range(2))
    first.put("1", FileFindings(Source("a", "")))
    second.put("2", FileFindings(Source("a", "")))
    first.save()
    second.save()
    assert set(json.loads(first.file.read_text())) == {"1", "2"}
    threads = [threading.Thread(target=store, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert isinstance(json.loads(first.file.read_text()), dict)


def test_only_the_latest_contents_are_remembered(tmp_path: Path) -> None:
    cache = Cache(tmp_path, Settings(Rules()).of(tmp_path / "a.txt"), "program", 2)
    for key in "abc":
        cache.put(key, FileFindings(Source("a", "")))
    cache.save()
    assert list(json.loads(cache.file.read_text())) == ["b", "c"]


def test_one_file_is_remembered_too(here: Path) -> None:
    _write("one.txt", OFF_NECK)
    first = run("check", "one.txt")
    (cache,) = _cache_files(here)
    assert run("check", "one.txt").stdout == first.stdout
    cache.write_text(json.dumps({key: [[], []] for key in json.loads(cache.read_text())}))
    assert run("check", "one.txt").exit_code == 0


# Processes and reports


def test_more_processes_give_the_same_bytes(here: Path) -> None:
    _many(20)
    alone = run("check", ".", "--no-cache", "--jobs", "1").stdout
    assert run("check", ".", "--no-cache", "--jobs", "3").stdout == alone


def test_several_reports_at_once(here: Path) -> None:
    _write("a.txt", OFF_NECK)
    files = [f"{form}:out.{form}" for form in ("json", "sarif", "junit", "github", "gitlab", "text")]
    result = run("check", "a.txt", *(part for file in files for part in ("--output-format", file)))
    assert result.stdout.endswith("1 file: 1 error, 0 warnings, 0 infos\n")
    for form in ("json", "sarif", "junit", "github", "gitlab", "text"):
        assert "fret-off-neck" in Path(f"out.{form}").read_text("utf-8")
    assert run("check", "a.txt", "--output-format", "xml").exit_code == 2
    both = run("check", "a.txt", "--output-format", "json", "--output-format", "sarif")
    assert (both.exit_code, both.stderr.count("\n")) == (2, 1)


def test_watching_checks_again(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _write("a.txt", CLEAN)
    pauses = []

    def pause(seconds: float) -> None:
        pauses.append(seconds)
        if len(pauses) == 1:
            _write("a.txt", OFF_NECK)
            os.utime("a.txt", (1, 1))
        elif len(pauses) == 3:
            _write("tabtools.toml", 'ignore = ["fret-off-neck"]\n')
        elif len(pauses) == 5:
            raise KeyboardInterrupt

    monkeypatch.setattr("tabtools.cli.watch.time.sleep", pause)
    result = run("check", "a.txt", "--watch")
    assert result.exit_code == 130
    assert [line for line in result.stdout.splitlines() if "1 file: " in line] == [
        "1 file: 0 errors, 0 warnings, 0 infos",
        "1 file: 1 error, 0 warnings, 0 infos",
        "1 file: 0 errors, 0 warnings, 0 infos",
    ]


def test_a_long_run_shows_its_progress_on_a_terminal(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    _many(3)
    entries = discover(["."])
    for stream, words in ((Terminal(), "[##########--------------------] 1/3 files"), (io.StringIO(), "")):
        monkeypatch.setattr(sys, "stderr", stream)
        monkeypatch.setattr("tabtools.cli.run.PROGRESS_AFTER", -1.0)
        run_inputs(entries, Settings(Rules()), Mode())
        assert words in stream.getvalue()
        assert bool(words) == bool(stream.getvalue())
