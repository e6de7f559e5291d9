"""Movable chord forms: which form, box or run a group of notes comes from, and what every note is in it.

`table` writes every grip as chord degrees on strings; frets follow from the tuning (`neck`). `cost` and
`boxcost` say what it costs to read a note as part of a form or box. `search` finds the cheapest cutting of a
part, exactly and in linear time; `readings` weighs the chosen form against the others, `roles` says what
every note is, `figures` what the line does, `position` where the hand is. `naming.name_forms` puts it
together.
"""
