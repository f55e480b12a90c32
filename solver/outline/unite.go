package outline

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"barover/solver/plane"
)

// errOpen and errMany say why shapes cannot be combined.
var (
	errOpen = errors.New("the shapes nearly coincide in too many places: their outline does not close")
	errMany = errors.New("the shapes cross one another too often")
)

// combine returns the boundary of the set of places for which keep answers true, as closed loops with the set to their
// left. keep is told which of the operands a place is in. Each operand is a set of closed loops; a place is in it if they
// go round it.
//
// All edges are split where they meet. Each piece then bounds the set along its whole length or not at all. The winding
// numbers on the two sides of its middle decide which; the pieces that bound it are joined up.
func combine(operands [][]Edge, keep func(in []bool) bool) ([][]Edge, error) {
	o := overlay{operands: operands, keep: keep}
	return o.settle(extent(operands))
}

// clip returns the part of a loop within a tool. Both are boundaries that never meet themselves, with their area to their
// left, which saves most of the work.
func clip(loop, tool []Edge) ([][]Edge, error) {
	both := func(in []bool) bool { return in[0] && in[1] }
	o := overlay{operands: [][]Edge{loop, tool}, clean: true, keep: both}
	return o.settle(extent([][]Edge{loop}))
}

// settle tries one tolerance after another, for outlines of at most that size so far from the origin, until the outline
// closes.
func (o overlay) settle(size, far float64) ([][]Edge, error) {
	least := far * rounding
	o.tol = math.Max(joined*size, least)
	first := o
	loops, err := first.run()
	o.thorough, o.clean = true, false
	for tol := joined; err == errOpen && tol <= joinedMost; tol *= 10 {
		again := o
		again.tol = math.Max(tol*size, least)
		loops, err = again.run()
	}
	return loops, err
}

// extent returns the radius of a circle round all edges, and the distance of the farthest from the origin.
func extent(operands [][]Edge) (size, far float64) {
	lo, hi := boxOf(operands...)
	if !(hi.X >= lo.X) {
		return 0, 0
	}
	return hi.Sub(lo).Len() / 2, math.Max(lo.Len(), hi.Len())
}

// boxOf is the box round the edges: its least and its greatest corner. Where there are no edges the least is beyond the
// greatest.
func boxOf(operands ...[]Edge) (lo, hi plane.Vec) {
	lo, hi = plane.Vec{X: math.Inf(1), Y: math.Inf(1)}, plane.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, edges := range operands {
		for i := range edges {
			e := &edges[i]
			lo.X, hi.X = math.Min(lo.X, e.hub.X-e.reach), math.Max(hi.X, e.hub.X+e.reach)
			lo.Y, hi.Y = math.Min(lo.Y, e.hub.Y-e.reach), math.Max(hi.Y, e.hub.Y+e.reach)
		}
	}
	return lo, hi
}

// overlay is one attempt at combine with one tolerance.
type overlay struct {
	operands [][]Edge
	clean    bool // no operand meets itself, and each lies to the left of its edges
	thorough bool // look for every corner on every edge
	keep     func(in []bool) bool
	tol      float64
	corners  *corners
	pieces   []pieceEdge
	hub      []plane.Vec // a circle round each operand
	reach    []float64
}

// pieceEdge is an edge between two corners that no other edge meets between them.
type pieceEdge struct {
	Edge
	from, to int32
	owner    int // its operand
}

func (o *overlay) run() ([][]Edge, error) {
	if err := o.split(); err != nil {
		return nil, err
	}
	o.single()
	for _, edges := range o.operands {
		size, _ := extent([][]Edge{edges})
		o.hub = append(o.hub, middleOf(edges))
		o.reach = append(o.reach, size+2*o.tol)
	}
	var bounds []pieceEdge
	for i := range o.pieces {
		switch e := o.pieces[i]; o.sides(&e) {
		case 1:
			bounds = append(bounds, e)
		case -1:
			bounds = append(bounds, pieceEdge{e.reversed(), e.to, e.from, e.owner})
		}
	}
	return stitch(bounds, o.tol)
}

// middleOf returns the middle of the box round the edges; within extent's size of it are all of them.
func middleOf(edges []Edge) plane.Vec {
	lo, hi := boxOf(edges)
	return lo.Add(hi).Scale(0.5)
}

