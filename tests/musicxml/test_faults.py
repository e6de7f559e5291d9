"""Files that are no score, damaged, or out to do harm: a clear error with its place, never a traceback."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from tabtools.musicxml.clean.faults import find_faults
from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.writer import write_musicxml
from tabtools.reading import read
from tabtools.source import MAX_BYTES, UnreadableError
from tests.musicxml.faulty import FAULTS
from tests.musicxml.mending import mended
from tests.musicxml.samples import LICK, VOICES

_SCORE = write_musicxml(LICK)


def _measure(inside: str) -> bytes:
    start, end = '<part id="P1"><measure number="1">', "</measure></part></score-partwise>"
    return f"<score-partwise>\n{start}\n{inside}{end}".encode()


def _refused(data: bytes) -> UnreadableError:
    with pytest.raises(UnreadableError) as caught:
        read_musicxml("bad.musicxml", data)
    return caught.value


@pytest.mark.parametrize(("make", "reason"), [fault[1:] for fault in FAULTS], ids=[f[0] for f in FAULTS])
def test_every_fault_is_told(make: Callable[[], bytes], reason: str) -> None:
    """That none takes more than two seconds or 200 MB is measured by tests.benchmarks.faults."""
    assert reason in _refused(make()).reason


def test_an_external_entity_is_not_read(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("do not tell")
    data = f"""<!DOCTYPE score-partwise [<!ENTITY x SYSTEM "{secret.as_uri()}">]>
