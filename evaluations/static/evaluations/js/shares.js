/* The rubric's editor: what a weight comes to while it is typed. Weights count against the others
   of their group only, so areas form one group and the criteria of an area another.

   <div data-weight-group data-text="{weight} of {total} → {share} %"> with inputs [data-weight],
   <output data-share-of="input id"> and, if wanted, <output data-weight-total>. A group inside
   another names the input of its own weight there, data-within="input id"; its text may then use
   {share_of_total}. */

/** A weight as typed, with a point or a comma; NaN when it is none. */
export function weightOf(text) {
  const weight = Number(text.trim().replace(",", "."));
  return text.trim() && weight > 0 && Number.isFinite(weight) ? weight : NaN;
}

const groupOf = (part) => part.closest("[data-weight-group]");

const own = (group, selector) => [...group.querySelectorAll(selector)].filter((part) => groupOf(part) === group);

const totalOf = (group) =>
  own(group, "[data-weight]").reduce((sum, input) => sum + (weightOf(input.value) || 0), 0);

/** The part of the whole that an input's group has, 0 to 1; NaN while its weight is none. */
function partOfTotal(group) {
  const within = document.getElementById(group.dataset.within);
  if (!within) return 1;
  const outer = groupOf(within);
  return (weightOf(within.value) / totalOf(outer)) * partOfTotal(outer);
}

function show(group) {
  const number = new Intl.NumberFormat(document.documentElement.lang, { maximumFractionDigits: 2 });
  const percent = new Intl.NumberFormat(document.documentElement.lang, { maximumFractionDigits: 1 });
  const total = totalOf(group);
  const part = partOfTotal(group);
  for (const output of own(group, "[data-share-of]")) {
    const weight = weightOf(document.getElementById(output.dataset.shareOf).value);
    const share = (weight / total) * 100;
    const parts = {
      weight: number.format(weight),
      total: number.format(total),
      share: percent.format(share),
      share_of_total: Number.isNaN(part) ? "–" : percent.format(share * part),
    };
    output.textContent = weight ? group.dataset.text.replace(/\{(\w+)\}/g, (_, name) => parts[name]) : "";
  }
  for (const output of own(group, "[data-weight-total]")) output.textContent = number.format(total);
}

const groups = document.querySelectorAll("[data-weight-group]");
for (const group of groups) {
  // An area's weight moves the shares of its criteria, and those of every other area's.
  if (!group.parentElement.closest("[data-weight-group]")) {
    group.addEventListener("input", () => groups.forEach(show));
  }
  show(group);
}
