from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pytest

from tabtools.lint.examples import LESSON, changed
from tabtools.musicxml.package import pack
from tabtools.reading import read
from tests.cli.support import CLEAN, OFF_NECK, RAGGED, run


def _names(directory: Path) -> list[str]:
    return sorted(path.name for path in directory.iterdir())


def _lick(directory: Path, text: str = CLEAN, name: str = "lick.txt") -> Path:
    path = directory / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    return path


@pytest.mark.parametrize(
    ("suffix", "start"),
    [
        (".musicxml", b"<?xml"),
        (".xml", b"<?xml"),
        (".mxl", b"PK"),
        (".json", b"{\n"),
        (".txt", b"Tuning: "),
        (".TAB", b"Tun"),
    ],
)
def test_the_suffix_says_the_format(tmp_path: Path, suffix: str, start: bytes) -> None:
    out = tmp_path / f"out{suffix}"
    result = run("convert", _lick(tmp_path), "-o", out)
    assert (result.exit_code, result.stdout, result.stderr) == (0, "", "")
    assert out.read_bytes().startswith(start)


def test_there_and_back(tmp_path: Path) -> None:
    lick = _lick(tmp_path)
    first, xml, mxl, second = (tmp_path / name for name in ("1.txt", "a.musicxml", "a.mxl", "2.txt"))
    for source, target in ((lick, first), (first, xml), (xml, mxl), (mxl, second)):
        assert run("convert", source, "-o", target).exit_code == 0
    assert second.read_text() == first.read_text()


def test_notes_of_text_tab_are_named_by_their_chord(tmp_path: Path) -> None:
    """The third of Dm7 is F; the key of D major alone would call it E#. Common practice, no source."""
    rows = "".join(f"{label}|{'-1-1-1-1-' if label == 'e' else '---------'}|\n" for label in "eBGDAE")
    out = tmp_path / "named.musicxml"
    result = run("convert", _lick(tmp_path, f"Key: D major\n\n  Dm7\n{rows}"), "-o", out)
    assert result.exit_code == 0
    notes = [
        note
        for event in read(out.name, out.read_bytes()).score.parts[0].bars[0].events
        for note in event.notes
    ]
    assert {note.pitch.name for note in notes if note.pitch} == {"F4"}


def test_a_page_with_its_frets_gets_no_fingers_that_nobody_asked_for() -> None:
    rows = "".join(f"{label}|{'-3---5---' if label == 'G' else '-' * 9}|\n" for label in "eBGDAE")
    result = run("convert", "-", "-o", "-", "--to", "text", stdin=f"Tuning: standard\n\n{rows}")
    assert result.exit_code == 0
    assert "fingers" not in result.stdout


@pytest.mark.parametrize("command", ["convert", "finger"])
def test_what_else_is_in_a_package_stays_in_it(tmp_path: Path, command: str) -> None:
    xml, inside, out = tmp_path / "a.musicxml", tmp_path / "a.mxl", tmp_path / "b.mxl"
    assert run("convert", _lick(tmp_path), "-o", xml).exit_code == 0
    inside.write_bytes(pack(xml.read_bytes()))
    with zipfile.ZipFile(inside, "a") as archive:
        archive.writestr("cover.png", b"a picture")
    assert run(command, inside, "-o", out).exit_code == 0
    with zipfile.ZipFile(out) as archive:
        assert archive.read("cover.png") == b"a picture"
        assert b"<fret>" in archive.read("score.musicxml")


def test_standard_input_and_output() -> None:
    result = run("convert", "-", "-o", "-", "--to", "json", stdin=CLEAN)
    assert (result.exit_code, result.stderr) == (0, "")
    assert json.loads(result.stdout)["format"] == "tabtools-score"


def test_json_holds_the_findings(tmp_path: Path) -> None:
    out = tmp_path / "out.json"
    assert run("convert", _lick(tmp_path, OFF_NECK), "-o", out).exit_code == 0
    assert [finding["rule"] for finding in json.loads(out.read_text())["findings"]] == ["fret-off-neck"]


def test_into_a_directory(tmp_path: Path) -> None:
    _lick(tmp_path / "in", name="a.txt")
    _lick(tmp_path / "in", name="sub/b.tab")
    out = tmp_path / "new" / "out"
    assert run("convert", tmp_path / "in", "--to", "musicxml", "--out-dir", out).exit_code == 0
    assert sorted(str(path.relative_to(out)) for path in out.rglob("*.*")) == ["a.musicxml", "sub/b.musicxml"]


def test_an_unreadable_input_is_reported_and_the_others_are_converted(tmp_path: Path) -> None:
    bad, good = _lick(tmp_path, "words\n", "bad.txt"), _lick(tmp_path)
    result = run("convert", bad, good, "--to", "json", "--out-dir", tmp_path / "out")
    assert result.exit_code == 1
    assert f"{bad}:1:1: error unreadable: no tab found" in result.stdout
    assert _names(tmp_path / "out") == ["lick.json"]


