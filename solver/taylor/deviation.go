package taylor

import (
	"math"
	"slices"
)

// A size with a tolerance is a coordinate as well, from its least to its greatest, and there may be dozens. An engine is
// nearly linear in each of them, so a power of one need not be kept as far as a power of the turn: a deviation has the
// weight of Weight powers of a coordinate. The series by degrees stay valid. They use Euler's derivation, which
// multiplies each part by its degree. It is a derivation with weights too, and the box contains every place (λτ,
// λ^Weight·δ) with λ from 0 to 1 if it contains the end, so the radii hold.

const (
	// Weight is the degree of a deviation.
	Weight = 4
	// MaxDevs is how many deviations a box may have.
	MaxDevs = 64
	// maxSized is how many coefficients a polynomial with deviations may have.
	maxSized = 4096
)

// ForSizes returns the space of vars coordinates and of devs deviations up to an order. Below Weight it keeps nothing of
// a deviation, below twice that its first power, from there on the products of two. Orders that would need too many
// coefficients are lowered.
func ForSizes(vars, order, devs int) *Space {
	if devs == 0 {
		return For(vars, order)
	}
	vars, order, devs = min(max(vars, 1), MaxVars), min(max(order, Weight), MaxOrder), min(max(devs, 0), MaxDevs)
	for order > Weight && (sized(vars, order, devs) > maxSized || coefficients(vars, order) > MaxN) {
		order--
	}
	return kept(vars, order, devs)
}

// sized is the number of coefficients of a polynomial with deviations.
func sized(vars, order, devs int) int {
	n := coefficients(vars, order)
	if order >= Weight {
		n += devs * coefficients(vars, order-Weight)
	}
	if order >= 2*Weight {
		n += devs * (devs + 1) / 2 * coefficients(vars, order-2*Weight)
	}
	return n
}

// weighing lists the monomials of degree m, those without a deviation first.
func weighing(vars, devs, m int) (list []monomial) {
	for _, p := range monomials(vars, m) {
		list = append(list, monomial{p, undeviated})
	}
	if m < Weight || devs == 0 {
		return list
	}
	for i := range devs {
		for _, p := range monomials(vars, m-Weight) {
			list = append(list, monomial{p, [2]int16{-1, int16(i)}})
		}
	}
	if m < 2*Weight {
		return list
	}
	for i := range devs {
		for j := i; j < devs; j++ {
			for _, p := range monomials(vars, m-2*Weight) {
				list = append(list, monomial{p, [2]int16{int16(i), int16(j)}})
			}
		}
	}
	return list
}

// times is the product of two monomials that together have no more than two deviations.
func (p monomial) times(q monomial) monomial {
	for k := range p.tau {
		p.tau[k] += q.tau[k]
	}
	switch {
	case q.dev[1] < 0:
	case p.dev[1] < 0:
		p.dev = q.dev
	default:
		p.dev = [2]int16{min(p.dev[1], q.dev[1]), max(p.dev[1], q.dev[1])}
	}
	return p
}

// Deviation returns the coefficient of a deviation by itself.
func (s *Space) Deviation(k int) int {
	return s.At[Weight+1] - s.Devs + k // see weighing
}

// over makes the space one with deviations over one without.
func (s *Space) over(plain *Space) {
	if s.plain = plain; plain == nil {
		return
	}
	s.core = make([]int32, s.N)
	for i, p := range s.Powers {
		s.core[i] = int32(plain.place[monomial{p, undeviated}])
	}
}

// ValueOf evaluates a polynomial at a place and with deviations.
func (s *Space) ValueOf(c []float64, tau *[MaxVars]float64, dev []float64) (v float64) {
	mono := s.monomialsAt(tau)
	for i, x := range c {
		if x != 0 {
			v += x * mono[s.plainly(i)] * s.deviated(i, dev)
		}
	}
	return v
}

// ValueAside evaluates a polynomial of deviations alone.
func (s *Space) ValueAside(c, dev []float64) (v float64) {
	for k, n := range [3]int{1, s.Devs, s.Devs * (s.Devs + 1) / 2} { // the last of each degree: see weighing
		if k*Weight > s.Order {
			break
		}
		end := s.At[k*Weight+1]
		for i := end - n; i < end; i++ {
			if c[i] != 0 {
				v += c[i] * s.deviated(i, dev)
			}
		}
	}
	return v
}

// Weigh writes to w the weight of each coefficient at the coordinates tau and the deviations dev, nil for none: the value of a
// polynomial there is the sum of its coefficients, each times its weight. It saves work where several polynomials are evaluated at one place.
func (s *Space) Weigh(w []float64, tau *[MaxVars]float64, dev []float64) {
	mono := s.monomialsAt(tau)
	for i := range w {
		w[i] = mono[s.plainly(i)] * s.deviated(i, dev)
	}
}

// monomialsAt returns the value of each product of powers of the coordinates, without deviations.
func (s *Space) monomialsAt(tau *[MaxVars]float64) (mono [MaxN]float64) {
	plain := s
	if s.plain != nil {
		plain = s.plain
	}
	for i, p := range plain.Powers {
		v := 1.0
		for k := range s.Vars {
			for range p[k] {
				v *= tau[k]
			}
		}
		mono[i] = v
	}
	return mono
}

// plainly returns the index of the coefficient with the same powers in the space without deviations.
func (s *Space) plainly(i int) int32 {
	if s.core == nil {
		return int32(i)
	}
	return s.core[i]
}

// deviated returns the product of the deviations that belong to coefficient i: of none, one or two.
func (s *Space) deviated(i int, dev []float64) float64 {
	switch d := s.Dev[i]; {
	case d[1] < 0:
		return 1
	case dev == nil:
		return 0
	case d[0] < 0:
		return dev[d[1]]
	default:
		return dev[d[0]] * dev[d[1]]
	}
}

// Undeviated returns a polynomial with every deviation at zero; the same one if the space has none.
func (s *Space) Undeviated(c []float64) []float64 {
	if s.Devs == 0 {
		return c
	}
	out := make([]float64, len(c))
	for i, v := range c {
		if s.Dev[i][1] < 0 {
			out[i] = v
		}
	}
	return out
}

// Moved is what the deviations do in the middle of a polynomial, each by itself.
func (s *Space) Moved(c []float64) (far float64) {
	for k := range s.Devs {
		far += math.Abs(c[s.Deviation(k)])
	}
	return far
}

// Foremost is the coordinate that moves a polynomial most.
func (s *Space) Foremost(c []float64) (k int) {
	var weight [MaxVars]float64
	for i, v := range c {
		for j := range s.Vars {
			weight[j] += math.Abs(v) * float64(s.Powers[i][j])
		}
	}
	for j := range s.Vars {
		if weight[j] > weight[k] {
			k = j
		}
	}
	return k
}

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
	for j := range s.Vars {
		if weight[j] > weight[l.Along] {
			l.Along = j
		}
	}
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
