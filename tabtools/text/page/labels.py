"""What may stand to the left of a string row: note names, sol-fa, numbers, words with a number.

One pattern serves the layout and the fillers. Common practice, no source.
"""

from __future__ import annotations

SIGNS = r"(?:\#|b|♯|♭)"
LETTER = rf"(?:[A-Ha-h](?:{SIGNS}|is|es)?|[Ee]s|[Aa]s)\d?"
SOL_FA = rf"(?:[Dd][oó]|[Rr][eé]|[Mm]i|[Ff]a|[Ss]ol|[Ll]a|[Ss]i|DO|RE|MI|FA|SOL|LA|SI){SIGNS}?"
NUMBER = r"\d{1,2}(?=\)?[ ]*[|:]|\)[ ]*-|[ ]{1,3}\d{0,2}-[-\dhp/x]{3})"
ORDINAL = (
    r"(?i:(?:string[ ]?)?(?P<ordinal>\d{1,2})(?:st|nd|rd|th)?[ ]string(?=[ ]?:)|string[ ](?P<string>\d{1,2}))"
)
# The number of a string before its name: 1 e|, (6) E|.
_NUMBERED = r"(?:\(?[1-9]\d?[.):]?[ ]+|\([1-9]\d?\)|[1-9](?=[A-Ha-h]))?"
LABEL = rf"(?:(?P<words>{ORDINAL})|{_NUMBERED}(?P<label>{SOL_FA}(?![a-z])|{LETTER}|{NUMBER}))"
# Between label and row: a colon or bracket, blanks.
GAP = r"[):]?[ ]*"
