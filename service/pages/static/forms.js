// Boxes for numbers: the digits' keyboard, a key for the sign, and what was understood, said back.
// Boxes for secrets: a key to look at what is typed. A press that takes long says so.
const FRACTIONS = ["in", "ft"]; // of a rule, 1 1/2: no phone's digits have a stroke
const SIGNED = ["temperature_C", "temperature_difference_K", "angle_deg"];

function keyFor(box) {
  const key = document.createElement("button");
  key.type = "button";
  key.className = "flip quiet";
  key.textContent = "±";
  key.setAttribute("aria-label", `Plus or minus: ${box.labels[0].textContent.trim()}`);
  key.addEventListener("click", () => {
    box.value = box.value.startsWith("-") ? box.value.slice(1) : `-${box.value}`;
    box.dispatchEvent(new Event("input", { bubbles: true }));
    box.focus();
  });
  box.after(key);
}

function lookFor(box) {
  const key = document.createElement("button");
  key.type = "button";
  key.className = "look quiet";
  const say = () => {
    const hidden = box.type === "password";
    key.textContent = hidden ? "Show" : "Hide";
    key.setAttribute("aria-label", `${key.textContent} what is typed: ${box.dataset.secret}`);
  };
  key.addEventListener("click", () => {
    box.type = box.type === "password" ? "text" : "password";
    say();
    box.focus();
  });
  say();
  box.after(key);
}

async function echo(box, unit, output) {
  const asked = { text: box.value, dimension: box.dataset.dimension ?? box.dataset.said, unit: unit ? unit.value : "" };
  if (!asked.text.trim()) { output.textContent = ""; return; }
  try {
    const answer = await fetch(new URL(`../understood?${new URLSearchParams(asked)}`, import.meta.url));
    if (answer.ok && asked.text === box.value) output.textContent = await answer.text();
  } catch {
    output.textContent = ""; // without a signal nothing is said rather than something old
  }
}

// What takes longer than a moment says so, on the button that was pressed.
document.addEventListener("submit", ({ submitter }) => {
  if (!submitter) return;
  const words = [...submitter.childNodes];
  const late = setTimeout(() => {
    submitter.setAttribute("aria-busy", "true");
    submitter.textContent = "Working it out…";
  }, 700);
  const over = () => {
    clearTimeout(late);
    submitter.replaceChildren(...words); // for who comes back to the page, or stays on it
    submitter.removeAttribute("aria-busy");
  };
  window.addEventListener("pagehide", over, { once: true });
  document.addEventListener("settled", over, { once: true });
});

for (const box of document.querySelectorAll("[data-secret]")) lookFor(box);

for (const box of document.querySelectorAll("[data-dimension], [data-said]")) {
  const unit = box.parentElement.querySelector("select");
  const output = box.closest(".f").querySelector("[data-echo]");
  const keyboard = () => {
    if (box.inputMode === "numeric" || box.dataset.said) return;
    box.inputMode = unit && FRACTIONS.includes(unit.value) ? "text" : "decimal";
  };
  keyboard();
  if (SIGNED.includes(box.dataset.dimension)) keyFor(box);
  let waiting = 0;
  const changed = () => {
    keyboard();
    if (!output) return;
    clearTimeout(waiting);
    waiting = setTimeout(() => echo(box, unit, output), 250);
  };
  box.addEventListener("input", changed);
  if (unit) unit.addEventListener("change", changed);
}
