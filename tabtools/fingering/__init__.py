"""The hand: string, fret and finger for every note of a part.

`plan` answers for one part. `notes` makes of the score notes with times and wants, `moments` groups them,
`states` lists every place, finger and position of a moment with its cost, `edges` and `moves` say what it
costs to go from one to the next, `links` holds both together. `search` finds the cheapest way exactly over
these states, with what is nearly as good. `resolve` writes the choice into the score, `ways` gives
alternatives, `readings` serves the rules. Constants stand in `weights`, `reach` and `hand`. Costs are whole
thousandths of a small shift, so that sums are exact and ties are ties; what a hand can't do costs more than
any path.
"""
