package tube

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"barover/solver/taylor"
)

// The effect of sizes on the turn and the travels beyond the terms that are kept grows with the box. Where it is too
// large for a figure, a part of the box is enclosed again, with all sizes. The rest of the tube stays as it is.

// Finer is a part of a box, enclosed again.
type Finer struct {
	Box  Box
	part Part
	pad  [taylor.MaxVars]float64 // how much larger each half width is than that of the part, as a share
}

// Finer encloses a part of a box again, with all of its sizes or, given a cut, with some stretch of each. The part must lie
// within a box `in` that was enclosed of it before, and the cut is one of the deviations of that box; in may be b itself. It
// returns false where that fails, or is not proved to be the branch of that box.
func (t *Tube) Finer(b *Box, p *Part, in *Box, cut *taylor.Cut) (*Finer, bool) {
	f := &Finer{part: *p, Box: Box{Turn: b.Turn, Travel: slices.Clone(b.Travel), part: b.part}}
	c := taylor.Box{Mid: slices.Clone(b.at.Mid), Half: make([][taylor.MaxVars]float64, len(b.at.Half))}
	for k, j := range t.vary {
		h := b.at.Half[j][k]
		c.Mid[j] += h * p.Mid[k]
		f.pad[k] = 0x1p-45 * (1 + (math.Abs(c.Mid[j])+math.Abs(h))/(h*p.Half[k]))
		c.Half[j][k] = h * p.Half[k] * (1 + 2*f.pad[k])
		if r := (Range{c.Mid[j] - c.Half[j][k], c.Mid[j] + c.Half[j][k]}); j == 0 {
			f.Box.Turn = r
		} else {
			f.Box.Travel[j-1] = r
		}
	}
	var dev []float64
	c.Middle, c.Sizes = slices.Clone(in.at.Middle), slices.Clone(in.at.Sizes)
	if cut != nil {
		dev = cut.Mid
		for i, m := range cut.Mid {
			c.Middle[i] += m * c.Sizes[i]
			c.Sizes[i] = c.Sizes[i]*cut.Half[i]*(1+0x1p-45) + math.Abs(c.Middle[i])*0x1p-50
		}
	}
	f.Box.at = c
	v := borrowSolver(t.Plan, t.Space, t.widest, t.size)
	defer t.Plan.solvers.Put(v)
	tau := t.within(in, &c)
	guess := make([]float64, len(t.Plan.scalar))
	for i, k := range t.Plan.known {
		guess[k] = t.valueOf(in, i, &tau, dev)
	}
	if !v.enclose(&f.Box.at, guess) {
		return nil, false
	}
	v.store(&f.Box)
	return f, t.leads(in, &f.Box, &tau, dev)
}

// Cut returns the stretches of the deviations of a box b that another box holds.
func (t *Tube) Cut(b, f *Box) taylor.Cut {
	c := taylor.Cut{Mid: make([]float64, len(b.at.Sizes)), Half: make([]float64, len(b.at.Sizes))}
	for i, h := range b.at.Sizes {
		if !(h > 0) {
			c.Half[i] = 1
			continue
		}
		c.Mid[i], c.Half[i] = (f.at.Middle[i]-b.at.Middle[i])/h, f.at.Sizes[i]/h
		c.Off = max(c.Off, 0x1p-49*(1+math.Abs(b.at.Middle[i])/h))
	}
	return c
}

// within returns the middle of a box c in the coordinates of a box that contains it.
func (t *Tube) within(b *Box, c *taylor.Box) (tau [taylor.MaxVars]float64) {
	for k, j := range t.vary {
		if h := b.at.Half[j][k]; h > 0 {
			tau[k] = min(max((c.Mid[j]-b.at.Mid[j])/h, -1), 1)
		}
	}
	return tau
}

// valueOf is value with some deviations; nil for none.
func (t *Tube) valueOf(b *Box, kept int, tau *[taylor.MaxVars]float64, dev []float64) float64 {
	if dev == nil {
		return t.value(b, kept, tau)
	}
	n := t.Space.N
	return t.Space.ValueOf(b.poly[kept*n:kept*n+n], tau, dev)
}

// leads reports whether the tube of one of two boxes is within the wide tube of the other where the middle of b lies: at a place of a
// and with some deviations of it. Then both hold the same solution there, and so wherever and with whatever sizes they meet.
func (t *Tube) leads(a, b *Box, tau *[taylor.MaxVars]float64, dev []float64) bool {
	var middle [taylor.MaxVars]float64
	inA, inB := true, true
	for i, k := range t.Plan.known {
		off := math.Abs(t.valueOf(a, i, tau, dev)-t.value(b, i, &middle)) + slip*(t.sizeOf(a, i)+t.sizeOf(b, i))
		inA = inA && off+b.rad[i] < a.wide[k]
		inB = inB && off+a.rad[i] < b.wide[k]
	}
	return inA || inB
}

// Part returns the place of a part of the box in the one enclosed again. It is never smaller, in spite of rounding.
func (f *Finer) Part(p *Part) (q Part) {
	for k, h := range f.part.Half {
		if h == 0 {
			continue
		}
		s := h * (1 + 2*f.pad[k])
		lo, hi := (p.Mid[k]-p.Half[k]-f.part.Mid[k])/s-f.pad[k]/2, (p.Mid[k]+p.Half[k]-f.part.Mid[k])/s+f.pad[k]/2
		lo, hi = max(lo, -1), min(hi, 1)
		q.Mid[k], q.Half[k] = (lo+hi)/2, (hi-lo)/2
	}
	return q
}

// Coarseness is how far a place of a box may be from its polynomial at most, mm.
func (t *Tube) Coarseness(b *Box) (worst float64) {
	for i, r := range b.rad {
		worst = max(worst, r*t.reach[i])
	}
	return worst
}

// Halves returns the coordinate along which to halve a box to enclose it more closely: the one with the largest effect of
// sizes on the least accurate slots.
func (t *Tube) Halves(b *Box) int {
	var weight [taylor.MaxVars]float64
	n := t.Space.N
	for i := range t.Plan.keep {
		var w [taylor.MaxVars]float64
		all := 0.0
		for _, m := range t.Space.First {
			c := math.Abs(b.poly[i*n+int(m)])
			all += c
			for j := range t.Space.Vars {
				w[j] += c * float64(t.Space.Powers[m][j])
			}
		}
		for j := range t.Space.Vars {
			if all > 0 {
				weight[j] += w[j] / all * b.rad[i] * t.reach[i]
			}
		}
	}
	return floats.MaxIdx(weight[:t.Space.Vars])
}

// Floats is how many numbers a box keeps.
func (t *Tube) Floats() int64 { return int64(len(t.Plan.keep) * (t.Space.N + 1)) }
