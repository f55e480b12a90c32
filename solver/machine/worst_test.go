package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver"
	"barover/solver/trial/draws"
)

// TestWorstOfTwo: a disc on a crank passes two discs of the frame that keep nearly the same distance. The least is that of the nearer, at
// its own place, and the dimension that is said to move it is that disc's: in an engine of 1 mm as in one of 500.
func TestWorstOfTwo(t *testing.T) {
	rng := rand.New(rand.NewPCG(*anywhereSeed, 11))
	for i := range draws.Of(60) {
		size := math.Pow(10, 2.7*rng.Float64())
		nearer := math.Min(2e-4, 2e-5*size) * (1 + rng.Float64()) // by so much, mm
		d := newDraft(0, 360, 5)
		o, p := d.fixed("o", 0, 0), d.found("p")
		d.crank(o, p, d.num(size))
		arm := d.part("arm", o, p)
		on := d.profile(arm, "arm.disc", d.num(0), d.num(1), d.disc(d.num(size), d.num(0), d.num(size/5)))
		reach := size * (1.5 + rng.Float64())
		first, second := reach, reach+nearer
		if i%2 == 1 {
			first, second = second, first
		}
		one, two := 0.3+2*rng.Float64(), 3.5+2*rng.Float64()
		a, b := d.dim("a", first), d.dim("b", second)
		at := func(h float64) (x, y float64) { return math.Cos(h), math.Sin(h) }
		x1, y1 := at(one)
		x2, y2 := at(two)
		g := d.g
		stop := d.profile(0, "frame.stops", d.num(0), d.num(1),
			d.disc(g.Mul(a, d.num(x1)), g.Mul(a, d.num(y1)), d.num(size/10)), d.disc(g.Mul(b, d.num(x2)), g.Mul(b, d.num(y2)), d.num(size/10)))
		d.clear(on, stop, d.num(reach-size-0.15*size+size/50))
		m, err := New(d.p, d.drawn())
		if err != nil {
			t.Fatal(err)
		}
		res, err := m.Study(t.Context(), Options{Levers: ShortLevers})
		if err != nil {
			t.Fatal(err)
		}
		f, want, turn, dim := res.Findings[0], reach-size-0.15*size, one, 0
		if i%2 == 1 {
			turn, dim = two, 1
		}
		if f.OK || f.Sure != solver.Proved || math.Abs(f.Least-want) > 1e-9*size || math.Abs(f.At.Turn-turn) > 1e-6 {
			t.Errorf("size %g, nearer by %g: %v at %v (%v), want %v at %v", size, nearer, f.Least, f.At.Turn, f.Sure, want, turn)
		}
		if len(f.Levers) == 0 || f.Levers[0].Dim != dim || math.Abs(f.Levers[0].PerUnit-1) > 1e-6 {
			t.Errorf("size %g, nearer by %g: levers %+v, want dimension %d first", size, nearer, f.Levers, dim)
		}
	}
}
