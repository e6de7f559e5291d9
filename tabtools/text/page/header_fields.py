"""The fields of a header, ``Key: G`` or ``Capo 3``, in the languages that tab is written in.

The words are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping

from tabtools.record import NamedTuple
from tabtools.text.patterns import lazy

# Words that need their colon, since they begin sentences too, by the fact that they name.
_NAMED = {
    "title": "title|subject|titulo|título|titel|titre|titolo|曲名",
    "composer": "composer|author|written by",
    "instrument": "instrument|instrumento|instrumente",
    "tuning": "afinacion|afinación|afinacao|afinaçao|afinacão|afinação|stimmung|accordage|accordatura"
    "|stroj|strój|ladeni|ladění|ladení|laděni|строй|настройка|チューニング|strings|saiten|cuerdas|cordes|corde",
    "key": "ton|tonalidad|tonalidade|tono|tom|tonart|tonalite|tonalité|tonalita|tonalità|tonacja|tonina"
    "|tónina|тональность|キー",
    "time": "compas|compás|compasso|takt|taktart|mesure|metrum|misura|размер|拍子",
    "rhythm": "rhythm|feel",
    "tempo": "velocidad|geschwindigkeit|andamento|темп|テンポ|bpm",
}
_BARE = {
    "tuning": "tuning|tune|tuned|tune to|tuned to",
    "capo": "capo|カポ",
    "time": "time|time sig|time signature|metre|meter",
    "key": "key|key of",
    "tempo": "tempo",
}


def _by_word(words: Mapping[str, str]) -> dict[str, str]:
    return {word: fact for fact, listed in words.items() for word in listed.split("|")}


_BARE_WORDS = _by_word(_BARE)
_FIELD_WORDS = {**_by_word(_NAMED), **_BARE_WORDS}
_FIRST_WORDS = lazy(r"[(\[*_'|]*[ ]?(?P<one>[^\W\d_]+)(?P<two>[ ][^\W\d_]+)?")
_VALUE = lazy(r"[*_]*[ ]*(?P<colon>[:=|])?[ *_']*(?P<value>.*)")


class Field(NamedTuple):
    """A fact that a header line names, and what stands behind its name."""

    fact: str
    value: str


def field_of(text: str) -> Field | None:
    """The field that a text begins with, as in ``Key: G``, ``**Tuned to** D A D G A D`` or ``Capo 3``."""
    first = _FIRST_WORDS.match(text)
    if first is None:
        return None
    for last in ("two", "one"):
        end = first.end(last)
        words = text[first.start("one") : end].lower()
        if end < 0 or words not in _FIELD_WORDS:
            continue
        rest = _VALUE.match(text, end)
        bare = words in _BARE_WORDS and not (text[end : end + 1].isalnum() or text[end : end + 1] == "_")
        # A word alone in brackets heads a section: [Tune].
        if rest is not None and (rest["colon"] or (bare and rest["value"].strip(" )]}"))):
            return Field(_FIELD_WORDS[words], rest["value"].strip(" *_'|"))
    return None
