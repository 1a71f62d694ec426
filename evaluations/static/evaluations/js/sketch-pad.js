/* The sketch pad: people are dragged, placed by a tap or moved by keys; what that writes into the
   figures is drawn and measured at once. Without it the figures are typed, and the site measures. */

import { measure } from "./floor.js";
import { Figures, simplified } from "./sketch-figures.js";
import { Floor } from "./sketch-floor.js";
import { Steps } from "./sketch-steps.js";
import { Words } from "./sketch-words.js";

const STEP = 0.25;
const LONG_STEP = 1;
const TURN = 15;
const SHORT_TURN = 5;
const QUIET = 700; // milliseconds without a change before anything is read out
const NARROW = 600;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const TURNS = { "[": TURN, "]": -TURN, "{": SHORT_TURN, "}": -SHORT_TURN };

const data = JSON.parse(document.getElementById("pad-data").textContent);
const pad = document.querySelector("[data-pad]");
const form = document.getElementById("sketch");
const shapes = document.getElementById("shape");
const chooser = document.getElementById("pad-chosen");
const part = document.getElementById("pad-part");
const summary = pad.querySelector("[data-pad-summary]");
const status = pad.querySelector("[data-pad-says]");
const button = (name) => pad.querySelector(`[data-pad-do=${name}]`);

const figures = new Figures(form, data);
const floor = new Floor(pad.querySelector("svg"), data);
const words = new Words(data);
const steps = new Steps(figures);
const team = (key) => (figures.members.includes(key) ? "" : figures.team(key));

let sketch;
let found;
let drag = null;
let current = "";
let drawsRoute = false;

// ---- Showing ---------------------------------------------------------------------------------
function show() {
  sketch = figures.read();
  found = measure(sketch);
  floor.draw(sketch, found, team);
  words.write(sketch, found);
  const text = words.summary(sketch, found);
  if (summary.textContent !== text) summary.textContent = text;
}

const isUnseen = (key) => words.unseen(sketch, found).some((player) => player.key === key);
const described = (key) => words.described(key, team(key), figures.at(key), isUnseen(key));

function describeAll() {
  for (const [key, { node }] of floor.people) node.setAttribute("aria-label", described(key));
  for (const option of chooser.options) {
    if (option.value) option.textContent = figures.at(option.value) ? words.who(option.value, team(option.value)) : described(option.value);
  }
}

let speaking;
function say(first) {
  clearTimeout(speaking);
  speaking = setTimeout(() => {
    status.textContent = `${first} ${words.summary(sketch, found)}`.trim();
  }, QUIET);
}

// ---- Steps that can be undone -----------------------------------------------------------------
function commit(said, name = "") {
  steps.take(name);
  settle(said);
}

function settle(said) {
  show();
  describeAll();
  button("undo").disabled = !steps.done.length;
  button("redo").disabled = !steps.undone.length;
  say(said);
}

// ---- Placing -----------------------------------------------------------------------------------
function choose(key) {
  current = key || current;
  chooser.value = key;
  floor.mark(key);
}

/** After somebody was put on the floor the next tap places the next one who isn't. */
function chooseNext(key) {
  const rest = figures.keys.slice(figures.keys.indexOf(key) + 1);
  choose(rest.find((next) => !figures.at(next)) ?? "");
}

// ---- Pointers ----------------------------------------------------------------------------------
floor.svg.addEventListener("pointerdown", (event) => {
  if (drag || event.button > 0) return;
  const point = floor.under(event);
  if (drawsRoute) drag = { route: [point] };
  else if (chooser.value) drag = { key: chooser.value, dx: 0, dy: 0, isNew: !figures.at(chooser.value) };
  else drag = grabbed(point);
  if (!drag) return;
  event.preventDefault();
  drag.pointer = event.pointerId;
  floor.svg.setPointerCapture(event.pointerId);
  if (drag.isNew !== undefined) move(point);
  if (drag.key) {
    current = drag.key;
    show();
    floor.people.get(drag.key).node.focus({ preventScroll: true, focusVisible: false });
  }
});

function grabbed(point) {
  const target = floor.nearest(point, sketch);
  if (!target) return null;
  const at = figures.at(target.key);
  return target.turns ? { key: target.key, turns: true } : { key: target.key, dx: at.x - point.x, dy: at.y - point.y };
}

function move(point) {
  if (drag.route) {
    const end = drag.route[drag.route.length - 1];
    if (Math.hypot(point.x - end.x, point.y - end.y) < 0.1) return;
    drag.route.push(point);
    figures.route = simplified(drag.route, data.route_points);
  } else if (drag.turns) {
    figures.faceFrom(drag.key, figures.at(drag.key), point);
  } else {
    figures.stand(drag.key, { x: point.x + drag.dx, y: point.y + drag.dy }, sketch.players);
  }
}

floor.svg.addEventListener("pointermove", (event) => {
  if (drag?.pointer !== event.pointerId) return;
  move(floor.under(event));
  show();
});

