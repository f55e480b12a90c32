package linkage

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/plane"
	"barover/solver/trial/draws"
)

// narrow is a four-bar beside a change point: crank + ground differ from coupler + rocker, or one of the other two such
// sums, by very little either way.
type narrow struct{ a, b, c, d float64 }

func randomNarrow(rnd *rand.Rand) narrow {
	size := func() float64 { return math.Exp(rnd.Float64()*3 + 2) }
	n := narrow{a: size(), b: size(), c: size(), d: size()}
	off := math.Pow(10, -1-7*rnd.Float64()) * (float64(rnd.IntN(2))*2 - 1) * n.a
	switch rnd.IntN(4) {
	case 0:
		n.d = math.Abs(n.b+n.c-n.a) + off // stretched with the crank pointing away
	case 1:
		n.d = n.a + math.Abs(n.b-n.c) + off // folded with the crank pointing at the rocker's pivot
	case 2:
		n.d = n.a + n.b + n.c + off*1e-3 // hardly reaches at all
	}
	n.d = math.Abs(n.d)
	return n
}

// gap returns by how much coupler and rocker fail to meet with the crank at a turn; below zero they meet.
func (n narrow) gap(turn float64) float64 {
	e := plane.Polar(turn).Scale(n.a).Sub(plane.Vec{X: n.d}).Len()
	return max(e-n.b-n.c, math.Abs(n.b-n.c)-e)
}

// Four-bars within a hair of their change points, against the intersection of two circles: the same side all the way
// round, no position where there is none, and none lost where there is one.
func TestNarrowFourBars(t *testing.T) {
	const seed = 7
	rnd := rand.New(rand.NewPCG(seed, 0))
	full, broken, changed := 0, 0, 0
	for i := range draws.Of(300) {
		n := randomNarrow(rnd)
		start := 0.0
		for k := 0; k < 360 && !(n.gap(start) < -1e-3*n.a); k++ {
			start = float64(k) * deg
		}
		if !(n.gap(start) < -1e-3*n.a) {
			continue
		}
		side := float64(rnd.IntN(2))*2 - 1
		pin := plane.Polar(start).Scale(n.a)
		q := circles(pin, n.b, plane.Vec{X: n.d}, n.c, side)
		s, _, rocker := fourBar(n.a, n.b, n.c, n.d, q.X, q.Y)
		mo := s.motion(t, start/deg, start/deg+360, 1)
		if len(mo.changes) > 0 {
			changed++
			continue // past a change point the motion goes straight on: TestParallelogram
		}
		if len(mo.Broken()) > 0 {
			broken++
		} else {
			full++
		}
		var p Pose
		for k := range 1441 {
			turn := start + float64(k)*deg/4
			gap := n.gap(turn)
			status := mo.At(turn, &p)
			if ok := status == Solved || status == DeadCentre; !ok {
				if gap < -1e-6*n.a {
					t.Fatalf("seed %d, case %d, %+v side %g: %v at %g°, where they meet by %g", seed, i, n, side, status, turn/deg, -gap)
				}
				continue
			}
			if gap > 1e-9*n.a {
				t.Fatalf("seed %d, case %d: solved at %g°, where they miss by %g", seed, i, turn/deg, gap)
			}
			w := circles(plane.Polar(turn).Scale(n.a), n.b, plane.Vec{X: n.d}, n.c, side)
			if off := p.Point[rocker].Sub(w).Len(); gap < -1e-4*n.a && !(off < 1e-7*(n.a+n.d)) {
				t.Fatalf("seed %d, case %d, %+v: off by %g at %g°, broken %v", seed, i, n, off, turn/deg, mo.Broken())
			}
		}
		for _, b := range mo.Broken() {
			if n.gap((b.From+b.To)/2) < -1e-7*n.a {
				t.Errorf("seed %d, case %d: broken from %g° to %g° but not in between", seed, i, b.From/deg, b.To/deg)
			}
			for _, end := range []float64{b.From, b.To} {
				if b.From > start && b.To < start+360*deg && math.Abs(n.gap(end)) > 1e-5*n.a {
					t.Errorf("seed %d, case %d: end of break at %g°, where the gap is %g", seed, i, end/deg, n.gap(end))
				}
			}
		}
	}
	if full < draws.Of(30) || broken < draws.Of(100) || changed > 40 {
		t.Errorf("%d went all the way, %d broke, %d changed: not the mixture that was meant", full, broken, changed)
	}
}

// A parallelogram goes over its change points, at which it lies flat, and stays a parallelogram: the motion goes straight
// on. So does an antiparallelogram.
func TestParallelogram(t *testing.T) {
	s, _, q := fourBar(40, 100, 40, 100, 128, 28)
	mo := s.motion(t, 45, 405, 1)
	if c := mo.changes; len(c) != 2 || math.Abs(c[0].at-180*deg) > 1e-6 || math.Abs(c[1].at-360*deg) > 1e-6 {
		t.Errorf("changes at %v, want π and 2π", c)
	}
	if b := mo.Broken(); len(b) > 0 {
		t.Errorf("broken: %v", b)
	}
	var p Pose
	for k := range 3601 {
		turn := (45 + float64(k)/10) * deg
		status := mo.At(turn, &p)
		want := plane.Polar(turn).Scale(40).Add(plane.Vec{X: 100})
		if status != Solved && status != DeadCentre {
			t.Fatalf("%v at %g°", status, turn/deg)
		}
		wantPlace(t, "rocker pin", p.Point[q], want.X, want.Y, 1e-7)
		if at := math.Abs(turn-180*deg) < 1e-9 || math.Abs(turn-360*deg) < 1e-9; at != (status == DeadCentre) {
			t.Errorf("%v at %.9g°", status, turn/deg)
		}
	}
}
