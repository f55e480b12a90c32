package clearance

import (
	"context"
	"math"
	"slices"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// Below finds where on the turn two bodies come nearer than limit, mm, at one travel setting of one of the tubes. Outside
// the stretches they are proved not to, wherever the tube reaches. Their ends are right to fine, rad.
func (p *Prover) Below(ctx context.Context, a, b Body, at tube.Place, limit, fine float64) tube.Stretches {
	t := p.tubes[at.Tube]
	s := &sweep{p.pair(a, b), at.Tube, limit}
	if s.beyond() {
		return tube.Stretches{At: []tube.Range{t.Turn}}
	}
	return tube.StretchesOf(ctx, t, at.Travel, fine, pairsOf(len(s.pa), len(s.pb)), func(i int, part *tube.Part, pairs [][2]int16) ([][2]int16, bool, bool) {
		near := s.near(i, *part, pairs)
		return near, len(near) > 0, len(near) > 0 && s.surely(i, &t.Boxes[i], *part)
	})
}

// sweep looks at two bodies at one travel setting over the turn.
type sweep struct {
	*duo
	tube  int
	limit float64
}

func pairsOf(n, m int) (all [][2]int16) {
	for i := range n {
		for j := range m {
			all = append(all, [2]int16{int16(i), int16(j)})
		}
	}
	return all
}

// near lists the pairs of pieces that may come nearer than the limit on a part of a box. It cuts a pair into sectors that
// seems to, if the outlines are farther apart at the part's centre.
func (s *sweep) near(i int, part tube.Part, pairs [][2]int16) (near [][2]int16) {
	todo, far := slices.Clone(pairs), math.NaN()
	for k := 0; k < len(todo); k++ {
		ij := todo[k]
		n := node{lo: math.Inf(-1), tube: int32(s.tube), box: int32(i), ia: ij[0], ib: ij[1], part: part}
		s.views[s.tube].set(s.relative(s.tube, i, 0), &part)
		if s.circles(&n); n.lo >= s.limit {
			continue
		}
		if s.narrow(&n); n.lo >= s.limit {
			continue
		}
		if s.bitten && n.mid < s.limit && n.slack <= max(s.pa[n.ia].slack(), s.pb[n.ib].slack()) {
			if math.IsNaN(far) {
				far = s.measured(s.tube, i, &part, new([taylor.MaxVars]float64))
			}
			if kids := s.kids(ij, s.tolerance/8); far >= s.limit && kids != nil {
				todo = append(todo, kids...)
				continue
			}
		}
		near = append(near, ij)
	}
	return near
}

// surely reports whether the bodies are nearer than the limit all over a part: the two places that are nearest at its
// centre stay so near, or the bodies are so near there that their whole motion leaves them nearer.
func (s *sweep) surely(i int, box *tube.Box, part tube.Part) bool {
	tau := part.Mid
	t := s.tubes[s.tube]
	pa, offA := placed(t, box, s.a, &tau)
	pb, offB := placed(t, box, s.b, &tau)
	v := s.views[s.tube]
	v.set(s.relative(s.tube, i, 0), &part)
	near := outline.Distance(s.a.Region, pa, s.b.Region, pb)
	if near.D+offA+offB >= s.limit {
		return false
	}
	if near.D > 0 && s.stay(v, pa.In(near.P), pb.In(near.Q)) {
		return true
	}
	move := v.strays(s.b.Region.Centre.Sub(s.origin[1]), s.b.Region.Radius)
	return near.D+offA+offB+move < s.limit
}

// stay reports whether two places, each in the axes of its part, stay nearer than the limit all over the part of a view.
// That they are on the outlines is right to rounding.
func (s *sweep) stay(v *view, p, q plane.Vec) bool {
	var at [taylor.MaxVars]float64
	off := (p.Len() + q.Len() + s.a.Region.Radius + s.b.Region.Radius) * slip
	return v.distance(q.Sub(s.origin[1]), p.Sub(s.origin[0]), &at, 0)+off < s.limit
}
