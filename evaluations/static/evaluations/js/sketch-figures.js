/* The figures of a sketch's form. What is drawn is kept nowhere else: dragging writes here, and
   the drawing is made from what is read here. Lengths in metres, angles in degrees. */

const ROOM = 0.05; // metres that a drawn way may be off the finger's

const hundredths = (figure) => String(Math.round(figure * 100) / 100);
const within = (figure, low, high) => Math.min(Math.max(figure, low), high);

/** A figure with a point or a comma; null for what is none. */
function figureOf(text) {
  const figure = Number(text.trim().replace(",", "."));
  return text.trim() && Number.isFinite(figure) ? figure : null;
}

function apartFrom(point, a, b) {
  const x = b.x - a.x;
  const y = b.y - a.y;
  const square = x * x + y * y;
  const t = square ? within(((point.x - a.x) * x + (point.y - a.y) * y) / square, 0, 1) : 0;
  return Math.hypot(point.x - a.x - t * x, point.y - a.y - t * y);
}

/** The points that matter: nobody is left out who is farther than `room` from the rest. */
function thinned(points, room) {
  if (points.length < 3) return points;
  const first = points[0];
  const last = points[points.length - 1];
  let far = 0;
  let at = 0;
  points.slice(1, -1).forEach((point, n) => {
    const off = apartFrom(point, first, last);
    if (off > far) [far, at] = [off, n + 1];
  });
  if (far <= room) return [first, last];
  return [...thinned(points.slice(0, at + 1), room).slice(0, -1), ...thinned(points.slice(at), room)];
}

/** A way drawn by finger, as at most `most` points: a scribble keeps points at even steps. */
export function simplified(points, most) {
  const few = thinned(points, ROOM);
  if (few.length <= most) return few;
  return Array.from({ length: most }, (_, n) => few[Math.round((n * (few.length - 1)) / (most - 1))]);
}

export class Figures {
  constructor(form, data) {
    this.form = form;
    this.data = data;
    this.members = data.crew.map(({ member }) => member);
    this.players = Array.from({ length: data.players }, (_, n) => `player-${n + 1}`);
    this.keys = [...this.members, ...this.players];
    this.inputs = [...form.elements].filter((input) => input.name && input.type !== "hidden" && input.type !== "radio");
  }

  input = (key, part) => this.form.elements[`${key}-${part}`];

  figure = (key, part) => figureOf(this.input(key, part).value);

  /** Where somebody stands, or null for whoever is not on the floor. */
  at(key) {
    const found = { x: this.figure(key, "x"), y: this.figure(key, "y") };
    if (this.members.includes(key)) found.facing = this.figure(key, "facing");
    return Object.values(found).includes(null) ? null : found;
  }

  team = (key) => this.input(key, "team").value;

  place(key, { x, y }) {
    const { length, width, beyond } = this.data.court;
    const limit = (size) => Math.floor((size + beyond) * 100) / 100;
    this.input(key, "x").value = hundredths(within(x, -beyond, limit(length)));
    this.input(key, "y").value = hundredths(within(y, -beyond, limit(width)));
  }

  /** The same for somebody who may be new: an official without a facing gets one, to the middle of
      the players, or of the court if there are none. */
  stand(key, point, players) {
    this.place(key, point);
    if (!this.members.includes(key) || this.figure(key, "facing") !== null) return;
    const { length, width } = this.data.court;
    const middle = (axis, size) =>
      players.length ? players.reduce((sum, player) => sum + player[axis], 0) / players.length : size / 2;
    this.faceFrom(key, point, { x: middle("x", length), y: middle("y", width) });
  }

  face(key, facing) {
    this.input(key, "facing").value = String(((Math.round(facing) % 360) + 360) % 360);
  }

  faceFrom(key, from, to) {
    this.face(key, (Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI);
  }

  takeOff(key) {
    for (const part of this.members.includes(key) ? ["x", "y", "facing"] : ["x", "y"]) {
      this.input(key, part).value = "";
    }
  }

  get route() {
    return this.form.elements.route.value
      .split("\n")
      .map((line) => line.trim().split(/[;\s]+/).map(figureOf))
      .filter((pair) => pair.length === 2 && !pair.includes(null))
      .map(([x, y]) => ({ x, y }));
  }

  set route(points) {
    const lines = points.map(({ x, y }) => `${hundredths(x)} ${hundredths(y)}`);
    this.form.elements.route.value = lines.join("\n");
  }

  /** The sketch as floor.js measures it, with the keys of those who are on it. */
  read() {
    const there = (keys) => keys.map((key) => ({ key, ...this.at(key) })).filter((one) => "x" in one);
    const officials = there(this.members);
    const reporter = officials.findIndex(({ key }) => key === this.form.elements.reporter.value);
    const field = figureOf(this.form.elements.field_of_view.value);
    return {
      crew: this.members.length,
      officials,
      players: there(this.players),
      route: this.route,
      reporter: reporter < 0 ? null : reporter,
      fieldOfView: field > 0 && field <= this.data.widest ? field : this.data.field_of_view,
    };
  }

  /** Put a shape's people on the floor in place of all who are there. */
  start(shape) {
    for (const key of this.keys) this.takeOff(key);
    for (const { member, x, y, facing } of shape.officials) {
      this.place(member, { x, y });
      this.face(member, facing);
    }
    shape.players.forEach(({ x, y, team }, n) => {
      this.place(this.players[n], { x, y });
      this.input(this.players[n], "team").value = team;
    });
  }

  get values() {
    return this.inputs.map((input) => input.value);
  }

  set values(values) {
    values.forEach((value, n) => {
      this.inputs[n].value = value;
    });
  }
}
