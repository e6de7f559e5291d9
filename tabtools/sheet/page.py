"""A lesson as one HTML page that needs nothing else: no network, no other file, no script but its own."""

from __future__ import annotations

import json
from base64 import b64encode
from collections.abc import Iterator, Mapping, Sequence
from hashlib import sha256
from importlib.resources import files

from tabtools.drawing.shapes import Picture, attribute, content, stylesheet
from tabtools.record import NamedTuple
from tabtools.sheet.lesson import CAUTIONS, Group, Lesson, Passage, bar_name, grouped
from tabtools.sheet.notation import NOTATION_STYLE, glyph_defs
from tabtools.sheet.pictures import NARROW, WIDE, Look, draw_passages, forms_of, whole_neck
from tabtools.sheet.player import player
from tabtools.sheet.prose import Paragraph
from tabtools.sheet.recording import Recording, stamps
from tabtools.sheet.sound import sound_of

WORKED_OUT = "Strings, frets and fingers were worked out by tabtools; the file has none."


DRAFT = "Draft: to put right before this is handed out"


class Draft(NamedTuple):
    """A finding for the author's draft: where it is, and what is wrong."""

    place: str
    words: str


def lesson_page(
    lesson: Lesson,
    look: Look,
    draft: Sequence[Draft] = (),
    recording: Recording | None = None,
    metas: Mapping[str, str] | None = None,
) -> str:
    """The page of a lesson; ``draft`` are findings to print, ``recording`` is a sound file of the teacher's.
    ``metas`` are said in its head, for programs.

    Raises UnreadableError for music that the engraver can't take.
    """
    wide, narrow = draw_passages(lesson, WIDE, look), draw_passages(lesson, NARROW, look)
    body = [
        f'<svg class="glyphs" aria-hidden="true">{glyph_defs({**wide.glyphs, **narrow.glyphs})}</svg>',
        *_head(lesson),
        "<main>",
        *_drafts(draft),
    ]
    necks, places = forms_of(lesson, look), stamps(lesson) if recording else {}
    for number, block in enumerate(lesson.blocks):
        if isinstance(block, Paragraph):
            body.append(_prose(block))
        else:
            name = part_name(lesson, number, block)
            body.append(f"<h2>{content(name)}</h2>" if name else "")
            pictures = (wide.systems[block], narrow.systems[block])
            body.append(_passage(lesson, block, pictures, necks.get(block, []), places.get(block)))
    body += [*_reasons(lesson, look), "</main>"]
    body += [*_listen(lesson, look, recording), _foot(lesson)]
    body.append(f'<script type="application/json" id="sound">{_data(lesson)}</script>')
    return document(lesson.title, "\n".join(filter(None, body)), asset("page.js"), metas or {})


def document(title: str, body: str, script: str = "", metas: Mapping[str, str] | None = None) -> str:
    """A whole page in our style. Nothing runs in it but ``script``."""
    style = stylesheet() + NOTATION_STYLE + asset("page.css")
    told = "".join(
        f'<meta name="{attribute(name)}" content="{attribute(words)}">\n'
        for name, words in (metas or {}).items()
    )
    runs = f"script-src '{_hash(script)}'" if script else "script-src 'none'"
    policy = (
        f"default-src 'none'; style-src '{_hash(style)}'; {runs}; img-src data:; "
        "media-src 'self' file: data:; base-uri 'none'; form-action 'none'"
    )
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta name="color-scheme" content="light dark">\n{told}<title>{content(title)}</title>\n'
        f'<link rel="icon" href="data:,">\n<style>{style}</style>\n</head>\n<body>\n{body}\n'
        f"{f'<script>{script}</script>' if script else ''}\n</body>\n</html>\n"
    )


def asset(name: str) -> str:
    """A file of this package."""
    return files("tabtools.sheet").joinpath(name).read_text("utf-8")


def _hash(text: str) -> str:
    return f"sha256-{b64encode(sha256(text.encode()).digest()).decode()}"


