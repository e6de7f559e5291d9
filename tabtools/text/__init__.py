"""Text tab: from bytes to a score, and back.

`page` makes clean lines and finds the string rows. `words.telling` gives every other line its kind, once, in
the light of where it stands (`page.kinds`). `rows` reads the characters of a string row, and puts the rows
of a system together to bars and columns. `words` attaches what stands around a system to its notes. `rhythm`
turns columns into time. `systems.read_page` does all this; `reader` makes the score of it. `writing` is the
way back: a page from a score, and a new layout of a page out of its own characters.
"""
