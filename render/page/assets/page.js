// The page: it follows a sketch, keeps what whoever bars the engine over has chosen, and puts the pieces together.

import { Answers, showChanges } from "./answers.js";
import { Choice } from "./choice.js";
import { listFiles, makeControls } from "./controls.js";
import { FieldMap } from "./fieldmap.js";
import { Gone } from "./live.js";
import { Picture } from "./picture.js";
import { Runner } from "./runner.js";
import { angleText, byId, el, travelText, within } from "./text.js";
import { TravelScale } from "./travelscale.js";
import { TurnScale } from "./turnscale.js";

const rest = 120; // ms after which the engine counts as standing still

export class Page {
  constructor(source) {
    this.source = source;
    this.states = new Map(); // of each sketch, by its number
    this.file = 0; // the sketch that is shown
    this.turn = undefined; // degrees
    this.travel = []; // in the solver's unit
    this.away = new Set(["ghosts", "plan", "end"]); // layers that are put away
    this.picture = new Picture((profile) => this.choice.point(profile), (by) => this.turnBy(by));
    this.turnScale = new TurnScale(byId("turn"), (t, toEnd) => this.goTurn(t, toEnd));
    this.answers = new Answers((key) => this.choice.pick(key));
    this.runner = new Runner((by) => this.turnBy(by), (on) => this.ran(on));
    this.choice = new Choice(this);
    this.fieldMap = new FieldMap(this);
    makeControls(this);
    source.follow((state) => this.hear(state));
  }

  // at is what a question to the source is about: the sketch and the version of its engine.
  get at() {
    return { file: this.file, v: this.scene ? this.shown : 0 };
  }

  get state() {
    return this.states.get(this.file);
  }

  // hear takes in the state of a sketch; none where the program no longer answers.
  hear(state) {
    byId("sheet").classList.toggle("gone", !state);
    if (!state) return this.tellMistake("barover show has ended or cannot be reached: this is the last that it told.");
    const old = this.states.get(state.file);
    if (!old || old.seq < state.seq) {
      this.states.set(state.file, state);
      listFiles(this);
      if (state.file === this.file) this.follow();
    } else if (state.file === this.file) this.tellMistake(this.state.mistake);
  }

  // follow brings the page up to the state of the sketch that is shown. One at a time: what comes meanwhile is seen to after.
  async follow() {
    this.again = true;
    if (this.following) return;
    this.following = true;
    while (this.again) {
      this.again = false;
      await this.followOnce().catch((e) => this.missed(e));
    }
    this.following = false;
  }

  // missed takes an answer that did not come. Where the sketch has been saved since, the next is on its way.
  missed(e) {
    if (!(e instanceof Gone)) console.warn(e.stack ?? String(e));
  }

  async followOnce() {
    const { file, state } = this;
    if (!state) return;
    this.tellMistake(state.mistake);
    if (state.version && (state.version !== this.shown || file !== this.shownFile)) await this.takeEngine(file, state);
    if (this.state !== state) return;
    this.answers.tell(state);
    this.choice.tellTurn();
    this.stand();
    if (state.done) await this.takeAnswers(file, state);
  }

  // takeEngine shows a newer engine, the motion first: what was chosen stays, by its name.
  async takeEngine(file, state) {
    const at = { file, v: state.version };
    const old = file === this.shownFile ? this.scene : undefined;
    // The scene says which travels there are; most often they are those of before, and the motion is asked for at once.
    const early = old && this.source.motion(at, this.travel.slice()).catch(() => undefined);
    const guess = this.travel.join();
    const scene = await this.source.scene(at);
    const travel = scene.travels.map((t) => this.kept(t, old));
    const motion = (early && guess === travel.join() && (await early)) || (await this.source.motion(at, travel));
    if (file !== this.file) return;
    if (!old) this.begin();
    Object.assign(this, { scene, travel, motion, shown: state.version, shownFile: file });
    this.other = this.chosen ?? (state.before ? "before" : "");
    this.turn = within(this.turn ?? scene.turn.from, scene.turn.from, scene.turn.to);
    this.picture.take(scene, motion);
    this.turnScale.take(scene, motion.stretches());
    this.layTravels();
    this.titles();
    this.offerOthers(state);
    this.choice.again(old);
    this.fieldMap.take(scene);
    this.thin().then(() => this.stand());
    requestAnimationFrame(() => this.mark("motion", state));
  }

