"""Pictures as SVG: the tab staff of a system, necks with their notes, and what stands over a staff.

Everything is drawn in CSS pixels with y growing downwards. `shapes` has the pieces that a picture is made
of, each with the box that it fills, so that `stack` can put text where nothing stands yet and a test can see
that nothing overlaps. `tab` draws a staff from the places that an engraver gave to notes and bars (`places`),
with `frets`, `joins`, `bends` and `marks` for what stands on and over it and `stems` for the rhythm below;
`heading` is the rows above a system; `neck` draws a neck.
"""
