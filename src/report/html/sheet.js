"use strict";
// Makes each sheet of the page live. All times are wall-clock times, so that a phone that slept is right when it wakes.
(() => {
  const MINUTE = 60000;
  const RING_EVERY = 15000, RING_AT_MOST = 20, DOUBLE_TAP = 2500, SLEPT = 60000, TURNED_BACK = 5000;

  let audio = null;
  const soundReady = () => audio !== null && audio.state === "running";
  // Browsers let a page sound only after a touch, so every touch wakes the sound.
  const wakeSound = () => {
    const Audio = window.AudioContext || window.webkitAudioContext;
    if (!Audio) return Promise.resolve(false);
    if (audio === null) audio = new Audio();
    return audio.resume().then(soundReady, () => false);
  };
  const tone = (hertz, at, seconds, loudness) => {
    const source = audio.createOscillator(), gain = audio.createGain();
    source.frequency.value = hertz;
    gain.gain.setValueAtTime(0.0001, at);
    gain.gain.exponentialRampToValueAtTime(loudness, at + 0.01);
    gain.gain.exponentialRampToValueAtTime(0.0001, at + seconds);
    source.connect(gain).connect(audio.destination);
    source.start(at);
    source.stop(at + seconds + 0.05);
    return source;
  };
  const buzz = (pattern) => { if (navigator.vibrate) { try { navigator.vibrate(pattern); } catch { /* not here */ } } };
  const bell = (times) => {
    buzz(Array(times).fill([300, 150]).flat());
    if (!soundReady()) return;
    for (let n = 0; n < times; n++) {
      tone(880, audio.currentTime + n * 0.6, 0.35, 0.5);
      tone(660, audio.currentTime + n * 0.6 + 0.22, 0.4, 0.5);
    }
  };

  const stayAwake = () => {
    if (navigator.wakeLock && document.visibilityState === "visible") navigator.wakeLock.request("screen").catch(() => {});
  };

  // Another day than today is named, in the order of the printed times.
  const clock = (ms) => {
    const at = new Date(ms), time = at.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
    if (at.toDateString() === new Date(Date.now()).toDateString()) return time;
    return `${at.toLocaleDateString("en-GB", { weekday: "short", day: "numeric", month: "short" }).replace(",", "")} ${time}`;
  };
  const length = (ms) => {
    const seconds = Math.max(0, Math.ceil(ms / 1000));
    const two = (value) => String(value).padStart(2, "0");
    if (seconds >= 2 * 86400) return `${Math.floor(seconds / 86400)} days`;
    const hours = Math.floor(seconds / 3600), minutes = Math.floor(seconds / 60) % 60;
    return hours > 0 ? `${hours}:${two(minutes)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`;
  };
  const inWords = (ms) => {
    const minutes = Math.floor(ms / MINUTE);
    if (minutes < 1) return "less than a minute";
    return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  };
  // Of several sheets the one that is due next names the page.
  const titles = new Map();
  const nameThePage = (sheet, due, words) => {
    titles.set(sheet, { due, words });
    const [first] = [...titles.values()].sort((a, b) => a.due - b.due);
    if (document.title !== first.words) document.title = first.words;
  };
  const capital = (words) => words[0].toUpperCase() + words.slice(1);

  const live = (sheet) => {
    const panel = sheet.querySelector("[data-live]");
    if (!panel) return;
    const part = (name) => panel.querySelector(`[data-${name}]`);
    const plan = JSON.parse(part("plan").textContent);
    const coats = plan.coats, last = coats.length - 1;
    const key = `coatbell:${plan.id}`;
    const boxes = [...sheet.querySelectorAll("[data-check]")];
    const keepText = panel.querySelector(".keep").textContent;

    let state = { done: [], checked: [], rung: [], seen: 0, leap: 0 };
    let kept = true;
    try {
      const stored = JSON.parse(localStorage.getItem(key) || "{}");
      if (["done", "checked", "rung"].every((list) => stored[list] === undefined || Array.isArray(stored[list]))) Object.assign(state, stored);
      state.done.length = Math.min(state.done.length, coats.length);
    } catch { kept = false; }
    const save = () => {
      try { localStorage.setItem(key, JSON.stringify(state)); } catch { kept = false; }
      if (!kept) panel.querySelector(".keep").textContent =
        `This browser keeps nothing for this page: do not reload or close it. ${keepText}`;
    };
    const say = (words) => { part("said").textContent = words; };
    const warn = (words) => { part("warn").textContent = words; };
    const show = (name, words) => {
      const element = part(name);
      if (element.textContent !== words) element.textContent = words;
    };

    // Time never runs backwards: if the clock was set back, what was sprayed moves with it and the waits stay whole.
    // What it had leapt ahead before, if that was no sleep, is only put right by going back and moves nothing.
    let ticked = { wall: Date.now(), steady: performance.now() };
    const turnedBack = (by) => {
      const righted = Math.min(by, state.leap);
      state.leap -= righted;
      state.done = state.done.map((at) => at - (by - righted));
      state.seen = Date.now();
      save();
      warn(`The clock of this device went back ${inWords(by)}. The waits still count in full.`);
    };
    const leapt = (by) => {
      state.leap += by;
      save();
      warn(`${capital(inWords(by))} passed at once: this page slept, or the clock was changed. If it was the clock, go by another one.`);
    };
    const watchClock = (now) => {
      const steady = performance.now(), expected = ticked.wall + (steady - ticked.steady);
      if (now < ticked.wall - TURNED_BACK) turnedBack(expected - now);
      else if (now - ticked.wall > SLEPT && state.done.length > 0) leapt(now - ticked.wall);
      ticked = { wall: now, steady };
    };
    if (state.seen && Date.now() < state.seen - TURNED_BACK) turnedBack(state.seen - Date.now());
    if (state.seen && Date.now() > state.seen + SLEPT) state.leap += Date.now() - state.seen;

    // What is awaited now, and what rings.
    const stage = (now) => {
      const count = state.done.length;
      if (count === 0) return { due: coats[0].starts_ms, name: coats[0].name };
      const sprayed = state.done[count - 1];
      const due = sprayed + coats[count - 1].wait_min * MINUTE;
      if (count > last) return { due, sprayed, name: "handle the page", ended: true };
      const window = coats[count - 1].window_min;
      return { due, sprayed, name: coats[count].name, closes: window === null ? null : sprayed + window * MINUTE };
    };
    const air = () => {
      const count = state.done.length, sprayed = state.done[count - 1];
      const after = (minutes) => minutes === null ? null : sprayed + minutes * MINUTE;
      if (count <= last) return [["Back with the mask on", after(coats[count - 1].back_min)]];
      return [["Back with the mask on", after(plan.back_min)], ["free of the mask", after(plan.unmasked_min)],
        ["others may come in", after(plan.others_min)]];
    };
    const bells = (at) => {
      const list = [];
      const count = state.done.length;
      if (at.due !== null) list.push({ id: `${count} due ${at.due}`, at: at.due, loud: true,
        words: at.ended ? "The page can be handled by the edges." : `${capital(at.name)} is due.` });
      if (at.closes) list.push({ id: `${count} closes ${at.closes}`, at: at.closes - 10 * MINUTE, loud: true,
        words: `The recoat window closes at ${clock(at.closes)}.` });
      if (at.ended && plan.alone) for (const [words, when] of air().slice(1)) {
        if (when !== null) list.push({ id: `${count} ${words} ${when}`, at: when, loud: false, words: `${capital(words)}.` });
      }
      return list;
    };

    let ringing = null;
    const silence = () => { ringing = null; part("silence").hidden = true; };
    const ring = (now) => {
      const due = bells(stage(now)).filter((one) => one.at <= now && !state.rung.includes(one.id));
      for (const one of due) {
        state.rung.push(one.id);
        const late = now - one.at > MINUTE ? ` It was due ${inWords(now - one.at)} ago.` : "";
        say(one.words + late);
        if (one.loud) ringing = { next: now, left: RING_AT_MOST }; else bell(1);
      }
      if (due.length > 0) save();
      if (ringing && now >= ringing.next) {
        bell(3);
        sheet.dataset.rang = String(Number(sheet.dataset.rang || 0) + 1);
        ringing = ringing.left > 1 ? { next: now + RING_EVERY, left: ringing.left - 1 } : null;
      }
      part("silence").hidden = ringing === null;
    };

    // The calendar moves with the run: its alarms stand where the next coat now stands.
    const link = sheet.querySelector("[data-calendar]");
    const planned = link ? atob(link.href.split("base64,")[1]) : "";
    const moveCalendar = () => {
      const count = state.done.length;
      if (!link || coats[0].starts_ms === null) return;
      const end = coats[last].starts_ms + coats[last].wait_min * MINUTE;
      const before = count === 0 ? 0 : stage(Date.now()).due - (count > last ? end : coats[count].starts_ms);
      const by = Math.round(before / MINUTE) * MINUTE;
      const stamp = (ms) => new Date(ms).toISOString().replace(/[-:]|\.\d+/g, "");
      const moved = planned
        .replace(/DTSTART:(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z/g, (_, y, mo, d, h, mi, s) =>
          `DTSTART:${stamp(Date.UTC(y, mo - 1, d, h, mi, s) + by)}`)
        .replace(/SEQUENCE:\d+/g, by === 0 ? "$&" : `SEQUENCE:${Math.floor(Date.now() / MINUTE)}`);
      link.href = `data:text/calendar;charset=utf-8;base64,${btoa(moved)}`;
      const sign = by > 0 ? "later" : "earlier";
      part("moved").textContent = by === 0 ? "" : `Its alarms stand ${inWords(Math.abs(by))} ${sign} now: take it anew.`;
    };

    const draw = (now) => {
      const count = state.done.length, at = stage(now);
      const button = part("sprayed"), undo = part("undo");
      const waiting = at.due !== null && now < at.due;
      const left = at.due === null ? "" : length(waiting ? at.due - now : now - at.due);
      panel.dataset.stage = at.ended ? (waiting ? "drying" : "ended") : (waiting ? "waiting" : "due");
      if (at.ended) show("now", waiting ? `All sprayed. Handle the page at ${clock(at.due)}` : "The page can be handled by the edges");
      else if (waiting) show("now", `${capital(at.name)}: at ${clock(at.due)}`);
      else show("now", count === 0 ? `${capital(at.name)}: when you are ready` : `${capital(at.name)}: now`);
      show("clock", at.ended && !waiting ? "done" : count === 0 && !waiting ? "ready" : waiting ? left : `${left} over`);
      part("clock").classList.toggle("long", part("clock").textContent.length > 5);
      show("line", at.ended ? "" : coats[count].line + (at.closes ? `; no later than ${clock(at.closes)}` : ""));
      show("back", count === 0 ? "" : !plan.alone ? "Back in the room: see the first page of the evening." : air().map(([words, when]) =>
        when === null ? `${words}: not within a day` : now >= when ? `${words}: now` : `${words}: at ${clock(when)}`).join("; ") + ".");
      if (at.closes && now > at.closes) warn("The recoat window has closed: leave the page alone until the can's label allows the next coat.");
      button.hidden = at.ended === true;
      if (!at.ended) {
        show("sprayed", `Press when coat ${count + 1} is sprayed`);
        part("beat").textContent = beating ? "Stop the beat" : `Beat: ${coats[count].passes} × ${coats[count].pass_s} s`;
      }
      part("beat").hidden = at.ended === true;
      undo.hidden = count === 0;
      if (count > 0) undo.textContent = `Undo coat ${count}`;
      part("sound").textContent = soundReady() ? "Sound is on: try it" : "Sound is off: touch to turn it on";
      if (at.ended && !waiting) nameThePage(sheet, Infinity, `done: ${plan.title}`);
      else nameThePage(sheet, at.due ?? Infinity, `${waiting ? left : "now"}, ${at.name}: ${plan.title}`);
    };
    const log = () => {
      const list = part("log");
      list.replaceChildren(...state.done.map((at, n) => {
        const item = document.createElement("li");
        item.textContent = `${capital(coats[n].name)}: sprayed ${clock(at)}`;
        return item;
      }));
      list.hidden = state.done.length === 0;
    };

    let seen = 0;
    const tick = () => {
      const now = Date.now();
      watchClock(now);
      ring(now);
      draw(now);
      if (now - seen > 5000 && state.done.length > 0) { seen = now; state.seen = now; save(); }
    };

    // The beat: one sound at the start of every pass, three to begin with, two at the end.
    let beating = null;
    const stopBeat = () => {
      if (!beating) return;
      beating.sources.forEach((source) => { try { source.stop(); } catch { /* over already */ } });
      clearInterval(beating.timer);
      beating = null;
    };
    const beat = () => {
      if (beating) { stopBeat(); say("The beat is stopped."); return tick(); }
      const coat = coats[state.done.length], began = performance.now() + 3000, sources = [];
      if (soundReady()) {
        const start = audio.currentTime + 3;
        for (let n = 3; n > 0; n--) sources.push(tone(520, start - n, 0.12, 0.3));
        for (let n = 0; n < coat.passes; n++) sources.push(tone(n === 0 ? 1320 : 990, start + n * coat.pass_s, 0.12, 0.5));
        const end = start + coat.passes * coat.pass_s;
        sources.push(tone(660, end, 0.15, 0.5), tone(520, end + 0.18, 0.3, 0.5));
      }
      let shown = "";
      const timer = setInterval(() => {
        const seconds = (performance.now() - began) / 1000, pass = Math.floor(seconds / coat.pass_s) + 1;
        const words = seconds < 0 ? `${Math.ceil(-seconds)}` : pass <= coat.passes ? `pass ${pass} of ${coat.passes}` : "end";
        if (words !== shown && seconds >= 0) buzz(pass <= coat.passes ? 40 : [80, 60, 80]);
        shown = words;
        if (words === "end") { stopBeat(); say("The beat is over. If the coat is on, press the large button."); }
        else say(words);
      }, 40);
      beating = { sources, timer };
    };

    part("sprayed").addEventListener("click", () => {
      const now = Date.now(), count = state.done.length, at = stage(now);
      if (count > 0 && now - state.done[count - 1] < DOUBLE_TAP) return;
      if (count === 0) {
        const open = boxes.filter((box) => ["mask", "ignition"].includes(box.dataset.check) && !box.checked);
        if (open.length > 0) {
          say("First tick the mask and the flames in the list: they are asked every time.");
          open[0].focus();
          open[0].scrollIntoView({ block: "center" });
          return;
        }
      }
      wakeSound().then(tick);
      stopBeat();
      silence();
      warn("");
      state.done.push(now);
      state.leap = 0;
      const early = count > 0 && now < at.due ? ` That was ${inWords(at.due - now)} early: look whether the film is dry enough.` : "";
      say(`${capital(coats[count].name)} is written down. ${plan.leave} now.${early}`);
      save();
      stayAwake();
      log();
      moveCalendar();
      tick();
    });
    part("undo").addEventListener("click", () => {
      const undone = state.done.length;
      state.done.pop();
      silence();
      stopBeat();
      warn("");
      say(`Coat ${undone} counts as not sprayed.`);
      save();
      log();
      moveCalendar();
      tick();
    });
    part("silence").addEventListener("click", () => { silence(); say("Silenced. The next time still rings."); });
    part("sound").addEventListener("click", () => wakeSound().then((on) => {
      bell(1);
      say(on ? "You should have heard two tones. If not, turn the volume up and silent mode off." : "This browser makes no sound.");
      tick();
    }));
    part("beat").addEventListener("click", () => wakeSound().then(beat));
    for (const box of boxes) {
      // A page that was closed before its first coat asks for the mask and the flames anew.
      const asked = state.done.length > 0 || !["mask", "ignition"].includes(box.dataset.check);
      box.checked = asked && state.checked.includes(box.dataset.check);
      box.addEventListener("change", () => {
        state.checked = boxes.filter((one) => one.checked).map((one) => one.dataset.check);
        save();
      });
    }
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState !== "visible") return;
      tick();
      if (state.done.length > 0 && state.done.length <= last + 1) stayAwake();
    });

    part("running").hidden = false;
    save();
    log();
    moveCalendar();
    if (state.done.length > 0) say("Carried on where this page was left. Touch it once, so that it may sound.");
    tick();
    setInterval(tick, 250);
  };

  document.addEventListener("pointerdown", wakeSound);
  document.querySelectorAll("[data-sheet]").forEach(live);
})();
