// What stands here is true for minutes: looked at again after a while, or while it is worked out,
// the page is asked for anew; never under a finger that is typing or reading a fold, nor without
// signal, where it would be gone.
import "./outbox.js";

const waiting = document.querySelector("p[role=status]");
const patience = waiting ? 3000 : 300000;
const asked = Date.now();

const idle = () =>
  document.visibilityState === "visible" && !document.querySelector("details[open], :focus-visible");

let leaving = false; // by a link that was tapped meanwhile
addEventListener("beforeunload", () => { leaving = true; });
const again = () => self.outbox.clock().then(() => leaving || location.reload(), () => {});

setInterval(() => {
  if (Date.now() - asked >= patience && idle()) again();
}, Math.min(patience, 30000));
document.addEventListener("visibilitychange", () => {
  if (Date.now() - asked >= 60000 && idle()) again();
});
