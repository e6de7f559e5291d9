"use strict";
(() => {
  const parts = JSON.parse(document.getElementById("sound").textContent);
  const get = (id) => document.getElementById(id);
  const playButton = get("play");
  if (!playButton) return;
  const AHEAD = 0.5, TICK = 60, TAIL = 4;
  let audio = null, timer = 0, playing = [], waiting = [], lit = [], buffers = new Map();
  let steps = [], step = 0, nextTime = 0, mark = null;

  const part = () => (get("part") ? Number(get("part").value) : 0);
  const speed = () => Number(get("speed").value) / 100;
  const clamp = (value, low, high) => Math.min(high, Math.max(low, value));

  /* Elements by the name of their note, and by their bar. */
  const pictures = parts.map((_, number) => {
    const notes = new Map(), bars = new Map(), places = new Map();
    const add = (map, key, element) => map.set(key, [...(map.get(key) || []), element]);
    for (const section of document.querySelectorAll(`.passage[data-part="${number}"]`)) {
      for (const element of section.querySelectorAll("[data-n]")) add(notes, element.dataset.n, element);
      for (const element of section.querySelectorAll("[data-b]")) add(bars, Number(element.dataset.b), element);
    }
    for (const element of document.querySelectorAll(`.whole [data-part="${number}"] [data-p]`)) add(places, element.dataset.p, element);
    return {notes, bars, places};
  });

  function showNeck() {
    for (const figure of document.querySelectorAll(".whole figure"))
      figure.classList.toggle("shown", Number(figure.dataset.part) === part());
  }

  function range() {
    const last = parts[part()].bars.length;
    const from = clamp(Number(get("from").value) || 1, 1, last);
    return [from - 1, clamp(Number(get("to").value) || last, from, last) - 1];
  }

  function isWhole() {
    const [from, to] = range();
    return from === 0 && to === parts[part()].bars.length - 1;
  }

  function showMarks() {
    const [from, to] = range(), whole = isWhole();
    for (const [number, picture] of pictures.entries())
      for (const [bar, elements] of picture.bars)
        for (const element of elements)
          element.classList.toggle("marked", !whole && number === part() && bar >= from && bar <= to);
  }

  /* A plucked string after Karplus and Strong (1983): noise that runs round a loop of one period and is smoothed
     on each turn. The loop's length is whole samples, so the buffer remembers the pitch that it really has. */
  function pluck(midi, muted) {
    const key = `${midi}${muted ? "m" : ""}`;
    if (buffers.has(key)) return buffers.get(key);
    const wanted = 440 * 2 ** ((midi - 69) / 12);
    const period = Math.max(2, Math.round(audio.sampleRate / wanted - 0.5));
    const length = Math.round(audio.sampleRate * (muted ? 0.6 : 3));
    const buffer = audio.createBuffer(1, length, audio.sampleRate);
    const wave = buffer.getChannelData(0);
    let seed = 20231 + midi, smooth = 0;
    for (let i = 0; i < period; i++) {
      seed = (seed * 16807) % 2147483647;
      smooth += ((seed / 1073741823.5 - 1) - smooth) * 0.6;
      wave[i] = smooth;
    }
    const keep = muted ? 0.93 : Math.min(0.9995, 0.992 + 0.006 * Math.min(1, wanted / 330));
    for (let i = period; i < length; i++) wave[i] = keep * 0.5 * (wave[i - period] + wave[Math.max(0, i - period - 1)]);
    const made = {buffer, rate: wanted / (audio.sampleRate / (period + 0.5))};
    buffers.set(key, made);
    return made;
  }

  function thump() {
    if (buffers.has("x")) return buffers.get("x");
    const length = Math.round(audio.sampleRate * 0.06);
    const buffer = audio.createBuffer(1, length, audio.sampleRate);
    const wave = buffer.getChannelData(0);
    let seed = 77, smooth = 0;
    for (let i = 0; i < length; i++) {
      seed = (seed * 16807) % 2147483647;
      smooth += ((seed / 1073741823.5 - 1) - smooth) * 0.25;
      wave[i] = smooth * (1 - i / length) ** 3;
    }
    buffers.set("x", {buffer, rate: 1});
    return buffers.get("x");
  }

  function sound(note, when, beat) {
    const [, , length, midi, , signs, curve] = note;
    const source = audio.createBufferSource(), level = audio.createGain();
    const made = midi === null ? thump() : pluck(midi, signs.includes("m"));
    source.buffer = made.buffer;
    source.playbackRate.value = made.rate;
    const loud = signs.includes("g") ? 0.14 : signs.includes("l") ? 0.3 : signs.includes("h") ? 0.34 : 0.46;
    const end = when + Math.max(0.08, length * beat);
    level.gain.setValueAtTime(signs.includes("l") ? 0 : loud, when);
    level.gain.linearRampToValueAtTime(loud, when + 0.012);
    level.gain.setValueAtTime(loud, end);
    level.gain.linearRampToValueAtTime(0, end + 0.06);
    if (curve) {
      source.detune.setValueAtTime(curve[0][1] * 100, when);
      for (const [time, semitones] of curve) source.detune.linearRampToValueAtTime(semitones * 100, when + time * beat + 0.001);
    }
    if (signs.includes("v")) {
      const wave = audio.createOscillator(), depth = audio.createGain();
      wave.frequency.value = 5.5;
      depth.gain.setValueAtTime(0, when);
      depth.gain.linearRampToValueAtTime(28, when + 0.25);
      wave.connect(depth).connect(source.detune);
      wave.start(when);
      wave.stop(end + 0.1);
    }
    source.connect(level).connect(audio.destination);
    source.start(when);
    source.stop(end + 0.1);
    playing.push(source);
    source.onended = () => { playing = playing.filter((other) => other !== source); };
    return end;
  }

  function tick(when, strong) {
    const wave = audio.createOscillator(), level = audio.createGain();
    wave.frequency.value = strong ? 1760 : 1320;
    level.gain.setValueAtTime(0.16, when);
    level.gain.exponentialRampToValueAtTime(0.001, when + 0.05);
    wave.connect(level).connect(audio.destination);
    wave.start(when);
    wave.stop(when + 0.06);
    playing.push(wave);
  }

  function ticks(bar, when, beat) {
    const [, , beats] = parts[part()].bars[bar];
    for (const [number, onset] of beats.entries()) tick(when + onset * beat, number === 0);
  }

  function playBar(bar, when, beat) {
    const data = parts[part()];
    waiting.push({on: when, off: when + data.bars[bar][0] * beat, elements: pictures[part()].bars.get(bar) || [], name: "now"});
    for (const note of data.notes) {
      if (note[0] !== bar) continue;
      const start = Math.max(audio.currentTime, when + note[1] * beat);
      const end = sound(note, start, beat);
      const place = placeOf(note[4]);
      const elements = [...(pictures[part()].notes.get(note[4]) || []), ...(pictures[part()].places.get(place) || [])];
      waiting.push({on: start, off: Math.min(end, start + note[2] * beat), elements, name: "lit"});
    }
    if (get("click").checked) ticks(bar, when, beat);
  }

  function placeOf(name) {
    const element = (pictures[part()].notes.get(name) || []).find((each) => each.dataset.s);
    return element ? element.dataset.s : "";
  }

  function plan() {
    const data = parts[part()], [from, to] = range();
    steps = isWhole() ? data.order.slice() : Array.from({length: to - from + 1}, (_, i) => from + i);
    step = 0;
  }

  function schedule() {
    while (nextTime < audio.currentTime + AHEAD) {
      if (step >= steps.length) {
        if (!get("again").checked) {
          if (audio.currentTime > nextTime + 0.2) stop();
          return;
        }
        plan();
      }
      const bar = steps[step], [length, tempo] = parts[part()].bars[bar];
      const beat = 60 / tempo / speed();
      playBar(bar, nextTime, beat);
      nextTime += length * beat;
      step += 1;
    }
  }

  function start() {
    stopRecording();
    audio = audio || new AudioContext();
    audio.resume();
    plan();
    nextTime = audio.currentTime + 0.12;
    if (get("count").checked && steps.length) {
      const [length, tempo] = parts[part()].bars[steps[0]], beat = 60 / tempo / speed();
      ticks(steps[0], nextTime, beat);
      nextTime += length * beat;
    }
    schedule();
    timer = setInterval(schedule, TICK);
    playButton.textContent = "Stop";
    playButton.setAttribute("aria-pressed", "true");
    requestAnimationFrame(show);
  }

  function stop() {
    clearInterval(timer);
    timer = 0;
    for (const source of playing) source.stop();
    playing = [];
    waiting = [];
    for (const entry of lit) for (const element of entry.elements) element.classList.remove(entry.name);
    lit = [];
    playButton.textContent = "Play";
    playButton.setAttribute("aria-pressed", "false");
  }

  function show() {
    if (!timer) return;
    const now = audio.currentTime;
    lit = lit.filter((entry) => {
      if (entry.off > now) return true;
      for (const element of entry.elements) element.classList.remove(entry.name);
      return false;
    });
    waiting = waiting.filter((entry) => {
      if (entry.on > now) return true;
      if (entry.off > now) {
        for (const element of entry.elements) element.classList.add(entry.name);
        lit.push(entry);
        if (entry.name === "now") follow(entry.elements);
      }
      return false;
    });
    requestAnimationFrame(show);
  }

  /* The bar that sounds comes into sight. */
  function follow(elements) {
    const seen = elements.find((element) => element.getClientRects().length);
    if (!seen) return;
    const box = seen.getBoundingClientRect();
    if (box.top < 0 || box.bottom > innerHeight - document.querySelector(".listen").offsetHeight)
      seen.scrollIntoView({block: "center", behavior: matchMedia("(prefers-reduced-motion:reduce)").matches ? "auto" : "smooth"});
  }

  /* The teacher's own recording, slower without a change of pitch. */
  const recording = document.querySelector("audio");
  let stretch = null;

  function stopRecording() {
    if (recording) recording.pause();
    stretch = null;
  }

  if (recording) {
    recording.preservesPitch = true;
    recording.addEventListener("timeupdate", () => {
      if (!stretch || recording.currentTime < stretch.to) return;
      if (get("again").checked) recording.currentTime = stretch.from;
      else stopRecording();
    });
    recording.addEventListener("error", () => {
      get("told").textContent = "The recording is not where this page looks for it: keep the sound file beside the page.";
    });
    for (const button of document.querySelectorAll(".stamp button"))
      button.addEventListener("click", () => {
        const from = Number(button.dataset.from), to = Number(button.dataset.to);
        if (stretch && stretch.from === from) return stopRecording();
        if (timer) stop();
        stretch = {from, to};
        recording.playbackRate = speed();
        recording.currentTime = from;
        recording.play().catch(() => {});
      });
  }

  playButton.addEventListener("click", () => (timer ? stop() : start()));
  get("speed").addEventListener("input", () => {
    get("percent").textContent = `${get("speed").value} %`;
    if (recording) recording.playbackRate = speed();
  });
  for (const id of ["from", "to"]) get(id).addEventListener("change", showMarks);
  if (get("part"))
    get("part").addEventListener("change", () => {
      if (timer) stop();
      get("from").value = 1;
      get("to").value = parts[part()].bars.length;
      showNeck();
      showMarks();
    });
  for (const [number, picture] of pictures.entries())
    for (const [bar, elements] of picture.bars)
      for (const element of elements)
        element.addEventListener("click", () => {
          if (get("part")) {
            get("part").value = number;
            showNeck();
          }
          const first = mark !== null && mark.part === number && bar >= mark.bar ? mark.bar : bar;
          mark = mark !== null && first !== bar ? null : {part: number, bar};
          get("from").value = first + 1;
          get("to").value = bar + 1;
          get("again").checked = true;
          showMarks();
        });
  document.addEventListener("keydown", (event) => {
    const busy = event.target.closest("button,input,select,summary,a");
    if (event.key === "Escape" && timer) stop();
    if (event.key === " " && !busy) {
      event.preventDefault();
      if (timer) stop();
      else start();
    }
  });
  if (get("to")) get("to").value = parts[part()].bars.length;
  showNeck();
  showMarks();
})();
