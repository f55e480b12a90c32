package hunt

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"
)

var seed = flag.Uint64("seed", 1, "of the random figures")

// hilly is a sum of waves, one along each axis, with a slope across all of them: its least is the sum of theirs.
func hilly(rng *rand.Rand, axes int) (g Grid, f func([]float64) float64, least float64) {
	size, by, from := make([]float64, axes), make([]float64, axes), make([]float64, axes)
	for k := range axes {
		size[k], by[k], from[k] = 1+rng.Float64(), 2+2*rng.Float64(), 6*rng.Float64()
		g = append(g, Axis{Split([]float64{0, 2, 4}, 4), 0, 4})
		least -= size[k]
	}
	return g, func(at []float64) (v float64) {
		for k, x := range at {
			v += size[k] * math.Sin(by[k]*x+from[k])
		}
		return v
	}, least
}

// lowestOf samples a figure and hunts for its least.
func lowestOf(g Grid, f func([]float64) float64, edges bool) (Trough, bool) {
	h := Hunt{Grid: g, Of: f, Within: 1e-4, Best: math.Inf(1), Looks: math.MaxInt, Edges: edges}
	for i := range g.Size() {
		h.Values = append(h.Values, f(g.Place(i)))
	}
	return h.Lowest()[0], h.Cut
}

// The least of waves lies between the samples of every axis, in one valley of many.
func TestLowestOfWaves(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 1))
	for i := range 60 {
		g, f, want := hilly(rng, 1+i%3)
		if got, _ := lowestOf(g, f, false); !(math.Abs(got.V-want) <= 1e-4) {
			t.Errorf("%d: %v at %v, want %v", i, got.V, got.At, want)
		}
	}
}

// Where a figure jumps along the last axis, its least may lie on the edge: here it falls as long as x is below a line across, and is
// higher beyond.
func TestLowestOnAnEdge(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 2))
	for i := range 20 {
		lean, bottom := 0.2+0.3*rng.Float64(), 1+2*rng.Float64()
		g := Grid{{Split([]float64{0, 2, 4}, 4), 0, 4}, {Split([]float64{0, 2, 4}, 4), 0, 4}}
		f := func(at []float64) float64 {
			edge := 1 + lean*at[0]
			if at[1] > edge {
				return 10
			}
			return edge - at[1] + math.Pow(at[0]-bottom, 2)
		}
		if got, _ := lowestOf(g, f, true); !(got.V <= 1e-3) {
			t.Errorf("%d: %v at %v, want 0 at %v, %v", i, got.V, got.At, bottom, 1+lean*bottom)
		}
	}
}

// More valleys than the bound allows are said to be too many.
func TestLowestSaysThatItWasCut(t *testing.T) {
	g := Grid{{Split([]float64{0, 1}, 900), 0, 1}}
	f := func(at []float64) float64 { return math.Sin(2 * math.Pi * 300.1 * at[0]) }
	h := Hunt{Grid: g, Of: f, Within: 1e-9, Best: math.Inf(1), Looks: math.MaxInt}
	for i := range g.Size() {
		h.Values = append(h.Values, f(g.Place(i)))
	}
	if h.Lowest(); !h.Cut {
		t.Error("not cut")
	}
	g, f, _ = hilly(rand.New(rand.NewPCG(1, 1)), 2)
	if _, cut := lowestOf(g, f, false); cut {
		t.Error("cut with few valleys")
	}
}

func TestDivided(t *testing.T) {
	g := Grid{{[]float64{0, 1, 3}, 0, 3}, {[]float64{7}, 0, 0}, {[]float64{0, 1, 2, 3, 4}, 0, 4}}
	for _, c := range []struct {
		places, first, last int
		all                 bool
	}{{8, 2, 3, false}, {15, 3, 5, false}, {30, 5, 5, false}, {45, 5, 9, true}, {63, 7, 9, true}, {1000, 25, 33, true}} {
		out, all := g.Divided(c.places, func(k int) int { return []int{12, 1, 8}[k] })
		if len(out[0].At) != c.first || len(out[1].At) != 1 || len(out[2].At) != c.last || all != c.all || out.Size() > c.places {
			t.Errorf("%d places: %d and %d, %v; want %d and %d, %v", c.places, len(out[0].At), len(out[2].At), all, c.first, c.last, c.all)
		}
	}
	if out, _ := g.Divided(1000, func(int) int { return 1 }); out.Size() != g.Size() {
		t.Errorf("steps that may not be divided were: %d places of %d", out.Size(), g.Size())
	}
	for i := range g.Size() {
		if j := g.Nearest(g.Place(i)); j != i {
			t.Errorf("the place %d is nearest to %d", i, j)
		}
	}
}
