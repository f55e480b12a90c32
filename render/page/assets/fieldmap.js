// The map of two dimensions: where everything is proved to hold, what stops it on each side, where it stands now.

import { Gone } from "./live.js";
import { byId, draw, el } from "./text.js";

const mapWide = 300, mapLeft = 6, mapTop = 4, mapLow = 18; // px: the map, and what is about it

export class FieldMap {
  constructor(page) {
    this.page = page;
    this.box = byId("mapped");
  }

  // take offers the dimensions of a newer engine. What was being looked at is let go of; what was chosen stays, by its name.
  take(scene) {
    this.stop();
    byId("map").hidden = !this.page.source.map || scene.dims.length < 2;
    if (byId("map").hidden) return;
    const was = this.selects?.map((s) => s.selectedOptions[0]?.textContent);
    const select = (k) => {
      const list = el("select", { "aria-label": ["to the right", "upward"][k], onchange: () => this.stop() },
        ...scene.dims.map((d, i) => el("option", { value: i }, d.name)));
      const at = was ? scene.dims.findIndex((d) => d.name === was[k]) : -1;
      list.value = String(at < 0 ? k : at);
      return list;
    };
    this.selects = [select(0), select(1)];
    this.button = el("button", { type: "button", onclick: () => this.look() }, "look");
    this.told = el("div", { role: "status" });
    this.box.replaceChildren(el("p", {}, this.selects[0], " to the right, ", this.selects[1], " upward: ", this.button), this.told);
  }

  // stop lets go of what is being looked at, and of what was found.
  stop() {
    this.asking?.abort();
    this.asking = undefined;
    this.told?.replaceChildren();
  }

  async look() {
    this.stop();
    const [x, y] = this.selects.map((s) => s.value);
    if (x === y) return this.told.replaceChildren(el("p", {}, "Choose two dimensions that differ."));
    const asking = (this.asking = new AbortController());
    this.told.replaceChildren(el("p", {}, "Looking, for some seconds …"));
    try {
      const found = await this.page.source.map(this.page.at, x, y, asking.signal);
      if (asking === this.asking) this.told.replaceChildren(...this.show(found));
    } catch (e) {
      if (asking.signal.aborted || e instanceof Gone) return;
      this.told.replaceChildren(el("p", {}, "It could not be looked at: " + e.message));
    }
  }

  // show is a map and its words. The first dimension goes to the right, the other upward.
  show(f) {
    const px = (u) => mapLeft + u * mapWide, py = (v) => mapTop + (1 - v) * mapWide;
    const cells = f.cells.map((c) => draw("rect", { class: "cell " + c.look, x: px(c.from[0]), y: py(c.to[1]), width: (c.to[0] - c.from[0]) * mapWide, height: (c.to[1] - c.from[1]) * mapWide },
      draw("title", {}, c.says)));
    const within = ([u, v]) => u >= 0 && u <= 1 && v >= 0 && v <= 1;
    const stock = f.stock.filter(within).map(([u, v]) => draw("circle", { class: "had", cx: px(u), cy: py(v), r: 2.2 }));
    const mark = (at, words) => (at && within(at)
      ? [draw("path", { class: "thin", d: `M${px(at[0]) - 6} ${py(at[1])}h12M${px(at[0])} ${py(at[1]) - 6}v12` }),
          draw("text", { class: "halo", x: px(at[0]) + (at[0] > 0.7 ? -7 : 7), y: py(at[1]) - 5, "text-anchor": at[0] > 0.7 ? "end" : "start" }, words)] : []);
    const [[x0, x1], [y0, y1]] = f.ends;
    const ends = [[mapLeft, mapTop + mapWide + 13, "start", x0], [mapLeft + mapWide, mapTop + mapWide + 13, "end", x1], [mapLeft + mapWide + 6, mapTop + mapWide, "start", y0], [mapLeft + mapWide + 6, mapTop + 10, "start", y1]]
      .map(([x, y, anchor, words]) => draw("text", { x, y, "text-anchor": anchor }, words));
    const names = [draw("text", { x: mapLeft + mapWide / 2, y: mapTop + mapWide + 13, "text-anchor": "middle", class: "name" }, f.dims[0]),
      draw("text", { x: mapLeft + mapWide + 6, y: mapTop + mapWide / 2, class: "name" }, f.dims[1])];
    const label = `${f.dims[0]} to the right and ${f.dims[1]} upward: white where everything is proved to hold, dark where something falls short`;
    const map = draw("svg", { class: "map", role: "img", "aria-label": label, width: mapWide + 150, height: mapWide + mapTop + mapLow },
      ...cells, draw("rect", { class: "thin", x: mapLeft, y: mapTop, width: mapWide, height: mapWide }), ...stock, ...mark(f.best, "most room"), ...mark(f.now, "now"), ...ends, ...names);
    const key = "White: proved to hold. Dark: proved to fall short. Between: neither." + (f.stock.length ? " Dots: sizes in stock." : "") + " Point at a cell for what is known of it.";
    return [f.cells.length ? map : undefined, f.cells.length ? el("small", {}, key) : undefined, ...f.sides.map((s) => el("p", {}, s)),
      ...f.words.map((s) => el("p", { class: f.holdsNow ? "" : "bad" }, el("b", {}, s)))].filter(Boolean);
  }
}
