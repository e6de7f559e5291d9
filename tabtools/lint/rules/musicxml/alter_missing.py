"""A note lacks the alteration that its key signature shows on the page."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

_NOTE = """
      <note>
        <pitch><step>{0}</step><octave>4</octave></pitch>
        <duration>1</duration>
        <type>quarter</type>
      </note>"""
BAD = f"""\
<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
  <part-list><score-part id="P1"><part-name>Tune</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1">
      <attributes>
        <divisions>1</divisions>
        <key><fifths>1</fifths></key>
        <time><beats>4</beats><beat-type>4</beat-type></time>
        <clef><sign>G</sign><line>2</line></clef>
      </attributes>{"".join(map(_NOTE.format, "FFFG"))}
    </measure>
  </part>
</score-partwise>
"""
RULE = Rule(
    name="alter-missing",
    group="MusicXML",
    severity=Severity.WARNING,
    what="A note lacks the alteration that its key signature shows on the page.",
    why=(
        "A reader of the page plays the sharp or flat of the signature, a program plays the natural "
        "note: the pitch must name its alteration every time. Add the alter element, or print a "
        "natural sign if the natural note is meant."
    ),
    bad=BAD,
    good=BAD.replace("<step>F</step><octave>", "<step>F</step><alter>1</alter><octave>"),
    fix="unsafe",
    check=Reporter("alter-missing", Severity.WARNING),
)
