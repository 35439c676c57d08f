// Reminders that arrive while no page is open. Newer browsers show the same form by themselves.
self.addEventListener("push", (event) => {
  let told = null;
  try { told = event.data.json().notification; } catch { /* said below: a push must show something */ }
  told ??= { title: "castclock", body: "", navigate: "/", actions: [] };
  event.waitUntil(self.registration.showNotification(told.title, {
    body: told.body,
    tag: told.tag || "",
    renotify: Boolean(told.tag),
    requireInteraction: Boolean(told.requireInteraction),
    icon: new URL("static/icon-192.png", self.location).href,
    actions: told.actions.map(({ action, title }) => ({ action, title })),
    data: told,
  }));
});

// An open window of ours is used again; else a new one is opened.
const open = async (address) => {
  const windows = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  const ours = windows.find((one) => new URL(one.url).origin === new URL(address, self.location).origin);
  if (!ours) return self.clients.openWindow(address);
  await ours.focus();
  try { return await ours.navigate(address); } catch { return self.clients.openWindow(address); }
};

const send = async (told, chosen) => {
  try {
    const answer = await fetch(chosen.post, { method: "POST", credentials: "same-origin" });
    if (answer.ok) return;
  } catch { /* without signal it stands as it stood */ }
  await open(told.navigate); // what was not taken is never dropped: the page says how it stands
};

self.addEventListener("notificationclick", (event) => {
  const told = event.notification.data;
  const chosen = (told.actions || []).find((one) => one.action === event.action);
  event.notification.close();
  event.waitUntil(chosen?.post ? send(told, chosen) : open(chosen?.navigate || told.navigate || "/"));
});
