package taylor

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// LeastOf is Least over every deviation too, each from -1 to 1. Where disc is set for a deviation, it and the next one
// are within the circle of radius 1. It also returns the deviations near the least.
func (s *Space) LeastOf(c []float64, disc []bool) (lo float64, at [MaxVars]float64, dev []float64) {
	if s.Devs == 0 {
		lo, at = s.Least(c)
		return lo, at, []float64{}
	}
	w := s.worsen(c, disc)
	defer s.worse.Put(w)
	lo, at = w.least(s, disc)
	return lo, at, slices.Clone(w.dev)
}

// least sets every deviation that is open or in a disc, and bounds the polynomial.
func (w *worsening) least(s *Space, disc []bool) (lo float64, at [MaxVars]float64) {
	w.decide()
	of := w.round(disc)
	w.decide()
	w.beside(disc, of)
	w.rest()
	lo, at = s.plain.Least(w.core)
	return lo - w.loss*grow - s.eps*w.size - tiny, at
}

// worsening is a polynomial whose deviations are set one after the other to the values that make it least.
type worsening struct {
	core []float64   // the part without deviations, in the space that has none
	line [][]float64 // for each deviation, the polynomial that it is multiplied by, in the same space
	room []float64   // the memory of line
	two  []twofold   // the products of two deviations that remain
	open []bool      // for each deviation: it is not set yet
	dev  []float64   // the values of the deviations that are set
	loss float64     // what is subtracted for the deviations that cannot be set
	size float64

	tail, strays []float64 // scratch, one for each deviation
	now          []bool    // for each deviation: it is being set
	of           []int     // see dominant
}

// twofold is a coefficient of a product of two deviations.
type twofold struct {
	i, j int16
	at   int32 // the powers of the coordinates, in the space without deviations
	v    float64
}

// newWorsening allocates a worsening.
func (s *Space) newWorsening() *worsening {
	n := s.plain.At[s.Order-Weight+1]
	w := &worsening{core: make([]float64, s.plain.N), line: make([][]float64, s.Devs), room: make([]float64, s.Devs*n),
		open: make([]bool, s.Devs), now: make([]bool, s.Devs), of: make([]int, s.Devs)}
	few := make([]float64, 3*s.Devs)
	w.dev, w.tail, w.strays = few[:s.Devs], few[s.Devs:2*s.Devs], few[2*s.Devs:]
	for i := range w.line {
		w.line[i] = w.room[i*n : (i+1)*n]
	}
	return w
}

// worsen splits the polynomial c by its deviations. Whoever calls it returns the worsening to s.worse after use.
func (s *Space) worsen(c []float64, disc []bool) *worsening {
	w, ok := s.worse.Get().(*worsening)
	if !ok {
		w = s.newWorsening()
	}
	clear(w.core)
	clear(w.room)
	clear(w.dev)
	w.two, w.loss, w.size = w.two[:0], 0, 0
	for i := range w.open {
		w.open[i] = true
	}
	for i, d := range disc {
		if d {
			w.open[i], w.open[i+1] = false, false
		}
	}
	for i, v := range c {
		if v == 0 {
			continue
		}
		w.size += math.Abs(v)
		switch d := s.Dev[i]; {
		case d[1] < 0:
			w.core[s.core[i]] += v
		case d[0] < 0:
			w.line[d[1]][s.core[i]] += v
		default:
			w.two = append(w.two, twofold{d[0], d[1], s.core[i], v})
		}
	}
	return w
}

// decide sets each deviation for which it is certain which end makes the polynomial least, whatever the place and the
// others are.
func (w *worsening) decide() {
	for again := true; again; {
		again = false
		w.tails()
		for i, l := range w.line {
			to := w.certain(i, l[0], w.tail[i])
			if w.now[i] = to != 0; to != 0 {
				w.dev[i], w.open[i], again = to, false, true
			}
		}
		if again {
			w.set()
		}
	}
}

