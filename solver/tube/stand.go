package tube

import (
	"math"

	"barover/solver/plane"
	"barover/solver/taylor"
)

// Stood is one engine at one position.
type Stood struct {
	t       *Tube
	at, rad []float64 // of each kept slot
}

// Stand solves one engine at one position: at a place of a box and with some deviations of it. It returns false where that is not
// proved to be on the branch of the box.
func (t *Tube) Stand(b *Box, tau *[taylor.MaxVars]float64, dev []float64) (*Stood, bool) {
	c := taylor.Box{Mid: make([]float64, len(b.at.Mid)), Half: make([][taylor.MaxVars]float64, len(b.at.Mid)),
		Middle: make([]float64, len(b.at.Middle)), Sizes: make([]float64, len(b.at.Middle))}
	for j, m := range b.at.Mid {
		for k := range t.vary {
			m += b.at.Half[j][k] * tau[k]
		}
		c.Mid[j] = m
	}
	for i, m := range b.at.Middle {
		c.Middle[i] = m + b.at.Sizes[i]*dev[i]
	}
	v, ok := t.Plan.standers.Get()
	if !ok || v.size != t.size {
		v = newSolver(t.Plan, taylor.For(1, 1), t.widest, t.size)
	}
	defer t.Plan.standers.Put(v)
	v.widest = t.widest
	guess := make([]float64, len(t.Plan.scalar))
	for i, k := range t.Plan.known {
		guess[k] = t.valueOf(b, i, tau, dev)
	}
	if !v.enclose(&c, guess) {
		return nil, false
	}
	s := &Stood{t: t, at: make([]float64, len(t.Plan.keep)), rad: make([]float64, len(t.Plan.keep))}
	for i, k := range t.Plan.keep {
		s.at[i] = v.st.Poly(k)[0]
		s.rad[i] = v.st.Rad(k)
	}
	for i, k := range t.Plan.known {
		if !(math.Abs(guess[k]-s.at[i])+s.rad[i]+slip*t.sizeOf(b, i) < b.wide[k]) { // there the box has one solution
			return nil, false
		}
	}
	return s, true
}

// Placement returns where a part stands, and how far its origin may be from there, mm, and its direction.
func (s *Stood) Placement(part int) (at plane.Placement, off, turn float64) {
	slots := s.t.Plan.slots(part)
	value := func(k slot, without float64) (v, r float64) {
		if k == none || s.t.Plan.kept[k] < 0 {
			return without, 0
		}
		i := s.t.Plan.kept[k]
		return s.at[i], s.rad[i]
	}
	var r [4]float64
	at.Origin.X, r[0] = value(slots[0], 0)
	at.Origin.Y, r[1] = value(slots[1], 0)
	at.Dir.X, r[2] = value(slots[2], 1)
	at.Dir.Y, r[3] = value(slots[3], 0)
	return at, r[0] + r[1], r[2] + r[3]
}
