// The engine as a drawing that moves: outlines once, and one matrix a part for each position.

import { takeInHand } from "./hand.js";
import { byId, calm, draw, within } from "./text.js";
import { Views, partTints } from "./views.js";

// The layers that can be put away, with their names, from the lowest.
export const layerNames = {
  ghosts: "other positions", hidden: "hidden edges", swept: "swept", centres: "centre lines",
  traces: "paths", figures: "figures", plan: "plan", end: "end view",
};

const paperEdge = 14; // px round what is shown
const glide = 220; // ms for the view to go somewhere

export class Picture {
  constructor(onPoint, onCrank) {
    this.box = byId("picture");
    this.defs = draw("defs");
    // Three sheets over one another, so that what does not move is not drawn again at every frame.
    this.layers = {};
    this.worlds = [];
    const sheets = [["scans", "fixed", "ghosts"], ["chosen", "before", "hidden", "meets", "centres"], ["unseen", "swept", "axes", "traces"]].map((names) => {
      const world = draw("g");
      for (const name of names) {
        this.layers[name] = draw("g", { id: "layer-" + name });
        world.append(this.layers[name]);
      }
      this.worlds.push(world);
      return draw("svg", { "aria-hidden": "true" }, world);
    });
    this.figures = draw("g", { id: "layer-figures" });
    const side = draw("g", { id: "layer-views" });
    sheets[0].prepend(this.defs);
    sheets[1].append(side);
    sheets[2].append(this.figures);
    this.box.append(...sheets);
    this.view = { x: 0, y: 0, k: 1 };
    this.movers = [];
    this.rods = [];
    this.pins = [];
    this.clips = [];
    this.marked = { picked: [], pointed: [] };
    this.views = new Views(this, side);
    takeInHand(this, onPoint, onCrank);
    new ResizeObserver(() => this.resize()).observe(this.box);
  }

  // take puts another scene in the place of the one shown. The view stays, but for the first time.
  take(scene, motion) {
    const first = !this.scene;
    this.scene = scene;
    this.motion = motion;
    this.hands = scene.parts.map((p) => motion.crank(p.row));
    for (const layer of Object.values(this.layers)) layer.replaceChildren();
    this.defs.replaceChildren(hatch("foul-hatch", this.view.k));
    this.movers = [];
    this.shapes = new Map();
    this.clips = [];
    this.crosses = [];
    for (const s of scene.scans) {
      this.layers.scans.append(draw("image", { href: s.picture, width: s.width, height: s.height, preserveAspectRatio: "none", transform: `matrix(${s.at.join(" ")})` }));
    }
    let run;
    for (const profile of scene.profiles) {
      this.defs.append(draw("path", { id: "o" + profile.index, d: profile.path, "clip-rule": "evenodd", "vector-effect": "non-scaling-stroke" }));
      const row = scene.parts[profile.part].row;
      if (!run || run.row !== row) {
        const group = draw("g", { class: row < 0 ? "fixed" : "part tint" + (profile.part % partTints) });
        this.layers[row < 0 ? "fixed" : "chosen"].append(group);
        run = { row, group };
        if (row >= 0) this.movers.push(run);
      }
      const path = draw("path", { d: profile.path, "data-profile": profile.index }, draw("title", {}, profile.name));
      run.group.append(path);
      this.shapes.set(profile.index, path);
      this.along("hidden", profile, draw("path", { d: profile.path }));
      this.axes(profile);
    }
    this.sticks();
    this.marked = { picked: [], pointed: [] };
    this.thin = undefined;
    this.turned();
    if (first) this.fit(true);
  }

  // along puts something that goes with a profile's part on a layer.
  along(layer, profile, node) {
    const row = this.scene.parts[profile.part].row;
    if (row < 0) return this.layers.unseen.append(node);
    let mover = this.movers.find((m) => m.layer === layer && m.row === row);
    if (!mover) {
      mover = { row, layer, group: draw("g") };
      this.layers[layer].append(mover.group);
      this.movers.push(mover);
    }
    mover.group.append(node);
  }

  // axes draws a cross at the centre of every round of a profile, once a place. It stays upright while its part turns.
  axes(profile) {
    const row = this.scene.parts[profile.part].row;
    for (const [x, y, r] of profile.axes) {
      const same = this.crosses.find((c) => c.row === row && Math.hypot(c.x - x, c.y - y) < 1e-2);
      if (same && same.r >= r) continue;
      same?.node.remove();
      const arm = r * 1.2;
      const node = draw("path", { d: `M${-arm} 0H${arm}M0 ${-arm}V${arm}`, transform: `translate(${x} ${-y})` });
      this.layers[row < 0 ? "axes" : "centres"].append(node);
      this.crosses = this.crosses.filter((c) => c !== same).concat({ row, x, y, r, node });
    }
  }