// split cuts every edge at every place where it meets another.
func (o *overlay) split() error {
	var all []Edge
	var owner []int
	for k, edges := range o.operands {
		all = append(all, edges...)
		for range edges {
			owner = append(owner, k)
		}
	}
	o.corners = newCorners(o.tol)
	for i := range all {
		o.corners.put(all[i].A)
		o.corners.put(all[i].B)
	}
	cuts := make([][]cut, len(all))
	var at []plane.Vec
	total := 0
	for i := range all {
		for j := range i {
			if o.clean && owner[i] == owner[j] {
				continue
			}
			at = crossings(at[:0], &all[i], &all[j], o.tol)
			for _, p := range at {
				k := o.corners.put(p)
				cuts[i] = append(cuts[i], cut{k, all[i].share(p)})
				cuts[j] = append(cuts[j], cut{k, all[j].share(p)})
			}
			if total += len(at); total > 4*maxSplit {
				return errMany
			}
		}
	}
	for i := range all {
		if o.thorough {
			cuts[i] = o.passing(cuts[i], &all[i])
		}
		o.divide(&all[i], owner[i], cuts[i])
	}
	if len(o.pieces) > maxSplit {
		return errMany
	}
	return nil
}

// passing appends every corner that the edge passes: of three edges that nearly coincide, two may meet at a place that
// the third does not have as a corner.
func (o *overlay) passing(cuts []cut, e *Edge) []cut {
	for k, p := range o.corners.at {
		if near(e, p, 2*o.tol) {
			cuts = append(cuts, cut{int32(k), e.share(p)})
		}
	}
	return cuts
}

// cut is a corner on an edge, at a share of the way along it.
type cut struct {
	corner int32
	t      float64
}

// divide adds the pieces of one edge between its cuts.
func (o *overlay) divide(e *Edge, owner int, cuts []cut) {
	slices.SortFunc(cuts, func(a, b cut) int {
		return cmp.Or(cmp.Compare(a.t, b.t), cmp.Compare(a.corner, b.corner))
	})
	last := cut{o.corners.put(e.A), 0}
	end := cut{o.corners.put(e.B), 1}
	for _, c := range append(cuts, end) {
		if c != end && (c.corner == last.corner || c.corner == end.corner || c.t <= last.t || c.t >= 1) {
			continue
		}
		if c.corner != last.corner || (c.t-last.t)*e.Length() > 8*o.tol {
			part := e.part(last.t, c.t, o.corners.at[last.corner], o.corners.at[c.corner])
			o.pieces = append(o.pieces, pieceEdge{part, last.corner, c.corner, owner})
		}
		last = c
	}
}

// single drops pieces that lie on an earlier one.
func (o *overlay) single() {
	type ends struct{ a, b int32 }
	seen := make(map[ends][]int)
	n := 0
	for i := range o.pieces {
		p := o.pieces[i]
		key := ends{min(p.from, p.to), max(p.from, p.to)}
		mid := p.At(0.5)
		if slices.ContainsFunc(seen[key], func(j int) bool { return near(&o.pieces[j].Edge, mid, 2*o.tol) }) {
			continue
		}
		o.pieces[n] = p
		seen[key] = append(seen[key], n)
		n++
	}
	o.pieces = o.pieces[:n]
}

// sides reports 1 if the set is left of the piece alone, -1 if right of it alone, 0 if the piece does not bound the set.
func (o *overlay) sides(p *pieceEdge) int {
	m := p.At(0.5)
	along := p.Tangent(m)
	slant := parallel + 8*o.tol/p.Length() // the error of its ends shows in the direction of a short one
	left, right := make([]bool, len(o.operands)), make([]bool, len(o.operands))
	for k, edges := range o.operands {
		if k == p.owner && o.clean {
			left[k] = true
			continue
		}
		if len(edges) == 0 || sq(m.Sub(o.hub[k])) > o.reach[k]*o.reach[k] {
			continue
		}
		l, r := rounds(edges, m, along, 2*o.tol, slant)
		left[k], right[k] = l != 0, r != 0
	}
	l, r := o.keep(left), o.keep(right)
	switch {
	case l && !r:
		return 1
	case r && !l:
		return -1
	}
	return 0
}
