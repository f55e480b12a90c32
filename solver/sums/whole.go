package sums

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// wholes gives the operations over all of the turn in a sum, on one tube, for one question.
type wholes struct {
	ctx context.Context // of the question
	all []*wholeOf
}

// wholeOf is one least, greatest or span of a sum, a place of the turn, or a sum at one (see places.go for these). At
// each travel it is another figure. Over a cell of travels it is enclosed by the sum at a turn that stays close to the
// place of the extreme, and by how far beyond that the sum goes anywhere. Many goroutines may ask it.
type wholeOf struct {
	mu        sync.Mutex
	ctx       context.Context // of the question that it is asked for now
	op        expr.Op
	round     bool    // of a place: whole turns make no difference
	shaken    []bool  // where each position has sizes of its own, which of them are discs; else nil
	f         *Figure // of the sum, on the one tube
	by        *Figure // the figure by which a place is found, the rate of the sum, or the place itself; nil where that is a number
	place     float64 // that number
	tolerance float64
	made      map[tube.Cell]wholeModel
	bounds    []span     // of the sum on each box
	budget    int        // parts of boxes that may still be tried, for all cells together
	still     *tube.Cell // one setting for all, where it depends on none of the travels that vary; else nil
}

type wholeModel struct {
	tube.Series
	ok bool
}

const (
	// cellParts is how many parts of boxes may be split for one cell of travels, and wholeParts how many may be tried for
	// all cells of one sum.
	cellParts  = 100
	wholeParts = 60000
	// wholeFiner is how much finer than distances a least or greatest within a sum is computed.
	wholeFiner = 20
	// wholeShare is how fine it is at least, as a share of what sizes do to it, and wholeNear the least share of its own
	// tolerance that this may come to.
	wholeShare = 0.002
	wholeNear  = 0.01
	// coarseWhole is from what share of that radii of the boxes are mended.
	coarseWhole = 0.01
)

// over gives the k-th of the Wholes over a cell.
func (w *wholes) over(k int, c *tube.Cell) (tube.Series, bool) {
	one := w.all[k]
	if one.still != nil {
		c = one.still
	}
	one.mu.Lock()
	defer one.mu.Unlock()
	m, ok := one.made[*c]
	if !ok {
		one.under(w.ctx)
		if m = one.apart(one.make(c)); w.ctx.Err() == nil { // a question that ends early must not leave the next without an answer
			one.made[*c] = m
		}
	}
	return m.Series, m.ok
}

// under makes it, and the operations within its own sums, end with the question that asks for it now.
func (w *wholeOf) under(ctx context.Context) {
	w.ctx = ctx
	for _, f := range []*Figure{w.f, w.by} {
		if f != nil && f.takes != nil {
			f.takes.ctx = ctx
		}
	}
}

func (w *wholeOf) make(c *tube.Cell) wholeModel {
	switch w.op {
	case expr.Greatest:
		return w.extreme(c, -1)
	case expr.Least:
		return w.extreme(c, 1)
	case expr.Rises, expr.Falls:
		return w.passing(c, plane.Sign(w.op == expr.Rises))
	case expr.Lowest, expr.Highest:
		return w.turningPlace(c, plane.Sign(w.op == expr.Lowest))
	case expr.AtPlace:
		return w.atPlace(c)
	}
	most, least := w.apart(w.extreme(c, -1)), w.apart(w.extreme(c, 1))
	if !most.ok || !least.ok {
		return wholeModel{}
	}
	size := 0.0
	for i, v := range least.Poly {
		most.Poly[i] -= v
		size += math.Abs(v) + math.Abs(most.Poly[i])
	}
	most.Rad += least.Rad + slip*size
	return most
}

// apart takes what sizes do to a figure as a radius where each position has sizes of its own: elsewhere in the turn, and in another
// least or greatest, these may be others.
func (w *wholeOf) apart(m wholeModel) wholeModel {
	s := w.f.tubes[0].Space
	if w.shaken == nil || s.Devs == 0 || !m.ok {
		return m
	}
	firm, off := s.Apart(m.Poly, w.shaken)
	return wholeModel{tube.Series{Poly: firm, Rad: m.Rad + off + slip*(2*off+taylor.SizeOf(firm))}, true}
}

