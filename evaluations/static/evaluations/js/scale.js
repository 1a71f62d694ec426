/* The choice scale: the wording of the chosen level under the points, what is answered so far, and
   the way to the next criterion that is open. Without this module the wordings stand in the
   "all levels" part of each scale and the counts are those of the last page load. */

const scales = () => [...document.querySelectorAll("[data-scale]")];
const chosen = (scale) => scale.querySelector("input[type=radio]:checked");

function showWording(scale) {
  const reads = scale.querySelector("[data-reads]");
  const radio = chosen(scale);
  if (!reads || !radio) return;
  reads.textContent = document.getElementById(`${radio.id}_wording`)?.textContent ?? "";
}

function counts() {
  const all = scales();
  const radios = all.map(chosen).filter(Boolean);
  return {
    answered: radios.length,
    total: all.length,
    not_seen: radios.filter((radio) => radio.closest(".apart")).length,
  };
}

function showCounts(numbers) {
  for (const line of document.querySelectorAll("[data-counts]")) {
    const text = line.dataset.text.replace(/\{(\w+)\}/g, (_, name) => numbers[name]);
    line.querySelector("span").textContent = text;
    const progress = line.querySelector("progress");
    progress.max = numbers.total;
    progress.value = numbers.answered;
  }
}

function showNextOpen() {
  const open = scales().find((scale) => !chosen(scale));
  for (const link of document.querySelectorAll("[data-next-open]")) {
    link.hidden = !open;
    if (open) link.href = `#${open.querySelector("input[type=radio]").id}`;
  }
}

function refresh() {
  scales().forEach(showWording);
  showCounts(counts());
  showNextOpen();
}

document.addEventListener("change", (event) => {
  if (event.target.closest("[data-scale]")) refresh();
});
// The site may count more than this page shows, so its numbers win when they arrive.
document.addEventListener("crewmark:saved", (event) => {
  if (event.detail.problems_left) showCounts(event.detail.problems_left);
});
document.addEventListener("click", (event) => {
  const link = event.target.closest("[data-next-open]");
  if (!link) return;
  event.preventDefault();
  document.getElementById(link.hash.slice(1))?.focus({ focusVisible: true });
});
if (scales().length) refresh();
window.addEventListener("pageshow", () => scales().length && refresh()); // "back" restores choices late
