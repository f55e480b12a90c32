package position

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The bound by which status saves itself a closer look: of rows of length 1 the determinant bounds the condition.
func TestDeterminantBoundsCondition(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	tightest := math.Inf(1)
	for n := 4; n <= 9; n++ {
		for range 400 {
			a := NewMatrix(n)
			flat := math.Pow(10, -8*r.Float64()) // how nearly the last two rows say the same
			for i := range n {
				row, sum := a.A[i*n:i*n+n], 0.0
				for j := range row {
					row[j] = r.NormFloat64()
					if i == n-1 {
						row[j] = a.A[(i-1)*n+j] + flat*row[j]
					}
					sum += row[j] * row[j]
				}
				for j := range row {
					row[j] /= math.Sqrt(sum)
				}
			}
			b := NewMatrix(n)
			copy(b.A, a.A)
			det := math.Abs(a.Solve())
			condition := reciprocalCondition(b)
			least := det / (math.Sqrt(math.E) * float64(n) * math.Sqrt(float64(n)))
			if !(condition >= least*(1-1e-6)) {
				t.Fatalf("%d rows: determinant %g, condition %g, below %g", n, det, condition, least)
			}
			if condition > 0 {
				tightest = math.Min(tightest, condition/least)
			}
		}
	}
	if !(tightest < 1e4) {
		t.Errorf("the bound is never nearer than %g: it would never save a look", tightest)
	}
}

// Elimination of small blocks agrees with the library's, determinant and solution.
func TestElimination(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for n := 4; n <= smallMost; n++ {
		for range 50 {
			m := NewMatrix(n)
			for i := range m.A {
				m.A[i] = r.NormFloat64()
			}
			a, want := slices.Clone(m.A), make([]float64, n)
			for i := range n {
				want[i] = r.NormFloat64()
				for k := range n {
					m.R[k] += a[k*n+i] * want[i]
				}
			}
			det := m.Solve()
			for i := range n {
				if !(math.Abs(m.R[i]-want[i]) <= 1e-7) {
					t.Fatalf("%d rows: got %v, want %v", n, m.R, want)
				}
			}
			if d := mat.Det(mat.NewDense(n, n, a)); !(math.Abs(det-d) <= 1e-9*math.Abs(d)) {
				t.Fatalf("%d rows: determinant %g, want %g", n, det, d)
			}
		}
		m := NewMatrix(n)
		for i := range m.A {
			m.A[i] = float64(i / n)
		}
		if det := m.Solve(); !(math.Abs(det) <= 1e-9) {
			t.Errorf("%d rows that say the same have the determinant %g", n, det)
		}
		m.A[n+1] = math.NaN()
		if det := m.Solve(); !math.IsNaN(det) {
			t.Errorf("%d rows with one that is no number have the determinant %g", n, det)
		}
	}
}
