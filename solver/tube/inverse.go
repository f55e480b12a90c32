package tube

import "math"

// invert writes the inverse of the n×n matrix a, row by row, to c; a is spoilt. It reports whether the pivots were
// not zero. The inverse need not be exact: Krawczyk's test takes any matrix.
func invert(c, a []float64, n int) bool {
	switch n {
	case 1:
		c[0] = 1 / a[0]
		return finite(c[0])
	case 2:
		d := a[0]*a[3] - a[1]*a[2]
		c[0], c[1], c[2], c[3] = a[3]/d, -a[1]/d, -a[2]/d, a[0]/d
		return finite(c[0]) && finite(c[1]) && finite(c[2]) && finite(c[3])
	}
	for i := range c[:n*n] {
		c[i] = 0
	}
	for i := 0; i < n; i++ {
		c[i*n+i] = 1
	}
	for k := 0; k < n; k++ {
		p := k
		for i := k + 1; i < n; i++ {
			if math.Abs(a[i*n+k]) > math.Abs(a[p*n+k]) {
				p = i
			}
		}
		if !(math.Abs(a[p*n+k]) > 0) {
			return false
		}
		swapRows(a, p, k, n)
		swapRows(c, p, k, n)
		eliminate(c, a, k, n)
	}
	for _, v := range c[:n*n] {
		if !finite(v) {
			return false
		}
	}
	return true
}

// eliminate clears column k of a except for the pivot, which becomes 1, and does the same to c.
func eliminate(c, a []float64, k, n int) {
	d := 1 / a[k*n+k]
	for j := 0; j < n; j++ {
		a[k*n+j] *= d
		c[k*n+j] *= d
	}
	for i := 0; i < n; i++ {
		f := a[i*n+k]
		if i == k || f == 0 {
			continue
		}
		for j := k; j < n; j++ {
			a[i*n+j] -= f * a[k*n+j]
		}
		for j := 0; j < n; j++ {
			c[i*n+j] -= f * c[k*n+j]
		}
	}
}

func swapRows(a []float64, p, k, n int) {
	if p == k {
		return
	}
	for j := 0; j < n; j++ {
		a[p*n+j], a[k*n+j] = a[k*n+j], a[p*n+j]
	}
}

func finite(v float64) bool { return math.Abs(v) <= math.MaxFloat64 }
