"""Headings without brackets: ``Main riff``, ``A part (twice)``, ``Riff 1 - play 4x``.

The words are common practice in the languages that tab is written in, no source.
"""

from __future__ import annotations

import re

from tabtools.record import NamedTuple
from tabtools.text.patterns import lazy
from tabtools.text.words.annotations import repeat_count

_NOUNS = (
    "intro|verse|chorus|pre-?chorus|refrain|bridge|solo|riff|interlude|turnaround|coda|outro|break|breakdown"
    "|theme|head|ending|part|section|fill|hook|tag|vamp|estrofa|estribillo|puente|strophe|couplet|strofa"
    "|ritornello|refrão|verso|parte|teil|partie|vorspiel|zwischenspiel|nachspiel|einleitung|schluss"
    "|イントロ|アウトロ|サビ|[AB]メロ|間奏|エンディング|куплет|припев|вступление|проигрыш|refren|zwrotka|wstęp"
)
_QUALIFIER = r"main|first|second|third|last|final|opening|closing|lead|(?-i:[A-Z])|\d{1,2}|(?-i:[IVX]{1,4})"
_TIMES = "times|x|veces|vezes|volte|fois|mal|razy"
_HEADING = lazy(
    rf"(?P<name>(?:(?:{_QUALIFIER}) )*(?P<noun>{_NOUNS})"
    rf"(?: (?:(?:&|and|\+|-) )?(?:{_QUALIFIER})(?!\w)(?! ?(?:{_TIMES})\b))*)"
    r"(?P<behind>(?:[ ]*[-–—,:;(（]|[ ]+(?=[xX]?\d)|[ ]+(?=\S)).*)?",
    re.IGNORECASE,
)
_AROUND = " \t|:=~*_#「」【】■●<>.!+()"
_COUNT_AROUND = " \t|:-–—,;()（）.!"
_LONGEST = 60


class Heading(NamedTuple):
    """The name of a section, and how often it is played, 0 where that is not said."""

    name: str
    passes: int


def heading_of(text: str) -> Heading | None:
    """The section that a line of words names at its beginning, with a repeat count or a remark behind it at
    the most; None for other lines."""
    if len(text) > _LONGEST:
        return None
    plain = text.strip(_AROUND.replace("(", "").replace(")", "")).lstrip(_AROUND)
    match = _HEADING.fullmatch(plain)
    if match is None:
        return None
    behind = match["behind"] or ""
    passes = repeat_count(behind.strip(_COUNT_AROUND)) or 0
    shouted = match["noun"].isupper() and match["noun"].isascii()
    if behind and behind[:1] == " " and not passes and behind.strip()[:1] not in "-–—(" and not shouted:
        return None
    return Heading(match["name"].strip(), passes)
