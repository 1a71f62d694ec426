/* Steps of drawing, to be undone and done again: what the figures were before each. */

const TOGETHER = 1000; // milliseconds within which moves of one name are undone at once

export class Steps {
  done = [];
  undone = [];
  move = { name: "", at: 0 };

  constructor(figures) {
    this.figures = figures;
    this.last = figures.values;
  }

  /** What was changed since is one step; changes of one `name` shortly after each other are one. */
  take(name) {
    const now = this.figures.values;
    if (now.every((value, n) => value === this.last[n])) return;
    const goesOn = name && name === this.move.name && performance.now() - this.move.at < TOGETHER;
    if (!goesOn) this.done.push(this.last);
    this.undone.length = 0;
    this.last = now;
    this.move = { name, at: performance.now() };
  }

  undo = () => this.go(this.done, this.undone);

  redo = () => this.go(this.undone, this.done);

  go(from, to) {
    if (!from.length) return false;
    to.push(this.last);
    this.last = from.pop();
    this.move = { name: "", at: 0 };
    this.restore();
    return true;
  }

  /** The figures as they were after the last step. */
  restore() {
    this.figures.values = this.last;
  }
}
