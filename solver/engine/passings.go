package engine

import (
	"math"
	"slices"

	"barover/solver/hunt"
)

// plateau is how long a figure must keep a value to stay there, rad: half a degree. A figure that touches it and turns
// back is within rounding of it for far less.
const plateau = Coarsest / 2

// negligible returns the difference of two figures, in their unit, that counts as rounding.
func (c *Curve) negligible() float64 { return flat * math.Max(1, c.scale()) }

// phase is a stretch of the turn over which the figure is above a level (1), below it (−1) or on it (0).
type phase struct {
	side     int
	from, to float64
}

// Passings lists every place at which the figure passes a level upward (sign 1) or downward (−1). Reaching the level and
// turning back at once is no passing. Reaching it and staying there for a while is one, and so is leaving it on the side
// from which it came. The start of a closed turn counts once, at the start.
func (c *Curve) Passings(sign, past float64) (out []float64) {
	var before []phase // of the stretch before; in a closed turn, of the last
	if n := len(c.runs); n > 0 && c.closed {
		before = c.phases(c.runs[n-1], sign, past)
	}
	for j, ks := range c.runs {
		list := c.phases(ks, sign, past)
		if j > 0 || !c.closed {
			before = nil
		}
		out = append(out, passingsOf(list, before, c.closed && len(c.runs) == 1, c.Run.Length())...)
	}
	return out
}

// phases cuts a stretch where the figure reaches the level or leaves it.
func (c *Curve) phases(ks []Knot, sign, past float64) (list []phase) {
	by := func(v float64) float64 { return sign * (v - past) }
	side := func(v float64) int {
		switch {
		case by(v) > c.negligible():
			return 1
		case by(v) < -c.negligible():
			return -1
		}
		return 0
	}
	for i, k := range ks {
		now := side(k.V)
		n := len(list)
		if n > 0 && list[n-1].side == now {
			list[n-1].to = k.T
			continue
		}
		at := k.T
		switch {
		case i == 0:
		case now == 0:
			at = hunt.EdgeBetween(func(t float64) bool { return side(c.Value(t)) == 0 }, k.T, ks[i-1].T, TurnTolerance)
		case list[n-1].side == 0:
			at = hunt.EdgeBetween(func(t float64) bool { return side(c.Value(t)) == 0 }, ks[i-1].T, k.T, TurnTolerance)
		default:
			at = hunt.RootBetween(func(t float64) float64 { return by(c.Value(t)) }, ks[i-1].T, k.T, by(ks[i-1].V), by(k.V), TurnTolerance)
		}
		if n > 0 {
			list[n-1].to = at
		}
		list = append(list, phase{now, at, k.T})
	}
	return list
}

// passingsOf lists where phases pass upward, with the phases before them. If round is set, the last phases also come
// before the first, a turn earlier.
func passingsOf(list, before []phase, round bool, turn float64) (out []float64) {
	if len(list) == 0 {
		return nil
	}
	all := slices.Clone(before)
	for i := range all {
		all[i].from, all[i].to = all[i].from-turn, all[i].to-turn
	}
	all = append(all, list...)
	if n := len(before); n > 0 && all[n-1].side == all[n].side { // a phase across the start is one
		all[n].from = all[n-1].from
		all = slices.Delete(all, n-1, n)
	}
	if round {
		if last := &all[len(all)-1]; last.side == list[0].side {
			last.to = list[0].to + turn
		} else {
			all = append(all, phase{list[0].side, list[0].from + turn, list[0].to + turn})
		}
	}
	begin, end := list[0].from, list[len(list)-1].to
	take := func(t float64) {
		if t < begin-sameTurn || t > end+sameTurn || round && t >= end-sameTurn {
			return
		}
		out = append(out, math.Max(t, begin))
	}
	for i, p := range all {
		was, next := 0, 0
		if i > 0 {
			was = all[i-1].side
		}
		if i+1 < len(all) {
			next = all[i+1].side
		}
		long := p.to-p.from > plateau
		switch {
		case p.side == 1 && was == -1:
			take(p.from)
		case p.side == 0 && was == -1 && (next == 1 || long):
			take(p.from)
		case p.side == 0 && was != -1 && next == 1 && long:
			take(p.to)
		}
	}
	return out
}
