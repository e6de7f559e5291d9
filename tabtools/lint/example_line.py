"""A small file of one tab staff, a bass with one note, that examples of rules are made from."""

TUNING = """
      <staff-details>
        <staff-lines>4</staff-lines>
        <staff-tuning line="1"><tuning-step>E</tuning-step><tuning-octave>1</tuning-octave></staff-tuning>
        <staff-tuning line="2"><tuning-step>A</tuning-step><tuning-octave>1</tuning-octave></staff-tuning>
        <staff-tuning line="3"><tuning-step>D</tuning-step><tuning-octave>2</tuning-octave></staff-tuning>
        <staff-tuning line="4"><tuning-step>G</tuning-step><tuning-octave>2</tuning-octave></staff-tuning>
      </staff-details>"""
LINE = f"""\
<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
  <part-list><score-part id="P1"><part-name>Bass</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1">
      <attributes>
      <divisions>1</divisions>
      <time><beats>4</beats><beat-type>4</beat-type></time>
      <clef><sign>TAB</sign><line>5</line></clef>{TUNING}
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
