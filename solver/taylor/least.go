package taylor

import "math"

// Least returns a lower bound of a polynomial over its box, without its radius, and a place near where it is least. The
// part up to degree two is taken exactly for one and two coordinates; of higher ones only what can lower it counts.
func (s *Space) Least(c []float64) (lo float64, at [MaxVars]float64) {
	if s.Vars == 1 {
		return s.least1(c)
	}
	size := 0.0
	for _, v := range c {
		size += math.Abs(v)
	}
	if s.Vars == 2 && s.Order >= 2 {
		lo, at = least2(c)
	} else {
		lo, at = s.apart(c)
	}
	below := 0.0
	for i := s.At[min(3, s.Order+1)]; i < s.N; i++ {
		if v := c[i]; v < 0 || !s.even(i) {
			below += math.Abs(v)
		}
	}
	return c[0] + lo - s.kept*below - s.eps*size - tiny, at
}

// Greatest is Least for the greatest value.
func (s *Space) Greatest(c []float64) (hi float64, at [MaxVars]float64) {
	var room [MaxN]float64
	n := room[:0]
	for _, v := range c {
		n = append(n, -v)
	}
	lo, at := s.Least(n)
	return -lo, at
}

// even reports whether a coefficient's powers are all even, so that what it stands with is never below zero.
func (s *Space) even(i int) bool {
	for _, p := range s.Powers[i] {
		if p&1 != 0 {
			return false
		}
	}
	return true
}

// least1 is Least for one coordinate.
func (s *Space) least1(c []float64) (lo float64, at [MaxVars]float64) {
	n := len(c)
	var c2 float64
	if n > 2 {
		c2 = c[2]
	}
	q, t := line(c[1], c2)
	at[0] = t
	size := math.Abs(c[0]) + math.Abs(c[1]) + math.Abs(c2)
	below := 0.0
	for i := 3; i < n; i++ {
		v := math.Abs(c[i])
		size += v
		if c[i] < 0 || i&1 != 0 {
			below += v
		}
	}
	return c[0] + q - s.kept*below - float64(n+8)*ulp*size - tiny, at
}

// line returns the least value of a·t + b·t² for t from -1 to 1, and where it is.
func line(a, b float64) (v, t float64) {
	if b > 0 && math.Abs(a) < 2*b {
		t = -a / (2 * b)
		return -a * a / (4 * b), t
	}
	if a > 0 {
		return b - a, -1
	}
	return b + a, 1
}

// least2 is the least value of the parts of degree one and two of a polynomial of two coordinates.
func least2(c []float64) (v float64, at [MaxVars]float64) {
	a, b, aa, ab, bb := c[1], c[2], c[3], c[4], c[5]
	v = math.Inf(1)
	for _, side := range [2]float64{-1, 1} {
		if w, t := line(b+side*ab, bb); aa+side*a+w < v {
			v, at[0], at[1] = aa+side*a+w, side, t
		}
		if w, t := line(a+side*ab, aa); bb+side*b+w < v {
			v, at[0], at[1] = bb+side*b+w, t, side
		}
	}
	d := 4*aa*bb - ab*ab
	switch {
	case !(aa > 0) || !(bb > 0) || !(d > 0):
		return v, at // no hollow: the least lies on the rim
	case d < 1e-4*4*aa*bb:
		// A long flat hollow: where its bottom lies cannot be told well enough by floats.
		wa, ta := line(a, aa)
		wb, tb := line(b, bb)
		return min(v, wa+wb-math.Abs(ab)), [MaxVars]float64{ta, tb}
	}
	x, y := (ab*b-2*bb*a)/d, (ab*a-2*aa*b)/d
	if w := (a*x + b*y) / 2; math.Abs(x) <= 1+1e-9 && math.Abs(y) <= 1+1e-9 {
		v = min(v, w-1e-9*(math.Abs(a)+math.Abs(b)))
		at[0], at[1] = max(-1, min(1, x)), max(-1, min(1, y))
	}
	return v, at
}

// apart bounds the parts of degree one and two coordinate by coordinate, with the mixed products by their sizes.
func (s *Space) apart(c []float64) (v float64, at [MaxVars]float64) {
	for k := range s.Vars {
		square := 0.0
		if s.Order >= 2 {
			square = c[s.square[k]]
		}
		w, t := line(c[1+k], square)
		v += w
		at[k] = t
	}
	for i := s.At[min(2, s.Order+1)]; i < s.At[min(3, s.Order+1)]; i++ {
		if !s.even(i) {
			v -= math.Abs(c[i])
		}
	}
	return v, at
}
