/* The floor of a sketch as a picture: the court, who stands on it, who is in nobody's view. Its
   units are the screen's pixels, so that people are as large on a phone as on a desk. */

import { direction } from "./floor.js";
import { element, set } from "./svg.js";

const VIEW = 7; // metres: how far a fan of view is drawn
const HANDLE = 34; // pixels from an official to the handle that turns him or her
const CROSS = 14; // the arms stand out from behind a player, whose number stays legible
const REACH = 24; // pixels between a finger and whom it means
const EDGE = 4; // pixels between a word and the window's edge

const away = (from, facing, far) => {
  const { x, y } = direction(facing);
  return { x: from.x + x * far, y: from.y + y * far };
};

export class Floor {
  mirrored = false;
  part = "whole";
  people = new Map();

  constructor(svg, data) {
    this.svg = svg;
    this.court = data.court;
    this.said = data.said;
    this.table = element("rect", { class: "table" });
    this.tableWord = element("text", {}, data.said.table);
    this.lines = element("path", { class: "lines" });
    this.route = element("polyline", { class: "route" });
    this.fans = element("g", {});
    svg.append(this.table, this.tableWord, this.lines, this.fans, this.route);
    for (let n = 1; n <= data.players; n += 1) this.addPlayer(`player-${n}`, n);
    for (const { member, position } of data.crew) this.addOfficial(member, position);
  }

  addPlayer(key, number) {
    const body = element("circle", { class: "body", r: 9 });
    const inside = element("text", { class: "inside", dy: 4 }, String(number));
    const cross = element("path", {
      class: "cross",
      d: `M-${CROSS}-${CROSS}L${CROSS} ${CROSS}M${CROSS}-${CROSS}L-${CROSS} ${CROSS}`,
    });
    const word = element("text", { class: "outside", dy: -13 }, this.said.unseen_mark);
    this.add(key, cross, body, inside, word, {});
  }

  addOfficial(key, position) {
    const arm = element("line", { class: "arm" });
    const handle = element("circle", { class: "handle", r: 6 });
    const body = element("path", { class: "body" });
    const word = element("text", { class: "outside", dy: -14 }, position);
    const fan = element("path", { class: "fan" });
    this.fans.append(fan);
    this.add(key, arm, handle, body, word, { arm, handle, body, word, fan });
  }

  add(key, ...inside) {
    const parts = inside.pop();
    const ring = element("circle", { class: "ring", r: 15 });
    const node = element("g", { class: "piece", tabindex: 0, role: "img" }, ...inside, ring);
    node.dataset.key = key;
    this.svg.append(node);
    this.people.set(key, { node, ...parts });
  }

  // ---- Metres and pixels ---------------------------------------------------------------------
  /** Lay the court out for the room that there is. */
  layOut() {
    const { length, width, beyond } = this.court;
    const half = length / 2;
    const [from, to] = { left: [-beyond, half + 1], right: [half - 1, length + beyond] }[this.part] ?? [
      -beyond,
      length + beyond,
    ];
    const room = this.svg.clientWidth;
    const tall = width + 2 * beyond;
    this.scale = Math.min(room / (to - from), Math.max(320, innerHeight * 0.75) / tall);
    this.left = this.mirrored ? length - to : from;
    this.margin = (room - (to - from) * this.scale) / 2;
    this.svg.setAttribute("height", tall * this.scale);
    this.svg.setAttribute("viewBox", `0 0 ${room} ${tall * this.scale}`);
    this.drawCourt();
  }

  /** A place on the floor, in pixels from the picture's upper left corner. */
  pixel({ x, y }) {
    const { length, width, beyond } = this.court;
    const across = this.mirrored ? length - x : x;
    const down = this.mirrored ? y : width - y;
    return { x: this.margin + (across - this.left) * this.scale, y: (down + beyond) * this.scale };
  }

  /** The place on the floor under a pointer. */
  under({ clientX, clientY }) {
    const { length, width, beyond } = this.court;
    const box = this.svg.getBoundingClientRect();
    const across = (clientX - box.left - this.svg.clientLeft - this.margin) / this.scale + this.left;
    const down = (clientY - box.top - this.svg.clientTop) / this.scale - beyond;
    return this.mirrored ? { x: length - across, y: down } : { x: across, y: width - down };
  }

  /** Who, or whose handle, is nearest to a place, within a finger's breadth. */
  nearest(point, sketch) {
    const to = this.pixel(point);
    const targets = [...sketch.players, ...sketch.officials].map((one) => ({ key: one.key, at: this.pixel(one) }));
    for (const one of sketch.officials) {
      targets.push({ key: one.key, turns: true, at: this.pixel(away(one, one.facing, HANDLE / this.scale)) });
    }
    const far = ({ at }) => Math.hypot(at.x - to.x, at.y - to.y);
    const [first] = targets.filter((target) => far(target) <= REACH).sort((a, b) => far(a) - far(b));
    return first ?? null;
  }