// certain returns the end to which a deviation is set if its slope is within tail of lead; 0 if the end is not certain.
func (w *worsening) certain(i int, lead, tail float64) float64 {
	if !w.open[i] || !(math.Abs(lead) > tail*grow) {
		return 0
	}
	return -math.Copysign(1, lead)
}

// tails bounds how far the slope by each deviation is from its first coefficient.
func (w *worsening) tails() {
	tail := w.tail
	for i, l := range w.line {
		tail[i] = SizeOf(l[1:])
	}
	for _, q := range w.two {
		v := math.Abs(q.v)
		tail[q.i] += v
		tail[q.j] += v // twice for a square, whose slope is twice as steep
	}
}

// set substitutes the values of the deviations in w.now.
func (w *worsening) set() {
	left := w.two[:0]
	for _, q := range w.two {
		switch {
		case w.now[q.i] && w.now[q.j]:
			w.core[q.at] += w.dev[q.i] * w.dev[q.j] * q.v
		case w.now[q.i]:
			w.line[q.j][q.at] += w.dev[q.i] * q.v
		case w.now[q.j]:
			w.line[q.i][q.at] += w.dev[q.j] * q.v
		default:
			left = append(left, q)
		}
	}
	w.two = left
	for i, v := range w.dev {
		if w.now[i] {
			for k, x := range w.line[i] {
				w.core[k] += v * x
			}
			clear(w.line[i])
		}
	}
}

// round sets the pairs of deviations that are in discs. The least of x·a + y·b over a disc is at the rim, at -u, where u
// is the unit direction of (a, b). Every place of the disc is -u + e with u·e at least |e|²/2, so leaving -u costs |(a,
// b)|·|e|²/2. All other terms, the products with other deviations and the effect of the coordinates, gain no more than
// c·|e| by it, for some c. So no more than c²/(2·|(a, b)|) is subtracted beyond the value of the polynomial at -u. It
// returns the same as dominant.
func (w *worsening) round(disc []bool) (of []int) {
	of = w.dominant(disc)
	strays := w.strays // c, by the first deviation of a disc
	clear(strays)
	for i, l := range w.line {
		if k := of[i]; k >= 0 {
			strays[k] += SizeOf(l[1:])
		}
	}
	left := w.two[:0]
	for _, q := range w.two {
		if !w.onRims(&q, of, strays) {
			left = append(left, q)
		}
	}
	w.two = left
	for i, d := range disc {
		if !d || of[i] < 0 {
			continue
		}
		a, b := w.line[i], w.line[i+1]
		u := math.Hypot(a[0], b[0])
		for k := range a {
			w.core[k] += w.dev[i]*a[k] + w.dev[i+1]*b[k]
		}
		if c := strays[i] * grow; c <= 2*u {
			w.loss += c * c / (2 * u)
		} else {
			w.loss += 2 * (c - u) // |e| is at most 2
		}
	}
	return of
}

// beside subtracts the effect of the pairs that are in discs and not at a rim. It comes when no deviation is set any
// more: setting one adds to the factors of the others.
func (w *worsening) beside(disc []bool, of []int) {
	for i, d := range disc {
		if d && of[i] < 0 {
			a, b := w.line[i], w.line[i+1]
			w.loss += math.Hypot(a[0], b[0]) + math.Hypot(SizeOf(a[1:]), SizeOf(b[1:]))*grow
		}
	}
}

// dominant puts those pairs of discs at the rim whose own slope outweighs their other effects. It returns for each
// deviation the first of its disc at the rim, or -1.
func (w *worsening) dominant(disc []bool) (of []int) {
	of, tail := w.nowhere(), w.tail
	w.tails()
	for i, d := range disc {
		if !d {
			continue
		}
		a, b := w.line[i][0], w.line[i+1][0]
		u := math.Hypot(a, b)
		if u > 0 {
			w.dev[i], w.dev[i+1] = -a/u, -b/u
		}
		if u > 2*(tail[i]+tail[i+1]) {
			of[i], of[i+1] = i, i
		}
	}
	return of
}

