/* The live log: the third tap sends a whistle and clears the form for the next one. This module
   knows no mechanics: what a tap means stands in the page's table (#live-readings), who is at which
   end in #live-standing and in every answer of the site. Without it the same form logs whistle by
   whistle, by its own buttons. */

import { Outbox } from "./outbox.js";

const table = JSON.parse(document.getElementById("live-readings").textContent);
const form = document.querySelector("form[data-live]");
const understood = form.querySelector("[data-understood]");
const prompt = understood.textContent;
const saveLine = document.querySelector("[data-save-line]");
const saveSpoken = document.querySelector("[data-save-announce]");
const last = document.querySelector("[data-part=last]");
const unsent = document.querySelector("[data-unsent]");
const refusals = document.querySelector("[data-refused]");

/** In a crew of two; a crew of three confirms who was where at every whistle. */
const carriesEnds = Object.keys(table.after).length > 0;

let standing = JSON.parse(document.getElementById("live-standing").textContent);
let meaning = "";
let savedText = "";

const chosen = (name) => form.elements[name]?.value ?? "";
const words = (name) => form.querySelector(`[name=${name}]:checked`)?.closest("label").textContent.trim() ?? "";

/** What the table has for the zone that is tapped. */
function reading() {
  const zone = chosen("zone");
  return zone ? table.zones[zone][form.elements.back_court.checked ? 1 : 0] : null;
}

/** Who is at the left end at this whistle, "" while that isn't known. */
const atLeft = () => (standing.periods.includes(chosen("period")) ? standing.left : "");

function choose(name, value) {
  for (const radio of form.querySelectorAll(`[name=${name}]`)) radio.checked = radio.value === value;
}

/** The ends say who called; whoever sees it otherwise taps the other one. */
function readCaller() {
  const found = reading();
  if (!found || !carriesEnds) return;
  const left = atLeft();
  choose("caller", (left && Object.keys(found.ends).find((who) => found.ends[who] === left)) || "");
}

function sayUnderstood() {
  const found = reading();
  const text = found ? found.words[chosen("caller")] : prompt;
  if (understood.textContent !== text) understood.textContent = text;
}

function showEnds() {
  const names = table.ends[atLeft()] ?? {};
  for (const end of form.querySelectorAll("[data-end]")) {
    end.textContent = names[end.dataset.end] ?? end.dataset.unknown;
  }
}

/** What is still missing before the third tap, as the name of its field. */
function missing() {
  const clock = form.elements.clock.value.trim();
  if (!chosen("zone")) return "zone";
  if (!chosen("caller")) return "caller";
  if (!chosen("follows")) return "follows";
  return clock && !/^([0-9]{1,2}[:. ]?)?[0-5][0-9](\.[0-9])?$/.test(clock) ? "clock" : "";
}

const newId = () => crypto.randomUUID();

function logWhistle(third, byKeyboard) {
  const open = missing();
  if (open) {
    understood.textContent = form.dataset[`say${open[0].toUpperCase()}${open.slice(1)}`];
    form.querySelector(`[name=${open}]`).focus({ preventScroll: true, focusVisible: byKeyboard });
    return;
  }
  const body = new URLSearchParams(new FormData(form));
  body.set("third", third.value);
  const left = reading().ends[chosen("caller")] ?? atLeft();
  const said = [understood.textContent, words("follows"), third.textContent.trim()].join(", ");
  outbox.add({ url: form.action, body, said, id: body.get("client_id"), before: standing });
  standing = { left: table.after[third.value]?.[left] ?? "", periods: [chosen("period")] };
  navigator.vibrate?.(40); // taken: one can feel it without looking
  clearForm();
  bringHome();
  if (byKeyboard) form.querySelector("[name=zone]").focus({ focusVisible: true });
}

/** For the next whistle everything is where it was for this one, the answer in sight. */
function bringHome() {
  const top = document.querySelector(".last:not([hidden])");
  if (top.getBoundingClientRect().top < 0) top.scrollIntoView({ block: "start", behavior: "instant" });
}

function clearForm() {
  const period = chosen("period");
  for (const radio of form.querySelectorAll("[type=radio], [type=checkbox]")) radio.checked = false;
  choose("turned", "");
  choose("period", period);
  form.elements.clock.value = "";
  form.elements.client_id.value = newId();
  sayUnderstood();
  showEnds();
}

