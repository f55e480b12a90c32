// The turn as a graduated scale with a pointer, and over it what holds and what does not.

import { slide } from "./slide.js";
import { angleText, draw, lengthText, numberText, within } from "./text.js";

const left = 46, right = 16; // px beside a scale
const curveHigh = 92, bandHigh = 13, flagHigh = 17, scaleHigh = 30;

// TurnScale is the turn: its scale, the stretches that are not met hatched over it, the tightest places flagged, and the
// curve of the answer that was picked, all under one pointer.
export class TurnScale {
  constructor(node, onTurn) {
    this.node = node;
    this.onTurn = onTurn;
    this.svg = draw("svg", { "aria-hidden": "true" });
    this.still = draw("g");
    this.pointer = draw("g", { class: "pointer" });
    this.svg.append(draw("defs", {}, stripes()), this.still, this.pointer);
    node.append(this.svg);
    slide(node, "crank", { to: (x) => onTurn(this.turnAt(x)), step: (key, fine) => this.step(key, fine) });
    new ResizeObserver(() => this.layOut()).observe(node);
    this.answers = [];
  }

  take(scene, stretches) {
    this.scene = scene;
    this.stretches = stretches;
    this.node.setAttribute("aria-label", scene.turn.name);
    this.node.setAttribute("aria-valuemin", scene.turn.from);
    this.node.setAttribute("aria-valuemax", scene.turn.to);
    this.node.hidden = scene.turn.fixed;
    this.layOut();
  }

  // tell takes the answers, and the picked one with its curve: {answer, values, words} or undefined.
  tell(answers, picked) {
    this.answers = answers;
    this.picked = picked;
    this.layOut();
  }

  step(key, fine) {
    const { from, to } = this.scene.turn;
    const by = fine ? 0.1 : 1;
    if (key === "ArrowRight" || key === "ArrowUp") this.onTurn(this.turn + by);
    else if (key === "ArrowLeft" || key === "ArrowDown") this.onTurn(this.turn - by);
    else if (key === "PageUp") this.onTurn(this.turn + 10);
    else if (key === "PageDown") this.onTurn(this.turn - 10);
    else if (key === "Home") this.onTurn(from);
    else if (key === "End") this.onTurn(to, true);
    else return false;
    return true;
  }

  x(turn) {
    const { from, to } = this.scene.turn;
    return left + ((turn - from) / (to - from)) * (this.width - left - right);
  }

  turnAt(x) {
    const { from, to } = this.scene.turn;
    return within(from + ((x - left) / (this.width - left - right)) * (to - from), from, to);
  }

  layOut() {
    this.width = this.node.clientWidth;
    if (!this.scene || !this.width || this.scene.turn.fixed) return;
    const top = this.picked ? curveHigh + 18 : 4;
    this.base = top + flagHigh + bandHigh;
    const high = this.base + scaleHigh;
    this.svg.setAttribute("viewBox", `0 0 ${this.width} ${high}`);
    this.svg.setAttribute("height", high);
    this.svg.setAttribute("width", this.width);
    this.still.replaceChildren(...this.graduation(), ...this.band(top), ...this.flags(top), ...this.curve());
    this.stand(this.turn ?? this.scene.turn.from);
  }

  graduation() {
    const { from, to } = this.scene.turn;
    const room = (this.width - left - right) / (to - from);
    const small = [1, 2, 5, 10, 15, 30, 90, 360].find((s) => s * room >= 5) ?? 360;
    const figured = [5, 10, 15, 30, 45, 90, 180, 360].find((s) => s * room >= 38 && s % small === 0) ?? 360;
    const marks = [];
    let path = `M${this.x(from)} ${this.base}H${this.x(to)}`;
    for (let k = Math.ceil(from / small - 1e-9); k * small <= to + 1e-9; k++) {
      const t = k * small, main = Math.abs(t / figured - Math.round(t / figured)) < 1e-9;
      path += `M${this.x(t)} ${this.base}v${main ? 10 : 5}`;
      if (main) marks.push(draw("text", { x: this.x(t), y: this.base + 22, "text-anchor": "middle" }, angleText(t, 1)));
    }
    return [draw("path", { class: "thin", d: path }), ...marks];
  }

  // pieces are a stretch of the turn cut where the turn ends: one that runs across the start goes on at the start.
  pieces([a, b]) {
    const { from, to, round } = this.scene.turn;
    const list = [];
    for (const by of round ? [-360, 0, 360] : [0]) {
      const p = Math.max(a + by, from), q = Math.min(b + by, to);
      if (q > p || (a === b && q >= p)) list.push([p, q]);
    }
    return list;
  }

