/* The rubric's editor: what a weight comes to while it is typed. Weights count against the others
   of their group only, so areas form one group and the criteria of an area another.

   <div data-weight-group data-text="{weight} of {total} → {share} %"> with inputs [data-weight],
   <output data-share-of="input id"> and, if wanted, <output data-weight-total>. */

/** A weight as typed, with a point or a comma; NaN when it is none. */
export function weightOf(text) {
  const weight = Number(text.trim().replace(",", "."));
  return text.trim() && weight > 0 ? weight : NaN;
}

const own = (group, selector) =>
  [...group.querySelectorAll(selector)].filter((part) => part.closest("[data-weight-group]") === group);

function show(group) {
  const number = new Intl.NumberFormat(document.documentElement.lang, { maximumFractionDigits: 2 });
  const percent = new Intl.NumberFormat(document.documentElement.lang, { maximumFractionDigits: 1 });
  const weights = new Map(own(group, "[data-weight]").map((input) => [input.id, weightOf(input.value)]));
  const total = [...weights.values()].reduce((sum, weight) => sum + (weight || 0), 0);
  for (const output of own(group, "[data-share-of]")) {
    const weight = weights.get(output.dataset.shareOf);
    const parts = { weight: number.format(weight), total: number.format(total), share: percent.format((weight / total) * 100) };
    output.textContent = weight ? group.dataset.text.replace(/\{(\w+)\}/g, (_, name) => parts[name]) : "";
  }
  for (const output of own(group, "[data-weight-total]")) output.textContent = number.format(total);
}

for (const group of document.querySelectorAll("[data-weight-group]")) {
  group.addEventListener("input", (event) => {
    if (event.target.closest("[data-weight-group]") === group) show(group);
  });
  show(group);
}
