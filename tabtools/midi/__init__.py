"""MIDI files from scores and scores from MIDI files; mido reads and writes the bytes.

`performance` says what is played and when, `bending` how its pitch moves, `channels` who plays it where,
`writing` puts it into a file; `ticks` and `quantising` make written music of what a file plays, and
`reading` the score.
"""
