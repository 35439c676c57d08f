// Files and pages for when there is no signal. Files come from this build's own store. Pages are
// asked for first; without an answer the last one seen is shown, and says so: what was told of the
// present is taken out of it as it is kept (the server wrote what it says instead beside it).
const SCOPE = new URL(self.registration.scope);
const OURS = ` of ${SCOPE.pathname}`; // a host may have another castclock below another path
const FILES_KEPT = `castclock-files-${BUILD}${OURS}`;
const PAGES_KEPT = `castclock-pages-${BUILD}${OURS}`;
const MAY_KEEP = /^(|pour|tonight|waiting|help(\/(first-aid|saved))?|pours\/\d+(\/(steps|mode|photos|saved|\w+\/add))?)$/;
const LEAVE = /^(sign-in|sign-in\/passkey|sign-out|me\/everywhere|join\/.*)$/;
const FORMS = ["reading/add", "steps", "cover/add", "photos", "mode", "before"];
const ALWAYS = ["", "pour", "tonight", "waiting", "help", "help/first-aid", "help/saved"];
const PATIENCE_MS = 5000; // a poor signal is worse than none
const NEW_FOR_MS = 3600000;
const MOST_PIECES = 8;
const MOST_PAGES = 80;
const inside = (address) => {
  const { origin, pathname } = new URL(address);
  return origin === SCOPE.origin && pathname.startsWith(SCOPE.pathname) ? pathname.slice(SCOPE.pathname.length) : null;
};
const plain = (address) => address.replace(/-[0-9a-f]{12}(?=\.[a-z]+$)/, "");

self.addEventListener("install", (event) => event.waitUntil((async () => {
  const store = await caches.open(FILES_KEPT);
  await Promise.all(FILES.map(async (one) => {
    const answer = await fetch(new URL(one, SCOPE));
    if (!answer.ok) throw new Error(`${one}: ${answer.status}`);
    await store.put(new URL(plain(one), SCOPE), answer);
  }));
  await self.skipWaiting();
})()));

self.addEventListener("activate", (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) {
    if (name.startsWith("castclock-") && name.endsWith(OURS) && name !== FILES_KEPT && name !== PAGES_KEPT) await caches.delete(name);
  }
  await self.clients.claim();
})()));

// A file of another build is asked for; without signal that of this one has to do.
const file = async (request, name) => {
  const kept = await (await caches.open(FILES_KEPT)).match(plain(request.url));
  const ours = name === plain(name) || FILES.includes(name);
  return kept && ours ? kept : fetch(request).catch(() => kept ?? Response.error());
};

// A page as it may be read later: in no sentence of it the present.
const past = (html, sent) => {
  const { lang, clock } = reader(html);
  return self.hours.fixed(html.replace(/<!--live-->[^]*?<!--then([^]*?)-->/g, "$1"), sent, lang, clock);
};
const reader = (html) => ({
  lang: /<html lang="([^"]+)"/.exec(html)?.[1] ?? "en-GB",
  clock: /data-clock="([^"]+)"/.exec(html)?.[1] ?? "24 UTC",
});

let leaves = 0; // what was asked for before somebody left is not kept after
const keep = async (address, answer, since) => {
  const html = answer.headers.get("content-type")?.startsWith("text/html");
  if (answer.status !== 200 || answer.redirected || !html || !MAY_KEEP.test(inside(address))) return;
  const sent = Date.parse(answer.headers.get("date")) || Date.now();
  const headers = { "Content-Type": "text/html; charset=utf-8", Seen: `${Date.now()}`, Sent: `${sent}` };
  const text = past(await answer.text(), sent);
  if (since !== leaves) return;
  const store = await caches.open(PAGES_KEPT);
  await store.put(address, new Response(text, { headers }));
  const names = await store.keys();
  for (const old of names.slice(0, Math.max(0, names.length - MOST_PAGES))) await store.delete(old);
};

const old = async (copy, late = false) => {
  const html = await copy.text();
  const { lang, clock } = reader(html);
  const [seen, sent] = ["Seen", "Sent"].map((name) => Number(copy.headers.get(name)));
  const at = self.hours.at(sent, lang, clock);
  const ago = self.hours.ago(Date.now() - seen, lang);
  const told = html
    .replace("<html ", `<html data-seen="${new Date(sent).toISOString()}" `)
    .replace(/<!--seen([^]*?)-->/, (_, words) =>
      (late ? words.replace("No signal", "No answer yet") : words).replace("{at}", at).replace("{ago}", ago));
  return new Response(told, { headers: { "Content-Type": "text/html; charset=utf-8" } });
};

const page = async (event) => {
  const { url } = event.request;
  const store = await caches.open(PAGES_KEPT);
  const since = leaves;
  const copy = await store.match(url) ?? (inside(url).startsWith("pours/") ? await store.match(url.replace(/\?.*/, "")) : undefined);
  const asked = fetch(event.request).then(async (answer) => {
    if (inside(url) === "sign-in") {
      leaves += 1; // nobody is in: nothing to read
      await caches.delete(PAGES_KEPT);
    }
    event.waitUntil(keep(url, answer.clone(), since));
    return answer;
  });
  event.waitUntil(asked.catch(() => {}));
  const late = new Promise((done) => { if (copy) setTimeout(() => done("late"), PATIENCE_MS); });
  const answer = await Promise.race([asked, late]).catch(() => null);
  if (answer === "late") return old(copy, true);
  if (answer && answer.status !== 502 && answer.status !== 504) return answer;
  if (copy) return old(copy);
  const instead = await store.match(new URL("waiting", SCOPE));
  return instead ? old(instead) : answer ?? Response.error();
};

// A form that the outbox does not keep. Signing in or out, nothing stays to be read.
const form = async (event) => {
  if (LEAVE.test(inside(event.request.url))) {
    leaves += 1;
    await caches.delete(PAGES_KEPT);
  }
  try {
    return await fetch(event.request);
  } catch {
    return Response.redirect(new URL("waiting?unsent", SCOPE), 303);
  }
};

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const name = inside(request.url);
  if (name === null) return;
  if (request.method === "GET" && name.startsWith("static/")) event.respondWith(file(request, name));
  else if (request.mode !== "navigate") return;
  else event.respondWith(request.method === "GET" ? page(event) : form(event));
});

// The page that is open names what it leads to: its pieces and the forms of each are kept as well.
self.addEventListener("message", (event) => event.waitUntil((async () => {
  const names = (event.data?.keep ?? []).map(inside).filter((one) => /^pours\/\d+$/.test(one ?? ""));
  const pieces = [...new Set(names)].slice(0, MOST_PIECES);
  const since = leaves;
  const store = await caches.open(PAGES_KEPT);
  for (const name of [...ALWAYS, ...pieces.flatMap((one) => [one, ...FORMS.map((f) => `${one}/${f}`)])]) {
    const address = new URL(name, SCOPE).href;
    const copy = await store.match(address);
    if (copy && (!pieces.includes(name) || Date.now() - Number(copy.headers.get("Seen")) < NEW_FOR_MS)) continue;
    await keep(address, await fetch(address), since);
  }
})().catch(() => {})));

self.addEventListener("sync", (event) => { if (event.tag === "outbox") event.waitUntil(self.outbox.flush()); });
