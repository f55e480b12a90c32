package solver

import "math"

// golden is the lesser part of the golden section, (3 − √5)/2.
const golden = 0.3819660112501051

// leastBetween finds the least of f between a and b by Brent's method (R. P. Brent, Algorithms for Minimization without
// Derivatives, 1973, ch. 5): parabolas through the last three places, golden section where they do not help. m is a
// place within with value fm no greater than at both ends. A NaN counts as greater than everything. The place is good to
// about the root of the rounding of f; the value is good to the rounding itself.
func leastBetween(f func(float64) float64, a, m, b, fm, tol float64) (at, value float64) {
	return leastWithin(f, a, m, b, fm, tol, maxSearch)
}

// leastWithin is leastBetween with no more than so many looks.
func leastWithin(f func(float64) float64, a, m, b, fm, tol float64, looks int) (at, value float64) {
	x, w, v := m, m, m
	fx, fw, fv := fm, fm, fm
	var d, e float64
	for range looks {
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

// rootBetween finds where f passes nought between a and b, where it has values fa and fb of unlike sign, by the method of
// T. R. Chandrupatla (Advances in Engineering Software 28, 1997): inverse parabolas where the last three places lie
// well for one, else halving. A jump through nought is found as well as a root. A NaN ends the search at the best place
// known.
func rootBetween(f func(float64) float64, a, b, fa, fb, tol float64) float64 {
	if fa == 0 {
		return a
	}
	if fb == 0 {
		return b
	}
	share := 0.5 // of the way from a to b at which to look next
	for range maxSearch {
		x := a + share*(b-a)
		fx := f(x)
		if fx != fx {
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

// inverse is where on the way from a to b the parabola through three places, taken as a function of the value, has its
// root; half way where it is no guide.
func inverse(a, b, c, fa, fb, fc float64) float64 {
	xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
	if !(phi*phi < xi && (1-phi)*(1-phi) < 1-xi) {
		return 0.5
	}
	return fa/(fb-fa)*fc/(fb-fc) + (c-a)/(b-a)*fa/(fc-fa)*fb/(fc-fb)
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
