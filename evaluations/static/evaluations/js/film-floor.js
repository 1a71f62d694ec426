// Places on the floor by clicks on a paused film: court points first, then feet. Clicks are kept as
// shares of the picture and fitted in pixels of the screen, because a hand is off by those.

import { writeTime } from "./film-marks.js";
import { courtOver, crossAt, linesOf, peopleOver } from "./film-overlay.js";
import { fit, floorError, toFloor } from "./homography.js";

const NEAR_THE_EDGE = 0.7; // share of the picture from which on a name stands to the left

export class FilmFloor {
  #clicks = new Map(); // court point: share of the picture
  #clickedAt = null;
  #places = new Map(); // who: {share, team, name}
  #aim = null; // the cross that the arrows move
  #waiting = false;

  constructor(root, player, data, phrases) {
    Object.assign(this, { player, data, phrases });
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
    const shapes = found.refused ? [] : [...courtOver(found, this.lines), ...this.#people(found)];
    for (const [key, share] of this.#clicks) {
      shapes.push(...this.#cross(share, "point-name", this.points.get(key).name));
    }
    for (const { share, name } of this.#places.values()) {
      shapes.push(...this.#cross(share, "who", name));
    }
    if (this.#aim && this.isAiming) shapes.push(...this.#cross(this.#aim, "who", ""));
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
    if (!place) return this.#said("horizon");
    const error = this.phrases.figure(floorError(found, this.#pixel(share)), 2);
    return `${this.#metres(place)}, ${this.#said("error", { n: error })}`;
  }

  #metres({ x, y }) {
    return this.#said("at", { x: this.phrases.figure(x, 2), y: this.phrases.figure(y, 2) });
  }

  #said(name, figures) {
    return this.phrases.say(name, figures);
  }

  #tell(found) {
    const n = this.#clicks.size;
    if (n === 0) return this.#write("");
    if (found.refused === "few") return this.#write(this.#said("few", { n }));
    if (found.refused) return this.#write(this.#said(found.refused));
    const residual = found.residual === null ? "four" : "residual";
    const figures = { n: this.phrases.figure(found.residual ?? 0, 2) };
    const moved = this.player.now !== this.#clickedAt;
    return this.#write(
      [
        this.#said("fits", { n }),
        this.#said(residual, figures),
        ...(moved ? [this.#said("moved", { time: writeTime(this.#clickedAt) })] : []),
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

  #cross(share, style, name) {
    return crossAt(this.#pixel(share), style, name, share.x > NEAR_THE_EDGE);
  }

  /** The chosen sketch's people. */
  #people(found) {
    return peopleOver(found, this.data.drawn[this.drawn?.value] ?? []);
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
