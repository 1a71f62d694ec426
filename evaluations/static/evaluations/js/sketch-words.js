/* What a sketch shows, in the words of the page: the lines that core/floor_lines.py writes when it
   is saved. */

import { Phrases } from "./phrases.js";

export class Words extends Phrases {
  constructor(data) {
    super(data);
    this.names = Object.fromEntries(data.crew.map(({ member, name }) => [member, name]));
    this.lines = Object.fromEntries([...document.querySelectorAll("[data-line]")].map((line) => [line.dataset.line, line]));
  }

  tenths = (figure) => this.figure(Math.floor(figure * 10 + 0.5) / 10, 1);

  listed = (players) => players.map(({ key }) => key.slice("player-".length)).join(", ") || this.said.nobody;

  unseen = (sketch, found) => sketch.players.filter((_, n) => found.unseen.includes(n));

  /** Write the lines; only what is new, so that nothing else is laid out again. */
  write(sketch, found) {
    for (const [key, text] of Object.entries(this.texts(sketch, found))) {
      const line = this.lines[key];
      if (line.textContent !== text) line.textContent = text;
    }
  }

  texts(sketch, found) {
    const { players, officials } = sketch;
    const none = this.said.not_judged;
    const all = players.length;
    const judged = found.coverage !== null;
    const inside = found.inside.map((n) => this.names[officials[n].key]).join(", ") || this.said.nobody;
    const angles = (found.apart ?? []).map((angle) => Math.floor(angle + 0.5)).join(", ");
    return {
      ...this.views(sketch, found),
      coverage: judged ? this.say("of", { n: all - found.unseen.length, all }) : none,
      unseen: judged ? this.listed(this.unseen(sketch, found)) : none,
      boxed: found.boxed === null ? none : this.say("of", { n: Math.round(found.boxed * all), all }),
      apart: angles ? this.say("degrees", { n: angles }) : none,
      inside: all > 2 && found.watchers.length ? inside : none,
      route: this.route(found.route),
    };
  }

  views({ players, officials }, found) {
    return Object.fromEntries(
      Object.keys(this.names).map((member) => {
        const place = officials.findIndex(({ key }) => key === member);
        const row = found.seen[found.watchers.indexOf(place)];
        const seen = () => (players.length ? this.listed(players.filter((_, n) => row[n])) : this.said.not_judged);
        const text = row ? seen() : this.said[place < 0 ? "absent" : "reports"];
        return [`view-${member}`, text];
      }),
    );
  }

  route(found) {
    if (!found) return this.said.not_judged;
    const figures = { n: this.tenths(found.inside), all: this.tenths(found.length) };
    return this.say(found.around ? "around" : "through", figures);
  }

  summary(sketch, found) {
    if (found.coverage === null) return this.said.too_little;
    const all = sketch.players.length;
    const seen = this.say("summary", { n: all - found.unseen.length, all });
    if (!found.unseen.length) return seen;
    return `${seen} ${this.say("unseen", { who: this.listed(this.unseen(sketch, found)) })}`;
  }

  who(key, team) {
    if (key in this.names) return this.names[key];
    return this.say("player", { n: key.slice("player-".length), team: this.said[team] });
  }

  /** Who it is, where, and whether in view, for those who don't see the picture. */
  described(key, team, at, unseen) {
    if (!at) return this.say("nowhere", { who: this.who(key, team) });
    const metres = (figure) => String(figure).replace(".", this.decimal);
    const where = this.say("at", { who: this.who(key, team), x: metres(at.x), y: metres(at.y) });
    const more = "facing" in at ? this.say("facing", { n: at.facing }) : this.said[unseen ? "unseen_mark" : "in_view"];
    return `${where}, ${more}`;
  }
}