  // kept is where a travel of a newer engine stands: where it stood, within its range or on the nearest stop; else at rest.
  kept(t, old) {
    const was = old ? old.travels.findIndex((o) => o.name === t.name) : -1;
    const v = was >= 0 ? within(this.travel[was], t.from, t.to) : t.rest;
    if ((t.range && this.source.continuous) || !t.stops.length) return v;
    return t.stops.reduce((best, s) => (Math.abs(s - v) < Math.abs(best - v) ? s : best), t.stops[0]);
  }

  // begin forgets what was chosen of another sketch.
  begin() {
    this.picture.scene = undefined;
    this.turn = this.chosen = undefined;
    this.choice.clear();
    this.answers.clear();
  }

  // takeAnswers takes the answers when all are there.
  async takeAnswers(file, state) {
    const version = `${file} ${state.version}`;
    if (this.answered !== version) {
      this.mark("answers", state);
      this.answered = version;
      this.choice.curves = undefined;
    }
    const curves = this.choice.curves ?? (await this.source.curves(this.at));
    if (this.state !== state) return;
    this.choice.takeCurves(curves);
    if (this.choice.picked !== undefined) this.choice.take(this.choice.answer);
    await this.compare();
    await this.sweep();
  }

  // mark takes down how long after the save something is shown, for tests and whoever wants to know.
  mark(what, state) {
    performance.mark(what, { detail: { version: state.version, after: Date.now() - state.saved } });
    document.documentElement.dataset[what] = state.version;
  }

  layTravels() {
    this.travelScales = this.scene.travels.map((_, i) => new TravelScale(this.scene, i, this.source.continuous, (k, v) => this.goTravel(k, v)));
    byId("travels").replaceChildren(...this.travelScales.map((s) => s.node));
    this.travelScales.forEach((s, i) => s.stand(this.travel[i]));
  }

  titles() {
    byId("title").textContent = this.scene.title;
    byId("file").textContent = this.scene.file;
    byId("values").textContent = this.scene.values;
    document.title = this.scene.title + " – barover";
    byId("list").replaceChildren(...this.scene.profiles.map((p) =>
      el("button", { type: "button", "data-profile": p.index, "aria-pressed": "false", onclick: () => this.choice.point(p.index) }, p.name)));
  }

  // stand shows the position in hand.
  stand() {
    if (!this.scene) return;
    const ok = this.picture.stand(this.turn);
    this.turnScale.stand(this.turn);
    const words = this.scene.travels.map((t, i) => `${t.name} ${travelText(this.scene, i, this.travel[i])}`);
    if (!this.scene.turn.fixed) words.unshift(this.scene.turn.name + " " + angleText(this.turn));
    byId("here").textContent = words.join(", ") + (ok ? "" : ": cannot be assembled");
    clearTimeout(this.resting);
    this.resting = setTimeout(() => this.rested(), rest);
    this.choice.measure();
  }

  // rested sees to what may wait until the engine stands still: the sheet of the position, and its words for a reader.
  rested() {
    const at = byId("here").textContent;
    byId("position").textContent = at;
    this.picture.box.setAttribute("aria-label", `${this.scene.title}, ${at}`);
    const take = byId("take");
    take.hidden = !this.source.sheets || !this.state?.done;
    if (take.hidden) return;
    take.href = this.source.sheetAt(this.at, this.turn, this.travel);
    take.download = this.scene.file.replace(/\.motion$/, "") + "-" + angleText(this.turn, 1).replace("°", "") + ".svg";
  }

  // goTurn puts the crank at a turn. Of a whole turn the end is the start, unless it is the end that is wanted.
  goTurn(turn, toEnd = false) {
    if (!this.scene) return;
    const { from, to, round } = this.scene.turn;
    if (round && !toEnd && (turn < from - 1e-9 || turn > to + 1e-9)) turn = from + ((((turn - from) % (to - from)) + (to - from)) % (to - from));
    this.turn = Math.round(within(turn, from, to) * 1e6) / 1e6;
    this.stand();
  }

  // turnBy turns the crank on. What runs over less than a whole turn goes to and fro.
  turnBy(by) {
    if (!this.scene) return;
    const { from, to, round } = this.scene.turn;
    if (!round && this.runner.running) {
      this.way ??= 1;
      if ((this.turn >= to && this.way > 0) || (this.turn <= from && this.way < 0)) this.way = -this.way;
      by *= this.way;
    }
    this.goTurn(this.turn + by);
  }

  goTravel(i, value) {
    if (this.travel[i] !== value) this.goSetting(this.travel.map((v, k) => (k === i ? value : v)));
  }