  // ---- Drawing ---------------------------------------------------------------------------------
  drawCourt() {
    const { length, width, lane_length: deep, lane_width: lane } = this.court;
    const middle = width / 2;
    const line = (...points) =>
      `M${points.map((p) => Object.values(this.pixel({ x: p[0], y: p[1] })).join(" ")).join("L")}`;
    const ends = [0, 1].flatMap((end) => {
      const at = (x, y) => [end ? length - x : x, y];
      const key = [at(0, middle - lane / 2), at(deep, middle - lane / 2), at(deep, middle + lane / 2), at(0, middle + lane / 2)];
      return [line(...key), line(...this.arc(at, middle)), line(...round(at, this.court.basket_inset, middle, 0.225))];
    });
    const whole = line([0, 0], [length, 0], [length, width], [0, width], [0, 0]);
    const circle = line(...round((x, y) => [x, y], length / 2, middle, this.court.circle_radius));
    this.lines.setAttribute("d", [whole, line([length / 2, 0], [length / 2, width]), circle, ...ends].join(""));
    const one = this.pixel({ x: length / 2 - 3.2, y: -0.5 });
    const other = this.pixel({ x: length / 2 + 3.2, y: -2 });
    const box = { x: Math.min(one.x, other.x), y: Math.min(one.y, other.y) };
    set(this.table, { ...box, width: Math.abs(other.x - one.x), height: Math.abs(other.y - one.y) });
    const word = this.pixel({ x: length / 2, y: -1.25 });
    set(this.tableWord, { x: word.x, y: word.y + 4 });
  }

  arc(at, middle) {
    const { basket_inset: inset, arc_radius: radius, corner_inset: corner, width } = this.court;
    const reach = Math.asin((middle - corner) / radius);
    const turns = Array.from({ length: 25 }, (_, n) => reach - (2 * reach * n) / 24);
    const bent = turns.map((turn) => at(inset + radius * Math.cos(turn), middle - radius * Math.sin(turn)));
    return [at(0, corner), ...bent, at(0, width - corner)];
  }

  /** Put everybody in place: the picture of one sketch and of what was measured in it. */
  draw(sketch, found, teamOf) {
    const there = new Set();
    sketch.players.forEach((player, n) => {
      const { node } = this.people.get(player.key);
      const { x, y } = this.pixel(player);
      const unseen = found.unseen.includes(n);
      node.setAttribute("transform", `translate(${x} ${y})`);
      node.setAttribute("class", `piece ${teamOf(player.key)}${unseen ? " unseen" : ""}${node.matches(".chosen") ? " chosen" : ""}`);
      for (const mark of node.querySelectorAll(".cross, .outside")) mark.toggleAttribute("hidden", !unseen);
      there.add(player.key);
    });
    sketch.officials.forEach((official, n) => {
      this.drawOfficial(official, found.watchers.includes(n) ? sketch.fieldOfView : 0);
      there.add(official.key);
    });
    for (const [key, { node, fan }] of this.people) {
      node.toggleAttribute("hidden", !there.has(key));
      fan?.toggleAttribute("hidden", !there.has(key));
    }
    const points = sketch.route.map((point) => Object.values(this.pixel(point)).join(","));
    this.route.setAttribute("points", points.join(" "));
  }

  drawOfficial(official, field) {
    const { node, arm, handle, body, word, fan } = this.people.get(official.key);
    const spot = this.pixel(official);
    const ahead = (facing, far) => {
      const { x, y } = this.pixel(away(official, facing, far / this.scale));
      return `${x - spot.x} ${y - spot.y}`;
    };
    const [x, y] = ahead(official.facing, HANDLE).split(" ");
    node.setAttribute("transform", `translate(${spot.x} ${spot.y})`);
    node.setAttribute("class", `piece official${node.matches(".chosen") ? " chosen" : ""}`);
    set(arm, { x2: x, y2: y });
    set(handle, { cx: x, cy: y });
    const half = this.halfOf(official.key) + EDGE;
    const room = this.svg.clientWidth - half;
    set(word, { dx: Math.min(0, room - spot.x) + Math.max(0, half - spot.x), dy: y < 0 ? 22 : -14 });
    const [tip, ...foot] = [0, 140, -140].map((turn) => ahead(official.facing + turn, 11));
    body.setAttribute("d", `M${tip}L${foot.join("L")}Z`);
    const steps = Math.max(2, Math.ceil(field / 6));
    const rim = Array.from({ length: field ? steps + 1 : 0 }, (_, n) =>
      Object.values(this.pixel(away(official, official.facing - field / 2 + (field * n) / steps, VIEW))).join(" "),
    );
    fan.setAttribute("d", rim.length ? `M${spot.x} ${spot.y}L${rim.join("L")}Z` : "");
  }

  /** Half the width of an official's word, measured once: that lays the page out. */
  halfOf(key) {
    const person = this.people.get(key);
    person.node.removeAttribute("hidden"); // what isn't shown has no width
    person.half ??= person.word.getComputedTextLength() / 2;
    return person.half;
  }

  mark(chosen) {
    for (const [key, { node }] of this.people) node.classList.toggle("chosen", key === chosen);
  }
}

function round(at, x, y, radius) {
  return Array.from({ length: 33 }, (_, n) => {
    const turn = (n * Math.PI) / 16;
    return at(x + radius * Math.cos(turn), y + radius * Math.sin(turn));
  });
}
