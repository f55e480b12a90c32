package solver

import "math"

// golden is the lesser part of the golden section, (3 − √5)/2.
const golden = 0.3819660112501051

// leastBetween finds the least of f between a and b by Brent's method (R. P. Brent, Algorithms for Minimization without
// Derivatives, 1973, ch. 5): parabolas through the last three places, golden section where they do not help. m is a
// place within with value fm no greater than at both ends. A NaN counts as greater than everything. The place is good to
// about the root of the rounding of f; the value is good to the rounding itself.
func leastBetween(f func(float64) float64, a, m, b, fm, tol float64) (at, value float64) {
	x, w, v := m, m, m
	fx, fw, fv := fm, fm, fm
	var d, e float64
	for range maxSearch {
		mid := (a + b) / 2
		tol1 := tol + 1e-12*math.Abs(x)
		if math.Abs(x-mid) <= 2*tol1-(b-a)/2 {
			break
		}
		parabola := false
		if math.Abs(e) > tol1 {
			r := (x - w) * (fx - fv)
			q := (x - v) * (fx - fw)
			p := (x-v)*q - (x-w)*r
			q = 2 * (q - r)
			if q > 0 {
				p = -p
			}
			q = math.Abs(q)
			last := e
			e = d
			if math.Abs(p) < math.Abs(q*last/2) && p > q*(a-x) && p < q*(b-x) {
				parabola = true
				d = p / q
				if u := x + d; u-a < 2*tol1 || b-u < 2*tol1 {
					d = math.Copysign(tol1, mid-x)
				}
			}
		}
		if !parabola {
			e = b - x
			if x >= mid {
				e = a - x
			}
			d = golden * e
		}
		u := x + d
		if math.Abs(d) < tol1 {
			u = x + math.Copysign(tol1, d)
		}
		fu := orGreatest(f(u))
		if fu <= fx {
			if u >= x {
				a = x
			} else {
				b = x
			}
			v, fv, w, fw, x, fx = w, fw, x, fx, u, fu
			continue
		}
		if u < x {
			a = u
		} else {
			b = u
		}
		switch {
		case fu <= fw || w == x:
			v, fv, w, fw = w, fw, u, fu
		case fu <= fv || v == x || v == w:
			v, fv = u, fu
		}
	}
	return x, fx
}

func orGreatest(v float64) float64 {
	if v != v {
		return math.Inf(1)
	}
	return v
}

// rootBetween finds where f passes nought between a and b, where it has values fa and fb of unlike sign: false position
// in the Illinois form (M. Dowell and P. Jarratt, BIT 11, 1971), halving where that gains little. A jump through nought
// is found as well as a root. A NaN ends the search at the best place known.
func rootBetween(f func(float64) float64, a, b, fa, fb, tol float64) float64 {
	if fa == 0 {
		return a
	}
	if fb == 0 {
		return b
	}
	for i := range maxSearch {
		if !(math.Abs(b-a) > tol) {
			break
		}
		m := b - fb*(b-a)/(fb-fa)
		if i%3 == 2 || !(m > math.Min(a, b) && m < math.Max(a, b)) {
			m = (a + b) / 2 // every third step halves, so that a kink cannot stall it
		}
		fm := f(m)
		switch {
		case fm == 0:
			return m
		case fm != fm:
			return b
		case (fm > 0) == (fb > 0):
			fa /= 2
		default:
			a, fa = b, fb
		}
		b, fb = m, fm
	}
	return b
}

// edgeBetween finds, by halving, where a yes at a turns into a no at b. The answer is on the side of the yes.
func edgeBetween(yes func(float64) bool, a, b, tol float64) float64 {
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
