package outline

import (
	"math/rand/v2"
	"testing"

	"barover/solver/plane"
)

// TestPieces samples random profiles: a place is material by the shapes if and only if the outline contains it, and if and
// only if a piece does, bites taken off. Pieces are convex, and one that is convex is one piece.
func TestPieces(t *testing.T) {
	t.Logf("seed %d", *seed)
	rnd := rand.New(rand.NewPCG(*seed, 7))
	tried, pieces := 0, 0
	for _, grid := range []bool{false, true} {
		for _, d := range profiles(400, grid) {
			if d.err != nil {
				t.Errorf("cannot be made: %v", d.err)
				continue
			}
			pieces += len(d.Pieces)
			for i := range d.Pieces {
				if !convex(d.Pieces[i].Loop, sliver*d.Radius) {
					t.Errorf("piece %d is not convex: %v", i, d.Pieces[i].Loop)
				}
			}
			if len(d.Loops) == 1 && convex(d.Loops[0], sliver*d.Radius) && !d.Convex() {
				t.Errorf("a convex outline in %d pieces", len(d.Pieces))
			}
			for range 300 {
				p := d.Centre.Add(plane.Vec{X: rnd.Float64()*2 - 1, Y: rnd.Float64()*2 - 1}.Scale(d.Radius))
				want, ok := d.inShapes(p, 1e-4)
				if !ok {
					continue
				}
				tried++
				if got := d.Contains(p); got != want {
					t.Fatalf("Contains(%v) = %v, by the shapes %v: %s", p, got, want, d.describe())
				}
				if got := d.inPieces(p); got != want {
					t.Fatalf("%v in a piece: %v, by the shapes %v: %s", p, got, want, d.describe())
				}
			}
		}
	}
	if tried < 100000 {
		t.Errorf("only %d places tried", tried)
	}
	t.Logf("%d places, %d pieces", tried, pieces)
}

func (d *drawn) inPieces(p plane.Vec) bool {
	for i := range d.Pieces {
		c := &d.Pieces[i]
		if c.holds(p, 0) && (c.Bite == nil || p.Sub(c.Bite.C).Len() > c.Bite.R) {
			return true
		}
	}
	return false
}
