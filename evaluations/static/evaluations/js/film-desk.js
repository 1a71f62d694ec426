// The video desk: a film of this device, marks by key and button, the ledger while it grows. It asks
// the site for nothing; marks stand in the form until the observer saves it.

import { ledger } from "./eyes.js";
import { FilmFloor } from "./film-floor.js";
import { FilmMarks, writeTime } from "./film-marks.js";
import { FilmPlayer } from "./film-player.js";
import { drawLedger } from "./ledger-band.js";
import { Phrases } from "./phrases.js";

const HELD = 400; // milliseconds: a key down for longer is held, not tapped
const FAR = 10; // pixels: the cross's step with Shift
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const KEYS = { w: "whistle", r: "report_ended", l: "live", n: "next", g: "longest", u: "undo" };
const TYPED_IN = "input, select, textarea, summary";

const desk = document.querySelector("[data-desk]");
const form = document.getElementById("eyes");
const data = JSON.parse(document.getElementById("desk-data").textContent);
const find = (name) => desk.querySelector(`[data-${name}]`);
const phrases = new Phrases(data);
const player = new FilmPlayer(find("video"), find("rate"));
const marks = new FilmMarks(form, data.members, data.spans);
const floor = new FilmFloor(desk, player, data, phrases);
const buttons = [...desk.querySelectorAll("[data-mark]")];
const held = new Map(); // key: when it went down, and where the film was
let unsaved = false;

const said = (name, figures) => phrases.say(name, figures);
const seconds = (ms) => phrases.figure(Math.floor((ms + 50) / 100) / 10, 1);

function tell(text) {
  find("status").textContent = text;
}

function found() {
  const time = marks.time(data.caller);
  return time && { time, ledger: ledger(time) };
}

// ---- What is shown ------------------------------------------------------------------------------
function showLedger() {
  const now = found();
  if (!now) {
    find("band").replaceChildren();
    find("sums").textContent = said("first");
    return;
  }
  drawLedger(find("band"), now.ledger, {
    names: data.names,
    crew: data.said.crew,
    now: player.isOpen ? player.now : null,
    turn: now.time.reportEnded,
  });
  find("sums").textContent = sums(now.ledger);
}

function sums({ sums: all, longest }) {
  if (!all) return said("open");
  const figures = Object.fromEntries(Object.entries(all).map(([name, ms]) => [name, seconds(ms)]));
  const gap = longest ? ` ${said("longest", { n: seconds(longest.end - longest.start) })}` : "";
  return said("sums", figures) + gap;
}

function showFilm() {
  find("clock").textContent = writeTime(player.now);
  find("length").textContent = `/ ${writeTime(player.length)}`;
  if (document.activeElement !== find("seek")) find("seek").value = player.now;
  find("play-word").textContent = data.said[player.video.paused ? "play" : "pause"];
  floor.draw();
  showLedger();
}

function showMarks() {
  for (const button of buttons) {
    const on = marks.on(button.dataset.mark) === button.dataset.facing;
    button.setAttribute("aria-pressed", String(on));
  }
  showLedger();
}

// ---- What is done -------------------------------------------------------------------------------
function mark(button) {
  const { mark: member, facing } = button.dataset;
  const result = marks.toggle(member, facing, player.now);
  unsaved = true;
  if (result === "taken_back" || result === "full") tell(said(result));
  else tell("");
  return result;
}

function moment(name) {
  marks.setMoment(name, player.now);
  unsaved = true;
  const label = form.querySelector(`label[for="id_${name}"]`).firstChild.textContent.trim();
  tell(said("marked", { what: label, time: writeTime(player.now) }));
}

function jump(to) {
  marks.endAll(player.now);
  player.video.pause();
  player.seek(to);
}

function toGap(which) {
  const now = found();
  const gaps = now?.ledger.gaps ?? [];
  if (gaps.length === 0) return tell(said(now ? "no_gap" : "first"));
  const longest = gaps.reduce((a, b) => (b.end - b.start > a.end - a.start ? b : a));
  const next = gaps.find((gap) => gap.start > player.now) ?? gaps[0];
  return jump((which === "longest" ? longest : next).start);
}

