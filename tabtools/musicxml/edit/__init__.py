"""Changes to a MusicXML file as edits of its own text: everything else stays, byte for byte."""
