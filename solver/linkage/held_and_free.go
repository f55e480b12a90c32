package linkage

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// frame is the directions in which bonds hold the scalars of a step and those in which they leave them free, from Aᵀ = Q·R
// with A the slopes of the bonds by rows.
type frame struct {
	n, m int       // scalars, bonds
	q    []float64 // n × n: the first m columns are held, the rest free
	r    []float64 // m × m, upper triangle
}

// frame finds that of some bonds where the looser looks. It reports false where they are not independent.
func (l *looser) frame(bonds []bond) (f frame, ok bool) {
	n, m := l.n, len(bonds)
	f = frame{n: n, m: m, q: make([]float64, n*n), r: make([]float64, m*m)}
	for i := range n {
		f.q[i*n+i] = 1
	}
	if m > n || m == 0 {
		return f, m == 0
	}
	at := blas64.General{Rows: n, Cols: m, Stride: m, Data: make([]float64, n*m)}
	size := make([]float64, m)
	a := make([]float64, n)
	for i := range bonds {
		l.slope(&bonds[i], a)
		for j, v := range a {
			at.Data[j*m+i] = v
			size[i] = math.Hypot(size[i], v)
		}
	}
	if !allNumbers(at.Data) {
		return f, false
	}
	tau, work := make([]float64, m), make([]float64, max(n, m)*32)
	lapack64.Geqrf(at, tau, work, len(work))
	for i := range m {
		if !(math.Abs(at.Data[i*m+i]) > rankRel*size[i]) {
			return f, false
		}
		copy(f.r[i*m+i:(i+1)*m], at.Data[i*m+i:(i+1)*m])
	}
	lapack64.Ormqr(blas.Left, blas.NoTrans, at, tau, blas64.General{Rows: n, Cols: n, Stride: n, Data: f.q}, work, len(work))
	return f, true
}

// answer is the shortest movement that changes the bonds by v: Q·R⁻ᵀ·v.
func (f *frame) answer(v []float64) []float64 {
	y := make([]float64, f.m)
	for i := range y {
		s := v[i]
		for k := range i {
			s -= f.r[k*f.m+i] * y[k]
		}
		y[i] = s / f.r[i*f.m+i]
	}
	out := make([]float64, f.n)
	for j := range out {
		for i, d := range y {
			out[j] += f.q[j*f.n+i] * d
		}
	}
	return out
}

// bear is how much of a pull at the scalars each bond bears: the λ with Aᵀ·λ = pull, as nearly as can be.
func (f *frame) bear(pull []float64) []float64 {
	y := make([]float64, f.m)
	for i := f.m - 1; i >= 0; i-- {
		for j, p := range pull {
			y[i] += f.q[j*f.n+i] * p
		}
		for k := i + 1; k < f.m; k++ {
			y[i] -= f.r[i*f.m+k] * y[k]
		}
		y[i] /= f.r[i*f.m+i]
	}
	return y
}

// along is a slope by the freedoms, from one by the scalars.
func (f *frame) along(a []float64) []float64 {
	out := make([]float64, f.n-f.m)
	for j, v := range a {
		for i := range out {
			out[i] += f.q[j*f.n+f.m+i] * v
		}
	}
	return out
}

// free is the movement of the scalars where the freedoms move by y.
func (f *frame) free(y []float64) []float64 {
	out := make([]float64, f.n)
	for j := range out {
		for i, d := range y {
			out[j] += f.q[j*f.n+f.m+i] * d
		}
	}
	return out
}

// way is the movement of the scalars along one freedom.
func (f *frame) way(i int) []float64 {
	out := make([]float64, f.n)
	for j := range out {
		out[j] = f.q[j*f.n+f.m+i]
	}
	return out
}