  sticks() {
    this.rods = this.scene.sticks.map((ends) => ({ ends, line: draw("line", { class: "stick" }) }));
    const pins = [...new Set(this.scene.sticks.flat())];
    this.pins = pins.map((i) => ({ i, ring: draw("circle", { class: "pin", r: 0 }, draw("title", {}, this.scene.points[i])) }));
    this.layers.chosen.append(...this.rods.map((r) => r.line), ...this.pins.map((p) => p.ring));
  }

  // extent is the box round everything over the turn, and round the lines that stand still. y runs down.
  extent() {
    const box = [Infinity, Infinity, -Infinity, -Infinity];
    const take = (x, y) => {
      box[0] = Math.min(box[0], x);
      box[1] = Math.min(box[1], -y);
      box[2] = Math.max(box[2], x);
      box[3] = Math.max(box[3], -y);
    };
    const { motion, scene } = this;
    const step = Math.max(1, Math.floor(motion.turns.length / 24));
    for (let i = 0; i < motion.turns.length; i += step) {
      motion.stand(motion.turns[i]);
      for (const p of scene.profiles) {
        const row = scene.parts[p.part].row;
        if (row < 0 && i > 0) continue;
        for (let n = 0; n < p.hull.length; n += 2) take(...motion.place(row, p.hull[n], p.hull[n + 1]));
      }
      for (let n = 0; n < scene.points.length; n++) take(...motion.point(n));
    }
    return box[0] <= box[2] ? box : [-50, -50, 50, 50];
  }

  // fit shows all of the engine, with room for the views that are shown beside it.
  fit(now = false) {
    if (!this.scene) return;
    const box = this.extent();
    const [plan, end] = this.views.room(box);
    this.goTo([box[0], box[1], box[2] + end, box[3] + plan], now);
  }

  // closeUp shows a place of the engine, so many mm round it.
  closeUp(x, y, reach) {
    this.goTo([x - reach, -y - reach, x + reach, -y + reach]);
  }

  goTo(target, now = false) {
    this.target = target; // until somebody zooms or pans, it is kept to when the sheet gets another size
    const [left, top, right, bottom] = target;
    const { width, height } = this.box.getBoundingClientRect();
    if (!width || !height) return;
    const k = Math.min((width - 2 * paperEdge) / Math.max(right - left, 1e-6), (height - 2 * paperEdge) / Math.max(bottom - top, 1e-6));
    const to = { k, x: width / 2 - (k * (left + right)) / 2, y: height / 2 - (k * (top + bottom)) / 2 };
    const from = { ...this.view };
    const begun = performance.now();
    const mine = (this.going = {});
    const step = () => {
      if (this.going !== mine) return;
      const t = now || calm() ? 1 : Math.min(1, (performance.now() - begun) / glide);
      const s = t * t * (3 - 2 * t);
      const ratio = (to.k / from.k) ** s;
      const kk = from.k * ratio;
      // The centre goes evenly in the engine's own measure, so that nothing swings out of sight.
      const mid = (v) => [(width / 2 - v.x) / v.k, (height / 2 - v.y) / v.k];
      const [ax, ay] = mid(from), [bx, by] = mid(to);
      this.view = { k: kk, x: width / 2 - kk * (ax + (bx - ax) * s), y: height / 2 - kk * (ay + (by - ay) * s) };
      if (t === 1) this.view = to;
      this.viewed();
      if (t < 1) requestAnimationFrame(step);
    };
    step();
  }

  zoom(by, x, y) {
    const { width, height } = this.box.getBoundingClientRect();
    x ??= width / 2;
    y ??= height / 2;
    this.going = this.target = undefined;
    const k = within(this.view.k * by, 1e-3, 1e4);
    by = k / this.view.k;
    this.view = { k, x: x - (x - this.view.x) * by, y: y - (y - this.view.y) * by };
    this.viewed();
  }

  pan(dx, dy) {
    this.going = this.target = undefined;
    this.view = { ...this.view, x: this.view.x + dx, y: this.view.y + dy };
    this.viewed();
  }

