package position

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack"
	"gonum.org/v1/gonum/lapack/lapack64"

	"barover/solver/plane"
)

// Matrix is a square system of a block: n rows of n, and room to solve it. Solving allocates nothing.
type Matrix struct {
	n     int
	A     []float64 // by rows
	R     []float64 // right side; solve puts the answer here
	pivot []int
	arm   []plane.Vec // of each row: room for its arm
}

// NewMatrix makes a system of n rows, all zero.
func NewMatrix(n int) *Matrix {
	return &Matrix{n: n, A: make([]float64, n*n), R: make([]float64, n), pivot: make([]int, n), arm: make([]plane.Vec, n)}
}

func (m *Matrix) transpose() {
	for i := range m.n {
		for j := range i {
			m.A[i*m.n+j], m.A[j*m.n+i] = m.A[j*m.n+i], m.A[i*m.n+j]
		}
	}
}

// Solve replaces r by the solution of a·y = r, and returns the determinant of a. a is destroyed. Where the determinant is
// zero or NaN, r is undefined.
func (m *Matrix) Solve() (det float64) {
	a, r := m.A, m.R
	switch m.n {
	case 1:
		det = a[0]
		r[0] /= det
		return det
	case 2:
		_ = a[3]
		det = a[0]*a[3] - a[1]*a[2]
		k := 1 / det
		r[0], r[1] = (r[0]*a[3]-a[1]*r[1])*k, (a[0]*r[1]-r[0]*a[2])*k
		return det
	case 3:
		return m.solve3()
	}
	return m.solveN()
}

// solve3 is Cramer's rule by cross products of the rows.
func (m *Matrix) solve3() float64 {
	a, r := m.A[:9], m.R[:3]
	// Columns of the adjugate.
	c00, c01, c02 := a[4]*a[8]-a[5]*a[7], a[2]*a[7]-a[1]*a[8], a[1]*a[5]-a[2]*a[4]
	c10, c11, c12 := a[5]*a[6]-a[3]*a[8], a[0]*a[8]-a[2]*a[6], a[2]*a[3]-a[0]*a[5]
	c20, c21, c22 := a[3]*a[7]-a[4]*a[6], a[1]*a[6]-a[0]*a[7], a[0]*a[4]-a[1]*a[3]
	det := a[0]*c00 + a[1]*c10 + a[2]*c20
	k := 1 / det
	r0, r1, r2 := r[0]*k, r[1]*k, r[2]*k
	r[0] = c00*r0 + c01*r1 + c02*r2
	r[1] = c10*r0 + c11*r1 + c12*r2
	r[2] = c20*r0 + c21*r1 + c22*r2
	return det
}

func (m *Matrix) solveN() float64 {
	if m.n <= smallMost {
		return m.eliminate()
	}
	for _, v := range m.A {
		if !(math.Abs(v) <= math.MaxFloat64) {
			return math.NaN()
		}
	}
	a := blas64.General{Rows: m.n, Cols: m.n, Data: m.A, Stride: m.n}
	if !lapack64.Getrf(a, m.pivot) {
		return 0
	}
	det := 1.0
	for i := range m.n {
		det *= m.A[i*m.n+i]
		if m.pivot[i] != i {
			det = -det
		}
	}
	lapack64.Getrs(blas.NoTrans, a, blas64.General{Rows: m.n, Cols: 1, Data: m.R, Stride: 1}, m.pivot)
	return det
}

// smallMost is the size up to which plain elimination is faster than the library's, which is made for large systems.
const smallMost = 12

// eliminate is Gauss's elimination by rows, the greatest pivot of each column first.
func (m *Matrix) eliminate() float64 {
	n, det := m.n, 1.0
	for k := range n {
		best, most := k, math.Abs(m.A[k*n+k])
		for i := k + 1; i < n; i++ {
			if v := math.Abs(m.A[i*n+k]); v > most || math.IsNaN(v) {
				best, most = i, v
			}
		}
		if !(most > 0 && most <= math.MaxFloat64) { // singular, or no numbers at all
			if most == 0 {
				return 0
			}
			return math.NaN()
		}
		row := m.A[k*n : k*n+n]
		if best != k {
			other := m.A[best*n : best*n+n]
			for j := k; j < n; j++ {
				row[j], other[j] = other[j], row[j]
			}
			m.R[k], m.R[best] = m.R[best], m.R[k]
			det = -det
		}
		det *= row[k]
		invert := 1 / row[k]
		for i := k + 1; i < n; i++ {
			below := m.A[i*n : i*n+n : i*n+n]
			f := below[k] * invert
			if f == 0 {
				continue
			}
			for j := k + 1; j < n; j++ {
				below[j] -= f * row[j]
			}
			m.R[i] -= f * m.R[k]
		}
	}
	for k := n - 1; k >= 0; k-- {
		row, sum := m.A[k*n:k*n+n], m.R[k]
		for j := k + 1; j < n; j++ {
			sum -= row[j] * m.R[j]
		}
		m.R[k] = sum / row[k]
	}
	return det
}

// reciprocalCondition is 1 for a matrix of orthogonal rows and 0 for a singular one. It destroys m.
func reciprocalCondition(m *Matrix) float64 {
	if !AllNumbers(m.A) {
		return math.NaN()
	}
	a := blas64.General{Rows: m.n, Cols: m.n, Data: m.A, Stride: m.n}
	work := make([]float64, 4*m.n)
	norm := lapack64.Lange(lapack.MaxColumnSum, a, work)
	if !lapack64.Getrf(a, m.pivot) {
		return 0
	}
	return lapack64.Gecon(lapack.MaxColumnSum, a, norm, work, make([]int, m.n))
}
