"""What may stand to the left of a string row: note names, sol-fa, numbers, words with a number.

One pattern serves the layout and the fillers. Common practice, no source.
"""

from __future__ import annotations

import unicodedata

from tabtools.text.patterns import lazy

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

# What people put around a label: (e), [e], **e**, e., "e".
_WRAPPING = " ()[]{}<>*_.:,;'\"“”‘’«»「」`"
# Sol-fa in other alphabets, without accents and in small letters.
_SOL_FA = {
    **dict.fromkeys(("do", "до", "ντο", "ド", "도"), "Do"),
    **dict.fromkeys(("re", "ре", "ρε", "レ", "레"), "Re"),
    **dict.fromkeys(("mi", "ми", "μι", "ミ", "미"), "Mi"),
    **dict.fromkeys(("fa", "фа", "φα", "ファ", "파"), "Fa"),
    **dict.fromkeys(("sol", "so", "соль", "σολ", "ソ", "솔"), "Sol"),
    **dict.fromkeys(("la", "ля", "λα", "ラ", "라"), "La"),
    **dict.fromkeys(("si", "ti", "си", "σι", "シ", "시"), "Si"),
    **dict.fromkeys(("е", "ε"), "E"),
    **dict.fromkeys(("в", "β"), "B"),
    **dict.fromkeys(("а", "α"), "A"),
}
_NUMBERED_STRING = lazy(
    r"(?:(?:s|st|str|string|corde|cuerda|corda|saite|struna|struny|snaar|#|no|n|nr|№|弦)[. ]*)?"
    r"(?P<number>1[0-2]|[1-9])"
    r"(?:[ .'-]*(?:st|nd|rd|th|a|o|e|er|re|ere|eme|me|я|ая|й|弦|本|번|string|corde|cuerda|corda|saite))?"
)
_PLAIN_NAME = lazy(r"[A-Ha-h](?:#|b|is|es)?\d?|[EeAa]s")


def label_of(head: str) -> str | None:
    """The name or number of a string, as `LABEL` has it, that stands before a row in some other form: ``1ª``,
    ``①``, ``S1``, ``(e)``, ``Lá``, ``Соль``, ``1弦``; None for other words."""
    wide = unicodedata.normalize("NFKC", head).replace("♯", "#").replace("♭", "b").strip(_WRAPPING)
    if _PLAIN_NAME.fullmatch(wide):
        return wide
    plain = "".join(sign for sign in unicodedata.normalize("NFD", wide) if not unicodedata.combining(sign))
    lower = unicodedata.normalize("NFC", plain).lower().strip(_WRAPPING)
    if number := _NUMBERED_STRING.fullmatch(lower):
        return number["number"]
    name, sign = (lower[:-1], lower[-1]) if lower[-1:] in ("#", "b") else (lower, "")
    return _SOL_FA[name] + sign if name in _SOL_FA else None
