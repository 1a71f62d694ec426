// Places that the video desk kept in this tab (film-floor.js) go into the sketch's figures, when the
// observer says so. Facing stays open: a click on feet doesn't tell it.

const offer = document.querySelector("[data-film-places]");
const button = offer.querySelector("button");
const form = document.getElementById("sketch");

function kept() {
  try {
    const all = JSON.parse(sessionStorage.getItem(offer.dataset.filmPlaces) ?? "{}");
    return Object.entries(all[offer.dataset.moment] ?? {});
  } catch {
    return []; // The browser keeps nothing, so that nothing waits.
  }
}

function fill() {
  for (const [who, place] of kept()) {
    for (const [part, value] of Object.entries(place)) {
      const field = form.elements.namedItem(`${who}-${part}`);
      if (field) field.value = String(value);
    }
  }
  for (const name of ["input", "change"]) form.dispatchEvent(new Event(name));
}

const count = kept().length;
if (count > 0) {
  button.textContent = button.dataset[count === 1 ? "one" : "more"].replace("{n}", count);
  button.addEventListener("click", fill);
  offer.hidden = false;
}
