// The tables: what holds and what does not, what a change moved, and what was pointed at.

import { angleText, byId, draw, el, lengthText } from "./text.js";

const heads = ["no.", "answer", "asked about", "worst", "asked", "at", "over the turn"];

const mostPrinted = 24; // answers on paper: see page.css

// Answers is the table of what holds and what does not, the worst first, each with its clearance over the turn.
export class Answers {
  constructor(onPick) {
    this.onPick = onPick;
    this.rows = byId("rows");
    this.list = [];
  }

  // clear puts the rows of another sketch away.
  clear() {
    this.list = [];
    this.rows.replaceChildren();
  }

  // tell shows the state of a sketch.
  tell(state) {
    byId("sentence").replaceChildren(el("b", {}, state.done ? state.sentence : waiting(state)), state.sure ? " " + state.sure : "");
    byId("sentence").classList.toggle("bad", state.done && state.answers.some((a) => !a.ok));
    if (!state.done && !state.answers.length && state.version) return; // the rows of before stand until the first new ones are there
    this.list = state.answers;
    const focused = document.activeElement?.dataset?.key;
    const table = el("table", {}, el("thead", {}, el("tr", {}, ...heads.map((h) => el("th", { scope: "col" }, h)))));
    const body = el("tbody");
    state.answers.forEach((a, i) => body.append(...this.row(a, i)));
    table.append(body);
    const more = state.answers.length - mostPrinted;
    this.rows.replaceChildren(...(state.answers.length ? [table] : []), ...(more > 0 ? [el("p", { class: "printed" }, `and ${more} more`)] : []));
    this.choose(this.picked);
    if (focused) [...this.rows.querySelectorAll("button")].find((b) => b.dataset.key === focused)?.focus({ preventScroll: true });
  }

  row(a, i) {
    const name = el("button", { type: "button", "data-key": a.key, "aria-pressed": "false" }, a.note || a.subject);
    name.addEventListener("click", () => this.onPick(a.key));
    const about = el("td", { class: "about" }, name);
    if (a.note) about.append(el("span", { class: "pair" }, a.subject));
    const cls = a.ok ? (a.state === "apart" ? "pale" : "good") : "bad";
    const [figure, near] = a.worst.split("  ");
    return [
      el("tr", { class: cls, "data-row": a.key }, el("td", { class: "no" }, String(i + 1)), el("td", { class: "state" }, a.state),
        about, el("td", { class: "figure" }, figure, near ? el("span", { class: "pair" }, near) : undefined), el("td", { class: "figure" }, a.asked),
        el("td", { class: "place" }, ...a.place.split(", ").map((w, k) => (k ? el("span", { class: "pair" }, w) : w))), el("td", { class: "small" })),
      el("tr", { class: "more " + cls, "data-row": a.key }, el("td"), el("td"), el("td", { colspan: 5 }, a.more.join("; "))),
    ];
  }

  // choose marks the row that was picked.
  choose(key) {
    this.picked = key;
    for (const b of this.rows.querySelectorAll("button")) b.setAttribute("aria-pressed", String(b.dataset.key === key));
    for (const r of this.rows.querySelectorAll("tr[data-row]")) r.classList.toggle("picked", r.dataset.row === key);
  }

  // curves draws the clearance over the turn small into each row.
  curves(values, long) {
    const cells = this.rows.querySelectorAll("td.small");
    this.list.forEach((a, i) => {
      if (!cells[i]) return;
      const row = Array.from(values.slice(i * long, (i + 1) * long));
      cells[i].replaceChildren(...small(a, row));
    });
  }

  // next is the key of the row so many rows on.
  next(by) {
    if (!this.list.length) return undefined;
    const here = this.list.findIndex((a) => a.key === this.picked);
    return this.list[here < 0 ? (by > 0 ? 0 : this.list.length - 1) : (here + by + this.list.length) % this.list.length].key;
  }
}

function waiting(state) {
  if (!state.version) return state.mistake ? "" : "The sketch is being read.";
  return `Proving: ${state.found} of ${state.total} checks are answered.`;
}

