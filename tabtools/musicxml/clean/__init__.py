"""Faults in the elements of a MusicXML file, with their repair where the file itself proves it."""
