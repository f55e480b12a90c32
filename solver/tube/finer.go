package tube

import (
	"math"
	"slices"

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

// Finer encloses a part of a box again. It returns false where that fails, or is not proved to be the branch of the box.
func (t *Tube) Finer(b *Box, p *Part) (*Finer, bool) {
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
	t.Plan.Deviate(&c)
	f.Box.at = c
	v := borrowSolver(t.Plan, t.Space, t.widest, t.size)
	defer t.Plan.solvers.Put(v)
	guess := make([]float64, len(t.Plan.scalar))
	for _, k := range t.Plan.known {
		guess[k] = t.value(b, t.Plan.kept[t.Plan.scalar[k]], &p.Mid)
	}
	if !v.enclose(&f.Box.at, guess) {
		return nil, false
	}
	v.store(&f.Box)
	return f, t.same(b, &f.Box, p.Mid, [taylor.MaxVars]float64{})
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

// Halves returns the coordinate along which to halve a box to enclose it more closely: the one with the largest effect of
// sizes on the least accurate slots.
func (t *Tube) Halves(b *Box) (k int) {
	var weight [taylor.MaxVars]float64
	n := t.Space.N
	for i := range t.Plan.keep {
		var w [taylor.MaxVars]float64
		all := 0.0
		for m, c := range b.poly[i*n : (i+1)*n] {
			if d := t.Space.Dev[m]; d[0] < 0 && d[1] >= 0 {
				all += math.Abs(c)
				for j := range t.Space.Vars {
					w[j] += math.Abs(c) * float64(t.Space.Powers[m][j])
				}
			}
		}
		for j := range t.Space.Vars {
			if all > 0 {
				weight[j] += w[j] / all * b.rad[i] * t.reach[i]
			}
		}
	}
	for j := range t.Space.Vars {
		if weight[j] > weight[k] {
			k = j
		}
	}
	return k
}

// Floats is how many numbers a box keeps.
func (t *Tube) Floats() int64 { return int64(len(t.Plan.keep) * (t.Space.N + 1)) }