  viewed() {
    const { x, y, k } = this.view;
    for (const w of this.worlds) w.setAttribute("transform", `matrix(${k} 0 0 ${k} ${x} ${y})`);
    for (const pin of this.pins) pin.ring.setAttribute("r", 3.4 / k);
    this.defs.querySelector("pattern")?.setAttribute("patternTransform", `rotate(45) scale(${1 / k})`);
    this.views.show();
    this.label();
  }

  // resize keeps what is shown, or what stands in the middle, there.
  resize() {
    const { width, height } = this.box.getBoundingClientRect();
    if (this.target && this.scene) this.goTo(this.target, true);
    else if (this.size && width && height) {
      const { x, y, k } = this.view;
      this.view = { k, x: x + (width - this.size[0]) / 2, y: y + (height - this.size[1]) / 2 };
      this.viewed();
    } else if (this.scene) this.fit(true);
    if (!width || !height) return;
    this.size = [width, height];
    // So that it keeps to its place on paper, which has another size.
    for (const svg of this.box.children) svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
  }

  // on is where a place of the engine stands on the screen.
  on(x, y) {
    return [this.view.x + this.view.k * x, this.view.y - this.view.k * y];
  }

  // stand shows a position; false where the engine cannot be assembled, and the last one stands.
  stand(turn) {
    if (!this.scene) return false;
    this.turn = turn;
    const ok = this.motion.stand(turn);
    if (ok) {
      for (const m of this.movers) m.group.setAttribute("transform", this.motion.matrix(m.row));
      for (const c of this.clips) c.node.setAttribute("transform", this.motion.matrix(c.row));
      for (const c of this.crosses) {
        if (c.row < 0) continue;
        const [x, y] = this.motion.place(c.row, c.x, c.y);
        c.node.setAttribute("transform", `translate(${x} ${-y})`);
      }
      for (const r of this.rods) this.rod(r);
      for (const p of this.pins) {
        const [x, y] = this.motion.point(p.i);
        p.ring.setAttribute("cx", x);
        p.ring.setAttribute("cy", -y);
      }
    }
    this.box.classList.toggle("parted", !ok);
    if (this.thin?.motion.stand(turn)) {
      for (const m of this.thin.movers) m.group.setAttribute("transform", this.thin.motion.matrix(m.row));
    }
    this.views.show();
    return ok;
  }

  rod({ ends, line }) {
    const [a, b] = ends.map((i) => this.motion.point(i));
    line.setAttribute("x1", a[0]);
    line.setAttribute("y1", -a[1]);
    line.setAttribute("x2", b[0]);
    line.setAttribute("y2", -b[1]);
  }

  // setting takes the positions of another travel setting, and draws what is drawn of the whole turn.
  setting(motion) {
    this.motion = motion;
    this.turned();
  }

  // turned draws the other positions and the paths: they change with the setting alone.
  turned() {
    const { scene, motion } = this;
    const ghosts = [], paths = scene.traces.map(() => []);
    const { from, to } = scene.turn;
    const step = Math.max(scene.ghosts, (to - from) / 48, 1);
    if (!this.box.classList.contains("no-ghosts")) {
      for (let t = from; t < to - 1e-6; t += step) {
        if (!motion.stand(t)) continue;
        for (const p of scene.profiles) {
          const row = scene.parts[p.part].row;
          if (row >= 0 && !this.turnsInPlace(p)) ghosts.push(draw("use", { href: "#o" + p.index, transform: motion.matrix(row) }));
        }
      }
    }
    for (let i = 0; i < motion.turns.length; i++) {
      motion.stand(motion.turns[i]);
      scene.traces.forEach((n, k) => {
        const [x, y] = motion.point(n);
        paths[k].push((motion.starts.includes(i) ? "M" : "L") + x.toFixed(3) + " " + (-y).toFixed(3));
      });
    }
    this.layers.ghosts.replaceChildren(...ghosts);
    this.layers.traces.replaceChildren(...paths.map((p, k) => draw("path", { d: p.join("") }, draw("title", {}, "path of " + scene.points[scene.traces[k]]))));
  }

  // turnsInPlace is whether a profile is a disc about the axis that its part turns about: it looks the same everywhere.
  turnsInPlace(p) {
    const hand = this.hands[p.part];
    return hand && p.axes.length === 1 && Math.hypot(p.axes[0][0], p.axes[0][1]) < 1e-6 && /^M[^L]*$/.test(p.path);
  }

