package position

import "math"

// frame is the directions in which bonds hold the scalars of a step and those in which they leave them free, from Aᵀ =
// Q·R with the slopes of the bonds as the rows of A.
type frame struct {
	n, m int       // scalars, bonds
	q    []float64 // n × n: the first m columns are held, the rest free
	r    []float64 // m × m, upper triangle

	at []float64 // room: A

	sound bool // the frame is that of the present bonds, with the slopes found last
}

// stale marks the frame as out of date, since the bonds have changed.
func (f *frame) stale() { f.m, f.sound = -1, false }

// find computes the frame of the looser's bonds at its present place. It reports false where they are dependent.
func (f *frame) find(l *looser) bool {
	n, m := l.n, len(l.bonds)
	f.n, f.m, f.sound = n, m, false
	f.q = zeros(f.q, n*n)
	for i := range n {
		f.q[i*n+i] = 1
	}
	if m > n || m == 0 {
		f.sound = m == 0
		return f.sound
	}
	f.r, f.at = zeros(f.r, m*m), zeros(f.at, n*m)
	for i := range l.bonds {
		l.slope(&l.bonds[i], f.at[i*n:(i+1)*n])
	}
	if !AllNumbers(f.at) {
		return false
	}
	for i := range m {
		if !f.reflect(i) {
			return false
		}
	}
	f.sound = true
	return true
}

// reflect makes direction i of the frame that of bond i, less its components in the directions before i, by a reflection
// (A. S. Householder, Journal of the ACM 5, 1958). It reports false where nothing is left: bond i depends on those before it.
// The library's reflections are made for large matrices, and take four times as long here.
func (f *frame) reflect(i int) bool {
	n, m := f.n, f.m
	row := f.at[i*n : (i+1)*n]
	held, rest := dot(row[:i], row[:i]), dot(row[i:], row[i:])
	if !(rest > RankRel*RankRel*(held+rest)) {
		return false
	}
	for k := range i {
		f.r[k*m+i] = row[k]
	}
	by := -math.Copysign(math.Sqrt(rest), row[i])
	f.r[i*m+i] = by
	v := row[i:]
	v[0] -= by
	twice := -1 / (by * v[0]) // 2 over the square of v
	for k := i + 1; k < m; k++ {
		addScaled(f.at[k*n+i:(k+1)*n], -twice*dot(f.at[k*n+i:(k+1)*n], v), v)
	}
	for k := range n {
		addScaled(f.q[k*n+i:(k+1)*n], -twice*dot(f.q[k*n+i:(k+1)*n], v), v)
	}
	return true
}

func dot(a, b []float64) (sum float64) {
	for i, v := range b {
		sum += a[i] * v
	}
	return sum
}

func addScaled(to []float64, by float64, v []float64) {
	for i, w := range v {
		to[i] += by * w
	}
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

// along converts a gradient a by the scalars (length n) into one by the freedoms (length n - m). It uses the memory of room if
// that is large enough.
func (f *frame) along(a, room []float64) []float64 {
	out := zeros(room, f.n-f.m)
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
