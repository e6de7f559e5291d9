"""From the score to MusicXML, one concern a module; `tabtools.musicxml.writer` puts them together."""
