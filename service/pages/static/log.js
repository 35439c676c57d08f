// Keeps the sentence that says what will be stored in step with what is chosen below it.
const bare = (text) => text.split(": ")[0].trim();

function chosen(name) {
  const control = document.querySelector(`[name="${name}"]:checked, select[name="${name}"]`);
  if (!control) return null;
  if (control.tagName === "SELECT") return control.value ? bare(control.selectedOptions[0].text) : "";
  return control.nextElementSibling.firstChild.textContent.trim();
}

const form = document.querySelector("form.big");
form?.addEventListener("change", () => {
  for (const part of document.querySelectorAll(".summary [data-of]")) {
    const words = chosen(part.dataset.of);
    if (words !== null) part.textContent = words;
  }
  const typed = form.elements.namedItem("placed_at")?.value;
  const when = document.querySelector('.summary [data-of="ago"]');
  if (typed && when) when.textContent = typed.replace("T", " ");
});
