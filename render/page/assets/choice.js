// What whoever bars the engine over has chosen to look at: an answer that was picked, or profiles that were pointed at.

import { tellOne, tellTwo } from "./answers.js";
import { byId, lengthText, travelText } from "./text.js";
import { span } from "./turnscale.js";

export class Choice {
  constructor(page) {
    this.page = page;
    this.picked = undefined; // the key of an answer
    this.pointed = []; // at most two profiles, by their index
    this.curves = undefined; // of all answers over the turn, one after another
    this.pairOver = undefined; // the pair in hand over the turn, as the travels stand
    this.band = undefined; // of the answer with that key, in every engine that the drawing allows
    this.here = undefined; // its distance at the position in hand, mm
  }

  get answer() {
    return this.page.state?.answers.find((a) => a.key === this.picked);
  }

  profile(index) {
    return this.page.scene?.profiles.find((p) => p.index === index);
  }

  // clear lets go of everything: another sketch is shown.
  clear() {
    this.picked = this.curves = this.pairOver = this.band = this.here = undefined;
    this.pointed = [];
  }

  // pick goes to where an answer is worst: crank, travels, and the view close up. Again lets go of it.
  async pick(key) {
    const { page } = this;
    const a = page.state?.answers.find((x) => x.key === key);
    if (!a || key === this.picked) {
      this.letGo();
      if (a) page.picture.fit();
      return;
    }
    this.take(a);
    page.runner.stop();
    if (a.turn !== null) {
      if (!this.atWorst(a)) await page.goSetting(a.travel.slice());
      page.goTurn(a.turn);
    }
    this.close();
  }

  take(a) {
    this.picked = a?.key;
    this.pointed = [];
    this.show();
  }

  letGo() {
    this.take(undefined);
  }

  // point takes a profile that was pointed at: one is told of, of two the distance. A third begins anew, and nothing lets go.
  point(index) {
    const was = this.pointed;
    this.picked = undefined;
    if (index === undefined) this.pointed = [];
    else if (was.includes(index)) this.pointed = was.filter((p) => p !== index);
    else this.pointed = was.length === 1 ? [was[0], index] : [index];
    this.show();
    if (this.pointed.length) byId("answers").scrollTop = 0;
  }

  // show marks what is chosen wherever it stands.
  show() {
    const { page } = this;
    this.pairOver = this.here = undefined;
    page.answers.choose(this.picked);
    page.picture.mark("picked", this.answer?.pair ?? []);
    page.picture.mark("pointed", this.pointed);
    this.tellPointed();
    this.tellTurn();
    page.stand();
    this.askBand();
  }

  // again finds what is chosen in a newer engine. Until its answers are there, the choice of one waits.
  again(old) {
    const { page } = this;
    const names = this.pointed.map((i) => old?.profiles.find((p) => p.index === i)?.name);
    this.pointed = page.scene.profiles.filter((p) => names.includes(p.name)).map((p) => p.index);
    this.curves = this.band = undefined;
    this.show();
  }

  // close brings what the picked answer is about near: as close as shows the smaller of the two, or the place of a large one,
  // and the figure whole.
  close() {
    const { page, answer: a } = this;
    const profiles = a?.pair.map((i) => this.profile(i)).filter(Boolean) ?? [];
    if (profiles.length !== 2 || !a.near) return page.picture.fit();
    const [left, top, right, bottom] = page.picture.extent();
    page.picture.stand(page.turn);
    const sizes = profiles.map((p) => 1.5 * halfDiagonal(p.hull));
    const reach = Math.max(Math.min(...sizes, 0.11 * Math.max(right - left, bottom - top)), Math.abs(a.least ?? 0) * 4, 1e-3);
    page.picture.closeUp((a.near[0] + a.near[2]) / 2, (a.near[1] + a.near[3]) / 2, reach);
  }

  // atWorst is whether the travels stand as they do where an answer is worst.
  atWorst(a) {
    const { travel } = this.page;
    return a.travel.length !== travel.length || a.travel.every((v, i) => Math.abs(v - travel[i]) < 1e-9);
  }

  // takeCurves takes the curves of all answers over the turn.
  takeCurves(curves) {
    this.curves = curves;
    const list = this.page.state.answers;
    this.long = Math.round(curves.length / Math.max(1, list.length));
    this.page.answers.curves(curves, this.long);
    this.askBand();
  }

  // askBand asks once for the band of the answer that is picked: from the worst of all engines that the drawing allows to the best.
  async askBand() {
    const { answer: a, page } = this;
    if (a?.kind !== "clear" || a.state === "apart" || !page.scene.varies || !this.curves || this.band?.key === a.key) return;
    const band = (this.band = { key: a.key });
    const values = this.worstCurve(page.state.answers.indexOf(a)).filter((v) => !Number.isNaN(v));
    if (!values.length) return;
    const got = await page.source.band(page.at, a.pair[0], a.pair[1], a.travel, 1.05 * span(a, values)[1]).catch((e) => page.missed(e));
    if (!got || this.band !== band) return;
    Object.assign(band, got);
    this.tellTurn();
  }

  // worstCurve is the curve of an answer at the setting where it is worst.
  worstCurve(i) {
    return Array.from(this.curves.slice(i * this.long, (i + 1) * this.long));
  }

  // tellTurn gives the scale of the turn what it shows: the stretches of all answers, or one with its curve.
  tellTurn() {
    const list = this.page.state?.answers ?? [];
    const i = list.findIndex((a) => a.key === this.picked);
    if (i < 0 && this.picked !== undefined && !this.page.state?.done) return; // its answer is on the way
    this.page.turnScale.tell(list, i >= 0 ? this.curveOf(list[i], i) : this.pointedCurve());
  }

