// Reminders on this phone: the browser is asked, and what it answers is sent as a form.
const form = document.getElementById("push"), note = document.getElementById("push-note");
const button = form?.querySelector("button");

const bytes = (text) => {
  const plain = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(plain, (c) => c.charCodeAt(0));
};
const base64url = (buffer) =>
  btoa(String.fromCharCode(...new Uint8Array(buffer))).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
const name = async (endpoint) => {
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(endpoint));
  return `phone:${[...new Uint8Array(digest)].slice(0, 16).map((b) => b.toString(16).padStart(2, "0")).join("")}`;
};
const say = (code) => { note.textContent = note.dataset[code]; };
const device = () => navigator.userAgentData?.platform || navigator.platform || "";

// A key of another shop, or of before a restore, is given back first: its notices would be lost.
const held = async (manager) => {
  const found = await manager.getSubscription();
  const key = found?.options?.applicationServerKey;
  if (found && key && base64url(key) !== form.dataset.key) { await found.unsubscribe(); return null; }
  return found;
};

const subscribe = async (manager) => {
  if (await Notification.requestPermission() !== "granted") return say("refused");
  try {
    const given = (await held(manager)) ||
      (await manager.subscribe({ userVisibleOnly: true, applicationServerKey: bytes(form.dataset.key) }));
    const { endpoint, keys } = given.toJSON();
    const told = { endpoint, ...keys, address: new URL("..", import.meta.url).href.slice(0, -1), device: device() };
    for (const field of Object.keys(told)) if (form.elements[field]) form.elements[field].value = told[field];
    form.submit();
  } catch { say("failed"); }
};

const start = async () => {
  if (!window.isSecureContext) return say("insecure");
  if (!("serviceWorker" in navigator && "PushManager" in window)) return say("unable");
  await navigator.serviceWorker.register(new URL("../worker.js", import.meta.url));
  const { pushManager } = await navigator.serviceWorker.ready;
  const mine = await held(pushManager);
  const row = mine && document.getElementById(await name(mine.endpoint));
  if (row) { row.querySelector("[data-mine]").hidden = false; return say("here"); }
  note.textContent = "";
  button.hidden = false;
  button.addEventListener("click", () => { subscribe(pushManager); });
};
if (form) start().catch(() => say("failed"));
