// What was tapped and is not stored by castclock yet, in the order of the taps: kept on this phone
// until an answer is there. Pages and the worker load this same file: it exports nothing, it is
// `self.outbox`. Each is sent with the key of its form, so that twice sent is once stored.
(() => {
  const ROOT = self.registration?.scope ?? new URL(".", document.querySelector("link[rel=manifest]").href).href;
  const ROOM = "castclock";
  const BOX = "outbox";
  const STEADY_MS = 120000; // two looks at the clocks that differ by less agree
  const PATIENCE_MS = 12000;
  const PATIENCE_LONG_MS = 60000; // a photo; a first pour, whose weather is fetched
  const LATER = [401, 408, 421, 425, 429]; // not now, not never
  const BY_OTHERS = 412;

  const opened = () => new Promise((done, fail) => {
    const asked = indexedDB.open(ROOM, 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(BOX, { keyPath: "id", autoIncrement: true });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
    asked.onblocked = () => fail(new Error("blocked"));
  });

  const within = async (mode, work) => {
    const room = await opened();
    try {
      return await new Promise((done, fail) => {
        const deal = room.transaction(BOX, mode, { durability: "strict" }); // on the disk, not on its way
        const asked = work(deal.objectStore(BOX));
        deal.oncomplete = () => done(asked.result);
        deal.onabort = () => fail(deal.error ?? asked.error);
      });
    } finally {
      room.close();
    }
  };

  const get = (id) => within("readonly", (box) => box.get(id));
  const all = () => within("readonly", (box) => box.getAll());
  const put = (entry) => within("readwrite", (box) => box.put(entry));
  const remove = (id) => within("readwrite", (box) => box.delete(id));
  const clear = () => within("readwrite", (box) => box.clear());
  const fresh = () =>
    [...crypto.getRandomValues(new Uint8Array(16))].map((one) => one.toString(16).padStart(2, "0")).join("");

  // An instant of this phone's clock as the server's clock had it.
  const when = (entry) => entry.at ?? new Date(entry.tapped - entry.ahead).toISOString();

  // stored, with where it leads to | refused, with the page that says why | others' | waits
  const send = async (entry, tapped = true) => {
    const body = entry.file ? new FormData() : new URLSearchParams();
    for (const [name, value] of entry.fields) body.append(name, value);
    if (tapped) body.append("tapped_at", when(entry));
    let answer;
    try {
      answer = await fetch(entry.to, {
        method: "POST",
        body,
        redirect: "manual",
        headers: { "Castclock-Outbox": encodeURIComponent(entry.who) },
        signal: AbortSignal.timeout?.(entry.file || entry.to.endsWith("/pour") ? PATIENCE_LONG_MS : PATIENCE_MS),
      });
      if (answer.status === 201) return { how: "stored", to: answer.headers.get("location") };
      if (answer.status === BY_OTHERS) return { how: "others" };
      const refused = answer.status >= 400 && answer.status < 500 && !LATER.includes(answer.status);
      if (refused) return { how: "refused", html: await answer.text() };
    } catch { /* no signal, or it broke off: as if it had not been sent */ }
    return { how: "waits", signIn: answer?.status === 401 };
  };

  // How far this phone's clock is ahead of the server's, in ms. Fails without signal.
  const clock = async () => {
    const answer = await fetch(new URL("healthz", ROOT), {
      method: "HEAD",
      cache: "no-store",
      redirect: "error",
      signal: AbortSignal.timeout?.(PATIENCE_MS),
    });
    if (!answer.ok) throw new Error(`${answer.status}`);
    return Date.now() - Date.parse(answer.headers.get("date"));
  };

  // Send what waits, in order, up to and without the entry `before`; how many were stored.
  // A clock that was set meanwhile leaves two hours at which it may have been: a question.
  const flush = async (before = Infinity) => {
    const due = (await all()).filter((one) => !one.refused && !one.asks && one.id < before);
    if (!due.length) return 0;
    const ahead = await clock();
    let stored = 0;
    for (const { id } of due) {
      const one = await get(id); // another tab may have sent it, or thrown it away
      if (!one || one.refused || one.asks) continue;
      if (!one.at && Math.abs(ahead - one.ahead) > STEADY_MS) {
        await put({ ...one, asks: { ahead } });
        continue;
      }
      const { how, html, signIn } = await send(one);
      if (how === "stored") {
        stored += 1;
        await remove(one.id);
        if (one.after) await remove(one.after);
      } else if (how === "refused") {
        if (await get(id)) await put({ ...one, refused: { html } });
      } else if (how === "waits") {
        if (signIn !== Boolean(one.signIn)) await put({ ...one, signIn });
        throw new Error("no signal");
      }
    }
    return stored;
  };

  self.outbox = { all, put, remove, clear, fresh, send, flush, when, clock, ROOT };
})();
