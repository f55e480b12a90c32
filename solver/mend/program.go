package mend

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// program is a linear programme in the changes z of a few dimensions. Each change is a share of its reach, so that it is
// from lo to hi, within ±1. Every row's gain·z should be at least its need. Needs and gains are mm.
type program struct {
	lo, hi []float64
	gain   [][]float64 // by row, by dimension
	need   []float64
}

// add adds a row; one that holds whatever the changes is left out.
func (p *program) add(gain []float64, need float64) {
	least := 0.0
	for k, g := range gain {
		least += math.Min(g*p.lo[k], g*p.hi[k])
	}
	if least < need {
		p.gain, p.need = append(p.gain, gain), append(p.need, need)
	}
}

// holds reports whether all rows do, to within rounding.
func (p *program) holds(z []float64) bool { return p.misses(z) <= slack }

// misses is by how much the worst row is missed, mm.
func (p *program) misses(z []float64) float64 {
	worst := 0.0
	for i, g := range p.gain {
		worst = math.Max(worst, p.need[i]-dot(g, z))
	}
	return worst
}

// slack is by how much a row may be missed, mm: rounding.
const slack = 1e-7

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// bound is a lower bound of the miss of some row, mm, whatever the changes, with the weights of the rows that prove it:
// with weights y of sum 1, no changes make Σ y·(need − gain·z) less than that. It is the dual of the programme "least t,
// gain·z + t ≥ need", whose starting basis is known. Weights are nil where nothing could be proved.
func (p *program) bound() (least float64, y []float64) {
	n, k := len(p.need), len(p.lo)
	most := 0.0
	for _, b := range p.need {
		most = math.Max(most, b)
	}
	if !(most > 0) {
		return 0, nil
	}
	// Columns: y of the rows, u and v of the ends of each dimension, and what is left of the sum of y.
	a := mat.NewDense(k+1, n+2*k+1, nil)
	c, b, basis := make([]float64, n+2*k+1), make([]float64, k+1), make([]int, k+1)
	for i := range n {
		for d, g := range p.gain[i] {
			a.Set(d, i, g/most)
		}
		a.Set(k, i, 1)
		c[i] = -p.need[i] / most
	}
	for d := range k {
		a.Set(d, n+d, 1)
		a.Set(d, n+k+d, -1)
		c[n+d], c[n+k+d] = -p.lo[d], p.hi[d]
		basis[d] = n + d
	}
	a.Set(k, n+2*k, 1)
	basis[k], b[k] = n+2*k, 1
	f, x, err := lp.Simplex(c, a, b, 1e-10, basis)
	if err != nil || math.IsNaN(f) {
		return 0, nil
	}
	return -f * most, x[:n]
}

// costly is the cost of missing a row by its greatest need, in shares of a dimension's reach: far more than any change.
const costly = 1e4

// least is the changes that miss the rows by least, and of those the smallest in sum; nil where none was found. Room asks
// instead for as much room in every row as possible, up to that many mm.
func (p *program) least(room float64) []float64 {
	n, k := len(p.need), len(p.lo)
	z := make([]float64, k)
	worst, most := -1, 0.0
	for i, b := range p.need {
		if b > most {
			worst, most = i, b
		}
	}
	if worst < 0 {
		if !(room > 0) {
			return z
		}
		most = room
	}
	// Columns: z upward, z downward, what is missed, what the rows have over, what the ends leave, the room and what it leaves of its most.
	cols, rows := 2*k+1+n+2*k+2, n+2*k+1
	a := mat.NewDense(rows, cols, nil)
	c, b, basis := make([]float64, cols), make([]float64, rows), make([]int, rows)
	missed, over, ends, spare := 2*k, 2*k+1, 2*k+1+n, 2*k+1+n+2*k
	for i := range n {
		for d, g := range p.gain[i] {
			a.Set(i, d, g/most)
			a.Set(i, k+d, -g/most)
		}
		a.Set(i, missed, 1)
		a.Set(i, over+i, -1)
		a.Set(i, spare, -1)
		b[i], basis[i] = p.need[i]/most, over+i
	}
	if worst >= 0 {
		basis[worst] = missed
	}
	for d := range k {
		a.Set(n+d, d, 1)
		a.Set(n+k+d, k+d, 1)
		a.Set(n+d, ends+d, 1)
		a.Set(n+k+d, ends+k+d, 1)
		b[n+d], b[n+k+d] = math.Max(p.hi[d], 0), math.Max(-p.lo[d], 0)
		basis[n+d], basis[n+k+d] = ends+d, ends+k+d
		c[d], c[k+d] = 1, 1
	}
	a.Set(rows-1, spare, 1)
	a.Set(rows-1, spare+1, 1)
	b[rows-1], basis[rows-1] = room/most, spare+1
	c[missed] = costly
	if room > 0 {
		c[spare] = -costly / 10
	}
	_, x, err := lp.Simplex(c, a, b, 1e-10, basis)
	if x == nil || err != nil && p.misses(z) == 0 {
		return nil
	}
	for d := range k {
		z[d] = x[d] - x[k+d]
	}
	return z
}
