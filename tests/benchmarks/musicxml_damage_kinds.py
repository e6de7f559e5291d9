"""Kinds of damage to MusicXML: each takes the text of a sound file and a generator of random numbers.

It gives the text with one thing broken, or None where the file has nothing of the kind.

They are slips of hands and of programs that write files, collected from memory.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from itertools import pairwise

Damage = Callable[[str, random.Random], str | None]
_NOTE = re.compile(r"[ \t]*<note\b.*?</note>\n?", re.DOTALL)


def _replace_one(pattern: str, new: str | Callable[[re.Match[str]], str | None]) -> Damage:
    """One match of a pattern, taken at random, replaced."""

    def damage(text: str, rng: random.Random) -> str | None:
        matches = list(re.finditer(pattern, text, re.DOTALL))
        rng.shuffle(matches)
        for match in matches:
            made = match.expand(new) if isinstance(new, str) else new(match)
            if made is not None and made != match.group():
                return text[: match.start()] + made + text[match.end() :]
        return None

    return damage


def _in_note(wanted: Callable[[str], bool], change: Callable[[str], str]) -> Damage:
    """One note of those that are wanted, taken at random, changed."""

    def damage(text: str, rng: random.Random) -> str | None:
        notes = [match for match in _NOTE.finditer(text) if wanted(match.group())]
        if not notes:
            return None
        match = rng.choice(notes)
        made = change(match.group())
        return None if made == match.group() else text[: match.start()] + made + text[match.end() :]

    return damage


def _number(name: str, step: int, lowest: int = 0) -> Damage:
    """The number in an element raised or lowered."""

    def moved(match: re.Match[str]) -> str | None:
        number = int(match.group(1)) + step
        return f"<{name}>{number}</{name}>" if number >= lowest else None

    return _replace_one(rf"<{name}>(\d+)</{name}>", moved)


def _times(name: str, factor: int) -> Damage:
    return _replace_one(rf"<{name}>(\d+)</{name}>", lambda m: f"<{name}>{int(m.group(1)) * factor}</{name}>")


def _halved(name: str) -> Damage:
    def half(match: re.Match[str]) -> str | None:
        number = int(match.group(1))
        return f"<{name}>{number // 2}</{name}>" if number > 1 and number % 2 == 0 else None

    return _replace_one(rf"<{name}>(\d+)</{name}>", half)


def _on_tab(note: str) -> bool:
    return "<fret>" in note and "<rest" not in note


def _in_notation(note: str) -> bool:
    return "<fret>" not in note and "<pitch>" in note


def _pitched(note: str) -> bool:
    return "<pitch>" in note


def _next_step(note: str) -> str:
    return re.sub(r"<step>(\w)<", lambda m: f"<step>{'CDEFGABC'['CDEFGAB'.index(m[1]) + 1]}<", note)


def _octave(by: int) -> Callable[[str], str]:
    return lambda note: re.sub(r"<octave>(\d)<", lambda m: f"<octave>{int(m[1]) + by}<", note)


def _alter(note: str) -> str:
    if "<alter>" in note:
        return re.sub(r"<alter>-?\d</alter>", "", note)
    return note.replace("</step>", "</step><alter>1</alter>")


def _doubled(note: str) -> str:
    return note + note


def _upside_down(text: str, rng: random.Random) -> str | None:
    lines = re.findall(r'<staff-tuning line="\d">(.*?)</staff-tuning>', text)
    if len(lines) < 2:
        return None
    turned = iter(lines[::-1])
    return re.sub(r'(<staff-tuning line="\d">).*?(?=</staff-tuning>)', lambda m: m[1] + next(turned), text)


def _swapped(pattern: str) -> Damage:
    """Two neighbours put in each other's place."""

    def damage(text: str, rng: random.Random) -> str | None:
        matches = list(re.finditer(pattern, text, re.DOTALL))
        pairs = [(a, b) for a, b in pairwise(matches) if a.group() != b.group()]
        if not pairs:
            return None
        first, second = rng.choice(pairs)
        between = text[first.end() : second.start()]
        return text[: first.start()] + second.group() + between + first.group() + text[second.end() :]

    return damage


