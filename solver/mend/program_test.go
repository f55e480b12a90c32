package mend

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drawProgram draws a programme of two dimensions with whole figures, so that rows often meet and are often level.
func drawProgram(t *rapid.T) *program {
	p := &program{}
	for range 2 {
		p.lo = append(p.lo, -float64(rapid.IntRange(0, 4).Draw(t, "lo"))/4)
		p.hi = append(p.hi, float64(rapid.IntRange(0, 4).Draw(t, "hi"))/4)
	}
	whole := rapid.IntRange(-4, 4)
	for range rapid.IntRange(1, 7).Draw(t, "rows") {
		p.add([]float64{float64(whole.Draw(t, "gain")), float64(whole.Draw(t, "gain"))}, float64(whole.Draw(t, "need"))/2)
	}
	return p
}

// onGrid is the least that some row is missed by, at the places of a grid over all changes.
func onGrid(p *program) float64 {
	least := math.Inf(1)
	const n = 80
	for i := range n + 1 {
		for k := range n + 1 {
			u, w := float64(i)/n, float64(k)/n
			least = math.Min(least, p.misses([]float64{p.lo[0] + u*(p.hi[0]-p.lo[0]), p.lo[1] + w*(p.hi[1]-p.lo[1])}))
		}
	}
	return least
}

// The bound is what a grid finds, to within what a step of the grid changes, and what its weights show is never above what any
// place misses by: that is what a proof of a fight stands on.
func TestBound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProgram(t)
		least, y := p.bound()
		grid := onGrid(p)
		if y == nil {
			if grid > 0.15 {
				t.Fatalf("%+v: nothing is shown, and the grid misses by %g at least", p, grid)
			}
			return
		}
		if math.Abs(least-grid) > 0.15 {
			t.Errorf("%+v: bound %g, on the grid %g", p, least, grid)
		}
		// Where the bound is nothing but rounding, so may the weights be: what they show is true, but may be less.
		if shown := p.shows(y); shown > grid+1e-9 || shown < least-1e-6 && least > 1e-9 {
			t.Errorf("%+v: the weights show %g, the bound is %g, on the grid %g", p, shown, least, grid)
		}
	})
}

// The smallest changes meet what can be met, and no place of the grid that does is nearer to zero.
func TestLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProgram(t)
		z := p.least(0)
		if z == nil {
			t.Fatalf("%+v: no changes", p)
		}
		for k := range z {
			if z[k] < p.lo[k]-1e-9 || z[k] > p.hi[k]+1e-9 {
				t.Fatalf("%+v: %v lies out of reach", p, z)
			}
		}
		if miss, grid := p.misses(z), onGrid(p); miss > grid+1e-6 {
			t.Fatalf("%+v: %v misses by %g, on the grid %g", p, z, miss, grid)
		}
		if !p.holds(z) {
			return
		}
		size := math.Abs(z[0]) + math.Abs(z[1])
		const n = 40
		for i := range n + 1 {
			for k := range n + 1 {
				w := []float64{p.lo[0] + float64(i)/n*(p.hi[0]-p.lo[0]), p.lo[1] + float64(k)/n*(p.hi[1]-p.lo[1])}
				if p.holds(w) && math.Abs(w[0])+math.Abs(w[1]) < size-1e-6 {
					t.Fatalf("%+v: %v is smaller than %v", p, w, z)
				}
			}
		}
	})
}
