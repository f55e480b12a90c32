package mend

import (
	"slices"

	"barover/solver"
	"barover/solver/expr"
)

// exact reports whether the rows of a check describe it fully, however far some dimensions change: its figure and its
// limits are linear in them and the same at every position, and a pair has no alternative.
func (s *search) exact(check int, dims []int) bool {
	p, a := s.q.Problem, s.straightIn(dims)
	c := &p.Checks[check]
	if !a.sum(c.AtLeast) || !a.sum(c.AtMost) {
		return false
	}
	switch c.Kind {
	case solver.Keep:
		return p.Graph.Uses(c.Sum).Constant() && a.sum(c.Sum)
	case solver.Gap:
		for _, i := range [2]int{c.A, c.B} {
			f := &p.Profiles[i]
			if !a.sum(f.From) || !a.sum(f.To) || f.Part < len(p.Sideplay) && !a.sum(p.Sideplay[f.Part]) {
				return false
			}
			if solver.ShapesTouched(f.Shapes, a.touched) {
				return false
			}
		}
		return !solver.LinkageTouched(p.Linkage, a.touched) && len(s.touchedByRanges(dims)) == 0 && s.staysBeside(c, a)
	}
	return false
}

// touchedByRanges lists the dimensions that the turn or a travel follows from.
func (s *search) touchedByRanges(dims []int) (list []int) {
	for _, d := range dims {
		if c := &s.cands[d]; !s.sameRanges(d, c.to) || !s.sameRanges(d, c.from) {
			list = append(list, d)
		}
	}
	return list
}

// staysBeside reports whether the outer one of two profiles cannot come to be the inner one by as much as is asked.
func (s *search) staysBeside(c *solver.Check, a *straight) bool {
	p, v := s.q.Problem, s.base.Values
	in, out := &p.Profiles[c.A], &p.Profiles[c.B]
	if v.At(in.From)-v.At(out.To) > v.At(out.From)-v.At(in.To) {
		in, out = out, in
	}
	// The greatest gap between them if they change sides.
	seeds := []expr.Seed{{Node: in.From, Weight: 1}, {Node: out.To, Weight: -1}}
	open := v.At(in.From) - v.At(out.To)
	for _, f := range [2]*solver.Profile{in, out} {
		if f.Part < len(p.Sideplay) && p.Sideplay[f.Part] != expr.None {
			seeds = append(seeds, expr.Seed{Node: p.Sideplay[f.Part], Weight: -1})
			open -= v.At(p.Sideplay[f.Part])
		}
	}
	if c.AtLeast != expr.None {
		seeds = append(seeds, expr.Seed{Node: c.AtLeast, Weight: -1})
		open -= v.At(c.AtLeast)
	}
	grad := expr.NewGradient(p.Graph, 0, 0)
	if !expr.NewEval(v).Backward(seeds, &expr.Context{}, grad) {
		return false
	}
	for _, d := range a.dims {
		k := &s.cands[d]
		open += max(grad.Dim[d]*(k.to-k.now), grad.Dim[d]*(k.from-k.now))
	}
	return open < -s.meets()
}

// straight says which sums are linear in some dimensions.
type straight struct {
	g       *expr.Graph
	dims    []int
	touched func(...expr.ID) bool
}

func (s *search) straightIn(dims []int) *straight {
	p := s.q.Problem
	return &straight{p.Graph, dims, p.Touches(s.base.Values, dims)}
}

// sum reports whether a sum is linear in the dimensions. A dimension among them that follows from another is not.
func (a *straight) sum(id expr.ID) bool {
	if !a.touched(id) {
		return true
	}
	n := a.g.Nodes[id]
	switch n.Op {
	case expr.Dim:
		if slices.Contains(a.dims, int(n.Ref)) {
			return !a.touched(n.A)
		}
		return a.sum(n.A)
	case expr.Add, expr.Sub:
		return a.sum(n.A) && a.sum(n.B)
	case expr.Neg:
		return a.sum(n.A)
	case expr.Mul:
		return a.sum(n.A) && a.sum(n.B) && !(a.touched(n.A) && a.touched(n.B))
	case expr.Div:
		return a.sum(n.A) && !a.touched(n.B)
	}
	return false
}
