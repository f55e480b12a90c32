package taylor

import "math"

// Least returns a lower bound of a polynomial over its box, without its radius, and a place near its least. The part up
// to degree two is exact for one coordinate, for two but in a long flat hollow, and for more where it is convex. Of higher degrees only what can
// lower it counts.
func (s *Space) Least(c []float64) (lo float64, at [MaxVars]float64) {
	if s.one {
		return s.least1(c)
	}
	if s.Devs > 0 {
		lo, at, _ = s.LeastOf(c, nil)
		return lo, at
	}
	size := SizeOf(c)
	switch {
	case s.Order < 2:
		lo, at = s.apart(c)
	case s.two:
		lo, at = least2(c)
	default:
		lo, at = s.least3(c)
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
	n := make([]float64, 0, MaxN)
	for _, v := range c {
		n = append(n, -v)
	}
	lo, at := s.Least(n)
	return -lo, at
}

// even reports whether a coefficient's powers are all even, so that its monomial is never below zero.
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

// least2 is the least value of the parts of degree one and two of a polynomial of two coordinates. In a long flat hollow it is only a
// lower bound.
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
		return v, at // not convex: the least is on the rim
	case d < 1e-4*4*aa*bb:
		// A long flat hollow: floats cannot place its bottom well enough, and the mixed product counts by its size. A hollow with a level
		// floor would bound it closely, but the search from the lowest bound then splits twice as many boxes of a gear over its axle's range.
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
			square = c[s.mixed[k][k]]
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

// least3 bounds the parts of degree one and two of a polynomial of three coordinates or more.
func (s *Space) least3(c []float64) (v float64, at [MaxVars]float64) {
	v, _ = s.apart(c)
	w, at := s.hollow(c)
	return max(v, w), at
}

// hollow bounds the parts of degree one and two from a place near their least: terms that curve upward there are a sum of
// squares, and lower nothing. The bound is close where all curve upward, even along a valley with a level floor.
func (s *Space) hollow(c []float64) (v float64, at [MaxVars]float64) {
	var q [MaxVars][MaxVars]float64
	n, size := s.Vars, 0.0
	for j := range n {
		size += math.Abs(c[1+j])
		for k := range n {
			q[j][k] = c[s.mixed[j][k]]
			if j != k {
				q[j][k] /= 2
			}
			size += math.Abs(q[j][k])
		}
	}
	at = descend(c[1:1+n], &q, size)
	var room [MaxVars]float64
	for k := range n {
		slope := c[1+k]
		for j := range n {
			v += at[j] * q[j][k] * at[k]
			slope += 2 * q[j][k] * at[j]
		}
		v += c[1+k] * at[k]
		if slope > 0 {
			v -= slope * (1 + at[k])
		} else {
			v += slope * (1 - at[k])
		}
		room[k] = 1 + math.Abs(at[k])
	}
	left := takeSquares(&q, n)
	for j := range n {
		for k := range n {
			if t := q[j][k]; left[j] && left[k] && (j != k || t < 0) {
				v -= math.Abs(t) * room[j] * room[k]
			}
		}
	}
	return v - 512*ulp*size, at
}

// descend goes to a place near the least of a·x + x·q·x, coordinate by coordinate.
func descend(a []float64, q *[MaxVars][MaxVars]float64, size float64) (at [MaxVars]float64) {
	for k := range a {
		_, at[k] = line(a[k], q[k][k])
	}
	for range 12 {
		moved := 0.0
		for k := range a {
			slope := a[k]
			for j := range a {
				if j != k {
					slope += 2 * q[j][k] * at[j]
				}
			}
			_, t := line(slope, q[k][k])
			moved += math.Abs(t-at[k]) * (math.Abs(slope) + math.Abs(q[k][k]))
			at[k] = t
		}
		if moved <= 1e-9*size {
			break
		}
	}
	return at
}

// takeSquares subtracts squares of sums of coordinates, with positive weights, from x·q·x as long as that does not make
// it larger, and reports for which coordinates something is left.
func takeSquares(q *[MaxVars][MaxVars]float64, n int) (left [MaxVars]bool) {
	for k := range n {
		left[k] = true
	}
	for range n {
		k := -1
		for j := range n {
			if left[j] && q[j][j] > 0 && (k < 0 || q[j][j] > q[k][k]) {
				k = j
			}
		}
		if k < 0 {
			return left
		}
		d := q[k][k]
		for j := range n {
			if left[j] && math.Abs(q[j][k]) > d*(1+1e-6) {
				return left
			}
		}
		left[k] = false
		for i := range n {
			for j := range n {
				if left[i] && left[j] {
					q[i][j] -= q[i][k] * q[k][j] / d
				}
			}
		}
	}
	return left
}
