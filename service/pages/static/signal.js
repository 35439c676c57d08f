// Forms that need no signal: what is tapped is kept on this phone first, then sent. Every page says
// what still waits. Without script, or in a browser that keeps nothing, the same forms go as they are.
import "./outbox.js";
import "./hours.js";
import { ages } from "./seen.js";
import { forget, mending, path, plainly, written } from "./tapped.js";

const { outbox } = self;
const page = document.documentElement;
const SHOWN = "castclock.shown"; // sent as it was, to see what castclock says of it
const KEEPS = /^(pour|pours\/\d+\/(reading|set|look|dryness|cover|test|batch|before|note|photos|steps|covers\/\d+\/off)|moulds\/\d+\/(faults|released))$/;
const LEAVES = /^(sign-out|me\/everywhere)$/;
const at = (name) => new URL(name, outbox.ROOT).href;
const said = (text, values) => text.replace(/\{(\w+)\}/g, (_, name) => values[name]);

if (page.dataset.seen) { // the keys of a kept page have been used
  for (const key of document.querySelectorAll("input[name=key]")) key.value = outbox.fresh();
}

const card = document.getElementById("signal");
const tell = (code, values = {}) => {
  card.hidden = false;
  card.classList.toggle("alarm", code === "full");
  card.textContent = said(card.dataset[code], values);
  card.focus();
  card.scrollIntoView({ block: "center" });
};

const count = async () => {
  const line = document.getElementById("waits");
  const entries = await outbox.all().catch(() => []);
  const refused = entries.filter((one) => one.refused || one.asks).length;
  const waits = entries.length - refused;
  const words = (n, name) => n ? said(line.dataset[n === 1 ? name : `${name}s`], { n }) : "";
  line.hidden = !entries.length;
  line.querySelector("b").textContent = [words(refused, "refused"), words(waits, "wait")].filter(Boolean).join(" ");
  line.classList.toggle("alarm", refused > 0);
  document.dispatchEvent(new Event("outbox"));
};

let under = null; // the sending that is under way
export const flush = () => (under ??= sent().finally(() => { under = null; }));
const sent = async () => {
  const stored = await outbox.flush().catch(() => 0); // without signal all of it waits
  await count();
  if (stored) {
    card.textContent = card.dataset.sent; // where it said that something was kept
    document.dispatchEvent(new Event("stored"));
  }
  if (stored && page.dataset.seen) location.reload(); // there is signal: the page as it is now
};

const landed = (to) => {
  const here = location.href;
  location.assign(to);
  if (to.includes("#") && here === location.href) location.reload();
};

const take = async (form, submitter, to) => {
  const entry = written(form, submitter, to);
  try {
    entry.id = await outbox.put(entry);
  } catch { /* no room, or a browser that keeps nothing: it may be stored yet */ }
  let answer = { how: "waits" };
  try {
    if (entry.id) await outbox.flush(entry.id);
    answer = await outbox.send(entry, Boolean(entry.after));
  } catch { /* what came before it waits, so it waits behind */ }
  if (answer.how === "stored") {
    if (entry.id) await outbox.remove(entry.id);
    if (entry.after) await outbox.remove(entry.after);
    mending(null);
    return landed(answer.to);
  }
  if (answer.how === "refused") {
    if (entry.id) await outbox.put({ ...entry, refused: { html: answer.html } });
    sessionStorage.setItem(SHOWN, JSON.stringify({ id: entry.id, to }));
    return plainly(form, submitter);
  }
  document.dispatchEvent(new Event("settled"));
  if (!entry.id) return tell("full");
  mending(null);
  form.reset();
  const key = form.elements.namedItem("key");
  if (key) key.value = outbox.fresh();
  await count();
  const hour = self.hours.told(Date.parse(outbox.when(entry)), page.lang, page.dataset.clock);
  tell(answer.signIn ? "kept_out" : "kept", { at: hour, what: entry.words });
  navigator.storage?.persist?.();
  (await navigator.serviceWorker?.getRegistration())?.sync?.register("outbox").catch(() => {});
};

document.addEventListener("submit", async (event) => {
  const { target: form, submitter } = event;
  if (event.defaultPrevented || form.method !== "post") return;
  const to = new URL(form.getAttribute("action"), location.href).href;
  if (LEAVES.test(path(to))) {
    event.preventDefault();
    const left = await outbox.all().catch(() => []);
    if (left.length) return location.assign(at(`waiting#${path(to)}`));
    forget();
    plainly(form, submitter);
  } else if (KEEPS.test(path(to))) {
    event.preventDefault();
    if (form.dataset.taken) return; // one tap is one entry
    form.dataset.taken = "1";
    await take(form, submitter, to);
    delete form.dataset.taken;
  }
});

// What was sent plainly has its answer on this very page: it is no longer the outbox's to tell.
const begin = async () => {
  const shown = JSON.parse(sessionStorage.getItem(SHOWN) ?? "null");
  sessionStorage.removeItem(SHOWN);
  const came = performance.getEntriesByType("navigation")[0]?.type;
  const answered = shown && !page.dataset.seen && came !== "back_forward" && path(shown.to) === path(location.href);
  if (answered && shown.id) await outbox.remove(shown.id);
  await flush();
};

// The worker keeps files and pages for when there is no signal; only where the address is secure.
const work = async () => {
  await navigator.serviceWorker.register(at("worker.js"));
  const { active } = await navigator.serviceWorker.ready;
  if (!page.dataset.seen) active.postMessage({ keep: [...document.querySelectorAll("main a[href]")].map((one) => one.href) });
};

begin();
ages(flush);
if (navigator.serviceWorker && window.isSecureContext) work().catch(() => {});