// extreme encloses the least (sign 1) or greatest (-1) over the turn, for the travels of a cell.
func (w *wholeOf) extreme(c *tube.Cell, sign float64) wholeModel {
	tolerance := w.tolerance
	base, ok := w.base(c, sign, tolerance)
	if s := w.f.tubes[0].Space; ok && s.Devs > 0 {
		if fine := max(wholeShare*s.Moved(base.Poly), wholeNear*tolerance); fine < tolerance {
			if closer, ok := w.base(c, sign, fine); ok {
				base, tolerance = closer, fine
			}
		}
	}
	if !ok {
		return wholeModel{}
	}
	beyond, ok := w.beyond(c, &base, sign, tolerance)
	if !ok {
		return wholeModel{}
	}
	// The truth is between base minus beyond (for the least) and base, each to within base's radius.
	base.Poly[0] -= sign * beyond / 2
	size := taylor.SizeOf(base.Poly)
	base.Rad += beyond/2 + slip*size
	return wholeModel{base, true}
}

// middle finds where the sum is least (sign 1) or greatest at the middle of a cell. It reports false where it cannot
// decide.
func (w *wholeOf) middle(c *tube.Cell, sign, tolerance float64) (*seeker, bool) {
	t := w.f.tubes[0]
	middle := *c
	middle.Half = [taylor.MaxVars]float64{}
	s := newSeeker(w.f, sign)
	s.drawn = true
	for _, i := range w.order(sign) {
		if p, ok := t.Within(&t.Boxes[i], &middle); ok && w.bounds[i].least(sign) < s.best.Hi {
			s.add(sumNode{lo: math.Inf(-1), box: i, part: p})
		}
	}
	s.search(w.ctx, tolerance)
	w.budget -= s.best.Boxes + s.heap.Len()
	return s, s.best.Done && w.budget >= 0
}

// base is the sum over a cell at the turn where it is least at the middle of the cell. As the travels move, the turn
// moves linearly with them, to stay close to where the sum is least.
func (w *wholeOf) base(c *tube.Cell, sign, tolerance float64) (tube.Series, bool) {
	t := w.f.tubes[0]
	s, ok := w.middle(c, sign, tolerance)
	if !ok {
		return tube.Series{}, false
	}
	b := &t.Boxes[s.node.box]
	p, ok := t.Within(b, c)
	if !ok || !t.Holds(b, c) {
		return tube.Series{}, false
	}
	p.Mid[0] = s.node.part.Mid[0] + s.node.part.Half[0]*s.node.at[0]
	p.Half[0] = min(0.5, 1-math.Abs(p.Mid[0]))
	v, ok := w.f.run[0].OverClosely(s.node.box, &p)
	if !ok {
		return tube.Series{}, false
	}
	v.Poly = slices.Clone(v.Poly)
	v.Rad += t.Space.Substitute(v.Poly, follow(t.Space, v.Poly, sign))
	return v, true
}

// follow returns how the first coordinate must move with the others to stay where a polynomial is least (sign 1) or greatest.
// Where that does not stay within the part it does not move.
func follow(sp *taylor.Space, c []float64, sign float64) []float64 {
	a := make([]float64, sp.N)
	bend := sign * sp.Second(c, 0, 0)
	if !(bend > 0) {
		return a
	}
	for k := 1; k < sp.Vars; k++ {
		a[1+k] = -sign * sp.Second(c, 0, k) / (2 * bend)
	}
	if !(taylor.SizeOf(a) <= 1) {
		clear(a)
	}
	return a
}

// span is the range of a sum on a box.
type span struct{ lo, hi float64 }

// least is the lower end, or for a sign of -1 minus the upper one.
func (s span) least(sign float64) float64 {
	if sign < 0 {
		return -s.hi
	}
	return s.lo
}

// order lists the boxes, beginning with those on which the sum may be least (sign 1) or greatest.
func (w *wholeOf) order(sign float64) []int {
	t := w.f.tubes[0]
	if w.bounds == nil {
		full := tube.Full()
		for i := range t.Boxes {
			b := span{math.Inf(-1), math.Inf(1)}
			if v, ok := w.f.run[0].Over(i, &full); ok {
				b.lo, _ = t.Space.Least(v.Poly)
				b.hi, _ = t.Space.Greatest(v.Poly)
				b.lo, b.hi = b.lo-v.Rad, b.hi+v.Rad
			}
			w.bounds = append(w.bounds, b)
		}
		w.budget -= len(t.Boxes)
	}
	list := make([]int, len(t.Boxes))
	for i := range list {
		list[i] = i
	}
	slices.SortFunc(list, func(i, j int) int { return cmp.Compare(w.bounds[i].least(sign), w.bounds[j].least(sign)) })
	return list
}