<score-partwise><work><work-title>&x;</work-title></work></score-partwise>"""
    assert "do not tell" not in _refused(data.encode()).reason


def test_the_document_type_is_not_fetched() -> None:
    head = b'<!DOCTYPE score-partwise SYSTEM "file:///nowhere/at/all.dtd">'
    assert read_musicxml("x", head + b"<score-partwise/>").score.parts == ()


def test_a_truncated_file_says_where_it_ends() -> None:
    error = _refused(_SCORE[: len(_SCORE) // 2])
    assert "not well-formed" in error.reason
    assert error.line == _SCORE[: len(_SCORE) // 2].count(b"\n") + 1


def test_the_place_of_an_xml_error() -> None:
    error = _refused(b"<score-partwise>\n  <part>\n  </bar>\n</score-partwise>")
    assert (error.line, error.column) == (3, 9)


def test_bytes_that_do_not_fit_the_encoding() -> None:
    error = _refused(b'<?xml version="1.0" encoding="utf-8"?>\n<score-partwise>\n\xe9\0</score-partwise>')
    assert error.line == 3


_UTF_8, _LATIN_1 = (f'<?xml version="1.0" encoding="{name}"?>' for name in ("UTF-8", "ISO-8859-1"))
_TUNE = (
    '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Café</part-name></score-part>'
    '</part-list><part id="P1"><measure number="1"><note><rest/><duration>4</duration></note></measure>'
    "</part></score-partwise>"
)
_ROOT = "<score-partwise"


@pytest.mark.parametrize(
    "data",
    [
        (_UTF_8 + _TUNE).encode("latin-1"),
        (_LATIN_1 + _TUNE).encode(),
        ("\n" + _UTF_8 + _TUNE).encode(),
        (_UTF_8 + _TUNE.replace(_ROOT, _ROOT + ' xmlns="x"')).encode(),
        (_UTF_8 + _TUNE.replace("Café", "Café & bar")).encode(),
    ],
)
def test_what_can_be_read_is_read_told_and_mended(data: bytes) -> None:
    document = read("tune.musicxml", data)
    assert document.score.parts[0].name.startswith("Café")
    assert "file-header" in [fault.rule for fault in find_faults(document)]
    done = mended(document, unsafe=False)
    assert done.left.findings == ()
    assert etree.fromstring(document.source.encode(done.text)).findtext("part-list/score-part/part-name")


@pytest.mark.parametrize("name", ["UTF-16", "utf-16le", "ISO-10646-UCS-2"])
def test_single_bytes_that_are_said_to_be_double_are_read(name: str) -> None:
    """Some programs declare the encoding of their own strings and not the one that they write."""
    data = (
        f'<?xml version="1.0" encoding="{name}"?><score-partwise><movement-title>Caf\u00e9</movement-title>'
    )
    assert read_musicxml("x", f"{data}</score-partwise>".encode()).score.title == "Caf\u00e9"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-8-sig", "iso-8859-1"])
def test_other_encodings_are_read(encoding: str) -> None:
    declared = {"utf-16": "UTF-16", "utf-16-le": "UTF-16", "utf-8-sig": "UTF-8", "iso-8859-1": "ISO-8859-1"}
    text = f'<?xml version="1.0" encoding="{declared[encoding]}"?>\n'
    text += "<score-partwise><work><work-title>Café</work-title></work></score-partwise>"
    reading = read_musicxml("x", text.encode(encoding))
    assert reading.score.title == "Café"
    assert reading.source.text == text
    assert reading.source.encode(text) == text.encode(encoding)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "empty"),
        (b"  \n", "empty"),
        (b"<html/>", "begins with <html>"),
        (b"PK\x03\x04", "damaged"),
        (b" " * (MAX_BYTES + 1), "limit"),
    ],
)
def test_what_is_no_score(data: bytes, reason: str) -> None:
    assert reason in _refused(data).reason


@pytest.mark.parametrize(
    "inside",
    [
        "<note><rest/><duration>x</duration></note>",
        "<note><rest/><duration>1/2</duration></note>",
        "<note><rest/><duration>-1</duration></note>",
        "<note><pitch><step>C</step><octave>four</octave></pitch><duration>1</duration></note>",
        "<attributes><divisions>0</divisions></attributes>",
        "<attributes><time><beats>x</beats><beat-type>4</beat-type></time></attributes>",
        "<attributes><time><beats>99999999999</beats><beat-type>4</beat-type></time></attributes>",
        "<attributes><time><beats>4</beats><beat-type>4096</beat-type></time></attributes>",
        "<attributes><time><beats>0</beats><beat-type>4</beat-type></time></attributes>",
        "<note><rest/><duration>1</duration><notations><technical><fret>x</fret></technical></notations></note>",
    ],
)
def test_a_value_that_cannot_be_read_is_left_out_and_named(inside: str) -> None:
    located = read_musicxml("x", _measure(inside)).located
    assert located is not None
    assert len(located.faulty) == 1


def test_a_bar_without_end_is_refused_with_its_line() -> None:
    assert _refused(_measure("<note><rest/><duration>99999999999</duration></note>")).line in (2, 3)


@given(st.integers(0, len(_SCORE) - 1), st.binary(min_size=1, max_size=8))
def test_any_damage_is_read_or_refused(place: int, junk: bytes) -> None:
    with suppress(UnreadableError):
        read_musicxml("damaged.musicxml", _SCORE[:place] + junk + _SCORE[place + len(junk) :])


@given(st.data())
def test_any_element_may_be_missing(data: st.DataObject) -> None:
    """Readers meet files that no schema allows."""
    tree = read_musicxml("x", write_musicxml(VOICES)).tree
    assert tree is not None
    elements = list(tree.getroot().iter())[1:]
    gone = data.draw(st.sampled_from(elements))
    parent = gone.getparent()
    assert parent is not None
    parent.remove(gone)
    with suppress(UnreadableError):
        read_musicxml("x", etree.tostring(tree))


_CASES = [path.read_bytes() for path in sorted(Path(__file__).parents[1].glob("cases/musicxml/*.musicxml"))]
_TEXTS = st.sampled_from(
    ["", "x", "-1", "0", "99999999999", "1/2", "1e9", "0.3333", "\u0663", "\u00b2", "9" * 5000, " 4 "]
)


@given(st.sampled_from(_CASES), st.data())
def test_any_element_may_hold_anything(case: bytes, data: st.DataObject) -> None:
    """What is read at all can be written."""
    root = etree.fromstring(case)
    data.draw(st.sampled_from(list(root.iter("*")))).text = data.draw(_TEXTS)
    with suppress(UnreadableError):
        write_musicxml(read_musicxml("x", etree.tostring(root)).score)
