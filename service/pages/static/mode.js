// Pour mode at the mixer: minutes that run down, a bell that needs no server, stamps that wait for
// the signal, a screen that stays awake. Without it the same buttons send the same forms.
import "./outbox.js";
import { flush } from "./signal.js";
import { clockAhead, plainly, written } from "./tapped.js";

const { outbox } = self;
const RINGS = "castclock.rings";
const RINGS_FOR_MS = 120000;
let sound = null; // made by the tap that asks for the bell: a browser is silent until then
let ringing = 0;
let ahead = 0; // of this phone's clock against the server's

const mode = () => document.getElementById("mode");
const kept = (name) => JSON.parse(localStorage.getItem(name) || "[]");
const keep = (name, list) => localStorage.setItem(name, JSON.stringify(list));
const now = () => Date.now() - ahead;

function left(until) {
  const minutes = Math.floor((Date.parse(until) - now()) / 60000);
  if (minutes < 0) return "time is up";
  return minutes < 90 ? `${minutes} min left` : `${Math.floor(minutes / 60)} h ${minutes % 60} min left`;
}

function tick() {
  for (const one of document.querySelectorAll("[data-left]")) {
    const text = left(one.dataset.left);
    if (one.textContent !== text) one.textContent = text;
    const away = Date.parse(one.dataset.left) - now();
    const box = one.closest(".joint");
    box.classList.toggle("past-now", away < 0);
    box.classList.toggle("soon", away >= 0 && away < 15 * 60000);
  }
  const due = kept(RINGS).filter((one) => Date.parse(one.at) <= now());
  if (due.length) {
    keep(RINGS, kept(RINGS).filter((one) => Date.parse(one.at) > now()));
    ring(due.map((one) => one.what).join(" · "));
    bells();
  }
}

function beep() {
  if (!sound) return;
  const tone = sound.createOscillator();
  const loud = sound.createGain();
  tone.type = "square";
  tone.frequency.value = 880;
  loud.gain.value = 0.4;
  tone.connect(loud).connect(sound.destination);
  tone.start();
  tone.stop(sound.currentTime + 0.35);
}

function ring(what) {
  const box = document.getElementById("alarm");
  box.querySelector("b").textContent = `${what} now`;
  box.hidden = false;
  const stop = box.querySelector("button");
  stop.focus();
  const until = Date.now() + RINGS_FOR_MS;
  const once = () => {
    beep();
    navigator.vibrate?.([300, 200, 300]);
    if (Date.now() > until) clearInterval(ringing);
  };
  clearInterval(ringing);
  once();
  ringing = setInterval(once, 1000);
  stop.onclick = () => {
    clearInterval(ringing);
    box.hidden = true;
  };
}

function bells() {
  const set = kept(RINGS);
  for (const button of document.querySelectorAll("[data-ring]")) {
    const mine = (one) => one.pour === mode().dataset.pour && one.what === button.dataset.what;
    const on = set.some(mine);
    button.hidden = Date.parse(button.dataset.ring) <= now();
    button.setAttribute("aria-pressed", `${on}`);
    button.dataset.words ||= button.textContent;
    button.textContent = on ? `✓ ${button.dataset.words.replace("Ring me", "Rings")}; tap to stop` : button.dataset.words;
    button.onclick = () => {
      sound ||= window.AudioContext ? new AudioContext() : null;
      sound?.resume();
      const others = kept(RINGS).filter((one) => !mine(one));
      const asked = { pour: mode().dataset.pour, what: button.dataset.what, at: button.dataset.ring };
      keep(RINGS, on ? others : [...others, asked]);
      bells();
    };
  }
}

function moved() { // an hour that moved takes its bell along
  const set = kept(RINGS).map((one) => {
    const button = [...document.querySelectorAll("[data-ring]")].find(
      (other) => one.pour === mode().dataset.pour && other.dataset.what === one.what);
    return button ? { ...one, at: button.dataset.ring } : one;
  });
  keep(RINGS, set);
}

function put(html) {
  const page = new DOMParser().parseFromString(html, "text/html").getElementById("mode");
  if (!page) return location.reload();
  const bell = document.getElementById("alarm");
  mode().replaceWith(page);
  if (!bell.hidden) document.getElementById("alarm").replaceWith(bell);
  begin();
  moved();
  bells();
  tick();
}

// Kept with the hour of the tap, whatever the signal does, and sent in order; each tap is one.
async function stamped(form, submitter) {
  const at = new Date(now()).toISOString();
  const entry = { ...written(form, submitter, form.action), at };
  for (const field of entry.fields) if (field[0] === "at") field[1] = at;
  try {
    await outbox.put(entry);
  } catch {
    return plainly(form, submitter); // no room to keep it
  }
  form.elements.key.value = outbox.fresh();
  flush();
}

document.addEventListener("stored", async () => {
  if (mode()) put(await (await fetch(location.href)).text());
});

function begin() {
  ahead = document.documentElement.dataset.seen ? clockAhead() : Date.now() - Date.parse(mode().dataset.now);
  for (const form of mode().querySelectorAll("[data-stamp], [data-again]")) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      stamped(form, event.submitter);
    });
  }
  for (const button of mode().querySelectorAll("[data-add]")) {
    button.hidden = false;
    const box = document.getElementById("bags");
    button.onclick = () => {
      box.value = Math.max(0.5, (Number.parseFloat(box.value) || 0) + Number(button.dataset.add));
    };
  }
  awake();
}

let lock = null;
async function awake() {
  const told = document.getElementById("awake");
  if (!navigator.wakeLock) return; // only where the address is secure: the advice stands
  try {
    lock ??= await navigator.wakeLock.request("screen");
    lock.addEventListener("release", () => { lock = null; });
    told.textContent = "The screen stays on while this page is open.";
  } catch {
    // low battery or a setting: the advice stands
  }
}

document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "visible" && mode()) awake();
});
if (mode()) {
  begin();
  bells();
  tick();
  setInterval(tick, 1000);
}
