package taylor

import (
	"math"
	"slices"
)

// Cut is a stretch of each deviation: from Mid - Half to Mid + Half, within [-1, 1] except for rounding.
type Cut struct {
	Mid, Half []float64
	Off       float64 // how far, in old deviations, a new one may be from what the two say
}

// About is a share of what so many deviations may be, about these, and within [-1, 1].
func About(dev []float64, devs int, share float64) Cut {
	c := Cut{Mid: make([]float64, devs), Half: make([]float64, devs)}
	for i, d := range dev {
		c.Mid[i], c.Half[i] = (1-share)*d, share
	}
	return c
}

// Narrow writes to dst the polynomial src over a stretch of each deviation: each is Mid + Half times the new one. It returns the
// radius to add.
func (s *Space) Narrow(dst, src []float64, cut *Cut) float64 {
	clear(dst)
	size := 0.0
	for i, v := range src {
		if v == 0 {
			continue
		}
		size += math.Abs(v)
		m := s.at(i)
		a, b := m.dev[0], m.dev[1]
		switch {
		case b < 0:
			dst[i] += v
		case a < 0:
			dst[i] += v * cut.Half[b]
			dst[s.without(m, undeviated)] += v * cut.Mid[b]
		default:
			dst[i] += v * cut.Half[a] * cut.Half[b]
			dst[s.without(m, [2]int16{-1, a})] += v * cut.Half[a] * cut.Mid[b]
			dst[s.without(m, [2]int16{-1, b})] += v * cut.Mid[a] * cut.Half[b]
			dst[s.without(m, undeviated)] += v * cut.Mid[a] * cut.Mid[b]
		}
	}
	return (16*ulp+2*cut.Off)*size*grow + tiny
}

// without returns the coefficient with the same powers of the coordinates and other deviations.
func (s *Space) without(m monomial, dev [2]int16) int {
	m.dev = dev
	return s.place[m]
}

// Below returns the stretch of each deviation in which a polynomial may be below limit. The polynomial is nowhere below lo. Where
// it is certain which way it rises with a deviation, it is above limit far enough that way. Deviations in discs keep all of
// their stretch. It returns false where the polynomial is below limit nowhere.
func (s *Space) Below(c []float64, disc []bool, lo, limit float64) (cut Cut, ok bool) {
	cut = Cut{Mid: make([]float64, s.Devs), Half: make([]float64, s.Devs)}
	for i := range cut.Half {
		cut.Half[i] = 1
	}
	if lo >= limit {
		return cut, false
	}
	w := s.worsen(c, disc)
	defer s.worse.Put(w)
	w.tails()
	for i, l := range w.line {
		rise := math.Abs(l[0]) - w.tail[i]*grow - s.eps*w.size
		if !w.open[i] || !(rise > 0) {
			continue
		}
		if reach := (limit - lo) / rise * grow; reach < 2 {
			end := math.Copysign(1, -l[0])
			cut.set(i, min(end, end-reach*end), max(end, end-reach*end))
		}
	}
	return cut, true
}

// Hull widens a cut until it contains another.
func (t *Cut) Hull(o *Cut) {
	for i := range t.Mid {
		t.set(i, min(t.Mid[i]-t.Half[i], o.Mid[i]-o.Half[i]), max(t.Mid[i]+t.Half[i], o.Mid[i]+o.Half[i]))
	}
}

// Meet narrows a cut to what it shares with another. It returns false where that is nothing.
func (t *Cut) Meet(o *Cut) bool {
	for i := range t.Mid {
		lo, hi := max(t.Mid[i]-t.Half[i], o.Mid[i]-o.Half[i]), min(t.Mid[i]+t.Half[i], o.Mid[i]+o.Half[i])
		if lo > hi {
			return false
		}
		t.set(i, lo, hi)
	}
	return true
}

func (t *Cut) set(i int, lo, hi float64) {
	t.Mid[i] = (lo + hi) / 2
	t.Half[i] = max(hi-t.Mid[i], t.Mid[i]-lo) + 2*ulp
}

// Cutting collects the deviations with which a figure may be below a limit: the least of several polynomials, along one of several
// directions. A nil Cutting collects nothing.
type Cutting struct {
	All *Cut // in every direction so far; nil for none

	space *Space
	disc  []bool
	limit float64
	here  *Cut // in one direction
	tried bool
	moves []float64 // how far each deviation moves any polynomial
}

// NewCutting collects where a figure may be below limit.
func NewCutting(s *Space, disc []bool, limit float64) *Cutting {
	return &Cutting{space: s, disc: disc, limit: limit, moves: make([]float64, s.Devs)}
}

// UpTo is the limit; -Inf for none.
func (c *Cutting) UpTo() float64 {
	if c == nil {
		return math.Inf(-1)
	}
	return c.limit
}

// Add takes note of a polynomial less a radius: off. The polynomial is nowhere below low.
func (c *Cutting) Add(poly []float64, low, off float64) {
	if c == nil {
		return
	}
	cut, ok := c.space.Below(poly, c.disc, low, c.limit+off)
	if !ok {
		return
	}
	for i := range c.moves {
		c.moves[i] = max(c.moves[i], math.Abs(poly[c.space.Deviation(i)]))
	}
	if c.here == nil {
		c.here = &cut
	} else {
		c.here.Hull(&cut)
	}
}

// Turn ends a direction. The figure is no less than the least in any direction, so only deviations that all of them leave matter.
func (c *Cutting) Turn() {
	switch {
	case c == nil:
		return
	case !c.tried:
		c.All = c.here
	case c.All == nil || c.here == nil || !c.All.Meet(c.here):
		c.All = nil
	}
	c.tried, c.here = true, nil
}

// Halves is the cut in two halves of the deviation that moves most in it; those in discs stay whole.
func (c *Cutting) Halves() (half []*Cut) {
	most, by := 0, 0.0
	for i, h := range c.All.Half {
		if m := c.moves[i] * h; m > by && !(c.disc[i] || i > 0 && c.disc[i-1]) {
			most, by = i, m
		}
	}
	if by == 0 {
		return []*Cut{c.All}
	}
	for _, side := range [2]float64{-1, 1} {
		h := &Cut{Mid: slices.Clone(c.All.Mid), Half: slices.Clone(c.All.Half), Off: c.All.Off}
		to := h.Mid[most] + side*h.Half[most]
		h.set(most, min(h.Mid[most], to), max(h.Mid[most], to))
		half = append(half, h)
	}
	return half
}

// Share is what the cut leaves of what the deviations do.
func (c *Cutting) Share() float64 {
	all, left := 0.0, 0.0
	for i, h := range c.All.Half {
		all, left = all+c.moves[i], left+c.moves[i]*h
	}
	return left / all
}
