// What is marked about one dead ball. The form's inputs hold it, so that saving is a plain POST and
// what was typed by hand counts like what was marked by key.

const TIME = /^(?:(?:(\d{1,2}):)?(\d{1,3}):(?=[0-5]?\d(?:\.|$)))?(\d{1,5})(?:\.(\d{1,3}))?$/;

/** Whole milliseconds; null for nothing, NaN for what is no time. */
function readTime(text) {
  const plain = text.trim().replace(",", ".");
  if (plain === "") return null;
  const found = TIME.exec(plain);
  if (!found) return NaN;
  const [hours, minutes, seconds] = found.slice(1, 4).map((part) => Number(part ?? 0));
  return ((hours * 60 + minutes) * 60 + seconds) * 1000 + Number((found[4] ?? "").padEnd(3, "0"));
}

export function writeTime(milliseconds) {
  const seconds = Math.floor(milliseconds / 1000);
  const rest = String(milliseconds % 1000).padStart(3, "0");
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}.${rest}`;
}

const PARTS = ["facing", "from", "to"];

export class FilmMarks extends EventTarget {
  #open = new Map(); // member: the line whose mark is on
  #history = [];

  constructor(form, members, most) {
    super();
    this.form = form;
    this.members = members;
    this.most = most;
    form.addEventListener("input", () => this.#changed());
  }

  /** As eyes.js takes it; null before the whistle is there. What is no time is left out. */
  time(caller) {
    const moment = (name) => {
      const read = readTime(this.#field(name).value);
      return Number.isNaN(read) ? null : read;
    };
    const whistle = moment("whistle");
    const [reportEnded, live] = [moment("report_ended"), moment("live")];
    if (whistle === null || (live !== null && live < whistle)) return null;
    return { members: this.members, whistle, reportEnded, live, caller, marks: this.#marks() };
  }

  setMoment(name, at) {
    this.#remember();
    this.#field(name).value = writeTime(at);
    this.#changed();
  }

  on(member) {
    const line = this.#open.get(member);
    return line === undefined ? null : this.#part(member, line, "facing").value;
  }

  /** "on" or "off", "taken_back" if it would have ended before it began, "full" without a line. */
  toggle(member, facing, at) {
    this.#remember();
    const was = this.on(member);
    const ended = was === null ? "off" : this.#end(member, at);
    const result = was === facing ? ended : this.#begin(member, facing, at);
    this.#changed();
    return result;
  }

  /** Every mark that is on ends. */
  endAll(at) {
    if (this.#open.size === 0) return;
    this.#remember();
    for (const member of [...this.#open.keys()]) this.#end(member, at);
    this.#changed();
  }

  undo() {
    const before = this.#history.pop();
    if (!before) return false;
    for (const field of this.form.elements) {
      if (this.#isMark(field)) field.value = before.values.get(field.name) ?? "";
    }
    this.#open = before.open;
    this.#changed();
    return true;
  }

  #begin(member, facing, at) {
    const line = this.#freeLine(member);
    if (line === null) return "full";
    this.#part(member, line, "facing").value = facing;
    this.#part(member, line, "from").value = writeTime(at);
    this.#part(member, line, "to").value = "";
    this.#open.set(member, line);
    return "on";
  }

  #end(member, at) {
    const line = this.#open.get(member);
    this.#open.delete(member);
    if (at > readTime(this.#part(member, line, "from").value)) {
      this.#part(member, line, "to").value = writeTime(at);
      return "off";
    }
    for (const part of PARTS) this.#part(member, line, part).value = "";
    return "taken_back";
  }

  /** Below everything that is there, because the lower of two lines counts. */
  #freeLine(member) {
    const rows = this.#rows(member);
    const used = (_, n) => PARTS.some((part) => this.#part(member, n, part).value !== "");
    const line = rows.map(used).lastIndexOf(true) + 1;
    if (line < rows.length) return line;
    return line < this.most ? this.#addLine(member, rows) : null;
  }

  #addLine(member, rows) {
    const line = rows.length;
    const last = rows[line - 1];
    const row = last.cloneNode(true);
    const renamed = (text) => text.replace(`${member}-${line - 1}-`, `${member}-${line}-`);
    row.querySelectorAll(".error").forEach((error) => error.remove());
    row.querySelector("th").textContent = String(line + 1);
    for (const label of row.querySelectorAll("label")) {
      label.htmlFor = renamed(label.htmlFor);
      const whose = label.querySelector(".visually-hidden");
      if (whose) whose.textContent = whose.textContent.replace(/\d+(?=\)$)/, String(line + 1));
    }
    for (const field of row.querySelectorAll("input, select")) {
      field.name = renamed(field.name);
      field.id = renamed(field.id);
      field.removeAttribute("aria-invalid");
      field.removeAttribute("aria-describedby");
      field.value = "";
    }
    last.after(row);
    return line;
  }

  #marks() {
    return this.members.flatMap((member) =>
      this.#rows(member).flatMap((_, n) => {
        const [facing, start, end] = PARTS.map((part) => this.#part(member, n, part).value);
        const mark = { member, facing, start: readTime(start), end: readTime(end) };
        const whole = facing && mark.start !== null && !Number.isNaN(mark.start + (mark.end ?? 0));
        return whole ? [mark] : [];
      }),
    );
  }

  #rows(member) {
    return [...this.form.querySelectorAll(`[data-spans="${member}"] tbody tr`)];
  }

  #field(name) {
    return this.form.elements.namedItem(name);
  }

  #part(member, line, part) {
    return this.#field(`${member}-${line}-${part}`);
  }

  #isMark(field) {
    return field.name !== "" && field.type !== "hidden" && field.type !== "submit";
  }

  #remember() {
    const fields = [...this.form.elements].filter((field) => this.#isMark(field));
    const values = new Map(fields.map((field) => [field.name, field.value]));
    this.#history.push({ values, open: new Map(this.#open) });
  }

  #changed() {
    // A line that was emptied by hand is no longer on.
    for (const [member, line] of this.#open) {
      if (this.#part(member, line, "facing").value === "") this.#open.delete(member);
    }
    this.dispatchEvent(new Event("change"));
  }
}
