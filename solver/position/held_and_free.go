package position

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// frame is the directions in which bonds hold the scalars of a step and those in which they leave them free, from Aᵀ =
// Q·R with the slopes of the bonds as the rows of A.
type frame struct {
	n, m int       // scalars, bonds
	q    []float64 // n × n: the first m columns are held, the rest free
	r    []float64 // m × m, upper triangle

	at, tau, size, slope, work []float64 // room
}

// find computes the frame of the looser's bonds at its present place. It reports false where they are dependent.
func (f *frame) find(l *looser) bool {
	n, m := l.n, len(l.bonds)
	f.n, f.m = n, m
	f.q = zeros(f.q, n*n)
	for i := range n {
		f.q[i*n+i] = 1
	}
	if m > n || m == 0 {
		return m == 0
	}
	f.r, f.at, f.tau, f.size, f.slope = zeros(f.r, m*m), zeros(f.at, n*m), zeros(f.tau, m), zeros(f.size, m), zeros(f.slope, n)
	f.work = zeros(f.work, n)
	at := blas64.General{Rows: n, Cols: m, Stride: m, Data: f.at}
	for i := range l.bonds {
		l.slope(&l.bonds[i], f.slope)
		for j, v := range f.slope {
			at.Data[j*m+i] = v
			f.size[i] = math.Hypot(f.size[i], v)
		}
	}
	if !AllNumbers(at.Data) {
		return false
	}
	lapack64.Geqrf(at, f.tau, f.work, n)
	for i := range m {
		if !(math.Abs(at.Data[i*m+i]) > RankRel*f.size[i]) {
			return false
		}
		copy(f.r[i*m+i:(i+1)*m], at.Data[i*m+i:(i+1)*m])
	}
	lapack64.Ormqr(blas.Left, blas.NoTrans, at, f.tau, blas64.General{Rows: n, Cols: n, Stride: n, Data: f.q}, f.work, n)
	return true
}

// zeros is n zeros, in room if it is large enough.
func zeros(room []float64, n int) []float64 {
	if cap(room) < n {
		return make([]float64, n)
	}
	clear(room[:n])
	return room[:n]
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

// bear is how much of a pull on the scalars each bond bears: the least-squares λ of Aᵀ·λ = pull.
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

// free is the movement of the scalars for a movement y of the freedoms.
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
