// The engine let run.

import { calm } from "./text.js";

// Runner lets the engine run slowly, and takes the time of every frame.
export class Runner {
  constructor(onStep, onState) {
    this.onStep = onStep;
    this.onState = onState;
    this.speed = 30; // degrees a second
  }

  get running() {
    return this.frame !== undefined;
  }

  toggle() {
    if (this.running) this.stop();
    else this.start();
  }

  start() {
    this.times = [];
    this.script = 0; // ms of the page's own work
    let last;
    const step = (now) => {
      this.frame = requestAnimationFrame(step);
      if (last !== undefined) {
        this.times.push(now - last);
        if (this.times.length > 4000) this.times.shift();
      }
      // Whoever has asked for little motion gets a position now and then.
      if (calm() && last !== undefined && Math.floor(now / 700) === Math.floor(last / 700)) return (last = now);
      const begun = performance.now();
      this.onStep(last === undefined ? 0 : calm() ? 15 : (this.speed * Math.min(now - last, 100)) / 1000);
      this.script += performance.now() - begun;
      last = now;
    };
    this.frame = requestAnimationFrame(step);
    this.onState(true);
  }

  stop() {
    if (!this.running) return;
    cancelAnimationFrame(this.frame);
    this.frame = undefined;
    const sorted = [...this.times].sort((a, b) => a - b);
    if (sorted.length) {
      const share = (q) => sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))];
      performance.mark("frames", { detail: { count: sorted.length, median: share(0.5), most: share(0.95), script: this.script / sorted.length } });
    }
    this.onState(false);
  }
}
