// One form as it was sent: what it holds, and in words what that was.
import "./outbox.js";

const page = document.documentElement;
const AHEAD = "castclock.ahead"; // of this phone's clock against the server's, at the last contact
const MENDING = "castclock.mending";
export const clockAhead = () => Number(localStorage.getItem(AHEAD)) || 0; // as a page of long ago may not tell
if (!page.dataset.seen) localStorage.setItem(AHEAD, `${Date.now() - Date.parse(page.dataset.now)}`);

// What castclock keeps in this browser by name, and nothing of others of the same host.
export const forget = () => {
  for (const store of [localStorage, sessionStorage]) {
    for (const name of Object.keys(store)) if (name.startsWith("castclock.")) store.removeItem(name);
  }
};

export const path = (address) => new URL(address, location.href).href.slice(self.outbox.ROOT.length).replace(/[?#].*$/, "");

const words = (box) => {
  const label = box.labels?.[0]?.innerText.replace(/\s+/g, " ").trim();
  if (!label || box.type === "hidden" || box.name === "ago" && box.value === "0" || !box.offsetParent) return [];
  if (box.type === "file") return [...box.files].map((one) => one.name);
  if (box.type === "radio" || box.type === "checkbox") {
    const of = box.closest("fieldset")?.querySelector("legend")?.innerText.trim();
    return box.checked ? [of ? `${of}: ${label}` : label] : [];
  }
  const unit = box.parentElement.querySelector(".unit, select")?.selectedOptions?.[0]?.textContent ?? box.parentElement.querySelector(".unit")?.textContent ?? "";
  const value = box.tagName === "SELECT" ? box.selectedOptions[0]?.textContent.trim() : `${box.value} ${unit}`.trim();
  return box.value ? [`${label}: ${value}`] : [];
};

// An entry that was refused and is mended keeps its hour, and goes when the new one is stored. It
// is mended on the page that answers to it: who leaves that page is mending no more.
let held = JSON.parse(sessionStorage.getItem(MENDING) ?? "null");
sessionStorage.removeItem(MENDING);
const mended = (to) => {
  return held && path(held.to) === path(to) ? { tapped: held.tapped, ahead: held.ahead, at: held.at, after: held.id } : {};
};
export const mending = (entry) => {
  held = entry && { ...entry, fields: [] };
  if (held) sessionStorage.setItem(MENDING, JSON.stringify(held));
};

export const written = (form, submitter, to) => {
  const data = new FormData(form);
  if (submitter?.name) data.append(submitter.name, submitter.value);
  const headings = [document.querySelector("main h1"), document.querySelector("main .sub a")].filter(Boolean);
  return {
    to,
    fields: [...data].filter(([, value]) => !(value instanceof File) || value.size),
    file: form.enctype === "multipart/form-data",
    who: page.dataset.who,
    words: (submitter?.getAttribute("aria-label") ?? submitter?.innerText ?? "").trim(),
    about: headings.map((one) => one.textContent.trim()).join(", "),
    told: [...form.elements].flatMap(words),
    tapped: Date.now(),
    ahead: clockAhead(),
    ...mended(to),
  };
};

// Sent as any form is, so that castclock's own page says what it asks or refuses.
export const plainly = (form, submitter) => {
  if (held) mending(held); // the page that answers goes on with it
  if (submitter?.name) {
    const pressed = document.createElement("input");
    Object.assign(pressed, { type: "hidden", name: submitter.name, value: submitter.value });
    form.append(pressed);
  }
  HTMLFormElement.prototype.submit.call(form);
};
