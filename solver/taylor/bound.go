package taylor

import "math"

// AddTimes adds k·a·b to c and returns the radius to add to that of c; ra and rb are the radii of a and b.
func (s *Space) AddTimes(c, a, b []float64, ra, rb, k float64) float64 {
	if s.one {
		return s.addTimes1(c, a, b, ra, rb, k)
	}
	var na, nb [MaxOrder + 1]float64
	allA, allB := s.grades(&na, a), s.grades(&nb, b)
	for i := 0; i <= s.Order; i++ {
		if na[i] == 0 {
			continue
		}
		for j := 0; i+j <= s.Order; j++ {
			if nb[j] != 0 {
				s.convPart(c, a, b, i, j, k)
			}
		}
	}
	return s.offTimes(&na, &nb, allA, allB, ra, rb)*math.Abs(k)*grow + tiny
}

// OffTimes is the radius of a product: what AddTimes adds for it.
func (s *Space) OffTimes(a, b []float64, ra, rb float64) float64 {
	var na, nb [MaxOrder + 1]float64
	allA, allB := s.grades(&na, a), s.grades(&nb, b)
	return s.offTimes(&na, &nb, allA, allB, ra, rb)*grow + tiny
}

func (s *Space) offTimes(na, nb *[MaxOrder + 1]float64, allA, allB, ra, rb float64) float64 {
	over, tail := 0.0, 0.0
	for i := 1; i <= s.Order; i++ {
		tail += nb[s.Order+1-i]
		over += na[i] * tail
	}
	return s.kept*over + allA*rb + allB*ra + ra*rb + s.eps*allA*allB
}

// addTimes1 is AddTimes for one coordinate.
func (s *Space) addTimes1(c, a, b []float64, ra, rb, k float64) float64 {
	n := len(c)
	a, b = a[:n], b[:n]
	over, tail, allA, allB := 0.0, 0.0, math.Abs(a[0]), math.Abs(b[0])
	for i := n - 1; i > 0; i-- {
		x := a[n-i]
		v := math.Abs(x)
		tail += math.Abs(b[i])
		over += v * tail
		allA += v
	}
	allB += tail
	if tail == 0 { // b stands still, as the axes of the frame do
		for i, x := range a {
			c[i] += k * x * b[0]
		}
	} else {
		for i, x := range a {
			if x *= k; x != 0 {
				to := c[i:]
				for j := range to {
					to[j] += x * b[j]
				}
			}
		}
	}
	r := s.kept*over + allA*rb + allB*ra + ra*rb + s.eps*allA*allB
	return r*math.Abs(k)*grow + tiny
}

// SizeOf adds up the sizes of coefficients: within its box a polynomial is nowhere larger.
func SizeOf(c []float64) (size float64) {
	for _, v := range c {
		size += math.Abs(v)
	}
	return size
}

// grades sums up the sizes of the coefficients degree by degree, and all of them.
func (s *Space) grades(g *[MaxOrder + 1]float64, c []float64) float64 {
	all := 0.0
	for m := 0; m <= s.Order; m++ {
		g[m] = SizeOf(c[s.At[m]:s.At[m+1]])
		all += g[m]
	}
	return all
}

// Shift writes to dst the polynomial src over a part of its box: each coordinate is mid + half times the new one, with
// |mid| + half at most 1 except for rounding. It returns the radius to add.
func (s *Space) Shift(dst, src []float64, mid, half *[MaxVars]float64) float64 {
	size := 0.0
	for i, v := range src {
		dst[i] = v
		size += math.Abs(v)
	}
	for k := range s.Vars {
		if mid[k] == 0 && half[k] == 1 {
			continue
		}
		s.shiftOne(dst, k, mid[k], half[k])
	}
	return size*float64(4*s.Order*s.Vars+4)*ulp + tiny
}

// shiftOne replaces the coordinate k by mid + half·t.
func (s *Space) shiftOne(c []float64, k int, mid, half float64) {
	var power [MaxOrder + 1]float64
	power[0] = 1
	for i := 1; i <= s.Order; i++ {
		power[i] = power[i-1] * half
	}
	if mid != 0 {
		low := s.lower[k]
		for i := range s.Order {
			for _, t := range low[:s.steps[k][i]] {
				c[t.to] += mid * c[t.from]
			}
		}
	}
	for i, p := range s.Powers {
		c[i] *= power[p[k]]
	}
}

// lowered is a pair of coefficients: the second has one power less of a coordinate.
type lowered struct{ from, to int }

// lowering lists, for one coordinate, every coefficient with a power of it, the highest power first, and how many of them
// have a power above each.
func (s *Space) lowering(k int) (list []lowered, above [MaxOrder]int) {
	for p := s.Order; p > 0; p-- {
		for i := range s.Powers {
			if w := s.at(i); int(w.tau[k]) == p {
				w.tau[k]--
				list = append(list, lowered{i, s.place[w]})
			}
		}
		above[p-1] = len(list)
	}
	return list, above
}

// Substitute replaces the first coordinate by x, a polynomial of the other coordinates and of the deviations, and returns the
// radius to add. Nothing overflows where x is linear in the coordinates, since then no degree grows.
func (s *Space) Substitute(c, x []float64) (rad float64) {
	size := SizeOf(c)
	sum, next := make([]float64, s.N), make([]float64, s.N)
	for p := s.Order; p >= 0; p-- { // Horner's scheme in the first coordinate
		clear(next)
		if p < s.Order {
			rad = s.AddTimes(next, sum, x, rad, 0, 1)
		}
		for i := range s.Powers {
			if w := s.at(i); int(w.tau[0]) == p {
				w.tau[0] = 0
				next[s.place[w]] += c[i]
			}
		}
		sum, next = next, sum
	}
	copy(c, sum)
	return rad + size*float64(s.Order+2)*s.eps
}

// Derivative writes the derivative of a polynomial by the first coordinate.
func (s *Space) Derivative(to, c []float64) {
	clear(to)
	for i := range s.Powers {
		if w := s.at(i); w.tau[0] > 0 {
			k := w.tau[0]
			w.tau[0]--
			to[s.place[w]] += float64(k) * c[i]
		}
	}
}
