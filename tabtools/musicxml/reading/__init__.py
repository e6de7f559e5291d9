"""From MusicXML to the score, one concern a module; `tabtools.musicxml.reader` puts them together."""
