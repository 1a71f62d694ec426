// A page's texts and figures, in its language.

export class Phrases {
  /** From a page's data: `said` has the texts by name, `decimal` the decimal sign. */
  constructor({ said, decimal }) {
    this.said = said;
    this.decimal = decimal;
  }

  /** A text with its figures: %(name)s stands for one of them, %% for a percent sign. */
  say(name, figures = {}) {
    return this.said[name].replace(/%\((\w+)\)s/g, (_, key) => figures[key]).replace(/%%/g, "%");
  }

  figure(n, decimals) {
    return n.toFixed(decimals).replace(".", this.decimal);
  }
}
