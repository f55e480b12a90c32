package outline

import (
	"math"

	"barover/solver/expr"
	"barover/solver/plane"
)

// Tangle is where a path crosses itself: its First edge meets its Second one at At, in the part's axes, mm. Edges count
// from 0 as the steps of the path do; the one that closes it comes after the last step.
type Tangle struct {
	First, Second int
	At            plane.Vec
}

// Tangled finds where a path crosses itself. It reports false where it only touches itself, at a corner or along an arc,
// and for shapes that are no paths or have no outline. A crossing by less than tangleDeep of its size is a touch.
func Tangled(s *Shape, v *expr.Values) (Tangle, bool) {
	m := maker{v: v}
	if s.Kind != Path || !m.hasValues(s) {
		return Tangle{}, false
	}
	edges, err := m.path(s)
	if err != nil {
		return Tangle{}, false
	}
	size, far := extent([][]Edge{edges})
	k := knot{edges: edges, tol: math.Max(joined*size, far*rounding), deep: tangleDeep * size}
	k.meet()
	if len(k.meets) == 0 || !k.winds() {
		return Tangle{}, false
	}
	return k.crossing(), true
}

// knot is a path that is searched for crossings.
type knot struct {
	edges     []Edge
	tol, deep float64
	meets     []Tangle // where edges meet other than at the corner between them
}

// mostMeets bounds the number of places searched.
const mostMeets = 4 * maxSplit

// meet finds the places where edges meet.
func (k *knot) meet() {
	n := len(k.edges)
	var at []plane.Vec
	for j := range k.edges {
		for i := range j {
			at = crossings(at[:0], &k.edges[i], &k.edges[j], k.tol)
			for _, p := range at {
				next := i+1 == j && sq(p.Sub(k.edges[i].B)) <= 4*k.tol*k.tol
				last := i == 0 && j == n-1 && sq(p.Sub(k.edges[0].A)) <= 4*k.tol*k.tol
				if !next && !last && len(k.meets) < mostMeets {
					k.meets = append(k.meets, Tangle{i, j, p})
				}
			}
		}
	}
}

// winds reports whether the path goes round some place more than once, or round one place this way and round another that
// way. On the two sides of a crossing the winding numbers differ by two, so a path without one does neither.
func (k *knot) winds() bool {
	o := overlay{operands: [][]Edge{k.edges}, tol: k.tol}
	if o.split() != nil {
		return false // reported when the outline is made
	}
	least, most := 0, 0
	for i := range o.pieces {
		p := &o.pieces[i]
		m := p.At(0.5)
		n := p.Tangent(m).Turned().Scale(k.deep)
		for _, q := range [2]plane.Vec{m.Add(n), m.Sub(n)} {
			if w, ok := k.around(q); ok {
				least, most = min(least, w), max(most, w)
			}
		}
	}
	return most-least >= 2
}

// around is the winding number of the path about a place; not ok where the place is on it.
func (k *knot) around(p plane.Vec) (int, bool) {
	sum := 0.0
	for i := range k.edges {
		sum += subtended(&k.edges[i], p)
	}
	sum /= 2 * math.Pi
	w := math.Round(sum)
	return int(w), math.Abs(sum-w) < 0.1
}

// looks is the number of directions in which the surroundings of a place are sampled.
const looks = 32

// crossing is the first place round which the winding numbers differ by two. Where the edges cross too flat to show that,
// it is the first place that is not one of their corners.
func (k *knot) crossing() Tangle {
	best := k.meets[0]
	for i := len(k.meets) - 1; i >= 0; i-- {
		t := k.meets[i]
		e, f := &k.edges[t.First], &k.edges[t.Second]
		if t.At != e.A && t.At != e.B && t.At != f.A && t.At != f.B {
			best = t
		}
	}
	for _, t := range k.meets {
		least, most, seen := 0, 0, false
		for i := range looks {
			w, ok := k.around(t.At.Add(plane.Polar((float64(i) + 0.5) * (2 * math.Pi / looks)).Scale(k.deep)))
			if !ok {
				continue
			}
			if !seen {
				least, most, seen = w, w, true
			}
			least, most = min(least, w), max(most, w)
		}
		if most-least >= 2 {
			return t
		}
	}
	return best
}
