/* Counts down a text's budget of characters while it is typed. The limit itself stands in the page
   as a sentence; too long a text is taken and marked, never cut.

   <textarea id="x" data-budget="160"> with <p data-budget-for="x" data-text-left data-text-over>;
   several fields with data-budget-group="g" share <p data-budget-of="g" data-limit="450" …>. */

const SPEAK_AFTER_MS = 1000;
const SPEAK_BELOW = 0.2; // of the budget: before that the number is only seen

/** Characters as the site counts them: code points, a line break as one. */
export function lengthOf(text) {
  return [...text.replaceAll("\r\n", "\n")].length;
}

function ownBudget(line) {
  const field = document.getElementById(line.dataset.budgetFor);
  return field && { line, fields: [field], limit: Number(field.dataset.budget) };
}

function sharedBudget(line) {
  const name = CSS.escape(line.dataset.budgetOf);
  const fields = [...document.querySelectorAll(`[data-budget-group="${name}"]`)];
  return fields.length ? { line, fields, limit: Number(line.dataset.limit) } : null;
}

function speaker() {
  const region = document.createElement("p");
  region.className = "visually-hidden";
  region.setAttribute("role", "status");
  document.body.append(region);
  let timer = 0;
  return (text) => {
    clearTimeout(timer);
    timer = setTimeout(() => {
      region.textContent = text;
    }, SPEAK_AFTER_MS);
  };
}

function watch({ line, fields, limit }, speak) {
  const show = () => {
    const left = limit - fields.reduce((sum, field) => sum + lengthOf(field.value), 0);
    const text = left < 0 ? line.dataset.textOver : line.dataset.textLeft;
    line.textContent = text.replace("{n}", Math.abs(left));
    line.classList.toggle("over", left < 0);
    return left;
  };
  for (const field of fields) {
    field.addEventListener("input", () => {
      if (show() <= limit * SPEAK_BELOW) speak(line.textContent);
    });
  }
  show();
  window.addEventListener("pageshow", show);
}

const budgets = [
  ...[...document.querySelectorAll("[data-budget-for]")].map(ownBudget),
  ...[...document.querySelectorAll("[data-budget-of]")].map(sharedBudget),
].filter(Boolean);
if (budgets.length) {
  const speak = speaker();
  for (const budget of budgets) watch(budget, speak);
}
