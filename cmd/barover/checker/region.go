package checker

import (
	"math"
)

// newRegion makes the region of some shapes.
func newRegion(shapes ...shape) *Region {
	r := &Region{}
	for _, s := range shapes {
		if !s.hole {
			r.edges = append(r.edges, s.loop...)
		} else {
			r.cut(&s)
		}
		r.shapes = append(r.shapes, s)
	}
	for i := range r.edges {
		r.mid += r.edges[i].mid / complex(float64(len(r.edges)), 0)
	}
	for i := range r.edges {
		r.reach = math.Max(r.reach, modulus(r.edges[i].mid-r.mid)+r.edges[i].reach)
	}
	return r
}

// cut takes a hole out of the edges: it removes the parts inside the hole, and adds the hole's own edges inside the
// region.
func (r *Region) cut(h *shape) {
	var left []edge
	for i := range r.edges {
		left = append(left, r.edges[i].where(func(p complex128) bool { return !h.inside(p) })...)
	}
	for i := range h.loop {
		left = append(left, h.loop[i].where(r.Inside)...)
	}
	r.edges = left
}

// where is the parts of an edge whose places satisfy a rule. It samples the edge in steps of a 2000th of its length; a
// part that begins and ends between two of them is missed.
func (e *edge) where(rule func(complex128) bool) (out []edge) {
	const steps = 2000
	from, in := 0.0, rule(e.at(0.5/steps))
	for i := range steps - 1 {
		lo, hi := (float64(i)+0.5)/steps, (float64(i)+1.5)/steps
		if rule(e.at(hi)) == in {
			continue
		}
		for hi-lo > 1e-15 {
			if mid := (lo + hi) / 2; mid == lo || mid == hi {
				break
			} else if rule(e.at(mid)) == in {
				lo = mid
			} else {
				hi = mid
			}
		}
		if in {
			out = append(out, e.between(from, lo))
		}
		from, in = lo, !in
	}
	if in {
		out = append(out, e.between(from, 1))
	}
	return out
}

// apart is the least distance of two regions, with b placed in the axes of a by z ↦ o + d·z; zero where they overlap.
// Edges farther from each other than the best so far are skipped.
func (a *Region) apart(b *Region, o, d complex128) float64 {
	best := a.least(b, o, d)
	gap := modulus(o+d*b.mid-a.mid) - a.reach - b.reach
	if best > 0 && gap <= a.reach+b.reach && (a.holds(b, o, d) || b.holds(a, -o/d, 1/d)) {
		return 0
	}
	return best
}

func (a *Region) least(b *Region, o, d complex128) float64 {
	best := math.Inf(1)
	for j := range b.edges {
		f := b.edges[j].placed(o, d)
		if modulus(f.mid-a.mid)-f.reach-a.reach >= best {
			continue
		}
		for i := range a.edges {
			if e := &a.edges[i]; modulus(f.mid-e.mid)-f.reach-e.reach < best {
				best = min(best, distance(e, &f))
			}
		}
	}
	return best
}

// holds reports whether a loop of b lies within a, where no edges meet.
func (a *Region) holds(b *Region, o, d complex128) bool {
	for j := range b.edges {
		p := o + d*b.edges[j].at(0.5)
		if modulus(p-a.mid) <= a.reach && a.Inside(p) {
			return true
		}
	}
	return false
}

// within is how far from the boundary of a sampled places of the boundary of b are inside a; above zero.
func (a *Region) within(b *Region, o, d complex128) float64 {
	const steps = 3
	most := math.SmallestNonzeroFloat64
	for j := range b.edges {
		for k := range steps + 1 {
			p := o + d*b.edges[j].at(float64(k)/steps)
			if modulus(p-a.mid) > a.reach || !a.Inside(p) {
				continue
			}
			in := math.Inf(1)
			for i := range a.edges {
				in = min(in, a.edges[i].nearest(p))
			}
			most = max(most, in)
		}
	}
	return most
}

// convex reports whether the region is one convex shape that is a hull of discs.
func (a *Region) convex() bool { return len(a.shapes) == 1 && a.shapes[0].corners != nil }
