// A thumb on the picture reads off one hour: its values in words below, a line where it is.
for (const figure of document.querySelectorAll("figure.timeline")) {
  const table = figure.querySelector("[data-hours]"), reads = figure.querySelector("[data-reads]");
  if (!table) continue;
  const names = [...table.rows[0].cells].map((cell) => cell.textContent);
  const rows = [...table.querySelectorAll("[data-x]")];
  const places = rows.map((row) => row.dataset.x.split(" ").map(Number));
  const pictures = [...figure.querySelectorAll("[data-drawn] svg")];
  const thumb = Object.assign(document.createElement("input"), { type: "range", min: 0, className: "thumb" });
  thumb.max = rows.length - 1;
  thumb.value = Math.max(rows.filter((row) => "past" in row.dataset).length - 1, 0);
  thumb.setAttribute("aria-label", table.closest("details").querySelector("summary").textContent);
  figure.querySelector("[data-drawn]").after(thumb);

  const show = (moved) => {
    const at = Number(thumb.value), cells = [...rows[at].cells].map((cell) => cell.textContent);
    const when = document.createElement("b");
    when.textContent = `${cells[0]}: `;
    const values = cells.slice(1).map((cell, k) => `${names[k + 1]} ${cell}`).join(" · ");
    reads.replaceChildren(when, values);
    reads.hidden = false;
    thumb.setAttribute("aria-valuetext", `${cells[0]}: ${values}`);
    pictures.forEach((picture, k) => {
      const line = picture.querySelector(".cursor");
      line.setAttribute("transform", `translate(${places[at][k]} 0)`);
      line.classList.toggle("shown", moved);
    });
  };
  thumb.addEventListener("input", () => show(true));
  pictures.forEach((picture, k) => {
    const follow = (event) => {
      if (event.type === "pointermove" && !event.buttons) return;
      const box = picture.getBoundingClientRect();
      const x = ((event.clientX - box.left) / box.width) * picture.viewBox.baseVal.width;
      const away = places.map((place) => Math.abs(place[k] - x));
      thumb.value = away.indexOf(Math.min(...away));
      show(true);
    };
    picture.addEventListener("pointerdown", follow);
    picture.addEventListener("pointermove", follow);
  });
  // where large letters made it wider than the page a finger moves the picture, not the hour
  const drawn = figure.querySelector("[data-drawn]");
  if (drawn.scrollWidth > drawn.clientWidth) pictures.forEach((one) => { one.style.touchAction = "auto"; });
  show(false);
}