  // curveOf is the curve of an answer: at the setting where it is worst, or as the travels stand where that is known.
  curveOf(a, i) {
    const { scene } = this.page;
    const worst = this.atWorst(a);
    const other = !worst && this.pairOver;
    let values = other ? this.pairOver.curve : undefined;
    if (!values && this.curves) values = this.worstCurve(i);
    const band = !other && this.band?.key === a.key && this.band.low?.length ? this.band : undefined;
    const what = a.kind === "gap" ? "in the side view, where they pass below 0" : a.pair.length ? "clearance" : "";
    const setting = a.travel.map((v, k) => `${scene?.travels[k]?.name} ${travelText(scene, k, v)}`).join(", ");
    const words = [what, other ? "as the travels stand" : setting && `at ${setting}`, band && bandWords(band)].filter(Boolean).join(", ");
    return { answer: a, values, band, worst, here: worst || !!other, words: `${i + 1}  ${a.note || a.subject}${words ? ": " + words : ""}` };
  }

  // pointedCurve is the distance of two profiles that were pointed at.
  pointedCurve() {
    if (!this.pairOver || this.pointed.length !== 2) return undefined;
    const [a, b] = this.pointed.map((k) => this.profile(k));
    const answer = { key: "pointed", kind: "pointed", pair: this.pointed, turn: null, least: this.pairOver.least, atLeast: null, atMost: null, unit: "length", ok: true, fouls: [] };
    return { answer, values: this.pairOver.curve, here: true, words: `${a.name} – ${b.name}: distance, as the travels stand` };
  }

  // moved is that the travels stand elsewhere.
  moved() {
    this.pairOver = undefined;
    this.tellTurn();
    this.measure();
  }

  // pairInHand is the two profiles whose distance is shown: of the answer that is picked, or that were pointed at.
  pairInHand() {
    const { answer } = this;
    if (answer) return { answer, pair: answer.pair.length === 2 && answer.state !== "apart" ? answer.pair : undefined };
    return { pair: this.pointed.length === 2 ? this.pointed : undefined };
  }

  // measure asks the solver for the distance of the pair in hand, at the position in hand, one question at a time.
  async measure() {
    this.measureAgain = true;
    if (this.measuring) return;
    this.measuring = true;
    while (this.measureAgain) {
      this.measureAgain = false;
      await this.measureOnce().catch((e) => this.page.missed(e));
    }
    this.measuring = false;
  }

  async measureOnce() {
    const { page } = this;
    const { answer, pair } = this.pairInHand();
    if (!pair) {
      this.here = page.turnScale.exact = undefined;
      return page.picture.apart(undefined);
    }
    const { turn, at } = page, travel = page.travel.slice();
    let near = await page.source.near(at, pair[0], pair[1], turn, travel);
    if (this.pairInHand().pair?.join() !== pair.join()) return;
    if (!near && answer?.near && Math.abs(turn - answer.turn) < 1e-6 && this.atWorst(answer)) near = { d: answer.least, near: answer.near };
    if (!near && !answer) near = this.fromCurve();
    const known = near && near.d !== null;
    this.here = near?.d;
    page.turnScale.exact = known && near.near && answer?.kind !== "gap" ? { turn, value: near.d } : undefined;
    if (turn === page.turn) page.turnScale.stand(turn);
    const words = !known ? "" : near.d < 0 ? `overlap ${lengthText(page.scene, -near.d)}` : lengthText(page.scene, near.d);
    page.picture.apart(known ? near.near : undefined, words);
    if (!answer || !this.atWorst(answer)) await this.measureOver(pair, at, travel);
  }

  // measureOver asks for the pair in hand over the turn, once as long as the travels stand.
  async measureOver(pair, at, travel) {
    if (!this.pairOver) {
      const over = await this.page.source.pair(at, pair[0], pair[1], travel);
      if (this.pairInHand().pair?.join() !== pair.join()) return;
      this.pairOver = over;
      this.tellTurn();
      this.here ??= this.fromCurve()?.d;
    }
    this.tellPointed();
  }

  // fromCurve is the distance here as the curve over the turn has it: of a page that is one file.
  fromCurve() {
    const d = this.pairOver && this.page.turnScale.reading();
    return d === undefined ? undefined : { d };
  }

  // tellPointed tells of what was pointed at.
  tellPointed() {
    const told = byId("told");
    const known = this.pointed.map((i) => this.profile(i)).filter(Boolean);
    told.hidden = !known.length;
    const text = known.length === 1 ? tellOne(this.page.scene, known[0]) : known.length === 2 ? tellTwo(this.page.scene, known[0], known[1], this.here, this.pairOver) : [];
    told.replaceChildren(...text);
    for (const b of byId("list").querySelectorAll("button")) b.setAttribute("aria-pressed", String(this.pointed.includes(+b.dataset.profile)));
  }
}

// bandWords say what a band is, and that it is open where nothing is proved.
function bandWords(band) {
  const open = band.low.filter((v) => v === null).length;
  if (open === band.low.length) return "of every engine not proved";
  return "grey: every engine, " + (open ? "where that is proved" : "proved");
}

// halfDiagonal is that of the box round a polygon.
function halfDiagonal(hull) {
  const xs = hull.filter((_, n) => n % 2 === 0), ys = hull.filter((_, n) => n % 2 === 1);
  return Math.hypot(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)) / 2;
}
