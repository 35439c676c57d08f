// Adds what a phone knows to a form that works without it: its time zone and, when asked, its position.
const own = Intl.DateTimeFormat().resolvedOptions().timeZone;
const unset = ["", "UTC", "Etc/UTC"];
for (const list of document.querySelectorAll("[data-zone]")) {
  if (!own) break;
  // some browsers say an older name of their zone, which the list does not have
  const mine = [...list.options].find((one) => one.value === own) ?? new Option(own, own);
  const chosen = unset.includes(list.value) ? own : list.value;
  mine.textContent += ", this phone's";
  list.prepend(mine);
  list.value = chosen;
}

const near = (degrees) => degrees.toFixed(2); // about a kilometre is enough for a forecast
for (const button of document.querySelectorAll("[data-here]")) {
  if (!("geolocation" in navigator) || !window.isSecureContext) continue;
  button.hidden = false;
  button.addEventListener("click", () => {
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => {
        document.getElementById("place.latitude").value = near(coords.latitude);
        document.getElementById("place.longitude").value = near(coords.longitude);
        button.textContent = "Position filled in";
      },
      () => { button.textContent = "No position to be had: type it"; },
      { maximumAge: 600000, timeout: 15000 },
    );
  });
}