def test_the_report_gives_way_to_a_result_on_standard_output() -> None:
    result = run("convert", "-", "-o", "-", "--to", "json", stdin="words\n")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "<stdin>:1:1: error unreadable" in result.stderr


def test_a_failed_conversion_leaves_the_old_output(tmp_path: Path) -> None:
    out = _lick(tmp_path, "precious", "out.musicxml")
    assert run("convert", _lick(tmp_path, "words\n"), "-o", out).exit_code == 1
    assert out.read_text() == "precious"


def test_a_file_is_not_converted_onto_itself(tmp_path: Path) -> None:
    lick = _lick(tmp_path, "Words that no score holds.\n\n" + CLEAN)
    before = lick.read_bytes()
    targets: tuple[list[str | Path], ...] = (["-o", lick], ["--to", "text", "--out-dir", tmp_path])
    for target in targets:
        result = run("convert", lick, *target)
        assert result.exit_code == 2
        assert "is the input itself" in result.stderr
    assert lick.read_bytes() == before


def test_doubts_are_told(tmp_path: Path) -> None:
    lick = _lick(tmp_path, RAGGED)
    result = run("convert", lick, "-o", tmp_path / "x.json")
    assert result.exit_code == 0
    assert f"{lick}: read with doubts in " in result.stderr
    assert f"tabtools check {lick} shows them" in result.stderr


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["lick.txt"], "say where to write"),
        (["lick.txt", "-o", "x.json", "--out-dir", "d"], "say where to write"),
        (
            ["lick.txt", "-o", "x.pdf"],
            "x.pdf does not end as any format's files do: give the format with --to",
        ),
        (["lick.txt", "-o", "-"], "give the format with --to"),
        (["lick.txt", "--out-dir", "d"], "give the format with --to"),
        (["lick.txt", "lick.tab", "-o", "x.json"], "-o takes one input and there are 2"),
        (["lick.txt", "lick.tab", "--to", "json", "--out-dir", "d"], "would both be written to d/lick.json"),
        (["lick.txt", "-o", "d.json"], "d.json"),
        (["lick.txt", "-o", "not/there/x.json", "--to", "pdf"], "'pdf' is not one of"),
        (["lick.txt", "-o", "lick.txt/x.json"], "lick.txt"),
        (["lick.txt", "-o", "readonly.json"], "readonly.json: the file is read-only"),
    ],
)
def test_wrong_use(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], words: str) -> None:
    monkeypatch.chdir(tmp_path)
    _lick(tmp_path)
    _lick(tmp_path, name="lick.tab")
    (tmp_path / "d.json").mkdir()
    _lick(tmp_path, "x", "readonly.json").chmod(0o444)
    before = _names(tmp_path)
    result = run("convert", *arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr
    assert result.stderr.count("\n") == 1
    assert _names(tmp_path) == before


TUNE = b"X:1\nT:Made for this test\nM:2/4\nL:1/8\nK:G\nG2 B2|c4|\n"


def test_musicxml_without_a_fault_keeps_its_bytes(tmp_path: Path) -> None:
    out = tmp_path / "out.musicxml"
    kept = LESSON.replace("<part-list>", "<!-- kept --><part-list>").encode("utf-16")
    kept = kept.decode("utf-16").replace("UTF-8", "UTF-16").encode("utf-16")
    (tmp_path / "in.musicxml").write_bytes(kept)
    result = run("convert", tmp_path / "in.musicxml", "-o", out)
    assert (result.exit_code, result.stderr) == (0, "")
    assert out.read_bytes() == kept


@pytest.mark.parametrize(
    ("slip", "told"),
    [
        (("<type>half</type>", "<type>quarter</type>"), "repaired: write it as half"),
        (
            ("<fret>4</fret>", "<fret>5</fret>"),
            "not repaired, for it changes what is played: make the fret 4",
        ),
    ],
)
def test_each_repair_is_told_and_none_changes_the_music(
    tmp_path: Path, slip: tuple[str, str], told: str
) -> None:
    out, text = tmp_path / "out.musicxml", changed(*slip)
    (tmp_path / "in.musicxml").write_text(text)
    result = run("convert", tmp_path / "in.musicxml", "-o", out)
    assert result.exit_code == 0
    assert "in.musicxml: line " in result.stderr
    assert told in result.stderr
    assert (out.read_text() == text) == told.startswith("not")


@pytest.mark.parametrize("name", ["out.txt", "out.json"])
def test_what_the_result_has_no_place_for_is_told(tmp_path: Path, name: str) -> None:
    lyric = "<staff>1</staff><lyric><text>la</text></lyric>"
    (tmp_path / "in.musicxml").write_text(changed("<staff>1</staff>", lyric))
    result = run("convert", tmp_path / "in.musicxml", "-o", tmp_path / name)
    assert result.exit_code == 0
    assert "no place for them: lyrics (1)" in result.stderr


def test_a_tune_in_another_format_becomes_tab(tmp_path: Path) -> None:
    tune, out = tmp_path / "tune.abc", tmp_path / "tune.txt"
    tune.write_bytes(TUNE)
    assert run("convert", tune, "-o", out).exit_code == 0
    document = read("tune.txt", out.read_bytes())
    notes = [n for b in document.score.parts[0].bars for e in b.events for n in e.notes]
    assert [n.pitch and n.pitch.midi for n in notes] == [67, 71, 72]


def test_to_midi_and_back_with_a_tab_staff(tmp_path: Path) -> None:
    middle, out = tmp_path / "lick.mid", tmp_path / "back.musicxml"
    assert run("convert", _lick(tmp_path), "-o", middle).exit_code == 0
    assert middle.read_bytes().startswith(b"MThd")
    assert run("convert", middle, "-o", out, "--both-staves").exit_code == 0
    assert "<sign>TAB</sign>" in out.read_text()
    # What standard input is, its first bytes say.
    again = run("convert", "-", "-o", "-", "--to", "musicxml", "--both-staves", stdin=middle.read_bytes())
    assert again.stdout == out.read_text()


def test_music_out_of_range_is_told_and_moved_on_request(tmp_path: Path) -> None:
    tune = tmp_path / "tune.abc"
    tune.write_bytes(TUNE.replace(b"G2 B2|c4|", b"G,,,2 B,,,2|C,,4|"))
    result = run("convert", tune, "-o", tmp_path / "low.musicxml", "--both-staves")
    assert result.exit_code == 0
    assert "stay off the tab; --fit-octave moves a part by octaves" in result.stderr
    # Text tab has no place for them at all.
    result = run("convert", tune, "-o", tmp_path / "low.txt")
    assert result.exit_code == 1
    assert "stay off the tab; --fit-octave moves a part by octaves" in result.stderr
    result = run("convert", tune, "-o", tmp_path / "fitted.txt", "--fit-octave")
    assert (result.exit_code, result.stderr) == (0, "")


def test_text_tab_holds_the_notes_that_have_a_string_and_the_others_are_named(tmp_path: Path) -> None:
    tune, out = tmp_path / "tune.abc", tmp_path / "tune.txt"
    tune.write_bytes(TUNE.replace(b"G2 B2|", b"G,,,2 B2|"))
    result = run("convert", tune, "-o", out)
    assert result.exit_code == 0
    assert f"{tune}: 1 of 3 notes has no string and is left out: G1 in bar 1\n" in result.stderr
    document = read("tune.txt", out.read_bytes())
    notes = [n for b in document.score.parts[0].bars for e in b.events for n in e.notes]
    assert [n.pitch and n.pitch.midi for n in notes] == [71, 72]


def test_a_broken_file_in_another_format_is_a_finding(tmp_path: Path) -> None:
    (tmp_path / "bad.mid").write_bytes(b"MThd and no more")
    result = run("convert", tmp_path / "bad.mid", "-o", tmp_path / "out.txt")
    assert result.exit_code == 1
    assert "bad.mid:1:1: error unreadable: the file begins like MIDI and can't be" in result.stdout


def test_what_text_tab_cannot_hold_is_named(tmp_path: Path) -> None:
    source = Path(__file__).parents[2] / "samples" / "14-triplets-in-the-c-form.musicxml"
    out = tmp_path / "out.txt"
    result = run("convert", source, "-o", out)
    assert (result.exit_code, result.stdout) == (0, "")
    assert result.stderr.startswith(f"{source}: text tab can't hold all of it: ")
    assert " tuplet marks read otherwise" in result.stderr


RINGING = "Time: 4/4\n\n  let ring--------|\ne|-----1---1-------|\nA|-3---------------|\n"


def test_notes_that_ring_are_written_as_long_as_they_sound(tmp_path: Path) -> None:
    lick, plain, held = _lick(tmp_path, RINGING), tmp_path / "plain.musicxml", tmp_path / "held.musicxml"
    assert run("convert", lick, "-o", plain).exit_code == 0
    assert run("convert", lick, "-o", held, "--hold").exit_code == 0
    assert "<type>whole</type>" not in plain.read_text()
    assert "<type>whole</type>" in held.read_text()
    again = run("convert", held, "-o", tmp_path / "again.musicxml", "--hold")
    assert "--hold leaves MusicXML alone" in again.stderr
