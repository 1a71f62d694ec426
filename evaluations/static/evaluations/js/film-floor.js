// Places on the floor by clicks on a paused film: court points first, then feet. Clicks are kept as
// shares of the picture and fitted in pixels of the screen, because a hand is off by those.

import { fit, floorError, toFloor, toPixel } from "./homography.js";
import { shape } from "./ledger-band.js";

const CIRCLE_STEPS = 36;
const STEPS_A_LINE = 8;

/** The court's lines in metres; a line is cut into steps, since a part may lie behind the camera. */
function linesOf({ length, width, lane_length, lane_width, circle_radius }) {
  const [low, high] = [(width - lane_width) / 2, (width + lane_width) / 2];
  const lane = (end, throwLine) => [[end, low], [throwLine, low], [throwLine, high], [end, high]];
  const circle = Array.from({ length: CIRCLE_STEPS + 1 }, (_, n) => {
    const turn = (2 * Math.PI * n) / CIRCLE_STEPS;
    return [length / 2 + circle_radius * Math.cos(turn), width / 2 + circle_radius * Math.sin(turn)];
  });
  const corners = [[0, 0], [length, 0], [length, width], [0, width], [0, 0]];
  const straight = [
    corners,
    [[length / 2, 0], [length / 2, width]],
    lane(0, lane_length),
    lane(length, length - lane_length),
  ];
  return [...straight.map(stepped), circle].map((line) => line.map(([x, y]) => ({ x, y })));
}

function stepped(corners) {
  return corners.slice(1).reduce(
    (line, [x, y], n) => {
      const [fromX, fromY] = corners[n];
      for (let step = 1; step <= STEPS_A_LINE; step += 1) {
        const share = step / STEPS_A_LINE;
        line.push([fromX + (x - fromX) * share, fromY + (y - fromY) * share]);
      }
      return line;
    },
    [corners[0]],
  );
}

export class FilmFloor {
  #clicks = new Map(); // court point: share of the picture
  #clickedAt = null;
  #places = new Map(); // who: {share, at (metres), error, team}
  #aim = null; // the cross that the arrows move
  #waiting = false;

