// Pour mode at the mixer: minutes that run down, a bell that needs no server, stamps that wait for
// the signal, a screen that stays awake. Without it the same buttons send the same forms.
const KEPT = "castclock.unsent";
const RINGS = "castclock.rings";
const AGAIN_MS = 20000;
const RINGS_FOR_MS = 120000;
let sound = null; // made by the tap that asks for the bell: a browser is silent until then
let ringing = 0;
let ahead = 0; // of this phone's clock against the server's

const mode = () => document.getElementById("mode");
const kept = (name) => JSON.parse(localStorage.getItem(name) || "[]");
const keep = (name, list) => localStorage.setItem(name, JSON.stringify(list));
const now = () => Date.now() - ahead;
const fresh = () => Array.from({ length: 32 }, () => Math.floor(Math.random() * 16).toString(16)).join("");

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

async function send(one) {
  const answer = await fetch(one.to, { method: "POST", body: new URLSearchParams(one.fields) });
  if (answer.status >= 500) throw new Error(`${answer.status}`);
  return answer.text();
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

function unsent() {
  const count = kept(KEPT).length;
  const told = document.getElementById("unsent");
  told.hidden = !count;
  told.textContent = count ? `No signal: ${count} ${count > 1 ? "taps are" : "tap is"} kept on this phone with the time, and sent by itself.` : "";
}

let sending = false;
async function flush() {
  if (sending) return;
  sending = true;
  try {
    let html = "";
    while (kept(KEPT).length) {
      html = await send(kept(KEPT)[0]);
      keep(KEPT, kept(KEPT).slice(1));
    }
    if (html) put(html);
  } catch {
    setTimeout(flush, AGAIN_MS);
  } finally {
    sending = false;
    unsent();
  }
}

function begin() {
  ahead = Date.now() - Date.parse(mode().dataset.now);
  for (const form of mode().querySelectorAll("[data-stamp], [data-again]")) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const fields = Object.fromEntries(new FormData(form));
      if ("at" in fields) fields.at = new Date(now()).toISOString();
      form.elements.key.value = fresh();
      keep(KEPT, [...kept(KEPT), { to: form.action, fields }]);
      flush();
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
addEventListener("online", flush);
if (mode()) {
  begin();
  bells();
  tick();
  unsent();
  if (kept(KEPT).length) flush();
  setInterval(tick, 1000);
}
