// The page of what waits on this phone: looked at, mended, thrown away, and never lost by itself.
import "./outbox.js";
import { flush } from "./signal.js";
import { forget, mending } from "./tapped.js";

const { outbox } = self;
const page = document.documentElement;
const list = document.getElementById("outbox");
const model = document.getElementById("entry").content.firstElementChild;
const leave = document.getElementById("leave");
const LEAVES = ["sign-out", "me/everywhere"];

const why = (html) => {
  if (html.startsWith("{")) return JSON.parse(html).errors?.map((one) => `${one.wrong}: ${one.allowed}`).join(" ") ?? "";
  const answer = new DOMParser().parseFromString(html, "text/html");
  for (const one of answer.querySelectorAll("#signal, #waits, nav, .foot, script, .alarm > strong")) one.remove();
  const card = answer.querySelector("main .alarm") ?? answer.querySelector("main");
  return card?.textContent.replace(/\s+/g, " ").trim() ?? "";
};

// What castclock asks before it stores a pour into a mould that still holds one: its own words, and
// what may be answered.
const question = (html) => {
  const answer = new DOMParser().parseFromString(html, "text/html");
  const asked = answer.getElementById("held_asked");
  const faults = [...answer.querySelectorAll("main [role=alert] :is(a, p)")].map((one) => one.getAttribute("href"));
  if (!asked || faults.join() !== "#held") return null; // what else is wrong is mended on its own page
  const answers = [...asked.querySelectorAll("input[type=radio]")].map((one) => [one.value, one.parentElement.textContent.replace(/\s+/g, " ").trim()]);
  const about = asked.querySelector("input[name=held_pour]").value;
  return { words: asked.querySelector("legend").textContent.replace(/\s+/g, " ").trim(), about, answers };
};

// The same entry with the answer: it waits no longer, and has its hour still.
const answered = async (entry, about, what) => {
  const others = entry.fields.filter(([name]) => !["held", "held_pour"].includes(name));
  await outbox.put({ ...entry, fields: [...others, ["held_pour", about], ["held", what]], refused: undefined });
  flush();
};

const told = (ms) => self.hours.at(ms, page.lang, page.dataset.clock);
const at = (entry) => Date.parse(outbox.when(entry));
const text = (entry) =>
  [`${told(at(entry))} ${entry.words}`, entry.about, ...entry.told].filter(Boolean).join("\n");

// Tried once more; what castclock asks or refuses is then its own page, filled as it was.
const mend = async (entry) => {
  const answer = await outbox.send(entry).catch(() => ({ how: "waits" }));
  if (answer.how === "stored") {
    await outbox.remove(entry.id);
    return location.assign(answer.to);
  }
  if (answer.how !== "refused") return flush();
  mending(entry);
  const form = document.createElement("form");
  Object.assign(form, { method: "post", action: entry.to, enctype: entry.file ? "multipart/form-data" : form.enctype });
  for (const [name, value] of [...entry.fields, ["tapped_at", outbox.when(entry)]]) {
    const box = document.createElement("input");
    Object.assign(box, { name, type: value instanceof Blob ? "file" : "hidden" });
    if (value instanceof Blob) {
      const files = new DataTransfer();
      files.items.add(new File([value], value.name ?? "photo.jpg", { type: value.type }));
      box.files = files.files;
    } else box.value = value;
    form.append(box);
  }
  form.hidden = true;
  document.body.append(form);
  HTMLFormElement.prototype.submit.call(form);
};

const line = (entry, _, entries) => {
  const item = model.cloneNode(true);
  const part = (name) => item.querySelector(`[data-${name}]`);
  part("words").textContent = entry.words;
  part("about").textContent = entry.about;
  part("at").textContent = told(at(entry));
  part("at").dateTime = outbox.when(entry);
  part("told").append(...entry.told.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
  const others = entry.who && page.dataset.who && entry.who !== page.dataset.who;
  const held = entry.refused && question(entry.refused.html);
  const state = held ? "held" : entry.refused ? "refused" : entry.asks ? "asks" : entries.some((one) => one.signIn) ? "out" : others ? "others" : "waits";
  for (const one of ["held", "refused", "asks", "out", "others", "waits"]) part(one).hidden = one !== state;
  if (others) part("others").querySelector("b").textContent = entry.who;
  if (entry.refused) part("why").textContent = why(entry.refused.html);
  for (const one of item.querySelectorAll("[data-mend]")) one.addEventListener("click", () => mend(entry));
  if (held) {
    part("question").textContent = held.words;
    part("answers").prepend(...held.answers.map(([what, words]) => {
      const button = Object.assign(document.createElement("button"), { className: "quiet", textContent: words });
      button.addEventListener("click", () => answered(entry, held.about, what));
      return button;
    }));
  }
  if (entry.asks) {
    for (const [name, ahead] of [["first", entry.ahead], ["second", entry.asks.ahead]]) {
      const hit = new Date(entry.tapped - ahead).toISOString();
      part(name).textContent = told(Date.parse(hit));
      part(name).addEventListener("click", async () => {
        await outbox.put({ ...entry, at: hit, asks: undefined });
        flush();
      });
    }
  }
  const away = part("away");
  away.addEventListener("click", async () => {
    if (!away.dataset.asked) {
      away.dataset.asked = "1";
      away.textContent = away.dataset.sure;
      return;
    }
    await outbox.remove(entry.id);
    flush();
  });
  return item;
};

const show = async () => {
  const entries = await outbox.all().catch(() => []);
  document.getElementById("none").hidden = entries.length > 0;
  document.getElementById("some").hidden = !entries.length;
  document.getElementById("waits").hidden = true; // it stands below
  list.replaceChildren(...entries.map(line));
  const to = location.hash.slice(1);
  leave.hidden = !entries.length || !LEAVES.includes(to);
  leave.action = `${outbox.ROOT}${LEAVES.includes(to) ? to : "sign-out"}`;
};

document.getElementById("send").addEventListener("click", flush);
document.getElementById("copy").addEventListener("click", async ({ target }) => {
  await navigator.clipboard?.writeText((await outbox.all()).map(text).join("\n\n"));
  target.textContent = target.dataset.done;
});
leave.addEventListener("submit", async (event) => {
  event.preventDefault();
  await outbox.clear();
  forget();
  HTMLFormElement.prototype.submit.call(leave);
});
document.getElementById("unsent").hidden = location.search !== "?unsent";
document.getElementById("unseen").hidden = !page.dataset.seen || location.pathname.endsWith("/waiting");
document.addEventListener("outbox", show);
addEventListener("hashchange", show);
show();
