// Lets the thumb move what the form tells in words: a slider over each list of hours, and the
// server's own answer put in place while it moves. Without it the button shows the same.
const form = document.querySelector("[data-answer]");
const answer = document.getElementById("answer");
const AFTER_MS = 120; // a thumb that rests so long wants to know
let asking = null;
let waiting = 0;

async function ask() {
  asking?.abort();
  asking = new AbortController();
  const said = new FormData(form);
  said.delete("key");
  const query = new URLSearchParams(said);
  answer.setAttribute("aria-busy", "true");
  try {
    const found = await fetch(`${form.dataset.answer}?${query}`, { signal: asking.signal });
    if (!found.ok && found.status !== 422) throw new Error(`${found.status}`);
    answer.innerHTML = await found.text();
    history.replaceState(null, "", `?${query}`);
    answer.removeAttribute("aria-busy");
  } catch (error) {
    if (error.name === "AbortError") return; // a later one is on its way
    answer.removeAttribute("aria-busy");
    const lost = document.createElement("p");
    lost.className = "card alarm";
    lost.setAttribute("role", "alert");
    lost.textContent = "No answer: the server cannot be reached. These are not the hours of what is chosen below.";
    answer.replaceChildren(lost);
  }
}

function soon() {
  clearTimeout(waiting);
  waiting = setTimeout(ask, AFTER_MS);
}

if (form) {
  form.classList.add("live");
  for (const list of form.querySelectorAll(".slide select")) {
    if (list.options.length < 4) continue;
    const slider = document.createElement("input");
    slider.type = "range";
    slider.max = list.options.length - 1;
    slider.value = list.selectedIndex;
    const told = () => slider.setAttribute("aria-valuetext", list.options[list.selectedIndex].text);
    slider.setAttribute("aria-label", list.labels[0].textContent);
    told();
    slider.addEventListener("input", () => {
      list.selectedIndex = slider.value;
      told();
      soon();
    });
    list.addEventListener("change", () => {
      slider.value = list.selectedIndex;
      told();
    });
    list.after(slider);
  }
  form.addEventListener("change", soon);
}
