// What there is to press, and the keys.

import { layerNames } from "./picture.js";
import { byId, el } from "./text.js";

// makeControls lays out the words to press and the layers.
export function makeControls(page) {
  const acts = { run: () => page.runner.toggle(), fit: () => page.picture.fit(), closer: () => page.picture.zoom(1.4), wider: () => page.picture.zoom(1 / 1.4) };
  for (const [name, act] of Object.entries(acts)) byId("acts").append(el("button", { type: "button", id: "act-" + name, onclick: act }, name));
  for (const [name, words] of Object.entries(layerNames)) {
    const box = el("input", { type: "checkbox", id: "show-" + name });
    box.checked = !page.away.has(name);
    box.addEventListener("change", () => page.layer(name, box.checked));
    byId("layers").append(el("label", {}, box, " " + words));
    page.picture.show(name, box.checked);
  }
  byId("other").addEventListener("change", (e) => page.chooseOther(e.target.value));
  makeKeys(page);
}

// makeKeys lists the keys at the foot of the page and listens for them. Those of the crank go everywhere but where something
// else that takes keys has the focus.
function makeKeys(page) {
  const flip = (...names) => {
    const shown = page.away.has(names[0]);
    for (const n of names) page.layer(n, shown);
  };
  const doing = [
    ["←  →", "the crank by 1°, with shift by 0.1°"],
    ["Home  End", "the start and the end of the turn"],
    ["space", "run, stop", { " ": () => page.runner.toggle() }],
    ["n  p", "the next answer, the one before", { n: () => page.choice.pick(page.answers.next(1)), p: () => page.choice.pick(page.answers.next(-1)) }],
    ["c", "close up to the answer that is picked", { c: () => page.choice.close() }],
    ["f", "fit the engine to the sheet", { f: () => page.picture.fit() }],
    ["+  −", "closer, wider", { "+": () => page.picture.zoom(1.4), "-": () => page.picture.zoom(1 / 1.4) }],
    ["h", "hidden edges", { h: () => flip("hidden") }],
    ["g", "other positions", { g: () => flip("ghosts") }],
    ["s", "what the parts sweep over", { s: () => flip("swept") }],
    ["v", "plan and end view", { v: () => flip("plan", "end") }],
    ["b", "put the thin line of before away, or back", { b: () => page.chooseOther(page.other ? "" : page.state?.before ? "before" : "") }],
    ["Esc", "let go of what is picked and pointed at", { Escape: () => page.choice.letGo() }],
  ];
  byId("keylist").append(...doing.map(([key, words]) => el("div", {}, el("dt", {}, key), el("dd", {}, words))));
  const acts = Object.assign({}, ...doing.map(([, , act]) => act));
  document.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey || !page.scene || taken(e)) return;
    if (acts[e.key]) acts[e.key]();
    else if (!page.turnScale.step(e.key, e.shiftKey)) return;
    e.preventDefault();
  });
}

// taken is whether what has the focus wants a key for itself: a list every key, what is pressed or scrolled its own.
function taken(e) {
  const at = (what) => e.target.closest?.(what);
  if (at("select")) return true;
  if (e.key === " ") return !!at("button, input, summary, a");
  return e.key.length > 1 && e.key !== "Escape" && !!at("input, summary, pre, [role=slider]");
}

// listFiles lists the sketches of a page that shows several.
export function listFiles(page) {
  const nav = byId("files");
  nav.hidden = page.states.size < 2;
  const list = [...page.states.values()].sort((a, b) => a.file - b.file);
  nav.replaceChildren(...list.map((s) => {
    const short = s.answers.filter((a) => !a.ok).length;
    const words = s.mistake ? "cannot be used" : !s.done ? "…" : short ? `${short} short` : "holds";
    return el("button", { type: "button", "aria-current": s.file === page.file ? "page" : undefined, onclick: () => page.goFile(s.file) }, `${s.name}: ${words}`);
  }));
}