// small is a curve of a few millimetres: the figure over the turn, and the line that it must keep to.
function small(a, values) {
  const known = values.filter((v) => !Number.isNaN(v));
  if (known.length < 3 || a.state === "apart" || (a.kind === "gap" && Math.min(...known) * Math.max(...known) > 0)) return [];
  let low = Math.min(...known), high = Math.max(...known);
  const limits = (a.pair.length ? (a.kind === "gap" ? [0] : [a.atLeast ?? 0]) : [a.atLeast, a.atMost]).filter((v) => v !== null);
  if (a.pair.length) high = Math.min(high, Math.max(...limits.map((v) => 8 * v), 8 * Math.abs(low), 1e-6));
  low = Math.min(low, ...limits);
  high = Math.max(high, ...limits);
  if (!(high - low > 1e-6)) return [];
  const y = (v) => 1.5 + 15 * (1 - (Math.min(v, high) - low) / (high - low));
  let d = "", on = false;
  values.forEach((v, i) => {
    if (Number.isNaN(v)) return (on = false);
    d += `${on ? "L" : "M"}${((64 * i) / (values.length - 1)).toFixed(1)} ${y(v).toFixed(1)}`;
    on = true;
  });
  return [draw("svg", { width: 64, height: 18, viewBox: "0 0 64 18", "aria-hidden": "true" },
    draw("path", { class: "limit", d: limits.map((v) => `M0 ${y(v).toFixed(1)}H64`).join("") }), draw("path", { class: "curve", d }))];
}

// showChanges lists what came out otherwise against another engine.
export function showChanges(list, name, onPick, onClose) {
  const box = byId("changes");
  box.hidden = !list;
  if (!list) return box.replaceChildren();
  const head = el("h2", {}, name);
  const away = el("button", { type: "button", class: "word" }, "put away");
  away.addEventListener("click", onClose);
  if (!list.length) return box.replaceChildren(head, away, el("p", {}, "Everything came out as it was."));
  const body = el("tbody");
  for (const c of list) {
    const what = c.key ? el("button", { type: "button" }, c.note || c.subject) : c.note || c.subject;
    if (c.key) what.addEventListener("click", () => onPick(c.key));
    const about = el("td", { class: "about" }, what);
    if (c.note && c.key) about.append(el("span", { class: "pair" }, c.subject));
    body.append(el("tr", { class: c.ok ? "" : "bad" }, el("td", { class: "state" }, c.word), about,
      el("td", { class: "figure" }, c.was || "–"), el("td", {}, "→"), el("td", { class: "figure" }, c.is || "–")));
  }
  box.replaceChildren(head, away, el("table", {}, el("thead", { class: "heard" }, el("tr", {}, ...["what became of it", "asked about", "before", "to", "after"].map((h) => el("th", { scope: "col" }, h)))), body));
}

// tellOne is what is known of one profile.
export function tellOne(scene, profile) {
  const across = profile.from === null ? "" : `across ${lengthText(scene, profile.from)} to ${lengthText(scene, profile.to)}, ${lengthText(scene, profile.to - profile.from)} thick`;
  const play = profile.play > 0 ? `, may shift ${lengthText(scene, profile.play)} either way` : "";
  const dims = profile.dims.map((i) => scene.dims[i]);
  return [el("h2", {}, profile.name), el("p", {}, across + play), el("pre", { tabindex: "0" }, `${profile.line}\n${profile.text}`),
    el("table", {}, el("tbody", {}, ...dims.map((d) => el("tr", {}, el("td", {}, d.name), el("td", { class: "figure" }, d.value), el("td", {}, d.says), el("td", {}, d.line)))))];
}

// tellTwo is how two profiles stand to one another: here, and at the least over the turn.
export function tellTwo(scene, a, b, here, pair) {
  const say = (d) => (d === null || d === undefined ? "–" : d < 0 ? `overlap by ${lengthText(scene, -d)}` : lengthText(scene, d));
  const apart = a.from !== null && b.from !== null ? Math.max(a.from - b.to, b.from - a.to) : undefined;
  const rows = [["distance here", here === undefined ? "not in this file" : say(here)]];
  if (pair) rows.push(["least over the turn, as the travels stand", pair.least === null ? "–" : `${say(pair.least)} at ${angleText(pair.at)}`]);
  if (apart !== undefined) rows.push(["across", apart >= 0 ? `${lengthText(scene, apart)} between their bands` : `their bands overlap by ${lengthText(scene, -apart)}`]);
  return [el("h2", {}, `${a.name} – ${b.name}`), el("table", {}, el("tbody", {}, ...rows.map(([k, v]) => el("tr", {}, el("td", {}, k), el("td", { class: "figure" }, v))))),
    el("p", {}, "Looked at position by position, not proved.")];
}
