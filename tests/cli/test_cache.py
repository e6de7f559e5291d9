"""What is remembered of a content is what was found in it."""

from __future__ import annotations

import json
import threading
from pathlib import Path

import pytest

from tabtools.cli.cache import Cache, key_of, program_stamp
from tabtools.cli.settings import Settings
from tabtools.lint.finding import Edit, Fact, FileFindings, Finding, Fix, Severity
from tabtools.lint.rules import Rules
from tabtools.source import Source, Span
from tests.cli.support import OFF_NECK, run, write


def _many(number: int = 12) -> None:
    for index in range(number):
        write(f"{index:03}.txt", OFF_NECK.replace("A minor", f"A minor\nTitle: Lesson {index}"))


def _cache_files(here: Path) -> list[Path]:
    return sorted((here / ".cache" / "tabtools").glob("*.json"))


def test_what_is_remembered_is_what_was_found(here: Path) -> None:
    _many()
    first = run("check", ".", "--report", "json")
    (cache,) = _cache_files(here)
    assert (
        (cache.parent / "CACHEDIR.TAG").read_text().startswith("Signature: 8a477f597d28d172789f06886806bc55")
    )
    known = json.loads(cache.read_text())
    assert len(known) == 12
    assert run("check", ".", "--report", "json").stdout == first.stdout
    cache.write_text(json.dumps({key: [[], []] for key in known}))
    assert json.loads(run("check", ".", "--report", "json").stdout)["findings"] == []
    assert run("check", ".", "--report", "json", "--forget").stdout == first.stdout


@pytest.mark.parametrize(
    "content", ["", "{", "[1]", '{"x": 1}', "null", '{"KEY": [[["a"]], []]}', "[" * 100_000]
)
def test_a_corrupt_cache_is_ignored(here: Path, content: str) -> None:
    _many()
    first = run("check", ".", "--report", "json")
    (cache,) = _cache_files(here)
    key = key_of(Path("000.txt").read_bytes())
    cache.write_text(content.replace("KEY", key))
    assert run("check", ".", "--report", "json").stdout == first.stdout
    assert len(json.loads(cache.read_text())) >= 12


def test_another_configuration_is_another_cache(here: Path) -> None:
    _many()
    run("check", ".")
    write("tabtools.toml", 'without = ["fret-off-neck"]\n')
    assert run("check", ".").exit_code == 0
    assert len(_cache_files(here)) == 2


def test_a_cache_that_cannot_be_written_is_no_error(here: Path) -> None:
    _many()
    write("file", "")
    assert run("check", ".", "--memory-dir", "file/below").exit_code == 1


def test_everything_of_a_finding_is_remembered(tmp_path: Path) -> None:
    resolved = Settings(Rules()).of(str(tmp_path / "a.txt"))
    fix = Fix((Edit(Span(1, 2), "ö"),), "do", False, (Span(0, 9),))
    finding = Finding("x-y", Severity.ERROR, "mês", Span(1, 4), (Span(5, 6),), 3, (fix,))
    whole = FileFindings(Source("a", "abc"), (finding,), (("r", (Fact("k", "v", "s", Span(1, 2), 3, 4),)),))
    cache = Cache(str(tmp_path), resolved, "program", 100)
    cache.put("key", whole)
    cache.save()
    assert Cache(str(tmp_path), resolved, "program", 100).get("key", lambda: Source("a", "abc"), "a") == whole
    assert Cache(str(tmp_path), resolved, "another", 100).get("key", lambda: Source("a", "abc"), "a") is None
    assert program_stamp() == program_stamp()


def test_two_runs_that_share_a_cache_keep_what_both_found(tmp_path: Path) -> None:
    resolved = Settings(Rules()).of(str(tmp_path / "a.txt"))

    def store(number: int) -> None:
        cache = Cache(str(tmp_path), resolved, "program", 100)
        cache.put(str(number), FileFindings(Source("a", "")))
        cache.save()

    first, second = (Cache(str(tmp_path), resolved, "program", 100) for _ in range(2))
    first.put("1", FileFindings(Source("a", "")))
    second.put("2", FileFindings(Source("a", "")))
    first.save()
    second.save()
    assert set(json.loads(Path(first.file).read_text())) == {"1", "2"}
    threads = [threading.Thread(target=store, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert isinstance(json.loads(Path(first.file).read_text()), dict)


def test_only_the_latest_contents_are_remembered(tmp_path: Path) -> None:
    cache = Cache(str(tmp_path), Settings(Rules()).of(str(tmp_path / "a.txt")), "program", 2)
    for key in "abc":
        cache.put(key, FileFindings(Source("a", "")))
    cache.save()
    assert list(json.loads(Path(cache.file).read_text())) == ["b", "c"]


def test_one_file_is_remembered_too(here: Path) -> None:
    write("one.txt", OFF_NECK)
    first = run("check", "one.txt")
    (cache,) = _cache_files(here)
    assert run("check", "one.txt").stdout == first.stdout
    cache.write_text(json.dumps({key: [[], []] for key in json.loads(cache.read_text())}))
    assert run("check", "one.txt").exit_code == 0