  constructor(root, player, data, writeTime) {
    Object.assign(this, { root, player, data, writeTime });
    this.stage = root.querySelector("[data-stage]");
    this.overlay = root.querySelector("[data-overlay]");
    this.choice = root.querySelector("[data-click]");
    this.says = root.querySelector("[data-floor-says]");
    this.pointer = root.querySelector("[data-pointer]");
    this.list = root.querySelector("[data-clicked]");
    this.drawn = root.querySelector("[data-drawn]");
    this.drawn?.addEventListener("change", () => this.draw());
    this.lines = linesOf(data.court);
    this.points = new Map(data.points.map((point) => [point.key, point]));
    const group = root.querySelector("[data-click-points]");
    group.append(...data.points.map(({ key, name }) => new Option(name, key)));
    this.choice.addEventListener("change", () => this.#choose());
    this.stage.addEventListener("pointermove", (event) => this.#point(this.#shareOf(event)));
    this.stage.addEventListener("click", (event) => this.#click(this.#shareOf(event)));
    new ResizeObserver(() => this.draw()).observe(player.video);
    for (const button of root.querySelectorAll("[data-keep]")) {
      button.addEventListener("click", () => this.#keep(button.dataset.keep));
    }
    this.draw();
  }

  get isAiming() {
    return this.choice.value !== "" && this.player.isOpen;
  }

  /** Another film: nothing that was clicked holds for it. */
  clear() {
    this.#clicks.clear();
    this.#places.clear();
    this.#clickedAt = null;
    this.draw();
  }

  /** The cross by key; in pixels of the screen. */
  move(right, down) {
    const { width, height } = this.#size();
    const from = this.#aim ?? { x: 0.5, y: 0.5 };
    const kept = (share) => Math.min(1, Math.max(0, share));
    this.#aim = { x: kept(from.x + right / width), y: kept(from.y + down / height) };
    this.#point(this.#aim);
    this.draw();
  }

  clickHere() {
    this.#aim ??= { x: 0.5, y: 0.5 };
    this.#click(this.#aim);
  }

  draw() {
    const { width, height } = this.#size();
    this.overlay.setAttribute("viewBox", `0 0 ${width || 1} ${height || 1}`);
    const found = this.#fit();
    const shapes = found.refused ? [] : [...this.#court(found), ...this.#people(found)];
    for (const [key, share] of this.#clicks) shapes.push(...this.#cross(share, key));
    for (const [who, { share }] of this.#places) shapes.push(...this.#cross(share, who));
    if (this.#aim && this.isAiming) shapes.push(...this.#cross(this.#aim, null));
    this.overlay.replaceChildren(...shapes);
    this.#tell(found);
    this.#show(found);
  }

  #choose() {
    this.player.video.pause();
    this.stage.toggleAttribute("data-aims", this.choice.value !== "");
    this.draw();
  }

  #size() {
    const { width, height } = this.player.video.getBoundingClientRect();
    return { width, height };
  }

  #shareOf(event) {
    const box = this.player.video.getBoundingClientRect();
    return { x: (event.clientX - box.left) / box.width, y: (event.clientY - box.top) / box.height };
  }

  #pixel({ x, y }) {
    const { width, height } = this.#size();
    return { x: x * width, y: y * height };
  }

  #fit() {
    const floor = [...this.#clicks.keys()].map((key) => this.points.get(key));
    return fit([...this.#clicks.values()].map((share) => this.#pixel(share)), floor);
  }

  #click(share) {
    const what = this.choice.value;
    if (!this.isAiming || share.x < 0 || share.x > 1 || share.y < 0 || share.y > 1) return;
    this.player.video.pause();
    if (this.points.has(what)) {
      this.#clicks.set(what, share);
      this.#clickedAt = this.player.now;
    } else {
      this.#place(what, share);
    }
    this.draw();
  }

  #place(who, share) {
    if (this.#fit().refused) return;
    const { team } = this.choice.selectedOptions[0].dataset;
    this.#places.set(who, { share, team, name: this.choice.selectedOptions[0].text });
  }

  /** Where the pointer is on the floor, and how sure that is. */
  #point(share) {
    if (this.#waiting) return;
    this.#waiting = true;
    requestAnimationFrame(() => {
      this.#waiting = false;
      const found = this.#fit();
      this.pointer.textContent = found.refused ? "" : this.#where(found, share);
    });
  }

  #where(found, share) {
    const place = toFloor(found, this.#pixel(share));
    if (!place) return this.data.said.horizon;
    const error = this.#figure(floorError(found, this.#pixel(share)), 2);
    return `${this.#metres(place)}, ${this.#said("error", { n: error })}`;
  }

  #metres({ x, y }) {
    return this.#said("at", { x: this.#figure(x, 2), y: this.#figure(y, 2) });
  }

  #figure(n, decimals) {
    return n.toFixed(decimals).replace(".", this.data.decimal);
  }

  #said(name, figures = {}) {
    const filled = this.data.said[name].replace(/%\((\w+)\)s/g, (_, key) => figures[key]);
    return filled.replace(/%%/g, "%");
  }

  #tell(found) {
    const n = this.#clicks.size;
    if (n === 0) return this.#write("");
    if (found.refused === "few") return this.#write(this.#said("few", { n }));
    if (found.refused) return this.#write(this.#said(found.refused));
    const residual = found.residual === null ? "four" : "residual";
    const figures = { n: this.#figure(found.residual ?? 0, 2) };
    const moved = this.player.now !== this.#clickedAt;
    return this.#write(
      [
        this.#said("fits", { n }),
        this.#said(residual, figures),
        ...(moved ? [this.#said("moved", { time: this.writeTime(this.#clickedAt) })] : []),
      ].join(" "),
    );
  }

  #write(text) {
    if (this.says.textContent !== text) this.says.textContent = text;
  }

  #show(found) {
    const rows = [...this.#clicks.keys()].map((key) => [key, this.points.get(key).name, this.#clicks]);
    for (const [who, { name, share }] of this.#places) {
      const where = found.refused ? "" : `: ${this.#where(found, share)}`;
      rows.push([who, `${name}${where}`, this.#places, name]);
    }
    const text = JSON.stringify(rows.map(([key, words]) => [key, words]));
    if (this.list.dataset.shown === text) return;
    this.list.dataset.shown = text;
    this.list.replaceChildren(...rows.map((row) => this.#row(...row)));
  }

  #row(key, words, from, name = words) {
    const row = document.createElement("li");
    const button = document.createElement("button");
    Object.assign(button, { type: "button", className: "button quiet", textContent: "×" });
    button.setAttribute("aria-label", this.#said("remove", { what: name }));
    button.addEventListener("click", () => {
      from.delete(key);
      this.draw();
      this.choice.focus();
    });
    row.append(words, button);
    return row;
  }

  #cross(share, name) {
    const { x, y } = this.#pixel(share);
    const [beside, anchor] = share.x > 0.7 ? [-10, "end"] : [10, "start"];
    const style = this.points.has(name) ? "point-name" : "who";
    const path = `M${x - 8} ${y}H${x + 8}M${x} ${y - 8}V${y + 8}`;
    const text = name === null ? "" : (this.points.get(name)?.name ?? this.#places.get(name).name);
    return [
      shape("path", { class: "aim-shadow", d: path }),
      shape("path", { class: "aim", d: path }),
      shape("text", { class: style, x: x + beside, y: y - 6, "text-anchor": anchor }, text),
    ];
  }

  /** The court's lines over the picture: what doesn't lie on them was clicked wrong. */
  #court(found) {
    return this.lines.flatMap((line) => {
      const pixels = line.map((place) => toPixel(found, place));
      // Behind the camera a place comes out somewhere, but not back where it was.
      const seen = pixels.map((pixel) => toFloor(found, pixel) !== null);
      const path = pixels
        .map(({ x, y }, n) => (seen[n] ? `${n && seen[n - 1] ? "L" : "M"}${x} ${y}` : ""))
        .join("");
      return [
        shape("path", { class: "court-shadow", d: path }),
        shape("path", { class: "court-line", d: path }),
      ];
    });
  }

  /** The chosen sketch's people where the film should show them: rings, dots, and diamonds. */
  #people(found) {
    const people = this.data.drawn[this.drawn?.value] ?? [];
    const seen = people
      .map((one) => ({ ...one, pixel: toPixel(found, one) }))
      .filter(({ pixel }) => toFloor(found, pixel) !== null);
    return seen.flatMap(({ name, team, pixel: { x, y } }) => {
      const body = team
        ? shape("circle", { class: `drawn ${team}`, cx: x, cy: y, r: 6 })
        : shape("path", { class: "drawn", d: `M${x} ${y - 8}l8 8-8 8-8-8z` });
      return [body, shape("text", { class: "who", x: x + 10, y: y - 6 }, name)];
    });
  }

  /** Into this tab's own store, from which the sketch's page takes it; nothing is sent. */
  #keep(moment) {
    const found = this.#fit();
    const places = [...this.#places].filter(([who]) => who !== "place");
    if (found.refused || places.length === 0) {
      return this.#write(this.#said(found.refused ? "set_first" : "nothing"));
    }
    const kept = places.map(([who, { share, team }]) => {
      const { x, y } = toFloor(found, this.#pixel(share));
      return [who, { x: Math.round(x * 100) / 100, y: Math.round(y * 100) / 100, team }];
    });
    try {
      const before = JSON.parse(sessionStorage.getItem(this.data.kept) ?? "{}");
      const all = { ...before, [moment]: Object.fromEntries(kept) };
      sessionStorage.setItem(this.data.kept, JSON.stringify(all));
    } catch {
      return this.#write(this.#said("not_kept"));
    }
    return this.#write(this.#said("kept", { n: kept.length }));
  }
}
