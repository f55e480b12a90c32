package linkage

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/trial/draws"
)

// moved builds P2 at a size, with its first pivot at a place.
func moved(size float64, at plane.Vec) (*draft, int) {
	s := newDraft()
	a, d := s.fixed("a", at.X, at.Y), s.fixed("d", at.X+100*size, at.Y)
	b := s.found("b")
	c := s.near("c", at.X+140*size, at.Y+60*size)
	s.crank(a, b, 40*size)
	s.length(b, c, s.num(120*size))
	s.length(d, c, s.num(80*size))
	return s, c
}

// A four-bar is the same one, as small as a watch's or as large as a bridge, and far from the origin.
func TestSizeAndPlace(t *testing.T) {
	for _, w := range []struct {
		size float64
		at   plane.Vec
		tol  float64 // as a share of the size
	}{
		{1, plane.Vec{}, 1e-11}, {1e-4, plane.Vec{}, 1e-11}, {1e5, plane.Vec{}, 1e-11},
		{1, plane.Vec{X: 1e5, Y: -2e5}, 1e-8}, {1e-2, plane.Vec{X: 300, Y: 300}, 1e-9},
	} {
		s, c := moved(w.size, w.at)
		mo := s.motion(t, 0, 360, 1)
		if len(mo.Broken()) > 0 {
			t.Errorf("size %g at %v: broken %v", w.size, w.at, mo.Broken())
		}
		for turn := 0.0; turn <= 360; turn += 3.7 {
			want, _ := closedFourBar(turn * deg)
			got := pose(t, mo, turn).Point[c].Sub(w.at).Scale(1 / w.size)
			wantPlace(t, "c", got, want.X, want.Y, 100*w.tol)
		}
	}
}

// The step at which positions are kept changes nothing: not the places, and not the way of assembly.
func TestCoarseSteps(t *testing.T) {
	s, foot := jansen()
	fine := s.motion(t, 0, 360, 0.25)
	for _, step := range []float64{0.05, 1, 7, 45, 90, 360, 1000} {
		mo := s.motion(t, 0, 360, step)
		if got := mo.Spans(); len(got) != 1 || got[0] != [2]float64{0, 360 * deg} {
			t.Fatalf("step %g: spans %v", step, got)
		}
		for turn := 0.0; turn <= 360; turn += 8.3 {
			want := pose(t, fine, turn).Point[foot]
			wantPlace(t, "foot", pose(t, mo, turn).Point[foot], want.X, want.Y, 1e-8)
		}
	}
}

// Dimensions of any kind, no numbers among them, lead to an answer or to a fault, and never to a pose that is no number.
func TestWildValues(t *testing.T) {
	const seed = 3
	wild := []float64{0, -1, 1e-300, 1e300, math.NaN(), math.Inf(1), math.Inf(-1), 1e-9, 1e9, 5}
	for i := range draws.Of(300) {
		rnd := rand.New(rand.NewPCG(seed, uint64(i)))
		m := newMachine(rnd)
		m.grow(1 + rnd.IntN(4))
		fixed := map[int]float64{}
		for range 1 + rnd.IntN(3) {
			fixed[rnd.IntN(len(m.g.Dims))] = wild[rnd.IntN(len(wild))]
		}
		l, err := New(m.Model, expr.Resolve(m.g, fixed), m.turn, m.turn+2*math.Pi, []float64{0})
		if err != nil {
			if len(err.(Faults)) == 0 {
				t.Errorf("seed %d, machine %d: an error without a fault", seed, i)
			}
			continue
		}
		mo, err := l.Follow(t.Context(), []float64{1}, m.turn, m.turn+1, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		var p Pose
		for turn := m.turn; turn <= m.turn+1; turn += 0.05 {
			if s := mo.At(turn, &p); s != Solved && s != DeadCentre {
				continue
			}
			for k, z := range p.Point {
				if math.IsNaN(z.X+z.Y) || math.IsInf(z.X, 0) || math.IsInf(z.Y, 0) {
					t.Fatalf("seed %d, machine %d: point %d at %v", seed, i, k, z)
				}
			}
		}
	}
}
