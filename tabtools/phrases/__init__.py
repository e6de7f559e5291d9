"""Phrases that move, and takes that are compared.

``moving.move`` goes from score to score: `goals` says what each note should sound and which frets it may use,
`places` where such a note lies, `hand` chooses among them, `labels` and `names` take words, chords and keys
along, `reasons` says why a bar can't move. `page.written` puts the result into its own page of text tab and
reads it again. `aligning` pairs the strokes of two takes, `comparing` says what differs, `motifs` finds a
motif again.
"""
