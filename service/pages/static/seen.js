// A page that stood open without signal is as old as one that was kept: what it tells of the present
// gives way to what the server wrote beside it for later. With signal again an old page is asked
// for anew, never under a finger that types.
import "./hours.js";
import "./outbox.js";

const { hours, outbox } = self;
const page = document.documentElement;
const LIVES_MS = 300000;
const LOOKS_MS = 20000;
const TYPED_MS = 3600000; // so long a page waits for who is typing, then it is of the past
const shown = Date.now();
let leaving = false; // by a link that was tapped meanwhile

const found = (what, fits) => {
  const walk = document.createNodeIterator(document.body, what);
  const all = [];
  for (let one = walk.nextNode(); one; one = walk.nextNode()) if (fits(one.data)) all.push(one);
  return all;
};
const comments = (beginning) => found(NodeFilter.SHOW_COMMENT, (text) => text.startsWith(beginning));
const content = (html) => document.createRange().createContextualFragment(html);

const past = () => {
  const { lang, dataset: { clock } } = page;
  page.dataset.seen = new Date(shown).toISOString();
  for (const live of comments("live")) {
    while (live.nextSibling.nodeType !== Node.COMMENT_NODE) live.nextSibling.remove();
    live.nextSibling.replaceWith(content(live.nextSibling.data.slice("then".length)));
    live.remove();
  }
  for (const text of found(NodeFilter.SHOW_TEXT, () => true)) text.data = hours.fixed(text.data, shown, lang, clock);
  for (const one of comments("seen")) {
    const words = one.data.slice("seen".length);
    const ago = hours.ago(Date.now() - shown, lang);
    one.replaceWith(content(words.replace("{at}", hours.at(shown, lang, clock)).replace("{ago}", ago)));
  }
};

const typing = () => document.querySelector("details[open], :focus-visible, [data-dirty]");

export const ages = (flush) => {
  const look = async () => {
    if (document.visibilityState !== "visible") return;
    await flush(); // first what waits: the page is asked for behind it
    const old = page.dataset.seen;
    if (!old && Date.now() - shown < LIVES_MS) return;
    const there = await outbox.clock().then(() => true, () => false);
    const told = old || comments("live").length; // what was true of the present
    if (there && told && !leaving && !typing()) location.reload();
    else if (!old && (!there || Date.now() - shown > TYPED_MS)) past();
  };
  document.addEventListener("input", ({ target }) => { target.dataset.dirty = ""; });
  addEventListener("beforeunload", () => { leaving = true; });
  setInterval(look, LOOKS_MS);
  addEventListener("online", look);
  document.addEventListener("visibilitychange", look);
};