  // goSetting puts the travels at a setting, and asks for its positions. While one answer is on its way the newest wish waits.
  async goSetting(travel) {
    this.travel = travel;
    this.travelScales.forEach((s, i) => s.stand(travel[i]));
    this.askAgain = true;
    if (this.asking) return this.asking;
    this.asking = this.ask();
    await this.asking;
    this.asking = undefined;
  }

  async ask() {
    while (this.askAgain) {
      this.askAgain = false;
      await this.askOnce().catch((e) => this.missed(e));
    }
    this.choice.moved();
  }

  async askOnce() {
    const travel = this.travel, { at } = this;
    const motion = await this.source.motion(at, travel);
    if (at.v !== this.shown || at.file !== this.file) return;
    this.motion = motion;
    this.picture.setting(motion);
    this.turnScale.stretches = motion.stretches();
    await this.thin(travel);
    this.stand();
  }

  // goFile shows another sketch.
  goFile(file) {
    this.runner.stop();
    this.file = file;
    listFiles(this);
    this.follow();
  }

  tellMistake(text = "") {
    const box = byId("mistake");
    if (box.dataset.text === text) return;
    box.dataset.text = text;
    box.hidden = !text;
    byId("sheet").classList.toggle("stale", !!text);
    box.replaceChildren(...(text ? [el("b", {}, this.scene ? "Not the sketch as it is now" : "No drawing yet"), el("pre", { tabindex: "0" }, text)] : []));
  }

  // offerOthers offers what the engine can be compared with.
  offerOthers(state) {
    const list = [["", "none"], ...(state.before ? [["before", "before the save"]] : []), ...this.scene.others.map((o) => [o.key, o.name])];
    const select = byId("other");
    select.replaceChildren(...list.map(([key, name]) => el("option", { value: key }, name)));
    if (!list.some(([key]) => key === this.other)) this.other = "";
    select.value = this.other;
    byId("beside").hidden = list.length < 2 || !this.source.sheets;
  }

  // thin draws the other engine as a thin line, at the same position.
  async thin(travel = this.travel) {
    const { other, at } = this, id = `${at.file} ${at.v} ${other}`;
    if (!other) {
      this.thinOf = undefined;
      return this.picture.behind(undefined);
    }
    try {
      const scene = this.thinOf === id ? undefined : await this.source.scene(at, other);
      const motion = await this.source.motion(at, travel, other);
      if (id !== `${this.file} ${this.shown} ${this.other}`) return;
      if (scene) this.picture.behind(scene, motion);
      else if (this.picture.thin) this.picture.thin.motion = motion;
      this.thinOf = id;
    } catch (e) {
      this.thinOf = undefined;
      this.picture.behind(undefined);
      this.missed(e);
    }
  }

  // compare lists what came out otherwise than in the other engine.
  async compare() {
    const key = this.other;
    if (!key || !this.state?.done) return showChanges(undefined);
    const list = await this.source.compare(this.at, key);
    if (key !== this.other) return;
    const name = key === "before" ? "What the last save changed" : `From ${byId("other").selectedOptions[0]?.textContent ?? key} to what is shown`;
    showChanges(list, name, (k) => this.choice.pick(k), () => this.chooseOther(""));
    document.documentElement.dataset.changes = this.shown;
  }

  // chooseOther compares with another engine. One as drawn, or with a case, stays through saves; before is what it was.
  async chooseOther(key) {
    this.other = key;
    this.chosen = key && key !== "before" ? key : undefined;
    byId("other").value = key;
    await this.thin();
    this.stand();
    await this.compare().catch((e) => this.missed(e));
  }

  async sweep() {
    const version = `${this.file} ${this.shown}`;
    if (this.away.has("swept") || !this.state?.done || this.sweptOf === version) return;
    const list = await this.source.sweep(this.at, this.scene.travels.map((t) => t.rest));
    if (version !== `${this.file} ${this.shown}`) return;
    this.sweptOf = version;
    this.picture.sweep(list);
  }

  layer(name, shown) {
    if (shown) this.away.delete(name);
    else this.away.add(name);
    byId("show-" + name).checked = shown;
    this.picture.show(name, shown);
    if (name === "plan" || name === "end") this.picture.fit();
    if (name === "swept") this.sweep().catch((e) => this.missed(e));
  }

  ran(on) {
    byId("act-run").textContent = on ? "stop" : "run";
    byId("act-run").setAttribute("aria-pressed", String(on));
  }
}
