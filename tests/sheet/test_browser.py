"""Pages in a real browser: quiet, alone, playing what is written, on every screen, for everybody."""

from __future__ import annotations

import wave
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from tests.cli.support import run, write
from tests.sheet.browser import axe, browser

pytest.importorskip("verovio", reason="the extra [sheet] is not installed")

_SAMPLES = Path(__file__).parents[2] / "samples"
_BENDS = "04-bends-at-the-twelfth-fret"
_PHONE = {"width": 360, "height": 740}
# Two bars of quarter notes at 120 a minute, on places whose pitches are known: A2 45, D3 50 and so on.
_SCALE = """\
Title: Open strings and their octaves
Tempo: 120

e|-----------------|-------------12--|
B|-------------0---|---------12------|
G|---------0-------|-----12----------|
D|-----0-----------|-12--------------|
A|-0---------------|-----------------|
E|-----------------|-----------------|
"""
_PITCHES = [45, 50, 55, 59, 62, 67, 71, 76]

# Notes down every sound that is started: when, how fast its buffer is played, and the buffer itself.
_RECORD = """
window.started = []; window.clicks = [];
const start = AudioBufferSourceNode.prototype.start;
AudioBufferSourceNode.prototype.start = function (when) {
  window.started.push({when, rate: this.playbackRate.value, buffer: this.buffer});
  return start.apply(this, arguments);
};
const tick = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function (when) {
  window.clicks.push(when);
  return tick.apply(this, arguments);
};
"""
# The frequency at which a started sound is heard: rendered, then the lag at which it is most like itself.
_HEARD = """
async (index) => {
  const {rate, buffer} = window.started[index], size = 44100;
  const offline = new OfflineAudioContext(1, size, 44100);
  const source = offline.createBufferSource();
  source.buffer = buffer; source.playbackRate.value = rate;
  source.connect(offline.destination); source.start(0);
  const wave = (await offline.startRendering()).getChannelData(0).subarray(4410, 4410 + 16384);
  const like = (lag) => {
    let sum = 0;
    for (let i = 0; i + lag < wave.length; i++) sum += wave[i] * wave[i + lag];
    return sum / (wave.length - lag);
  };
  const all = []; for (let lag = 20; lag < 700; lag++) all.push(like(lag));
  const best = Math.max(...all);
  let lag = all.findIndex((value, i) => value > 0.9 * best && value >= all[i - 1] && value >= all[i + 1]);
  const [a, b, c] = [all[lag - 1], all[lag], all[lag + 1]];
  return 44100 / (lag + 20 + (a - c) / (2 * (a - 2 * b + c)));
}
"""


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A sheet of every sample, and of the scale above."""
    folder = tmp_path_factory.mktemp("site")
    write(str(folder / "scale.txt"), _SCALE)
    assert run("sheet", folder / "scale.txt", "-o", folder / "scale.html").exit_code == 0
    assert run("sheet", _SAMPLES, "--out-dir", folder, "--draft").exit_code == 0
    return folder


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    with browser() as running:
        yield running


@contextmanager
def _shown(chromium: Any, page: Path, **wishes: Any) -> Iterator[Any]:
    """A page of its own context; at the end, no error may have come and nothing may have been asked for."""
    with chromium.new_context(**wishes) as context:
        shown = context.new_page()
        troubles: list[str] = []
        shown.on("console", lambda message: troubles.append(message.text))
        shown.on("pageerror", lambda error: troubles.append(str(error)))
        shown.on("request", lambda request: troubles.append(request.url))
        shown.add_init_script(_RECORD)
        address = page.as_uri()
        shown.goto(address)
        yield shown
        assert [trouble for trouble in troubles if trouble not in (address, "data:,")] == []


def _until(shown: Any, condition: str) -> None:
    """Wait until a condition holds; the page's own policy forbids Playwright's way, which evaluates text."""
    for _ in range(400):
        if shown.evaluate(condition):
            return
        shown.wait_for_timeout(50)
    pytest.fail(f"never: {condition}")


def _wait_for_sounds(shown: Any, count: int) -> list[dict[str, float]]:
    _until(shown, f"window.started.length >= {count}")
    sounds: list[dict[str, float]] = shown.evaluate("window.started.map(({when, rate}) => ({when, rate}))")
    return sounds


def test_playing_makes_the_written_pitches_at_the_written_times(chromium: Any, site: Path) -> None:
    with _shown(chromium, site / "scale.html") as shown:
        shown.click("#play")
        sounds = _wait_for_sounds(shown, 8)
        times = [sound["when"] - sounds[0]["when"] for sound in sounds]
        assert times == pytest.approx([place * 0.5 for place in range(8)], abs=0.001)
        for index, midi in enumerate(_PITCHES):
            # Equal temperament, A4 = 440 Hz (ISO 16); 1 % is 17 cents.
            assert shown.evaluate(_HEARD, index) == pytest.approx(440 * 2 ** ((midi - 69) / 12), rel=0.004)


def test_a_slower_tempo_is_slower_and_no_lower(chromium: Any, site: Path) -> None:
    with _shown(chromium, site / "scale.html") as shown:
        shown.fill("#speed", "50")
        assert shown.inner_text("#percent") == "50 %"
        shown.click("#play")
        sounds = _wait_for_sounds(shown, 4)
        assert sounds[1]["when"] - sounds[0]["when"] == pytest.approx(1, abs=0.001)
        assert shown.evaluate(_HEARD, 0) == pytest.approx(110, rel=0.004)


def test_string_and_fret_are_lit_in_tab_notation_and_neck(chromium: Any, site: Path) -> None:
    with _shown(chromium, site / "scale.html") as shown:
        shown.click("#play")
        for kind in ("text.fret.lit", ".notation use.lit", ".whole path.lit", ".bar.now"):
            shown.wait_for_selector(f".wide {kind}" if "whole" not in kind else kind, state="attached")
        first = shown.evaluate("document.querySelector('.wide text.fret.lit').dataset.n")
        _until(shown, f"document.querySelector('.wide text.fret.lit')?.dataset.n > {first!r}")
        shown.click("#play")
        assert shown.locator(".lit, .now").count() == 0
        assert shown.inner_text("#play") == "Play"


def test_bars_that_are_pressed_are_played_again_and_again(chromium: Any, site: Path) -> None:
    with _shown(chromium, site / "scale.html") as shown:
        shown.locator(".wide .bar[data-b='1']").click()
        assert (shown.input_value("#from"), shown.input_value("#to")) == ("2", "2")
        shown.fill("#speed", "120")
        shown.click("#play")
        sounds = _wait_for_sounds(shown, 8)
        rates = [round(sound["rate"], 4) for sound in sounds]
        assert rates[:4] == rates[4:8]
        step = sounds[4]["when"] - sounds[3]["when"]
        assert step == pytest.approx(0.5 / 1.2, abs=0.001)


def test_a_bar_is_counted_in_and_beats_click(chromium: Any, site: Path) -> None:
    with _shown(chromium, site / "scale.html") as shown:
        shown.check("#count")
        shown.check("#click")
        shown.click("#play")
        sounds = _wait_for_sounds(shown, 4)
        clicks = shown.evaluate("window.clicks")
        assert clicks[4] == pytest.approx(sounds[0]["when"], abs=0.001)
        assert [b - a for a, b in pairwise(clicks[:6])] == pytest.approx([0.5] * 5, abs=0.001)


def test_bends_slides_and_mutes_are_heard(chromium: Any, site: Path) -> None:
    with _shown(chromium, site / f"{_BENDS}.html") as shown:
        shown.evaluate(
            "() => { window.bent = 0; const to = AudioParam.prototype.linearRampToValueAtTime;"
            "AudioParam.prototype.linearRampToValueAtTime = function (value) {"
            "if (value === 200) window.bent += 1; return to.apply(this, arguments); }; }"
        )
        shown.click("#play")
        _until(shown, "window.bent > 0")


def test_the_keyboard_is_enough(chromium: Any, site: Path) -> None:
    with _shown(chromium, site / "scale.html") as shown:
        shown.keyboard.press("Space")
        _wait_for_sounds(shown, 1)
        assert shown.get_attribute("#play", "aria-pressed") == "true"
        shown.keyboard.press("Escape")
        assert shown.get_attribute("#play", "aria-pressed") == "false"
        reached = set()
        for _ in range(12):
            shown.keyboard.press("Tab")
            reached.add(shown.evaluate("document.activeElement.id || document.activeElement.tagName"))
        assert {"play", "speed", "again", "from", "to", "count", "click", "SUMMARY"} <= reached


@pytest.mark.parametrize("wishes", [[], ["--embed-audio"]], ids=["beside the page", "inside"])
def test_a_passage_plays_from_the_teachers_recording_slower(
    chromium: Any, tmp_path: Path, wishes: list[str]
) -> None:
    with wave.open(str(tmp_path / "my take.wav"), "wb") as sound:
        sound.setparams((1, 1, 8000, 0, "NONE", ""))
        sound.writeframes(bytes(range(256)) * 200)
    write(str(tmp_path / "riff.txt"), _SCALE.replace("e|", "[Riff, 0:02]\ne|", 1))
    page = tmp_path / "riff.html"
    recording = ["--audio", str(tmp_path / "my take.wav"), *wishes]
    assert run("sheet", tmp_path / "riff.txt", "-o", page, *recording).exit_code == 0
    with chromium.new_context() as context:
        shown = context.new_page()
        shown.goto(page.as_uri())
        shown.fill("#speed", "50")
        shown.click(".stamp button")
        audio = "document.querySelector('audio')"
        _until(shown, f"{audio}.currentTime > 2.05 && !{audio}.paused")
        assert shown.evaluate(f"[{audio}.playbackRate, {audio}.preservesPitch]") == [0.5, True]
        shown.click(".stamp button")
        assert shown.evaluate(f"{audio}.paused")


def test_nothing_sounds_before_the_reader_wants_it(chromium: Any, site: Path) -> None:
    with _shown(chromium, site / "scale.html") as shown:
        shown.wait_for_timeout(300)
        assert shown.evaluate("window.started.length + window.clicks.length") == 0


def test_print_has_the_music_and_no_controls(chromium: Any, site: Path) -> None:
    with _shown(chromium, site / "scale.html", viewport=_PHONE) as shown:
        shown.emulate_media(media="print")
        assert shown.locator(".wide").first.is_visible()
        assert not shown.locator(".listen").is_visible()


# Texts of a picture that lie on each other in this browser's own fonts.
_CLASHES = """
() => [...document.querySelectorAll('.drawn')].flatMap((picture) => {
  const texts = [...picture.querySelectorAll('text')].filter((text) => text.getClientRects().length);
  const boxes = texts.map((text) => [text.textContent, text.getBoundingClientRect()]);
  const clashes = [];
  for (const [i, [words, a]] of boxes.entries()) {
    for (const [others, b] of boxes.slice(i + 1)) {
      const across = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
      const down = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
      if (across > 0.8 && down > 0.42 * Math.min(a.height, b.height)) clashes.push(`${words} on ${others}`);
    }
  }
  return clashes;
})
"""


def test_no_text_lies_on_another_in_the_browsers_own_fonts(chromium: Any, site: Path) -> None:
    for page in sorted(site.glob("*.html")):
        with _shown(chromium, page, viewport={"width": 900, "height": 900}) as shown:
            assert shown.evaluate(_CLASHES) == [], page.name
            assert shown.locator(".wide text").count() > 5 or page.name == "index.html"


def test_a_phone_shows_all_without_scrolling_sideways(chromium: Any, site: Path) -> None:
    for page in sorted(site.glob("*.html")):
        with _shown(chromium, page, viewport=_PHONE) as shown:
            assert shown.evaluate("document.documentElement.scrollWidth") <= _PHONE["width"], page.name
            assert shown.evaluate(_CLASHES) == [], page.name
            if page.name != "index.html":
                assert shown.locator(".narrow").first.is_visible()
                assert not shown.locator(".wide").first.is_visible()


def test_a_clash_would_be_seen(chromium: Any, site: Path) -> None:
    with _shown(chromium, site / "scale.html") as shown:
        shown.evaluate(
            "document.querySelectorAll('.wide text.fret').forEach((text) => text.setAttribute('x', 90))"
        )
        assert len(shown.evaluate(_CLASHES)) > 0


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", [_BENDS, "index", "drafts/waltz-from-memory"])
def test_nothing_hinders_people_with_a_disability(chromium: Any, site: Path, name: str, scheme: str) -> None:
    script = axe()
    for size in ({"width": 900, "height": 900}, _PHONE):
        with _shown(chromium, site / f"{name}.html", viewport=size, color_scheme=scheme) as shown:
            shown.evaluate("document.querySelector('details')?.setAttribute('open', '')")
            shown.evaluate(script)
            found = shown.evaluate("axe.run().then((result) => result.violations)")
            assert [(fault["id"], fault["nodes"][0]["html"][:120]) for fault in found] == []


def test_dark_mode_is_dark(chromium: Any, site: Path) -> None:
    with _shown(chromium, site / "scale.html", color_scheme="dark") as shown:
        paper, ink = shown.evaluate(
            "[getComputedStyle(document.documentElement).backgroundColor,"
            "getComputedStyle(document.querySelector('text.fret')).fill]"
        )
        assert sum(map(int, paper[4:-1].split(","))) < 150 < 500 < sum(map(int, ink[4:-1].split(",")))
