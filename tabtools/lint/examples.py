"""A small file that the examples of the MusicXML rules are made from: three bars, notation and tab."""

from __future__ import annotations

_TUNING = "".join(
    f'<staff-tuning line="{line}"><tuning-step>{name[0]}</tuning-step>'
    f"<tuning-octave>{name[1]}</tuning-octave></staff-tuning>"
    for line, name in enumerate(("E2", "A2", "D3", "G3", "B3", "E4"), 1)
)


_START, _STOP = '<tied type="start"/>', '<tied type="stop"/>'


def _note(pitch: str, staff: int, tied: str, place: str) -> str:
    step, alter, octave = pitch[0], "<alter>1</alter>" * ("#" in pitch), pitch[-1]
    technical = f"<technical>{place}</technical>" if place else ""
    tie = f"\n        {tied.replace('tied', 'tie')}" if tied else ""
    notations = f"\n        <notations>{tied}{technical}</notations>" if tied or technical else ""
    return f"""
      <note>
        <pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch>
        <duration>2</duration>{tie}
        <voice>{4 * staff - 3}</voice>
        <type>half</type>
        <staff>{staff}</staff>{notations}
      </note>"""


def _bar(number: int, attributes: str, notes: tuple[tuple[str, str, str, str], ...]) -> str:
    notation = "".join(_note(pitch, 1, tied, marks) for pitch, tied, marks, _ in notes)
    tab = "".join(_note(pitch, 2, tied, place) for pitch, tied, _, place in notes)
    between = f"\n      <backup><duration>{2 * len(notes)}</duration></backup>"
    return f"""
    <measure number="{number}">{attributes}{notation}{between}{tab}
    </measure>"""


_ATTRIBUTES = f"""
      <attributes>
        <divisions>1</divisions>
        <key><fifths>1</fifths></key>
        <time><beats>4</beats><beat-type>4</beat-type></time>
        <staves>2</staves>
        <clef number="1"><sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change></clef>
        <clef number="2"><sign>TAB</sign><line>5</line></clef>
        <staff-details number="2"><staff-lines>6</staff-lines>{_TUNING}</staff-details>
      </attributes>"""
_FIRST = (
    ("F#3", "", "", "<string>4</string><fret>4</fret>"),
    ("A3", _START, "", "<string>3</string><fret>2</fret>"),
)
_SECOND = (
    ("A3", _STOP, "", "<string>3</string><fret>2</fret>"),
    ("B3", "", "", "<string>3</string><fret>4</fret>"),
)


def _file(second: tuple[tuple[str, str, str, str], ...]) -> str:
    bars = _bar(1, _ATTRIBUTES, _FIRST) + _bar(2, "", second) + _bar(3, "", _SECOND[1:] * 2)
    return f"""\
<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
  <part-list><score-part id="P1"><part-name>Guitar</part-name></score-part></part-list>
  <part id="P1">{bars}
  </part>
</score-partwise>
"""


LESSON = _file(_SECOND)


def changed(old: str, new: str, place: int = 0) -> str:
    """The file with ``new`` for ``old`` where that stands for the ``place``-th time, counted from 0."""
    parts = LESSON.split(old)
    assert len(parts) > place + 1, old
    return old.join(parts[: place + 1]) + new + old.join(parts[place + 1 :])