// ---- What waits, what was refused, what the site said -------------------------------------------
const waiting = () => outbox.items.filter((item) => item.id && !item.takenBack);

function showWaiting() {
  const items = waiting();
  unsent.hidden = !items.length;
  last.hidden = Boolean(items.length);
  if (!items.length) return;
  const count = unsent.querySelector("[data-unsent-count]");
  const { one, more } = count.dataset;
  count.textContent = items.length === 1 ? one : more.replace("{n}", items.length);
  unsent.querySelector("[data-unsent-words]").textContent = items.at(-1).said;
}

/** One that may have reached the site is taken back there; any other has never been anywhere. */
function takeBackWaiting() {
  const item = waiting().at(-1);
  if (!item) return;
  standing = item.before;
  item.takenBack = true;
  if (item.tried) outbox.add({ url: form.dataset.undoUrl, body: new URLSearchParams({ client_id: item.id }) });
  else outbox.items.splice(outbox.items.indexOf(item), 1);
  changed(outbox.items.length ? meaning : "saved");
  readCaller();
  sayUnderstood();
  showEnds();
}

/** Whether a note is being written there, which belongs to the whistle that it stands under. */
function typing(place) {
  return [...place.querySelectorAll("textarea")].some((field) => field.value !== field.defaultValue);
}

function heard(item, answer) {
  for (const [part, html] of Object.entries(answer.parts)) {
    const place = document.querySelector(`[data-part=${part}]`);
    if (!item.id || !typing(place)) place.innerHTML = html;
  }
  if (outbox.items.length) return; // what was tapped since is ahead of what the site knows
  standing = answer.standing;
  if (!chosen("zone")) choose("caller", "");
  showEnds();
}

function refused(item, message) {
  const line = document.createElement("p");
  line.textContent = [message, item.said].filter(Boolean).join(" ");
  refusals.querySelector("[data-refused-lines]").append(line);
  refusals.hidden = false;
  if (!outbox.items.length && item.before) standing = item.before;
  showEnds();
}

function clock(iso) {
  const timeZone = form.dataset.timeZone || undefined;
  const format = { hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone };
  return new Intl.DateTimeFormat(document.documentElement.lang, format).format(new Date(iso));
}

function changed(now, answer) {
  showWaiting();
  if (now === "sending") return;
  if (answer?.saved_at) savedText = saveLine.dataset.textSaved.replace("{time}", clock(answer.saved_at));
  const text = now === "saved" ? savedText : saveLine.getAttribute(`data-text-${now}`);
  saveLine.textContent = text;
  if (now === "saved") saveSpoken.textContent = last.querySelector(".told p").textContent.trim();
  else if (now !== meaning) saveSpoken.textContent = text;
  meaning = now;
}

// ---- Hands ---------------------------------------------------------------------------------------
const outbox = new Outbox({
  token: form.querySelector("[name=csrfmiddlewaretoken]"),
  heard,
  refused,
  changed,
});

form.addEventListener("change", (event) => {
  if (["zone", "back_court", "period"].includes(event.target.name)) readCaller();
  sayUnderstood();
  if (event.target.name === "period") showEnds();
});
form.addEventListener("submit", (event) => {
  event.preventDefault();
  if (event.submitter?.value) logWhistle(event.submitter, document.activeElement?.matches(":focus-visible"));
});
document.addEventListener("submit", (event) => {
  if (!event.target.matches("[data-deed]")) return;
  event.preventDefault();
  const deed = event.target;
  outbox.add({ url: deed.action, body: new URLSearchParams(new FormData(deed)) });
  if (deed.dataset.deed !== "ends") return;
  standing = { left: "", periods: [] }; // until the site has said how it stands now
  readCaller();
  sayUnderstood();
  showEnds();
});
document.addEventListener("change", (event) => {
  if (event.target.matches("[data-deed] textarea")) event.target.form.requestSubmit();
});
window.addEventListener("beforeunload", (event) => {
  if (typing(document)) event.preventDefault();
});
unsent.querySelector("[data-unsent-undo]").addEventListener("click", takeBackWaiting);
form.dataset.running = "";
form.elements.client_id.value = newId(); // not one that "back" has put in again
readCaller();
sayUnderstood();