// onRims removes a product that contains a deviation of a disc at the rim: it adds its value there to the factor or
// constant that it belongs to, and adds what it may gain elsewhere to strays. It returns false for a product of others.
func (w *worsening) onRims(q *twofold, of []int, strays []float64) bool {
	i, j, v := q.i, q.j, math.Abs(q.v)
	ki, kj := of[i], of[j]
	if ki < 0 && kj < 0 {
		return false
	}
	switch {
	case i == j:
		w.core[q.at] += q.v * w.dev[i] * w.dev[i]
		strays[ki] += 2 * v * math.Abs(w.dev[i])
		if q.at != 0 || q.v < 0 {
			strays[ki] += 2 * v // e² is at most 2·|e|
		}
	case ki >= 0 && kj >= 0:
		w.core[q.at] += q.v * w.dev[i] * w.dev[j]
		strays[ki] += v * (math.Abs(w.dev[j]) + 1) // |e·f| is at most |e| + |f|
		strays[kj] += v * (math.Abs(w.dev[i]) + 1)
	case ki >= 0:
		w.line[j][q.at] += q.v * w.dev[i]
		strays[ki] += v
	default:
		w.line[i][q.at] += q.v * w.dev[j]
		strays[kj] += v
	}
	return true
}

// rest subtracts what remains, by its size.
func (w *worsening) rest() {
	for i, l := range w.line {
		if w.open[i] {
			w.loss += SizeOf(l)
			if l[0] != 0 {
				w.dev[i] = -math.Copysign(1, l[0])
			}
		}
	}
	for _, q := range w.two {
		if q.i != q.j || q.at != 0 || q.v < 0 {
			w.loss += math.Abs(q.v)
		}
	}
}

// LeastWith is LeastOf with every deviation given but those of discs, which may still be anywhere in these. The deviations that it gives are
// all of them.
func (s *Space) LeastWith(c, given []float64, disc []bool) (lo float64, at [MaxVars]float64, dev []float64) {
	if s.Devs == 0 {
		return s.LeastOf(c, disc)
	}
	w := s.worsen(c, disc)
	defer s.worse.Put(w)
	for i, open := range w.open {
		if w.now[i] = open; open {
			w.dev[i], w.open[i] = given[i], false
		}
	}
	w.set()
	lo, at = w.least(s, disc)
	return lo, at, slices.Clone(w.dev)
}

// Line bounds a polynomial from below by what is straight in the deviations: it is nowhere below Lo + Σ Slope[i]·dev[i], wherever the
// place is and those in discs are.
type Line struct {
	Lo    float64
	Slope []float64
	// Turns is what is lost since the slopes are not the same everywhere, and Along the coordinate along which they differ most: halves
	// of the box lose about half of it.
	Turns float64
	Along int
}

// LineBelow is a Line for a polynomial.
func (s *Space) LineBelow(c []float64, disc []bool) Line {
	if s.Devs == 0 {
		lo, _ := s.Least(c)
		return Line{Lo: lo}
	}
	w := s.worsen(c, disc)
	defer s.worse.Put(w)
	l := Line{Slope: make([]float64, s.Devs)}
	var weight [MaxVars]float64
	for i, open := range w.open {
		if !open {
			continue
		}
		l.Slope[i] = w.line[i][0]
		for k, v := range w.line[i][1:] {
			v = math.Abs(v)
			l.Turns += v
			for j := range s.Vars {
				weight[j] += v * float64(s.plain.Powers[k+1][j])
			}
		}
	}
	l.Along = floats.MaxIdx(weight[:s.Vars])
	w.beside(disc, w.nowhere())
	for i := range w.open {
		w.open[i] = false
	}
	w.rest()
	lo, _ := s.plain.Least(w.core)
	l.Lo = lo - (w.loss+l.Turns)*grow - 2*s.eps*w.size - tiny
	return l
}

// nowhere is what dominant gives where no pair of a disc is put at the rim.
func (w *worsening) nowhere() []int {
	for i := range w.of {
		w.of[i] = -1
	}
	return w.of
}
