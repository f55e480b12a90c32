package taylor

import (
	"math"

	"gonum.org/v1/gonum/floats"
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

// Apart returns a polynomial with every deviation at zero, and how far they may take it from there; disc is as in LeastOf. Their
// values no longer count, as where each place has deviations of its own. Both are to within rounding.
func (s *Space) Apart(c []float64, disc []bool) (firm []float64, off float64) {
	firm = s.Undeviated(c)
	if s.Devs == 0 {
		return firm, 0
	}
	aside := make([]float64, len(c))
	floats.SubTo(aside, c, firm)
	lo, _, _ := s.LeastOf(aside, disc)
	floats.Scale(-1, aside)
	hi, _, _ := s.LeastOf(aside, disc)
	firm[0] += (lo - hi) / 2
	return firm, -(lo + hi) / 2
}

// Moved is what the deviations do in the middle of a polynomial, each by itself.
func (s *Space) Moved(c []float64) (far float64) {
	for k := range s.Devs {
		far += math.Abs(c[s.Deviation(k)])
	}
	return far
}

// Foremost is the coordinate that moves a polynomial most.
func (s *Space) Foremost(c []float64) int {
	var weight [MaxVars]float64
	for i, v := range c {
		for j := range s.Vars {
			weight[j] += math.Abs(v) * float64(s.Powers[i][j])
		}
	}
	return floats.MaxIdx(weight[:s.Vars])
}
