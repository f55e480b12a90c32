// Positions over the turn at one travel setting, as the solver gave them, and any position between two of them.

export class Motion {
  // The layout is that of Motion.Bytes in motion.go.
  constructor(buffer) {
    const counts = new Uint32Array(buffer, 0, 4);
    const [turns, stretches, parts, points] = counts;
    this.parts = parts;
    this.points = points;
    this.wide = 4 * parts + 2 * points;
    this.turns = new Float64Array(buffer, 16, turns);
    this.starts = new Uint32Array(buffer, 16 + 8 * turns, stretches);
    this.at = new Float32Array(buffer, 16 + 8 * turns + 4 * stretches, turns * this.wide);
    this.now = new Float64Array(this.wide);
    this.low = 0;
  }

  // stretches are from where to where in the turn the engine can be assembled.
  stretches() {
    return Array.from(this.starts, (first, i) => [this.turns[first], this.turns[this.end(i) - 1]]);
  }

  end(i) {
    return i + 1 < this.starts.length ? this.starts[i + 1] : this.turns.length;
  }

  // stretchOf is the first and the last place in turns of the stretch that a turn lies in; undefined where there is none.
  stretchOf(turn) {
    for (let i = 0; i < this.starts.length; i++) {
      const first = this.starts[i], last = this.end(i) - 1;
      if (turn >= this.turns[first] - 1e-7 && turn <= this.turns[last] + 1e-7) return [first, last];
    }
    return undefined;
  }

  // stand puts the figures at a turn into now; false where the engine cannot be assembled. Between positions it goes along
  // the cubic through the four nearest, which the solver has found to be near enough.
  stand(turn) {
    const stretch = this.stretchOf(turn);
    if (!stretch) return false;
    const [first, last] = stretch;
    let low = first, high = last;
    while (high - low > 1) {
      const mid = (low + high) >> 1;
      if (this.turns[mid] <= turn) low = mid;
      else high = mid;
    }
    const from = Math.max(first, Math.min(low - 1, last - 3));
    const to = Math.min(last, from + 3);
    this.now.fill(0);
    for (let j = from; j <= to; j++) {
      let weight = 1;
      for (let k = from; k <= to; k++) {
        if (k !== j) weight *= (turn - this.turns[k]) / (this.turns[j] - this.turns[k]);
      }
      const row = j * this.wide;
      for (let n = 0; n < this.wide; n++) this.now[n] += weight * this.at[row + n];
    }
    for (let p = 0; p < this.parts; p++) {
      const c = this.now[4 * p + 2], s = this.now[4 * p + 3], size = Math.hypot(c, s) || 1;
      this.now[4 * p + 2] = c / size;
      this.now[4 * p + 3] = s / size;
    }
    return true;
  }

  // matrix is where a part stands at the turn last stood at, for path data whose y runs down.
  matrix(row) {
    if (row < 0) return "matrix(1 0 0 1 0 0)";
    const x = this.now[4 * row], y = this.now[4 * row + 1], c = this.now[4 * row + 2], s = this.now[4 * row + 3];
    return `matrix(${c} ${-s} ${s} ${c} ${x} ${-y})`;
  }

  // place is where a place of a part, y up, stands in the frame.
  place(row, u, v) {
    if (row < 0) return [u, v];
    const x = this.now[4 * row], y = this.now[4 * row + 1], c = this.now[4 * row + 2], s = this.now[4 * row + 3];
    return [x + c * u - s * v, y + s * u + c * v];
  }

  // point is where a point that goes over with the positions stands.
  point(i) {
    const n = 4 * this.parts + 2 * i;
    return [this.now[n], this.now[n + 1]];
  }

  // crank reports whether a part turns with the turn, about a place that stands still, and about which.
  crank(row) {
    if (row < 0 || this.turns.length < 3) return undefined;
    const some = [0, Math.floor(this.turns.length / 3), Math.floor(this.turns.length / 2)].map((k) => k * this.wide + 4 * row);
    const [x, y] = [this.at[some[0]], this.at[some[0] + 1]];
    for (const n of some) {
      if (Math.hypot(this.at[n] - x, this.at[n + 1] - y) > 1e-3) return undefined;
    }
    const heading = (n) => (Math.atan2(this.at[n + 3], this.at[n + 2]) * 180) / Math.PI;
    let way = 0;
    for (let k = 1; k < 3; k++) {
      const turned = this.turns[[0, Math.floor(this.turns.length / 3), Math.floor(this.turns.length / 2)][k]] - this.turns[0];
      const by = heading(some[k]) - heading(some[0]);
      const off = (sign) => Math.abs(((by - sign * turned + 540) % 360 + 360) % 360 - 180);
      const now = off(1) < 0.05 ? 1 : off(-1) < 0.05 ? -1 : 0;
      if (now === 0 || (way !== 0 && way !== now)) return undefined;
      way = now;
    }
    return { x, y, way };
  }
}
