"""The words that headers use, in the languages that tab is written in. Common practice, no source."""

from __future__ import annotations

import re
from fractions import Fraction

from tabtools.instrument import INSTRUMENTS
from tabtools.text.patterns import lazy

# A metre stands alone between commas or brackets, or with one of these words: 3/4 of a bar is none. A
# numerator of 1 is a bend or a note value.
TIME = lazy(
    r"(?:(?:time|meter|metre|metrum|misura|comp[aá]s|compasso|takt(?:art)?|mesure|tempo|размер)\b"
    r"(?: sig\w*| de| à| tern[aá]rio| bin[aá]rio)?[ :=]*"
    r"|(?:(?:.*\b)?(?:in|im|en|em|à|на) (?:an? )?|count )?"
    r"(?:(?:slow|fast|quick|easy|gentle|lazy|brisk|moderate|medium) )?)"
    r"([2-9]|1\d)/(2|4|8|16)"
    r"(?:[ -](?:time|feel|waltz|takt|groove|riff|swing|march|jig|shuffle|blues|beat|study)){0,2}",
    re.IGNORECASE,
    needs=("/",),
)
# A metre inside running words: played in 3/4 with a capo, a jig in 6/8 time; not in 3/4 of all bars.
TIME_SAID = lazy(
    r"\b(?:in(?: an?)?(?: \w+)?|time|feel|shuffle|swing|waltz|jig|groove|march|blues) "
    r"(?P<beats>[2-9]|1\d)/(?P<unit>2|4|8|16)(?![\w/]|\s+of\b)"
    r"|(?<![\w/])(?P<b>[2-9]|1\d)/(?P<u>2|4|8|16)(?: (?:time|feel|meter|metre)\b| then [1-9])"
    # Behind a title with its mark: Copper hymn? 4/2 yeah.
    r"|(?<=[?!] )(?P<behind>[2-9]|1\d)/(?P<of>2|4|8|16)(?![\w/]|\s+of\b)",
    re.IGNORECASE,
    needs=("/2", "/4", "/8", "/16"),
)
TIME_IN_WORDS = {
    "in 2": (2, 4), "in 3": (3, 4), "in 4": (4, 4), "in three": (3, 4), "in four": (4, 4),
    "waltz": (3, 4), "waltz time": (3, 4), "vals": (3, 4), "valse": (3, 4), "walzer": (3, 4),
    "count in 2": (2, 4), "count in 3": (3, 4), "count in 4": (4, 4), "dreivierteltakt": (3, 4),
    "im dreivierteltakt": (3, 4), "viervierteltakt": (4, 4), "im viervierteltakt": (4, 4),
    "zweivierteltakt": (2, 4), "sechsachteltakt": (6, 8), "im sechsachteltakt": (6, 8),
    "in waltz time": (3, 4), "three beats in a bar": (3, 4), "à 3 temps": (3, 4), "à trois temps": (3, 4),
    "four beats in a bar": (4, 4), "two beats in a bar": (2, 4), "in 6": (6, 8), "in six": (6, 8),
    "tempo di valzer": (3, 4), "tempo de vals": (3, 4), "tres por cuatro": (3, 4),
    "compás de tres por cuatro": (3, 4), "mesure à 3 temps": (3, 4), "mesure à trois temps": (3, 4),
    **{
        f"{'in ' * bool(within)}{beats}{mark}{unit}{' time' * bool(said)}": (number, value)
        for beats, number, unit, value in (
            ("two", 2, "four", 4), ("three", 3, "four", 4), ("four", 4, "four", 4),
            ("five", 5, "four", 4), ("six", 6, "eight", 8), ("seven", 7, "eight", 8),
            ("nine", 9, "eight", 8), ("twelve", 12, "eight", 8),
        )
        for mark in (" ", "-")
        for said in (0, 1)
        for within in (0, 1)
    },
    "slow waltz": (3, 4), "common time": (4, 4), "cut time": (2, 2), "time: c": (4, 4), "march": (2, 4),
}  # fmt: skip
# A piece that calls itself a waltz, in its title and not in its lyrics.
WALTZ = lazy(
    r"\W*+(?:[\w'’]++ ){0,4}(?:waltz|walzer|vals|valse|valzer)"
    r"(?:[,.;:()!–-].*| (?:in|en|em|for|para) .*|\W*)",
    re.IGNORECASE,
    needs=("waltz", "walzer", "vals", "valzer"),
)
_NO = "no|without|sin|ohne|sans|senza|sem"
_CAPO_WORDS = (
    r"(?:capo(?:['’]?e?d|tasto|traste|daster|taste)?|kapo(?:daste?r)?|cejilla|cejuela|capodastre"
    r"|каподастр|カポ)"
)
_ROMAN = ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"]
_ORDINALS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth"]
FRET_WORDS = {
    **{word.lower(): fret for fret, word in enumerate(_ROMAN, 1)},
    **{word: fret for fret, word in enumerate(_ORDINALS, 1)},
    **dict.fromkeys(("none", "no", "off", "nein", "keine", "keiner", "ninguno", "nessuno", "aucun"), 0),
}
CAPO = lazy(
    rf"\b{_CAPO_WORDS}\b\D{{0,24}}?\b(?P<fret>\d{{1,2}}|"
    + "|".join(sorted(FRET_WORDS, key=lambda word: (-len(word), word)))
    + r")(?:st|n?d|rd|th|er|[oaºª])?\b|\b(?P<before>\d{1,2})(?:st|nd|rd|th) fret capo\b"
    rf"|\b(?P<none>(?:{_NO}) {_CAPO_WORDS})\b",
    re.IGNORECASE,
    needs=("capo", "kapo", "cejilla", "cejuela", "каподастр", "カポ"),
)
BEATS = {"half": Fraction(2), "quarter": Fraction(1), "eighth": Fraction(1, 2)}
_BEAT_WORDS = {
    "half": "half|halbe|blanca|blanche|m[ií]nima",
    "quarter": "quarter|viertel|negra|noire|sem[ií]nima|semiminima|♩|\\bq",
    "eighth": "eighth|achtel|corchea|croche|colcheia|croma|♪",
}
TEMPO = lazy(
    r"(?:(?P<dotted>dotted |punktierte )?(?:"
    + "|".join(f"(?P<{beat}>{words})" for beat, words in _BEAT_WORDS.items())
    + r")(?: note)?[ ]*(?P<after>con puntillo|point[eé]e)?[ ]*=[ ]*)?"
    r"(?<![\d/])(?P<number>\d{2,3})(?![\d/]|ths?\b)",
    re.IGNORECASE,
)
_ROUGHLY = r"(?:ca|circa|approx\w*|about|around|roughly|etwa|ungefähr|environ|unos|aprox\w*)"
TEMPO_IN_WORDS = lazy(
    r"\d{2,3}\s*bpm|bpm\s*+[:=]?\s*+\d|\bm\.?m\.?\s*+=?\s*+\d"
    rf"|\btempo\W{{0,3}}{_ROUGHLY}\W{{1,3}}\d{{2,3}}(?![\d/])"
    rf"|(?:dotted |punktierte )?(?:{'|'.join(_BEAT_WORDS.values())})(?: note)?\s*=\s*\d"
    r"|\b\d{2,3} (?:beats (?:a|per|to the) minute|to the minute|à la minute|schläge pro minute)",
    re.IGNORECASE,
    needs=("bpm", "mm", "m.m", "=", "tempo", "minute"),
)
# A tempo alone between commas, with a word for a guess: about 110, 140ish.
TEMPO_GUESSED = lazy(
    r"(?:[\w' ]{0,24}\b(?:goes|go|play(?:ed)?|take it|count it) )?(?:at )?"
    rf"(?:(?:{_ROUGHLY}|like) (?P<number>\d{{2,3}})|(?P<ish>\d{{2,3}}) ?ish)",
    re.IGNORECASE,
)
# A sentence that tells of another time or another way: its facts hold no longer, or not yet, or not for all.
HEDGED = lazy(
    r"\b(?:used to|once|formerly|no longer|any ?more|but now|instead of|could|maybe|perhaps|should|was|were"
    r"|would|if you|partial|covering strings?|früher|damals|antes|avant|prima)\b",
    re.IGNORECASE,
)
# Two tempos: from one to the other.
TEMPO_RANGE = lazy(r"\d{2,3}\s*(?:-+>|→|–|-|to|bis|à|a)\s*(?P<last>\d{2,3})\b", re.IGNORECASE)
_SOL_FA_KEY = (
    r"(?:d[oó]|r[eé]|mi|fa|sol|l[aá]|si)(?: ?(?:#|b)| (?:bemol\w*|b[eé]mol|sostenido|diesis|di[eè]se))?"
    r" (?:min\w+|menor|ma[gjy]\w+|maior)"
)
_MODES = "(?:dorian|phrygian|lydian|mixolydian|mixo|dor|phryg|lyd|aeolian|locrian|ionian)"
_SIGN = "(?:#|b|♯|♭)?"
# What a piece of music may be called; "in G" behind it is its key. Those of rock, a riff or a solo in E, are
# left out: as often as not they are minor.
_PIECES = (
    "air|arpeggios?|ballad|blues|boogie|cadence|etude|finger-?picking|hornpipe|jig|lullaby|march|mazurka|gavotte"
    "|melody|minuet|rondo|sonatina|duet|trio|exercise|drill|ditty|theme|picking|piece|polka|prelude|progression|rag|ragtime|reel|rolls?|round|scale|shuffle|song"
    "|study|tune|waltz"
)
# The words of a key in Russian, by those of another language.
SUNG_IN_RUSSIAN = {
    "до": "Do", "ре": "Re", "ми": "Mi", "фа": "Fa", "соль": "Sol", "ля": "La", "си": "Si",
    "мажор": "major", "минор": "minor", "диез": "sostenido", "бемоль": "bemol",
}  # fmt: skip
# How notes are felt, and notes of one length: swing feel, straight eighths, all eighth-note triplets.
_VALUE = r"(?:quarter|eighth|sixteenth|8th|16th)s?(?:[- ]notes?)?"
RHYTHM_IN_WORDS = lazy(
    r"(?:(?:with|in) an? )?(?:(?:light|medium|slow|fast|easy|hard) )?"
    rf"(?:(?:swing|swung|shuffled?|triplet[- ]feel|half[- ]time|straight|not swung|no swing)"
    rf"(?: (?:feel|time|groove|{_VALUE}))*|(?:all|even|steady|straight) {_VALUE}(?:[- ]triplets?)?)",
    re.IGNORECASE,
    needs=("sw", "shuffle", "triplet", "half", "straight", "all", "even", "steady"),
)
KEY_IN_WORDS = lazy(
    rf"(?:.*\b(?:key(?: of| is)?|in|scale)[ :=]+)?"
    rf"(?:([A-H]{_SIGN} (?:minor|major))(?: (?:pentatonic|scale|lick|riff|groove|study|jam|tune|run|solo))+"
    rf"|([A-H]{_SIGN} ?(?:minor|major|m)|[A-H]{_SIGN} {_MODES})(?: (?:pentatonic|scale|blues|feel))?)"
    rf"|.*\bkey(?: of)?[ :=]+([A-H]{_SIGN})"
    rf"|(?:.*\b(?:in|en|em|d[aei]|ton[oe]?|tom|tonart|tonacja|t[oó]nina)[ ])?"
    rf"({_SOL_FA_KEY}|[A-H](?:is|es|s)?[- ](?:dur|moll))"
    rf"|(?:(?:.*(?:\b(?:are|is|played|written|all|{_PIECES})|['’](?:s|re))|\d/\d) )?in "
    rf"((?-i:[A-G]{_SIGN})(?:[ -](?:flat|sharp))?)",
    re.IGNORECASE,
)
ITEMS = lazy(r"(?:[^,;()\[\]| .]|\.(?!\s)|[ ](?!--?[ ]|[*/·][ ]|(?:@|at)[ ]\d{2,3}\b))+")
_LOW = r"(?:low(?:est)?|thick(?:est)?|bass|6th|sixth|graves?|gruesa|tiefe?|tiefste|dicke|basse)"
_TOP = r"(?:top|arriba|oben|(?:en )?haut|(?:in )?alto|em cima)"
LOW_ON_TOP = lazy(
    rf"\b{_LOW}\b(?:(?!\bnot\b)[^.;!?\n]){{0,30}}?\b{_TOP}\b"
    rf"|\btop (?:line|row|string)\b[^.;!?]{{0,12}}\b{_LOW}\b|\bupside[ -]down\b",
    re.IGNORECASE,
    needs=("top", "arriba", "oben", "haut", "alto", "em cima", "upside"),
)
# The strings as an open chord, which needs no other word beside it where it stands alone.
OPEN_TUNING = lazy(r"(?:in )?open[ -][A-G](?:[ -](?:minor|major))?", re.IGNORECASE, needs=("open",))
_STRINGED = (
    r"(?:(?:\d+|four|five|six|seven|eight|twelve)[- ]string(?:ed)?|(?:low|high)[- ]g|acoustic|electric|solo) "
)
_PLAYED = "(?: (?:tab|tune|song|piece|part|solo|lesson|arrangement|study))?"
# One of these is in every name of an instrument.
INSTRUMENT_STEMS = (
    "uk",
    "banjo",
    "mandolin",
    "bandolim",
    "guita",
    "gitarre",
    "chitarra",
    "bas",
    "bajo",
    "baixo",
)
INSTRUMENT_STATED = lazy(
    rf"(?:{_STRINGED})?(?P<name>{'|'.join(INSTRUMENTS)}){_PLAYED}", re.IGNORECASE, needs=INSTRUMENT_STEMS
)
