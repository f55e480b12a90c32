// Where the page's data come from when it is one file: from the file itself. What was not put in cannot be had.

import { Motion } from "./motion.js";

// The units of packed figures: see pack.go.
const lengthUnit = 1 / 2048, headingUnit = 1 / 2 ** 21, turnUnit = 1e-6, distanceUnit = 1 / 512;

// Unpacker reads what packer in pack.go has written.
class Unpacker {
  constructor(bytes) {
    this.bytes = bytes;
    this.at = 0;
    this.first = new Map();
  }

  // number reads a whole number that is not below nought. One of more than 31 bits does not go by shifts.
  number() {
    let n = 0, scale = 1;
    for (;;) {
      const b = this.bytes[this.at++];
      n += (b & 127) * scale;
      if (b < 128) return n;
      scale *= 128;
    }
  }

  signed() {
    const n = this.number();
    return n % 2 ? -(n + 1) / 2 : n / 2;
  }

  // series reads so many figures; NaN where there is none.
  series(key, count, unit) {
    if (this.number() === 1) return this.first.get(key);
    const out = new Float64Array(count).fill(NaN);
    const known = [];
    for (let i = 0, on = true; i < count; on = !on) {
      const n = this.number();
      for (let k = 0; k < n; k++, i++) if (on) known.push(i);
    }
    let last = 0, step = 0;
    for (const i of known) {
      step += this.signed();
      last += step;
      out[i] = last * unit;
    }
    if (!this.first.has(key)) this.first.set(key, out);
    return out;
  }

  // motion reads positions, laid out as Motion takes them.
  motion() {
    const [turns, stretches, parts, points] = [this.number(), this.number(), this.number(), this.number()];
    const wide = 4 * parts + 2 * points;
    const buffer = new ArrayBuffer(16 + 8 * turns + 4 * stretches + 4 * turns * wide);
    new Uint32Array(buffer, 0, 4).set([turns, stretches, parts, points]);
    const starts = new Uint32Array(buffer, 16 + 8 * turns, stretches);
    for (let i = 0; i < stretches; i++) starts[i] = this.number();
    new Float64Array(buffer, 16, turns).set(this.series(-1, turns, turnUnit));
    const at = new Float32Array(buffer, 16 + 8 * turns + 4 * stretches, turns * wide);
    for (let c = 0; c < wide; c++) {
      const v = this.series(c, turns, c < 4 * parts && c % 4 > 1 ? headingUnit : lengthUnit);
      for (let i = 0; i < turns; i++) at[i * wide + c] = v[i];
    }
    return new Motion(buffer);
  }
}

export class Filed {
  static async open(text) {
    const packed = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
    const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
    const all = await new Response(stream).arrayBuffer();
    const size = new DataView(all).getUint32(0, true);
    const filed = new Filed();
    filed.data = JSON.parse(new TextDecoder().decode(new Uint8Array(all, 4, size)));
    filed.all = all;
    filed.start = 4 + size;
    const unpacker = new Unpacker(new Uint8Array(filed.bytes(0)));
    filed.motions = filed.data.settings.map(() => unpacker.motion());
    unpacker.first.clear();
    filed.apart = filed.data.settings.map(() => filed.data.pairs.map((_, i) => unpacker.series(i, filed.data.turns, distanceUnit)));
    return filed;
  }

  constructor() {
    this.sheets = false;
    this.continuous = false;
  }

  // bytes are those of one of the pieces behind the data.
  bytes(i) {
    const [from, length] = this.data.pieces[i];
    return this.all.slice(this.start + from, this.start + from + length);
  }

  follow(back) {
    back(this.data.state);
  }

  async scene() {
    return this.data.scene;
  }

  // setting is the number of the setting that is nearest to one.
  setting(travel) {
    let best = 0, least = Infinity;
    this.data.settings.forEach((s, i) => {
      const off = s.reduce((sum, v, k) => sum + Math.abs(v - travel[k]), 0);
      if (off < least) [best, least] = [i, off];
    });
    return best;
  }

  async motion(_, travel) {
    return this.motions[this.setting(travel)];
  }

  async curves() {
    return new Float32Array(this.bytes(this.data.curves));
  }

  // pair is what was worked out of a pair that a check asks about; nothing is known of another.
  async pair(_, a, b, travel) {
    const n = this.data.pairs.findIndex((p) => (p[0] === a && p[1] === b) || (p[0] === b && p[1] === a));
    if (n < 0) return undefined;
    const curve = Array.from(this.apart[this.setting(travel)][n], (v) => (Number.isNaN(v) ? null : v));
    const known = curve.filter((v) => v !== null);
    const least = known.length ? Math.min(...known) : null;
    const { from, to } = this.data.scene.turn;
    return { curve, least, at: from + ((to - from) * curve.indexOf(least)) / (curve.length - 1) };
  }

  async near() {
    return undefined;
  }

  async band() {
    return undefined;
  }

  async sweep() {
    return this.data.sweep;
  }

  async compare() {
    return [];
  }
}
