"""Findings and repairs.

`engine.examine` runs the rules that can have something to say about a document, one rule a file in `rules`,
and takes out what remarks silence (`suppressions`). `fixes.repair` applies repairs round by round, and
`proof` says what a repair must leave alone. `meant` weighs what the author meant where chords and notes
disagree. `accepted` remembers the findings that a repository lives with.
"""
