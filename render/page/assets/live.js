// Where the page's data come from while barover show runs: this machine, and nowhere else.

import { Motion } from "./motion.js";

const mostKept = 40;

export class Live {
  constructor() {
    this.kept = new Map(); // motions, by what was asked
    this.sheets = true;
    this.continuous = true; // any value of a range can be had
  }

  async ask(name, question, signal) {
    const answer = await fetch(name + "?" + new URLSearchParams(question), { cache: "no-store", signal });
    if (!answer.ok) throw new Gone(answer.status);
    return answer;
  }

  // follow calls back with the state of a sketch, now and whenever it changes. A browser allows a handful of connections to
  // one place, so of all tabs one listens and tells the others; when it is closed, the next takes over.
  follow(back) {
    const others = "BroadcastChannel" in window ? new BroadcastChannel("barover" + location.pathname) : undefined;
    const all = async () => {
      try {
        for (const state of await (await fetch("states", { cache: "no-store" })).json()) back(state);
      } catch {
        back(undefined);
      }
    };
    const listen = () => {
      const feed = new EventSource("feed");
      feed.onmessage = (e) => {
        const state = JSON.parse(e.data);
        others?.postMessage(state);
        back(state);
      };
      feed.onerror = () => {
        back(undefined);
        others?.postMessage(undefined);
      };
    };
    if (others) others.onmessage = (e) => back(e.data);
    if (others && navigator.locks) navigator.locks.request("barover" + location.pathname, () => new Promise(() => listen()));
    else listen();
    all();
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && all());
  }

  async scene(at, of = "") {
    return (await this.ask("scene", { ...at, of })).json();
  }

  async motion(at, travel, of = "") {
    const question = { ...at, of, travel: travel.join(",") };
    const key = JSON.stringify(question);
    const have = this.kept.get(key);
    if (have) return have;
    const motion = new Motion(await (await this.ask("motion", question)).arrayBuffer());
    if (this.kept.size >= mostKept) this.kept.delete(this.kept.keys().next().value);
    this.kept.set(key, motion);
    return motion;
  }

  async curves(at) {
    return new Float32Array(await (await this.ask("curves", at)).arrayBuffer());
  }

  async pair(at, a, b, travel) {
    return (await this.ask("pair", { ...at, a, b, travel: travel.join(",") })).json();
  }

  // band is between what the distance of two profiles lies over the turn in every engine that the drawing allows, up to most.
  async band(at, a, b, travel, most) {
    return (await this.ask("band", { ...at, a, b, travel: travel.join(","), most })).json();
  }

  async near(at, a, b, turn, travel) {
    return (await this.ask("near", { ...at, a, b, turn, travel: travel.join(",") })).json();
  }

  async sweep(at, travel) {
    return (await this.ask("sweep", { ...at, travel: travel.join(",") })).json();
  }

  async compare(at, of) {
    return (await this.ask("compare", { ...at, of })).json();
  }

  // map is where everything holds with two dimensions, by their numbers. It takes some seconds, until the signal says that nobody waits.
  async map(at, x, y, signal) {
    return (await this.ask("map", { ...at, x, y }, signal)).json();
  }

  sheetAt(at, turn, travel) {
    return "sheet?" + new URLSearchParams({ ...at, turn, travel: travel.join(",") });
  }
}

// Gone is that the sketch has been saved since: newer data are on their way.
export class Gone extends Error {}