def _data(lesson: Lesson) -> str:
    """What the script plays; no tag can end inside it."""
    text = json.dumps(sound_of(lesson.score), separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _head(lesson: Lesson) -> Iterator[str]:
    yield f"<header><h1>{content(lesson.title)}</h1>"
    facts = "".join(
        f"<div><dt>{content(name)}</dt><dd>{content(words)}</dd></div>" for name, words in lesson.facts
    )
    yield f"<dl>{facts}</dl></header>"


def _drafts(draft: Sequence[Draft]) -> Iterator[str]:
    if draft:
        items = "".join(f"<li><b>{content(fault.place)}</b> {content(fault.words)}</li>" for fault in draft)
        yield f'<section class="draft"><h2>{DRAFT}</h2><ul>{items}</ul></section>'


def _prose(paragraph: Paragraph) -> str:
    if paragraph.laid_out:
        return f"<pre>{content(chr(10).join(paragraph.lines))}</pre>"
    return f"<p>{content(paragraph.text)}</p>"


def part_name(lesson: Lesson, number: int, passage: Passage) -> str:
    """The name of a part over its first passage, the block with this number; empty where parts are one."""
    parts = lesson.score.parts
    before = [block for block in lesson.blocks[:number] if isinstance(block, Passage)]
    if len(parts) < 2 or (before and before[-1].part == passage.part):
        return ""
    return parts[passage.part].name or f"Part {passage.part + 1}"


def passage_words(lesson: Lesson, passage: Passage) -> str:
    """What a passage is called aloud."""
    bars = lesson.score.parts[passage.part].bars[passage.first : passage.end]
    first, last = bar_name(bars[0]), bar_name(bars[-1])
    named = f"{bars[0].section}, " if bars[0].section else ""
    return named + (f"bar {first}" if first == last else f"bars {first} to {last}")


def _passage(
    lesson: Lesson,
    passage: Passage,
    pictures: tuple[tuple[Picture, ...], tuple[Picture, ...]],
    necks: Sequence[tuple[str, Picture]],
    stamp: tuple[str, float, float] | None,
) -> str:
    words = passage_words(lesson, passage)
    title = f"Notation and tab: {words}"
    rows = [
        f'<div class="{kind}">{"".join(picture.inline(title) for picture in systems)}</div>'
        for kind, systems in zip(("wide", "narrow"), pictures, strict=True)
    ]
    if stamp:
        label, start, end = stamp
        times = f'data-from="{start:g}" data-to="{end:g}"'
        rows.append(
            f'<p class="stamp"><button type="button" {times}>Recording from {content(label)}</button></p>'
        )
    if necks:
        figures = "".join(
            f"<figure>{picture.inline(caption)}<figcaption>{content(caption)}</figcaption></figure>"
            for caption, picture in necks
        )
        rows.append(f'<div class="necks">{figures}</div>')
    opening = f'<section class="passage" data-part="{passage.part}" aria-label="{attribute(words)}">'
    return opening + "".join(rows) + "</section>"


def _reasons(lesson: Lesson, look: Look) -> Iterator[str]:
    """The table of notes and why they fit, folded away unless it is asked for."""
    if not lesson.groups:
        return
    state = " open" if look.reasons else ""
    yield f'<details class="why"{state}><summary>Every note, and why it fits</summary>'
    if lesson.placed:
        yield f"<p>{WORKED_OUT}</p>"
    for part, groups in grouped(lesson.groups):
        name = lesson.score.parts[part].name if len(lesson.score.parts) > 1 else ""
        caption = f"<caption>{content(name)}</caption>" if name else ""
        head = "".join(f'<th scope="col">{words}</th>' for words in ("String", "Fret", "Note", "Why it fits"))
        rows = "".join(_group(group) for group in groups)
        yield f"<table>{caption}<thead><tr>{head}</tr></thead>{rows}</table>"
    yield "</details>"


def group_title(group: Group) -> str:
    """The bars of a group, and what it comes from."""
    return f"Bar{'s' if ' to ' in group.bars else ''} {group.bars}: {group.words}"


def _group(group: Group) -> str:
    head = f'<tr><th colspan="4" scope="rowgroup">{content(group_title(group))}</th></tr>'
    rows = []
    for reason in group.reasons:
        cells = (str(reason.string), str(reason.fret), reason.letter, reason.told)
        rows.append(f"<tr>{''.join(f'<td>{content(cell)}</td>' for cell in cells)}</tr>")
    return f"<tbody>{head}{''.join(rows)}</tbody>"


def _listen(lesson: Lesson, look: Look, recording: Recording | None) -> Iterator[str]:
    necks = []
    for number, part in enumerate(lesson.score.parts):
        picture = whole_neck(part, look)
        if picture is not None:
            title = f"All notes of {part.name or 'the lesson'} on the neck"
            necks.append(f'<figure data-part="{number}">{picture.inline(title)}</figure>')
    if any(event.notes for part in lesson.score.parts for bar in part.bars for event in bar.events):
        yield player(lesson.score, "".join(necks), recording)


def _foot(lesson: Lesson) -> str:
    return f"<footer>{''.join(f'<p>{content(words)}</p>' for words in CAUTIONS)}</footer>"
