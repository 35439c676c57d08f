// A button that copies what a field holds; where the address is not secure it selects it instead.
for (const button of document.querySelectorAll("[data-copy]")) {
  const field = document.getElementById(button.dataset.copy), words = button.textContent;
  button.hidden = false;
  button.addEventListener("click", async () => {
    field.select();
    try {
      await navigator.clipboard.writeText(field.value);
      button.textContent = "Copied";
      setTimeout(() => { button.textContent = words; }, 3000);
    } catch {
      document.execCommand("copy");
    }
  });
}