function undo() {
  if (marks.undo()) tell(said("undone"));
}

function faster(by) {
  const speed = find("speed");
  const place = speed.selectedIndex + by;
  if (place < 0 || place >= speed.options.length) return;
  speed.selectedIndex = place;
  player.video.playbackRate = Number(speed.value);
}

const DEEDS = {
  play: () => player.playOrPause(),
  back: () => player.step(-1),
  forward: () => player.step(1),
  whistle: () => moment("whistle"),
  report_ended: () => moment("report_ended"),
  live: () => moment("live"),
  next: () => toGap("next"),
  longest: () => toGap("longest"),
  undo,
};

// ---- Keys ---------------------------------------------------------------------------------------
function byArrow(event) {
  const [right, down] = ARROWS[event.key];
  const far = event.shiftKey ? FAR : 1;
  if (floor.isAiming) floor.move(right * far, down * far);
  else if (right) player.step(right);
  else return false;
  return true;
}

function byKey(event) {
  const onButton = event.target.closest("button, a") !== null;
  if (event.key in ARROWS) return byArrow(event);
  if (event.key === "Enter" && !onButton && floor.isAiming) floor.clickHere();
  else if (event.key === " " && !onButton) player.playOrPause();
  else if (event.key === "+") faster(1);
  else if (event.key === "-" || event.key === "−") faster(-1);
  else return byLetter(event);
  return true;
}

function byLetter(event) {
  const deed = KEYS[event.key.toLowerCase()];
  const button = buttons.find((one) => one.dataset.code === event.code.replace(/^\D+/, ""));
  const digit = /^(Digit|Numpad)\d$/.test(event.code);
  if (deed && !event.repeat) DEEDS[deed]();
  else if (digit && button && !event.repeat) {
    const began = mark(button) === "on";
    if (began) held.set(event.code, { button, down: performance.now(), film: player.now });
  } else return Boolean(deed) || Boolean(digit && button);
  return true;
}

desk.addEventListener("keydown", (event) => {
  const other = event.ctrlKey || event.altKey || event.metaKey;
  if (other || !player.isOpen || event.target.closest(TYPED_IN)) return;
  if (byKey(event)) event.preventDefault();
});

// Wherever the focus went meanwhile, a key that comes up ends what it held.
document.addEventListener("keyup", (event) => {
  const was = held.get(event.code);
  held.delete(event.code);
  if (!was || performance.now() - was.down < HELD || player.now === was.film) return;
  if (marks.on(was.button.dataset.mark) === was.button.dataset.facing) mark(was.button);
});

// ---- Wiring -------------------------------------------------------------------------------------
buttons.forEach((button, n) => {
  button.dataset.code = String(n + 1);
  button.querySelector("[data-key]").textContent = String(n + 1);
  button.addEventListener("click", () => mark(button));
});
for (const button of desk.querySelectorAll("[data-do]")) {
  button.addEventListener("click", () => DEEDS[button.dataset.do]());
}
document.getElementById("film-file").addEventListener("change", (event) => {
  const [file] = event.target.files;
  find("unplayable").hidden = true;
  if (file) player.open(file);
});
find("speed").addEventListener("change", () => {
  player.video.playbackRate = Number(find("speed").value);
});
find("seek").addEventListener("input", (event) => jump(Number(event.target.value)));
player.addEventListener("ready", () => {
  find("player").hidden = false;
  find("seek").max = player.length;
  const { videoWidth, videoHeight } = player.video;
  find("stage").style.setProperty("--film-ratio", videoWidth / videoHeight);
  player.video.playbackRate = Number(find("speed").value);
  floor.clear();
  find("stage").focus();
  showFilm();
});
player.addEventListener("unplayable", () => {
  find("player").hidden = true;
  find("unplayable").hidden = false;
});
player.addEventListener("change", showFilm);
marks.addEventListener("change", showMarks);
form.addEventListener("input", () => {
  unsaved = true;
});
form.addEventListener("submit", () => {
  unsaved = false;
});
window.addEventListener("beforeunload", (event) => {
  if (unsaved) event.preventDefault();
});
document.querySelector("[data-without-scripts]").hidden = true;
desk.hidden = false;
showMarks();