  band(top) {
    const y = top + flagHigh;
    const rect = (cls, title) => ([p, q]) => draw("rect", { class: cls, x: this.x(p), y, width: Math.max(1.5, this.x(q) - this.x(p)), height: bandHigh }, draw("title", {}, title));
    const out = [draw("rect", { class: "band", x: this.x(this.scene.turn.from), y, width: this.width - left - right, height: bandHigh })];
    const some = this.picked?.answer;
    for (const a of this.answers) {
      if (a.ok || (some && some.key !== a.key)) continue;
      for (const f of a.fouls) out.push(...this.pieces(f).map(rect("stretch", a.subject + " " + a.state)));
    }
    const { from, to } = this.scene.turn;
    let last = from;
    for (const [p, q] of [...this.stretches, [to, to]]) {
      if (p - last > 1e-4) out.push(rect("parted", "cannot be assembled here")([last, p]));
      last = q;
    }
    return out;
  }

  // flags number the tightest places as the rows of answers are numbered.
  flags(top) {
    const out = [];
    const taken = [];
    this.answers.slice(0, 12).forEach((a, i) => {
      if (a.turn === null) return;
      const x = this.x(this.onTurnOf(a.turn));
      const at = [0, -1, 1, -2, 2].map((k) => x + 15 * k).find((p) => p > left - 8 && p < this.width - 8 && !taken.some((t) => Math.abs(t - p) < 14));
      if (at === undefined) return;
      taken.push(at);
      out.push(draw("path", { class: a.ok ? "tick" : "tick bad", d: `M${at} ${top + 13}L${x} ${top + flagHigh}V${top + flagHigh + bandHigh}` }),
        draw("text", { class: a.ok ? "flag" : "flag bad", x: at, y: top + 11, "text-anchor": "middle" }, i + 1));
    });
    return out;
  }

  // onTurnOf brings a turn back into the range of the scale.
  onTurnOf(turn) {
    const { from, to, round } = this.scene.turn;
    return round ? from + ((((turn - from) % 360) + 360) % 360) : within(turn, from, to);
  }

  curve() {
    if (!this.picked?.values) return this.picked ? [draw("text", { x: left, y: 14 }, this.picked.words)] : [];
    const { answer, values, words } = this.picked;
    const { from, to } = this.scene.turn;
    const known = values.filter((v) => v !== null && !Number.isNaN(v));
    if (!known.length) return [draw("text", { x: left, y: 14 }, words)];
    const { band } = this.picked;
    let [low, high] = span(answer, known);
    for (const v of band?.low ?? []) if (v !== null && v < low) low = v - 0.1 * (high - v);
    const y = (v) => 18 + curveHigh * (1 - (v - low) / (high - low));
    const top = 18, foot = 18 + curveHigh;
    let d = "", on = false;
    values.forEach((v, i) => {
      if (v === null || Number.isNaN(v)) {
        on = false;
        return;
      }
      d += `${on ? "L" : "M"}${this.x(from + ((to - from) * i) / (values.length - 1)).toFixed(1)} ${within(y(v), top - 2, foot + 2).toFixed(1)}`;
      on = true;
    });
    const across = `H${this.x(to)}`;
    const out = [draw("path", { class: "thin", d: `M${this.x(from)} ${top}V${foot}${across}` })];
    const level = (v, cls, text) => {
      if (v === null || v === undefined || v < low || v > high) return;
      out.push(draw("path", { class: cls, d: `M${this.x(from)} ${y(v)}${across}` }), draw("text", { x: left - 5, y: y(v) + 4, "text-anchor": "end" }, text));
    };
    const say = (v) => this.figure(answer, v);
    if (low < 0 && high > 0 && answer.pair.length === 2) out.push(draw("rect", { class: "under", x: this.x(from), y: y(0), width: this.x(to) - this.x(from), height: foot - y(0) }));
    if (answer.pair.length !== 2 || !(answer.atLeast > 0 && Math.abs(y(0) - y(answer.atLeast)) < 11)) level(0, "touch", "0");
    else level(0, "touch", "");
    if (answer.kind !== "gap") {
      level(answer.atLeast, "asked", say(answer.atLeast));
      level(answer.atMost, "asked", say(answer.atMost));
    }
    if (band) out.splice(1, 0, ...this.within(band, (v) => within(y(v), top, foot)));
    out.push(draw("path", { class: "curve", d }), draw("text", { x: left, y: 12 }, words));
    this.high = y;
    return out;
  }