floor.svg.addEventListener("pointerup", (event) => {
  if (drag?.pointer !== event.pointerId) return;
  const { key, isNew, route } = drag;
  drag = null;
  if (route) drawRoute(false);
  commit(key ? described(key) : "");
  if (isNew) chooseNext(key);
  else if (chooser.value) choose("");
});

floor.svg.addEventListener("pointercancel", (event) => {
  if (drag?.pointer !== event.pointerId) return;
  drag = null;
  steps.restore();
  show();
});

// ---- Keys --------------------------------------------------------------------------------------
floor.svg.addEventListener("focusin", (event) => {
  current = event.target.dataset?.key ?? current;
});

floor.svg.addEventListener("keydown", (event) => {
  const key = event.target.dataset.key;
  if (!key || !figures.at(key)) return;
  if (!(event.ctrlKey || event.metaKey) && act(key, event)) event.preventDefault();
});

function act(key, event) {
  const arrow = ARROWS[event.key];
  if (arrow && !event.altKey) return shift(key, arrow, event.shiftKey ? LONG_STEP : STEP);
  if (arrow && arrow[0]) return turn(key, -arrow[0] * (event.shiftKey ? SHORT_TURN : TURN));
  if (event.key in TURNS) return turn(key, TURNS[event.key]);
  if (event.key === "Delete" || event.key === "Backspace") return takeOff(key);
  if (event.key === "Enter" || event.key === " ") {
    choose(chooser.value === key ? "" : key);
    return true;
  }
  return false;
}

function shift(key, [across, up], far) {
  const { x, y } = figures.at(key);
  const sign = floor.mirrored ? -1 : 1;
  figures.place(key, { x: x + sign * across * far, y: y + sign * up * far });
  show();
  commit(described(key), `${key} moves`);
  return true;
}

function turn(key, by) {
  if (!figures.members.includes(key)) return false;
  figures.face(key, figures.at(key).facing + by);
  show();
  commit(described(key), `${key} turns`);
  return true;
}

function takeOff(key) {
  figures.takeOff(key);
  show();
  commit(described(key));
  chooser.focus();
  return true;
}

pad.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey)) return;
  const name = { z: event.shiftKey ? "redo" : "undo", y: "redo" }[event.key.toLowerCase()];
  if (!name) return;
  event.preventDefault();
  DEEDS[name]();
});

// ---- Buttons, the list, the shapes, the figures -----------------------------------------------
function drawRoute(on) {
  drawsRoute = on;
  button("route").setAttribute("aria-pressed", on);
}

function putInTheMiddle() {
  const key = chooser.value;
  if (!key) return chooser.focus();
  const box = floor.svg.getBoundingClientRect();
  const isNew = !figures.at(key);
  const middle = { clientX: box.left + box.width / 2, clientY: box.top + box.height / 2 };
  if (isNew) figures.stand(key, floor.under(middle), sketch.players);
  show();
  commit(described(key));
  choose("");
  return floor.people.get(key).node.focus();
}

const DEEDS = {
  on: putInTheMiddle,
  off: () => (chooser.value || current) && takeOff(chooser.value || current),
  route: () => drawRoute(!drawsRoute),
  erase: () => {
    figures.route = [];
    commit("");
  },
  undo: () => steps.undo() && settle(data.said.undone),
  redo: () => steps.redo() && settle(data.said.redone),
  mirror: () => {
    floor.mirrored = !floor.mirrored;
    button("mirror").setAttribute("aria-pressed", floor.mirrored);
    layOut();
  },
};

pad.addEventListener("click", (event) => {
  const name = event.target.closest("[data-pad-do]")?.dataset.padDo;
  if (name) DEEDS[name]();
});

chooser.addEventListener("change", () => choose(chooser.value));

part.addEventListener("change", () => {
  floor.part = part.value;
  layOut();
});

shapes.addEventListener("submit", (event) => {
  event.preventDefault();
  const { shape, end } = shapes.elements;
  figures.start(data.shapes[shape.value][end.value]);
  if (floor.svg.clientWidth < NARROW) floor.part = part.value = end.value;
  choose("");
  commit(data.said.started);
  layOut();
  pad.scrollIntoView({ block: "start", behavior: "instant" });
});

form.addEventListener("input", show);
form.addEventListener("change", () => commit(""));

// ---- Begin -------------------------------------------------------------------------------------
function layOut() {
  floor.layOut();
  show();
}

for (const instead of document.querySelectorAll("[data-pad-instead]")) instead.hidden = true;
pad.hidden = false;
chooser.append(...figures.keys.map((key) => new Option(words.who(key, team(key)), key)));
layOut();
describeAll();
let wide = floor.svg.clientWidth;
new ResizeObserver(() => {
  if (wide === floor.svg.clientWidth) return;
  wide = floor.svg.clientWidth;
  layOut();
}).observe(pad);
