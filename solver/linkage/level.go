package linkage

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// levelling is the smallest worst of shares that change in a straight line with the freedoms y, with a bend added: the
// least of max ±(h + H·y) + ½·yᵀ·A·y + c·y. Found on a growing pool of signed shares: the pool is solved by trying which of
// them are worst together, and the share that stands out most beyond joins it.
type levelling struct {
	b     *bargain
	a     []float64 // A, free × free, positive
	c     []float64
	pool  []side
	y     []float64
	worst float64
	on    []side    // those of the pool that are worst together
	count []float64 // how much each of them counts: positive, 1 together
}

// side is a share with a sign.
type side struct {
	row  int
	sign float64
}

// poolMost is how many signed shares are tried against one another at most.
const poolMost = 10

// level solves the problem.
func (b *bargain) level() (*levelling, bool) {
	l := &levelling{b: b, y: make([]float64, b.free)}
	if !l.regular() {
		return nil, false
	}
	for range 8 * len(b.h) {
		out, most := l.beyond()
		if len(l.pool) > 0 && !(most > l.worst+1e-12*max(1, l.worst)) || slices.Contains(l.pool, out) {
			return l, len(l.on) > 0
		}
		if len(l.pool) >= poolMost {
			l.pool = slices.Clone(l.on)
		}
		l.pool = append(l.pool, out)
		if !l.solve() {
			return nil, false
		}
	}
	return l, len(l.on) > 0
}

// regular makes A of the bend: where it bends the wrong way it is turned over, so that the way is downhill; and the
// squares of the shares make it positive in every direction.
func (l *levelling) regular() bool {
	b, f := l.b, l.b.free
	l.a, l.c = make([]float64, f*f), make([]float64, f)
	if !allNumbers(b.bend) {
		return false
	}
	var eig mat.EigenSym
	if !eig.Factorize(mat.NewSymDense(f, slices.Clone(b.bend)), true) {
		return false
	}
	var q mat.Dense
	eig.VectorsTo(&q)
	for k, v := range eig.Values(nil) {
		for i := range f {
			for j := range f {
				l.a[i*f+j] += math.Abs(v) * q.At(i, k) * q.At(j, k)
			}
		}
	}
	for r, h := range b.h {
		for i := range f {
			l.c[i] += 2 * evenly * h * b.slope.At(r, i)
			for j := range f {
				l.a[i*f+j] += 2 * evenly * b.slope.At(r, i) * b.slope.At(r, j)
			}
		}
	}
	return allNumbers(l.a)
}

// share is a signed share at y.
func (l *levelling) share(s side, y []float64) float64 {
	v := l.b.h[s.row]
	for j, d := range y {
		v += l.b.slope.At(s.row, j) * d
	}
	return s.sign * v
}

// beyond is the greatest signed share at y.
func (l *levelling) beyond() (out side, most float64) {
	most = math.Inf(-1)
	for i := range l.b.h {
		for _, sign := range [2]float64{1, -1} {
			s := side{i, sign}
			if v := l.share(s, l.y); v > most {
				out, most = s, v
			}
		}
	}
	return out, most
}

// solve finds the subset of the pool that is worst together.
func (l *levelling) solve() bool {
	best := math.Inf(1)
	found := false
	for mask := 1; mask < 1<<len(l.pool); mask++ {
		var on []side
		for i, s := range l.pool {
			if mask>>i&1 == 1 {
				on = append(on, s)
			}
		}
		if len(on) > l.b.free+1 {
			continue
		}
		y, worst, count, ok := l.together(on)
		if !ok {
			continue
		}
		over := 0.0
		for _, s := range l.pool {
			over = max(over, l.share(s, y)-worst)
		}
		if over < best {
			best, found = over, true
			l.y, l.worst, l.on, l.count = y, worst, on, count
		}
	}
	return found && best <= 1e-9*max(1, math.Abs(l.worst))
}

// together makes the shares of a set equal where what is left is least: A·y + c + Σ count·slope = 0, Σ count = 1.
func (l *levelling) together(on []side) (y []float64, worst float64, count []float64, ok bool) {
	f, s := l.b.free, len(on)
	n := f + 1 + s
	m := newMatrix(n)
	for i := range f {
		for j := range f {
			m.a[i*n+j] = l.a[i*f+j]
		}
		m.r[i] = -l.c[i]
	}
	for k, q := range on {
		for j := range f {
			v := q.sign * l.b.slope.At(q.row, j)
			m.a[j*n+f+1+k] = v
			m.a[(f+k)*n+j] = v
		}
		m.a[(f+k)*n+f] = -1
		m.r[f+k] = -q.sign * l.b.h[q.row]
		m.a[(n-1)*n+f+1+k] = 1
	}
	m.r[n-1] = 1
	det := m.solve()
	if det == 0 || !allNumbers(m.r) {
		return nil, 0, nil, false
	}
	count = slices.Clone(m.r[f+1:])
	if slices.Min(count) < -1e-9 {
		return nil, 0, nil, false
	}
	return slices.Clone(m.r[:f]), m.r[f], count, true
}

// counts is how much each of k loose rows counts in the worst, with its sign.
func (l *levelling) counts(k int) []float64 {
	out := make([]float64, k)
	for i, s := range l.on {
		out[s.row] += s.sign * l.count[i]
	}
	return out
}
