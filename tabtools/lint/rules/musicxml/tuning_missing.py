"""A MusicXML part with tab does not say how its strings are tuned."""

from __future__ import annotations

from tabtools.lint.elements import same_place
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule
from tabtools.source import Doubt

_TUNING = """
      <staff-details>
        <staff-lines>4</staff-lines>
        <staff-tuning line="1"><tuning-step>E</tuning-step><tuning-octave>1</tuning-octave></staff-tuning>
        <staff-tuning line="2"><tuning-step>A</tuning-step><tuning-octave>1</tuning-octave></staff-tuning>
        <staff-tuning line="3"><tuning-step>D</tuning-step><tuning-octave>2</tuning-octave></staff-tuning>
        <staff-tuning line="4"><tuning-step>G</tuning-step><tuning-octave>2</tuning-octave></staff-tuning>
      </staff-details>"""
_LINES = "\n      <staff-details><staff-lines>4</staff-lines></staff-details>"
GOOD = f"""\
<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
  <part-list><score-part id="P1"><part-name>Bass</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1">
      <attributes>
      <divisions>1</divisions>
      <time><beats>4</beats><beat-type>4</beat-type></time>
      <clef><sign>TAB</sign><line>5</line></clef>{_TUNING}
      </attributes>
      <note>
        <pitch><step>A</step><octave>1</octave></pitch>
        <duration>4</duration>
        <type>whole</type>
        <notations><technical><string>3</string><fret>0</fret></technical></notations>
      </note>
    </measure>
  </part>
</score-partwise>
"""


def _words(doubt: Doubt) -> str:
    (instrument,) = doubt.values
    return (
        f"the part has tab but no tuning, and was read as {instrument} in standard tuning: add "
        "staff-details with a staff-tuning for every string"
    )


RULE = Rule(
    name="tuning-missing",
    group="MusicXML",
    severity=Severity.WARNING,
    what="A MusicXML part with tab does not say how its strings are tuned.",
    why=(
        "String and fret are a pitch only with a tuning, and programs guess differently where there is "
        "none. "
        "Set the tuning in the program that wrote the file, or add the staff-tuning elements by hand."
    ),
    bad=GOOD.replace(_TUNING, _LINES),
    good=GOOD,
    fix="unsafe",
    words=_words,
    repairs=same_place,
)