// beyondNode is a part of a box with an upper bound of how far the sum goes beyond the base on it.
type beyondNode struct {
	up   float64
	off  float64 // the tube's share of that
	box  int
	part tube.Part
	anew bool // it is enclosed by itself
}

// beyond bounds how far the sum goes beyond its base, below it (sign 1) or above it (-1), anywhere on the turn.
func (w *wholeOf) beyond(c *tube.Cell, base *tube.Series, sign, tolerance float64) (float64, bool) {
	t := w.f.tubes[0]
	var open []beyondNode
	reached := 0.0 // how far it certainly goes
	add := func(n beyondNode) bool {
		at, ok := w.over(c, base, sign, &n)
		reached = max(reached, at)
		open = append(open, n)
		return ok
	}
	size := base.Rad + taylor.SizeOf(base.Poly[1:])
	coarse := math.Inf(1)
	if t.Space.Devs > 0 {
		coarse = max(tolerance, coarseWhole*t.Space.Moved(base.Poly))
	}
	for i := range t.Boxes {
		if w.bounds[i].least(sign) > sign*base.Poly[0]+size {
			continue // nowhere beyond
		}
		if p, ok := t.Within(&t.Boxes[i], c); ok && !add(beyondNode{box: i, part: p}) {
			return 0, false
		}
	}
	if len(open) == 0 {
		return 0, true
	}
	for n := 0; ; n++ {
		k := 0
		for i := range open {
			if open[i].up > open[k].up {
				k = i
			}
		}
		top := open[k]
		if !top.anew && top.up-2*top.off <= tolerance && top.off > coarse {
			top.anew = true
			if _, ok := w.over(c, base, sign, &top); !ok {
				return 0, false
			}
			open[k] = top
			continue
		}
		if top.up-2*top.off <= tolerance || top.up-reached <= 0.3*top.up || top.part.Half[0] < 0x1p-8 || n >= cellParts {
			return max(0, top.up), true
		}
		open[k] = open[len(open)-1]
		open = open[:len(open)-1]
		for side := range 2 {
			if !add(beyondNode{box: top.box, part: top.part.Halved(side)}) {
				return 0, false
			}
		}
	}
}

// over bounds how far the sum goes beyond its base on a part from above, and returns how far it does at one place of the
// part.
func (w *wholeOf) over(c *tube.Cell, base *tube.Series, sign float64, n *beyondNode) (at float64, ok bool) {
	if w.budget--; w.budget < 0 {
		return 0, false
	}
	t := w.f.tubes[0]
	over := w.f.run[0].Over
	if n.anew {
		over = w.f.run[0].OverClosely
	}
	v, ok := over(n.box, &n.part)
	if !ok {
		return 0, false
	}
	diff := make([]float64, t.Space.N)
	in := t.Cell(&t.Boxes[n.box], &n.part)
	mid, half := [taylor.MaxVars]float64{}, [taylor.MaxVars]float64{1}
	for k := 1; k < t.Space.Vars; k++ {
		if c.Half[k] == 0 {
			continue
		}
		mid[k], half[k] = (in.Mid[k]-c.Mid[k])/c.Half[k], in.Half[k]/c.Half[k]
	}
	lost := t.Space.Shift(diff, base.Poly, &mid, &half)
	size := 0.0
	for i, p := range v.Poly {
		size += math.Abs(p) + math.Abs(diff[i])
		diff[i] = sign * (diff[i] - p)
	}
	up, where := t.Space.Greatest(diff)
	n.off = v.Rad + lost + astray*size
	n.up = up + n.off
	return t.Space.Value(diff, &where) - n.off, true
}

// astray is what floats may lose between a place of a cell and that of a box, as a share of the size of the evaluated
// figure.
const astray = 1e-13

// slip is what the few floats of a bound may lose, as a share of their size.
const slip = 0x1p-48