_TIE_STOP, _TIE_START = r'\s*<tie type="stop"/>', r'\s*<tie type="start"/>'
KINDS: dict[str, Damage] = {
    "fret one higher": _number("fret", 1),
    "fret one lower": _number("fret", -1),
    "fret an octave higher": _number("fret", 12),
    "fret with a digit lost": _replace_one(r"<fret>(\d)\d</fret>", r"<fret>\1</fret>"),
    "fret empty": _replace_one(r"<fret>\d+</fret>", "<fret></fret>"),
    "fret lost": _replace_one(r"<fret>\d+</fret>", ""),
    "string one higher": _number("string", 1),
    "string one lower": _number("string", -1, 1),
    "string off the instrument": _replace_one(r"<string>\d</string>", "<string>9</string>"),
    "string lost": _replace_one(r"<string>\d</string>", ""),
    "string and fret lost": _replace_one(r"<string>\d</string>\s*<fret>\d+</fret>", ""),
    "string and fret in each other's place": _replace_one(
        r"<string>(\d)</string>(\s*)<fret>([1-6])</fret>", r"<string>\3</string>\2<fret>\1</fret>"
    ),
    "step on tab": _in_note(_on_tab, _next_step),
    "step in notation": _in_note(_in_notation, _next_step),
    "octave higher on tab": _in_note(_on_tab, _octave(1)),
    "octave higher in notation": _in_note(_in_notation, _octave(1)),
    "octave lower in notation": _in_note(_in_notation, _octave(-1)),
    "octave lost": _in_note(_pitched, lambda note: re.sub(r"<octave>\d</octave>", "", note)),
    "octave a word": _in_note(_pitched, lambda note: re.sub(r"<octave>\d<", "<octave>four<", note)),
    "alter on tab": _in_note(_on_tab, _alter),
    "alter in notation": _in_note(_in_notation, _alter),
    "pitch lost": _in_note(_pitched, lambda note: re.sub(r"(?s)<pitch>.*?</pitch>", "", note)),
    "duration doubled": _times("duration", 2),
    "duration halved": _halved("duration"),
    "duration one more": _number("duration", 1),
    "duration nought": _in_note(_pitched, lambda note: re.sub(r"<duration>\d+<", "<duration>0<", note)),
    "duration lost": _in_note(_pitched, lambda note: re.sub(r"\s*<duration>\d+</duration>", "", note)),
    "duration a word": _replace_one(r"<duration>\d+</duration>", "<duration>long</duration>"),
    "type of half the length": _replace_one("<type>quarter</type>", "<type>eighth</type>"),
    "type of twice the length": _replace_one("<type>eighth</type>", "<type>quarter</type>"),
    "type unknown": _replace_one("<type>eighth</type>", "<type>quaver</type>"),
    "dot lost": _replace_one(r"\s*<dot/>", ""),
    "dot put in": _in_note(
        lambda note: "<type>" in note and "<dot" not in note, lambda n: n.replace("</type>", "</type><dot/>")
    ),
    "tuplet ratio lost": _replace_one(r"(?s)\s*<time-modification>.*?</time-modification>", ""),
    "tuplet ratio wrong": _replace_one("<actual-notes>3</actual-notes>", "<actual-notes>5</actual-notes>"),
    "note doubled on tab": _in_note(_on_tab, _doubled),
    "note doubled in notation": _in_note(_in_notation, _doubled),
    "note lost on tab": _in_note(_on_tab, lambda _: ""),
    "note lost in notation": _in_note(_in_notation, lambda _: ""),
    "rest lost": _in_note(lambda note: "<rest" in note, lambda _: ""),
    "two notes in each other's place": _swapped(r"<note>(?:(?!</note>).)*<pitch>.*?</note>"),
    "chord sign lost": _replace_one(r"\s*<chord/>", ""),
    "chord sign put in": _in_note(
        lambda note: "<chord/>" not in note and "<pitch>" in note,
        lambda n: n.replace("<pitch>", "<chord/><pitch>", 1),
    ),
    "staff number wrong": _replace_one("<staff>2</staff>", "<staff>1</staff>"),
    "staff number lost": _in_note(_on_tab, lambda note: re.sub(r"\s*<staff>2</staff>", "", note)),
    "staves lost": _replace_one(r"<staves>2</staves>", ""),
    "voice wrong": _replace_one("<voice>1</voice>", "<voice>3</voice>"),
    "backup short": _replace_one(
        r"(?s)<backup><duration>(\d+)<", lambda m: f"<backup><duration>{max(1, int(m[1]) // 2)}<"
    ),
    "backup long": _replace_one(r"<backup><duration>(\d+)<", lambda m: f"<backup><duration>{int(m[1]) * 2}<"),
    "backup lost": _replace_one(r"(?s)\s*<backup>.*?</backup>", ""),
    "divisions doubled": _times("divisions", 2),
    "divisions nought": _replace_one(r"<divisions>\d+<", "<divisions>0<"),
    "divisions lost": _replace_one(r"<divisions>\d+</divisions>", ""),
    "metre wrong": _replace_one("<beats>4</beats>", "<beats>3</beats>"),
    "beat type wrong": _replace_one("<beat-type>4</beat-type>", "<beat-type>8</beat-type>"),
    "metre a word": _replace_one(r"<beats>\d+</beats>", "<beats>four</beats>"),
    "measure number doubled": _replace_one(
        r'<measure number="([2-9])"', lambda m: f'<measure number="{int(m[1]) - 1}"'
    ),
    "measure lost": _replace_one(r"(?s)\s*<measure number=\"2\".*?</measure>", ""),
    "tuning lines upside down": _upside_down,
    "one string's tuning wrong": _replace_one(r'(<staff-tuning line="[2-5]"><tuning-step>)A(?=<)', r"\1B"),
    "tuning lost": lambda text, _: re.sub(r"(?s)\s*<staff-tuning.*</staff-tuning>", "", text),
    "capo put in": _replace_one("</staff-details>", "<capo>2</capo></staff-details>"),
    "clef of tab lost": _replace_one(r'(?s)<clef number="2">.*?</clef>', ""),
    "tie's start lost for the ear": _replace_one(_TIE_START, ""),
    "tie's stop lost for the ear": _replace_one(_TIE_STOP, ""),
    "tie's start lost for the eye": _replace_one(r'<tied type="start"/>', ""),
    "tie's stop lost for the eye": _replace_one(r'<tied type="stop"/>', ""),
    "hammer-on's stop lost": _replace_one(r'<hammer-on[^>]*type="stop"[^>]*/>', ""),
    "pull-off's start lost": _replace_one(r'<pull-off[^>]*type="start"[^>]*>P</pull-off>', ""),
    "slur's stop lost": _replace_one(r'<slur[^>]*type="stop"[^>]*/>', ""),
    "slide's start lost": _replace_one(r'<slide[^>]*type="start"[^>]*/>', ""),
    "part's id wrong": _replace_one('<part id="P1">', '<part id="P7">'),
    "no entry in the part list": _replace_one(r"(?s)<score-part .*?</score-part>", ""),
    "elements out of order": _replace_one(
        r"(?s)(<duration>\d+</duration>)(\s*)(<voice>\d</voice>)", r"\3\2\1"
    ),
    "an empty element": _replace_one("</note>", "<notations/></note>"),
    "version unknown": _replace_one('version="4.0"', 'version="9.7"'),
    "encoding declared wrong": _replace_one('encoding="UTF-8"', 'encoding="UTF-16"'),
    "blank line first": lambda text, _: "\n" + text,
    "a bare ampersand": _replace_one(r"<part-name>", "<part-name>Pick & strum "),
    "end tag lost": _replace_one("</technical>", ""),
    "file cut short": lambda text, rng: text[: rng.randrange(len(text) // 2, len(text) - 40)],
    "root in a namespace": _replace_one("<score-partwise", '<score-partwise xmlns="urn:scores"'),
}
