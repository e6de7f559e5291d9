"""The part of the page that plays: its controls; `page.js` is what makes them work."""

from __future__ import annotations

from tabtools.drawing.shapes import attribute, content
from tabtools.score import Score
from tabtools.sheet.recording import Recording

SLOWEST, FASTEST = 30, 120  # percent of the written tempo


def player(score: Score, necks: str, recording: Recording | None) -> str:
    """The section with everything to hear a lesson. ``necks`` is a figure for each part."""
    last = max(len(part.bars) for part in score.parts)
    speed = f'min="{SLOWEST}" max="{FASTEST}" step="5" value="100"'
    audio = f'<audio preload="none" src="{attribute(recording.address)}"></audio>' if recording else ""
    return (
        '<section class="listen" aria-label="Listen and play along">'
        '<p class="row first"><button type="button" id="play" aria-pressed="false">Play</button>'
        f"{_parts(score)}"
        f'<label>Tempo <input type="range" id="speed" {speed}> '
        '<output id="percent">100 %</output></label></p>'
        '<p class="row"><label><input type="checkbox" id="again"> Again and again</label> '
        f'<label>from bar <input type="number" id="from" min="1" max="{last}" value="1"></label> '
        f'<label>to bar <input type="number" id="to" min="1" max="{last}" value="{last}"></label> '
        '<label><input type="checkbox" id="count"> Count in</label> '
        '<label><input type="checkbox" id="click"> Click on the beat</label></p>'
        f'<div class="whole">{necks}</div>{audio}'
        '<p class="hint">Press bars in the music to mark from where to where. '
        "The space bar plays and stops.</p>"
        '<p id="told" role="status"></p></section>'
    )


def _parts(score: Score) -> str:
    if len(score.parts) < 2:
        return ""
    options = "".join(
        f'<option value="{number}">{content(part.name or f"Part {number + 1}")} ({number + 1})</option>'
        for number, part in enumerate(score.parts)
    )
    return f'<label>Part <select id="part">{options}</select></label> '
