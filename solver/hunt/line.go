package hunt

import (
	"math"

	"barover/solver"
)

// maxSearch bounds every search along a line. Halving a step of 1° down to 1e-10 rad takes 28.
const maxSearch = 100

// golden is the smaller part of the golden section, (3 − √5)/2.
const golden = 0.3819660112501051

// LeastBetween finds the minimum of f between a and b by Brent's method (R. P. Brent, Algorithms for Minimization without
// Derivatives, 1973, ch. 5): parabolas through the last three places, golden section where they do not help. m is a place
// between a and b, and its value fm is no greater than at both ends. A NaN counts as greater than everything. The place
// is accurate to about the square root of the rounding of f; the value is accurate to the rounding itself.
func LeastBetween(f func(float64) float64, a, m, b, fm, tol float64) (at, value float64) {
	return LeastWithin(f, a, m, b, fm, tol, maxSearch)
}

// LeastWithin is LeastBetween with at most this many evaluations.
func LeastWithin(f func(float64) float64, a, m, b, fm, tol float64, looks int) (at, value float64) {
	s := valley{a: a, b: b, x: m, w: m, v: m, fx: fm, fw: fm, fv: fm}
	for range looks {
		mid, near := (s.a+s.b)/2, tol+1e-12*math.Abs(s.x)
		if math.Abs(s.x-mid) <= 2*near-(s.b-s.a)/2 {
			break
		}
		u := s.x + s.step(mid, near)
		s.take(u, solver.OrGreatest(f(u)))
	}
	return s.x, s.fx
}

// valley is the state of Brent's method: the minimum lies between a and b; x is the best place so far, w the next best, v
// the one before w.
type valley struct {
	a, b, x, w, v, fx, fw, fv float64
	d, e                      float64 // the last step and the one before it
}

// step returns how far from x to evaluate next.
func (s *valley) step(mid, near float64) float64 {
	if !s.parabola(mid, near) {
		s.e = s.b - s.x
		if s.x >= mid {
			s.e = s.a - s.x
		}
		s.d = golden * s.e
	}
	if math.Abs(s.d) < near {
		return math.Copysign(near, s.d)
	}
	return s.d
}

// parabola steps to the minimum of the parabola through x, w and v. It returns false where that is no guide: out of
// bounds, or more than half the step before the last.
func (s *valley) parabola(mid, near float64) bool {
	if math.Abs(s.e) <= near {
		return false
	}
	r := (s.x - s.w) * (s.fx - s.fv)
	q := (s.x - s.v) * (s.fx - s.fw)
	p := (s.x-s.v)*q - (s.x-s.w)*r
	q = 2 * (q - r)
	if q > 0 {
		p = -p
	}
	q = math.Abs(q)
	before := s.e
	s.e = s.d
	if !(math.Abs(p) < math.Abs(q*before/2) && p > q*(s.a-s.x) && p < q*(s.b-s.x)) {
		return false
	}
	s.d = p / q
	if u := s.x + s.d; u-s.a < 2*near || s.b-u < 2*near {
		s.d = math.Copysign(near, mid-s.x)
	}
	return true
}

// take updates the state with the value at u.
func (s *valley) take(u, fu float64) {
	if fu <= s.fx {
		if u >= s.x {
			s.a = s.x
		} else {
			s.b = s.x
		}
		s.v, s.fv, s.w, s.fw, s.x, s.fx = s.w, s.fw, s.x, s.fx, u, fu
		return
	}
	if u < s.x {
		s.a = u
	} else {
		s.b = u
	}
	switch {
	case fu <= s.fw || s.w == s.x:
		s.v, s.fv, s.w, s.fw = s.w, s.fw, u, fu
	case fu <= s.fv || s.v == s.x || s.v == s.w:
		s.v, s.fv = u, fu
	}
}

// RootBetween finds where f passes zero between a and b, where it has values fa and fb of opposite sign, by the method of
// T. R. Chandrupatla (Advances in Engineering Software 28, 1997): inverse parabolas where the last three places suit one,
// bisection elsewhere. It finds a jump through zero as well as a root. A NaN ends the search at the best place known.
func RootBetween(f func(float64) float64, a, b, fa, fb, tol float64) float64 {
	if fa == 0 {
		return a
	}
	if fb == 0 {
		return b
	}
	share := 0.5 // of the way from a to b, for the next evaluation
	for range maxSearch {
		x := a + share*(b-a)
		fx := f(x)
		if math.IsNaN(fx) {
			break
		}
		c, fc := a, fa
		if (fx > 0) != (fa > 0) {
			c, fc, b, fb = b, fb, a, fa
		}
		a, fa = x, fx // the root lies between a and b; c is the place before
		if math.Abs(fb) < math.Abs(fa) {
			x = b
		}
		near := tol / 2 / math.Abs(b-a)
		if fa == 0 || fb == 0 || !(near < 0.5) {
			return x
		}
		share = math.Max(near, math.Min(1-near, inverse(a, b, c, fa, fb, fc)))
	}
	if math.Abs(fb) < math.Abs(fa) {
		return b
	}
	return a
}

// inverse returns where, as a share of the way from a to b, the parabola through three places, taken as a function of the
// value, has its root. It returns half way where that is no guide.
func inverse(a, b, c, fa, fb, fc float64) float64 {
	xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
	if !(phi*phi < xi && (1-phi)*(1-phi) < 1-xi) {
		return 0.5
	}
	return fa/(fb-fa)*fc/(fb-fc) + (c-a)/(b-a)*fa/(fc-fa)*fb/(fc-fb)
}

// EdgeBetween finds, by bisection, where a yes at a changes to a no at b. The answer is on the side of the yes.
func EdgeBetween(yes func(float64) bool, a, b, tol float64) float64 {
	for range maxSearch {
		if !(math.Abs(b-a) > tol) {
			break
		}
		if m := (a + b) / 2; yes(m) {
			a = m
		} else {
			b = m
		}
	}
	return a
}