  // within is a band, filled between its two lines wherever both are known. Where the upper alone is not, the lower stands by itself.
  within({ low, high }, y) {
    const { from, to } = this.scene.turn;
    const at = (list, i) => `${this.x(from + ((to - from) * i) / (low.length - 1)).toFixed(1)} ${y(list[i]).toFixed(1)}`;
    const runs = (known, with_) => {
      for (let i = 0; i < low.length; i++) {
        const run = [];
        for (; i < low.length && known(i); i++) run.push(i);
        if (run.length > 1) with_(run);
      }
    };
    const out = [];
    const line = (list) => (run) => out.push(draw("path", { class: "within-edge", d: "M" + run.map((i) => at(list, i)).join("L") }));
    runs((i) => low[i] !== null && high[i] !== null, (run) =>
      out.push(draw("path", { class: "within", d: "M" + [...run.map((i) => at(low, i)), ...run.reverse().map((i) => at(high, i))].join("L") + "Z" })));
    runs((i) => low[i] !== null, line(low));
    runs((i) => high[i] !== null, line(high));
    return out;
  }

  figure(answer, v) {
    if (v === null || v === undefined) return "";
    if (answer.unit === "length") return lengthText(this.scene, v);
    return answer.unit === "angle" ? angleText(v) : numberText(v);
  }

  // reading is the picked answer's figure at the pointer, from its curve; undefined where there is none.
  reading() {
    const values = this.picked?.values;
    if (!values || !this.high) return undefined;
    const a = this.picked.answer;
    if (this.exact && Math.abs(this.exact.turn - this.turn) < 1e-9) return this.exact.value;
    if (a.kind === "clear" && this.picked.worst && Math.abs(a.turn - this.turn) < 1e-6) return a.least;
    if (!this.picked.here) return undefined;
    const { from, to } = this.scene.turn;
    const n = ((this.turn - from) / (to - from)) * (values.length - 1), first = within(Math.floor(n) - 1, 0, Math.max(0, values.length - 4));
    let v = 0;
    for (let j = first; j < first + Math.min(4, values.length); j++) {
      let weight = 1;
      for (let k = first; k < first + Math.min(4, values.length); k++) if (k !== j) weight *= (n - k) / (j - k);
      v += weight * values[j];
    }
    return Number.isNaN(v) ? undefined : v;
  }

  stand(turn) {
    this.turn = turn;
    if (!this.scene || !this.width || this.scene.turn.fixed) return;
    const x = this.x(turn);
    this.node.setAttribute("aria-valuenow", +turn.toFixed(3));
    this.node.setAttribute("aria-valuetext", `${this.scene.turn.name} ${angleText(turn)}`);
    const top = this.picked ? 18 : 4;
    if (!this.line) {
      this.line = draw("path", { class: "line" });
      this.head = draw("path", { class: "head" });
      this.dot = draw("circle", { r: 3.2 });
      this.value = draw("text", { y: 12, "text-anchor": "end", class: "now" });
      this.pointer.append(this.line, this.head, this.dot, this.value);
    }
    this.line.setAttribute("d", `M${x} ${top}V${this.base + 12}`);
    this.head.setAttribute("d", `M${x} ${this.base}l-5 12h10z`);
    const v = this.reading();
    this.dot.setAttribute("visibility", v === undefined ? "hidden" : "visible");
    this.value.textContent = v === undefined ? "" : "here " + this.figure(this.picked.answer, v);
    this.value.setAttribute("x", this.width - right);
    if (v !== undefined) {
      this.dot.setAttribute("cx", x);
      this.dot.setAttribute("cy", within(this.high(v), 16, 20 + curveHigh));
    }
  }
}

// span is from where to where a curve is shown: a little below touching or its least, up to where what is asked is still
// well seen; as on the sheets.
export function span(answer, known) {
  let low = Math.min(...known), high = Math.max(...known);
  if (answer.pair.length === 2) {
    const least = answer.least ?? low, limits = [answer.atLeast ?? 0, answer.atMost ?? 0, Math.abs(least)];
    const near = Math.max(...limits);
    high = Math.max(1.05 * high, 1.2 * near);
    if (near > 0) high = Math.min(high, 6 * near);
    if (answer.kind === "clear") low = least;
    low = low < 0 ? Math.min(1.25 * low, -0.16 * high) : -0.05 * high;
  } else {
    const limits = [answer.atLeast, answer.atMost].filter((v) => v !== null);
    low = Math.min(low, ...limits);
    high = Math.max(high, ...limits);
    const edge = 0.08 * (high - low);
    low -= edge;
    high += edge;
  }
  if (!(high - low > 1e-9)) [low, high] = [low - 0.5, high + 0.5];
  return [low, high];
}

// stripes is the pattern for a stretch that is not met.
function stripes() {
  return draw("pattern", { id: "stripes", width: 5, height: 5, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
    draw("rect", { class: "hatch-line", width: 1.5, height: 5 }));
}
