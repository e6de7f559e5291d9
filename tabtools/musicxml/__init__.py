"""MusicXML 4.0, read and written: notation with its tab staff, plain or in an .mxl package."""
