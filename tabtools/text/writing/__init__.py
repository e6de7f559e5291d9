"""Text tab written: from a score (`writer`), or from a page in a new layout (`format`).

Both share `spacing`, which knows of music nothing but onsets. `losses` finds what text can't hold, by
reading it again.
"""
