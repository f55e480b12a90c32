// The plan and the end view beside the elevation: they move along.

import { draw } from "./text.js";

export const partTints = 6; // fills of parts, by class

export class Views {
  constructor(picture, layer) {
    this.picture = picture;
    this.layer = layer;
  }

  // room is how much of the engine's measure the plan below and the end view beside the elevation take.
  room(box) {
    const across = this.across();
    const gap = 0.06 * Math.max(box[2] - box[0], box[3] - box[1]);
    const [plan, end] = ["plan", "end"].map((v) => (this.picture.box.classList.contains("no-" + v) || !across ? 0 : across[1] - across[0] + gap));
    this.places = { plan: box[3] + gap, end: box[2] + gap };
    return [plan, end];
  }

  // across is from where to where the engine lies across; undefined where no band is known.
  across() {
    const bands = this.picture.scene.profiles.filter((p) => p.from !== null && p.to !== null);
    if (!bands.length) return undefined;
    return [Math.min(...bands.map((p) => p.from)), Math.max(...bands.map((p) => p.to))];
  }

  // show draws the plan and the end view. A profile is a prism: seen from above or from the end it is a rectangle, from its
  // least to its greatest place by its band. First angle: the plan below, what is nearest lowest; the end view to the right.
  show() {
    const shown = ["plan", "end"].filter((v) => !this.picture.box.classList.contains("no-" + v));
    if (!shown.length || !this.picture.scene || !this.places) {
      this.layer.replaceChildren();
      return;
    }
    const across = this.across();
    if (!across) return;
    const rects = [];
    for (const p of this.picture.scene.profiles) {
      if (p.from === null) continue;
      const row = this.picture.scene.parts[p.part].row;
      const box = [Infinity, Infinity, -Infinity, -Infinity];
      for (let n = 0; n < p.hull.length; n += 2) {
        const [x, y] = this.picture.motion.place(row, p.hull[n], p.hull[n + 1]);
        box[0] = Math.min(box[0], x);
        box[1] = Math.min(box[1], y);
        box[2] = Math.max(box[2], x);
        box[3] = Math.max(box[3], y);
      }
      const look = (row < 0 ? "fixed" : "part tint" + (p.part % partTints)) + (this.picture.marked.picked.includes(p.index) ? " picked" : "");
      if (shown.includes("plan")) rects.push({ look, high: box[3], box: [box[0], -(this.places.plan + p.from - across[0]), box[2], -(this.places.plan + p.to - across[0])] });
      if (shown.includes("end")) rects.push({ look, high: -box[0], box: [this.places.end + p.from - across[0], box[1], this.places.end + p.to - across[0], box[3]] });
    }
    rects.sort((a, b) => a.high - b.high);
    const rect = (look, box) => {
      const [x1, y1] = this.picture.on(box[0], Math.max(box[1], box[3])), [x2, y2] = this.picture.on(box[2], Math.min(box[1], box[3]));
      return draw("rect", { class: look, x: x1, y: y1, width: Math.max(x2 - x1, 0.5), height: Math.max(y2 - y1, 0.5) });
    };
    this.layer.replaceChildren(...rects.map((r) => rect(r.look, r.box)), ...rects.map((r) => rect("unseen", r.box)));
  }
}
