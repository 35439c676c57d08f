// What stands here is true for minutes: looked at again after a while, or while it is worked out,
// the page is asked for anew; never under a finger that is typing or reading a fold.
const waiting = document.querySelector("[role=status]");
const patience = waiting ? 3000 : 300000;
const asked = Date.now();

const idle = () =>
  document.visibilityState === "visible" && !document.querySelector("details[open], :focus-visible");

setInterval(() => {
  if (Date.now() - asked >= patience && idle()) location.reload();
}, Math.min(patience, 30000));
document.addEventListener("visibilitychange", () => {
  if (Date.now() - asked >= 60000 && idle()) location.reload();
});
