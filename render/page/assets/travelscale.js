// A travel as a graduated scale with a pointer.

import { slide } from "./slide.js";
import { draw, el, travelText, within } from "./text.js";

// TravelScale is one travel: a range with every value between its ends, or a list with its settings as detents.
export class TravelScale {
  constructor(scene, i, continuous, onTravel) {
    this.scene = scene;
    this.i = i;
    this.t = scene.travels[i];
    this.free = this.t.range && continuous;
    this.onTravel = onTravel;
    this.node = el("div");
    this.svg = draw("svg", { "aria-hidden": "true" });
    this.still = draw("g");
    this.line = draw("path", { class: "line" });
    this.head = draw("path", { class: "head" });
    this.svg.append(this.still, draw("g", { class: "pointer" }, this.line, this.head));
    this.reads = el("span");
    this.node.append(el("small", {}, this.t.name + " ", this.reads), this.svg);
    slide(this.node, this.t.name, { to: (x) => this.to(this.valueAt(x)), step: (key, fine) => this.step(key, fine) });
    this.node.setAttribute("aria-valuemin", this.t.from);
    this.node.setAttribute("aria-valuemax", this.t.to);
    new ResizeObserver(() => this.layOut()).observe(this.node);
  }

  to(value) {
    this.onTravel(this.i, this.free ? within(value, this.t.from, this.t.to) : this.stop(value));
  }

  // stop is the stop nearest to a value.
  stop(value) {
    return this.t.stops.reduce((best, s) => (Math.abs(s - value) < Math.abs(best - value) ? s : best), this.t.stops[0] ?? this.t.rest);
  }

  step(key, fine) {
    const { from, to, stops, rest } = this.t;
    const ends = [...stops].sort((a, b) => a - b);
    const next = (way) => {
      if (this.free) return this.value + (way * (to - from)) / (fine ? 1000 : 100);
      const here = ends.indexOf(this.stop(this.value));
      return ends[within(here + way, 0, ends.length - 1)];
    };
    if (key === "ArrowRight" || key === "ArrowUp") this.to(next(1));
    else if (key === "ArrowLeft" || key === "ArrowDown") this.to(next(-1));
    else if (key === "Home") this.to(from);
    else if (key === "End") this.to(to);
    else if (key === "Delete" || key === "Backspace") this.to(rest);
    else return false;
    return true;
  }

  x(v) {
    const { from, to } = this.t;
    return 14 + (to > from ? (v - from) / (to - from) : 0.5) * (this.width - 28);
  }

  valueAt(x) {
    return this.t.from + ((x - 14) / (this.width - 28)) * (this.t.to - this.t.from);
  }

  layOut() {
    this.width = this.node.clientWidth;
    if (!this.width) return;
    this.svg.setAttribute("viewBox", `0 0 ${this.width} 34`);
    this.svg.setAttribute("width", this.width);
    this.svg.setAttribute("height", 34);
    const { from, to, stops, labels, rest } = this.t;
    // A detent is a notch in the line; a step of a range is a tick on it.
    let d = `M${this.x(from)} 10`;
    const texts = [];
    let last = -Infinity;
    const order = stops.map((s, k) => [s, labels[k]]).sort((a, b) => a[0] - b[0]);
    const shown = order.length > 60 ? [] : order;
    for (const [s] of shown) d += this.t.range ? `H${this.x(s)}v6v-6` : `H${this.x(s) - 4}l4 6l4 -6`;
    d += `H${this.x(to)}`;
    const put = (s, text, wanted) => {
      const x = this.x(s), wide = 6.2 * text.length;
      const middle = within(x, wide / 2 + 1, this.width - wide / 2 - 1);
      if (!wanted && middle - wide / 2 < last + 6) return;
      last = middle + wide / 2;
      texts.push(draw("text", { x: middle, y: 30, "text-anchor": "middle" }, text));
    };
    for (const [s, text] of order) put(s, text, false);
    this.still.replaceChildren(draw("path", { class: "thin", d }), draw("path", { class: "rest", d: `M${this.x(rest)} 4v12` }), ...texts);
    this.stand(this.value ?? rest);
  }

  stand(value) {
    this.value = value;
    const words = travelText(this.scene, this.i, value);
    this.reads.textContent = words;
    this.node.setAttribute("aria-valuenow", +value.toFixed(4));
    this.node.setAttribute("aria-valuetext", words);
    if (!this.width) return;
    this.line.setAttribute("d", `M${this.x(value)} 2V12`);
    this.head.setAttribute("d", `M${this.x(value)} 10l-4.5 -9h9z`);
  }
}
