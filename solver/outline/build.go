package outline

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
)

// Region is the filled outline of a profile in the axes of its part, mm. It never changes after Build.
type Region struct {
	Loops  [][]Edge  // closed loops with the material to their left: outer ones anticlockwise, round holes clockwise
	Area   float64   // mm²
	Centre plane.Vec // of a circle round everything, mm
	Radius float64   // of that circle, mm
	Pieces []Piece   // convex pieces that are within it and cover it

	lines         []line
	edges         []Edge  // of all loops
	before, after []int32 // the neighbours of each edge
	outer         []int32 // an edge of each outer loop
	climbs        []climb
}

// Convex reports whether the region is a single convex piece.
func (r *Region) Convex() bool {
	return len(r.Pieces) == 1 && r.Pieces[0].Bite == nil
}

// Reaches returns how far the region reaches in the unit direction n from the origin of the part's axes, mm.
func (r *Region) Reaches(n plane.Vec) float64 {
	best := math.Inf(-1)
	for i := range r.edges {
		e := &r.edges[i]
		best = math.Max(best, e.A.Dot(n))
		if e.R != 0 && e.Turn > 0 && n.Dot(e.mid) >= e.cos {
			best = math.Max(best, e.C.Dot(n)+e.R)
		}
	}
	return best
}

// The text for a profile without area: with holes, and without.
const (
	nothingLeft = "nothing is left of this profile: its holes take everything away"
	noArea      = "this profile has no area: its path goes there and back on itself"
)

// emptiness says why shapes leave no area.
func emptiness(shapes []Shape) string {
	if slices.ContainsFunc(shapes, func(s Shape) bool { return s.Hole }) {
		return nothingLeft
	}
	return noArea
}

// Build makes the outline of shapes, with the dimensions of v: their union in order. A hole is taken away from the shapes
// before it. The error is a *Fault.
func Build(shapes []Shape, v *expr.Values) (*Region, error) {
	if len(shapes) == 0 {
		return nil, &Fault{0, "a profile without shapes"}
	}
	m := maker{v: v}
	var operands [][]Edge
	count := 0
	for i := range shapes {
		edges, err := m.shape(&shapes[i])
		if err != nil {
			return nil, err
		}
		if count += len(edges); count > MaxEdges {
			return nil, &Fault{shapes[i].Stmt, "a profile of too many edges"}
		}
		operands = append(operands, edges)
	}
	loops, err := combine(operands, func(in []bool) bool { return filled(shapes, in) })
	if err != nil {
		return nil, &Fault{shapes[0].Stmt, err.Error()}
	}
	r := &Region{Loops: loops, lines: m.lines}
	for _, l := range loops {
		r.Area += area(l)
	}
	if !(r.Area > 0) {
		return nil, &Fault{shapes[0].Stmt, emptiness(shapes)}
	}
	r.Centre, r.Radius = bound(loops)
	r.index()
	if err := r.cover(shapes, operands); err != nil {
		return nil, &Fault{shapes[0].Stmt, err.Error()}
	}
	return r, nil
}

// index prepares the loops for measuring.
func (r *Region) index() {
	for _, l := range r.Loops {
		start, n := int32(len(r.edges)), int32(len(l))
		if area(l) > 0 {
			r.outer = append(r.outer, start)
		}
		for i := range n {
			r.edges = append(r.edges, l[i])
			r.before = append(r.before, start+(i+n-1)%n)
			r.after = append(r.after, start+(i+1)%n)
			r.climbs = climbs(r.climbs, &l[i])
		}
	}
}

// filled reports whether a place that lies in these of the shapes is material.
func filled(shapes []Shape, in []bool) bool {
	for i := len(in) - 1; i >= 0; i-- {
		if in[i] {
			return !shapes[i].Hole
		}
	}
	return false
}

// bound returns a circle round loops: about the middle of the box round their edges.
func bound(loops [][]Edge) (plane.Vec, float64) {
	all := slices.Concat(loops...)
	if len(all) == 1 {
		return all[0].hub, all[0].reach
	}
	c := middleOf(all)
	return c, farthest(all, c)
}

// farthest returns the greatest distance, mm, from c to a point of the closed loops.
func farthest(edges []Edge, c plane.Vec) (most float64) {
	for i := range edges {
		e := &edges[i]
		most = math.Max(most, e.A.Sub(c).Len())
		if e.R != 0 {
			d := e.C.Sub(c)
			if l := d.Len(); l == 0 || e.faces(d, l) {
				most = math.Max(most, l+e.R)
			}
		}
	}
	return most
}
