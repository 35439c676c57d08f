// Boxes for numbers: the digits' keyboard, a key for the sign, and what was understood, said back.
// Boxes for secrets: a key to look at what is typed.
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
  const asked = { text: box.value, dimension: box.dataset.dimension, unit: unit ? unit.value : "" };
  if (!asked.text.trim()) { output.textContent = ""; return; }
  try {
    const answer = await fetch(`/understood?${new URLSearchParams(asked)}`);
    if (answer.ok && asked.text === box.value) output.textContent = await answer.text();
  } catch {
    output.textContent = ""; // without a signal nothing is said rather than something old
  }
}

for (const box of document.querySelectorAll("[data-secret]")) lookFor(box);

for (const box of document.querySelectorAll("[data-dimension]")) {
  const unit = box.parentElement.querySelector("select");
  const output = box.closest(".f").querySelector("[data-echo]");
  const keyboard = () => {
    if (box.inputMode === "numeric") return;
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