  // behind draws another engine as a thin line.
  behind(scene, motion) {
    this.layers.before.replaceChildren();
    this.thin = undefined;
    if (!scene) return;
    this.thin = { motion, movers: [] };
    const groups = new Map();
    for (const p of scene.profiles) {
      const row = scene.parts[p.part].row;
      if (!groups.has(row)) {
        const group = draw("g");
        this.layers.before.append(group);
        groups.set(row, group);
        if (row >= 0) this.thin.movers.push({ row, group });
      }
      groups.get(row).append(draw("path", { d: p.path }));
    }
  }

  sweep(list) {
    this.layers.swept.replaceChildren(...list.map((s) =>
      draw("path", { d: s.path, class: s.play ? "play" : "" }, draw("title", {}, "swept by " + this.scene.parts[s.part].name + (s.play ? " with its play" : "")))));
  }

  show(name, shown) {
    this.box.classList.toggle("no-" + name, !shown);
    if (name === "ghosts" && shown && this.scene) this.turned();
    this.views.show();
  }

  // mark draws profiles thick: those of the answer that was picked, or that were pointed at.
  mark(kind, profiles) {
    for (const i of this.marked[kind]) this.shapes.get(i)?.classList.remove(kind);
    this.marked[kind] = profiles;
    for (const i of profiles) this.shapes.get(i)?.classList.add(kind);
    this.box.classList.toggle("some-" + kind, profiles.length > 0);
    if (kind === "picked") this.meet(profiles);
  }

  // meet hatches where two profiles lie over one another.
  meet(pair) {
    this.layers.meets.replaceChildren();
    this.defs.querySelectorAll("clipPath").forEach((c) => c.remove());
    this.clips = [];
    if (pair.length !== 2) return;
    const [a, b] = pair.map((i) => this.scene.profiles.find((p) => p.index === i));
    if (!a || !b) return;
    const clip = draw("use", { href: "#o" + b.index });
    const body = draw("use", { href: "#o" + a.index, class: "meets" });
    this.defs.append(draw("clipPath", { id: "within" }, clip));
    this.layers.meets.append(draw("g", { "clip-path": "url(#within)" }, body));
    // Both edges stand on top: a nearer part may lie over the place where they meet.
    const edges = [a, b].map((p) => draw("use", { href: "#o" + p.index, class: "edge" }));
    this.layers.meets.append(...edges);
    const rows = [a, b].map((p) => this.scene.parts[p.part].row);
    this.clips = [{ node: clip, row: rows[1] }, { node: body, row: rows[0] }, { node: edges[0], row: rows[0] }, { node: edges[1], row: rows[1] }];
  }

  // apart shows the distance of a pair: from one nearest place to the other, with its figure. Nothing takes it away.
  apart(near, words) {
    this.gap = near && { near, words };
    this.label();
  }

  label() {
    if (!this.gap) {
      this.figures.replaceChildren();
      return;
    }
    const { near, words } = this.gap;
    const [ax, ay] = this.on(near[0], near[1]), [bx, by] = this.on(near[2], near[3]);
    const long = Math.hypot(bx - ax, by - ay) || 1;
    const ux = long > 1 ? (bx - ax) / long : 0.7, uy = long > 1 ? (by - ay) / long : -0.7;
    const tail = 26; // px of the dimension line beyond its arrows
    const lx = bx + ux * tail, ly = by + uy * tail;
    const right = lx >= bx - 1;
    this.figures.replaceChildren(
      draw("path", { class: "dim", d: `M${ax - ux * tail} ${ay - uy * tail}L${ax} ${ay}M${bx} ${by}L${lx} ${ly}h${right ? 12 : -12}` }),
      draw("path", { class: "arrow", d: arrow(ax, ay, ux, uy) + arrow(bx, by, -ux, -uy) }),
      draw("text", { class: "halo", x: lx + (right ? 15 : -15), y: ly + 4, "text-anchor": right ? "start" : "end" }, words));
  }
}

// hatch is the pattern for metal that meets metal.
function hatch(id, k) {
  return draw("pattern", { id, width: 5, height: 5, patternUnits: "userSpaceOnUse", patternTransform: `rotate(45) scale(${1 / k})` },
    draw("rect", { class: "hatch-ground", width: 5, height: 5 }), draw("rect", { class: "hatch-line", width: 1.6, height: 5 }));
}

// arrow is a filled arrowhead whose point is at x, y and that looks along u.
function arrow(x, y, ux, uy) {
  const bx = x - 9 * ux, by = y - 9 * uy;
  return `M${x} ${y}L${bx - 2.2 * uy} ${by + 2.2 * ux}L${bx + 2.2 * uy} ${by - 2.2 * ux}Z`;
}
