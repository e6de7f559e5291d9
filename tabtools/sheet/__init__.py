"""The lesson sheet: a lesson as a page to read, to print and to play along with.

`lesson` puts together what is on a sheet, in the lesson's own order; `notation` has a passage engraved and
`systems` draws notation and tab as one. `page` makes HTML of it, `paper` PDF; `sound` says what is played
when.
"""
