package outline

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/plane"
)

// TestAbout measures outlines about a pin at the origin, by hand.
func TestAbout(t *testing.T) {
	d := &draft{}
	tests := []struct {
		name             string
		r                *Region
		edge, farthest   float64
		material, within bool
	}{
		{"disc about the pin", d.build(t, d.disc(0, 0, 10)), 5, 5, true, true},
		{"disc beside it", d.build(t, d.disc(13, 0, 10)), 8, 18, false, false},
		{"link round at its ends", d.build(t, d.strip(0, 0, 30, 0, 8, 8, true)), 4, 34, true, true},
		{"bearing", d.build(t, d.box(-10, -10, 10, 10), hole(d.disc(0, 0, 12))), 6, math.Hypot(10, 10), false, true},
		{"beside the hole", d.build(t, d.box(-30, -10, 10, 10), hole(d.disc(-20, 0, 12))), 10, math.Hypot(30, 10), true, true},
		{"bush in a hole", d.build(t, d.disc(0, 0, 40), hole(d.disc(0, 0, 30)), d.disc(0, 0, 10), hole(d.disc(0, 0, 6))), 3, 20, false, true},
		{"two jaws", d.build(t, d.box(-10, 5, 10, 8), d.box(-10, -8, 10, -5)), 5, math.Hypot(10, 8), false, false},
	}
	for _, c := range tests {
		got := c.r.About(plane.Vec{})
		if math.Abs(got.Edge-c.edge) > 1e-9 || math.Abs(got.Farthest-c.farthest) > 1e-9 || got.Material != c.material || got.Within != c.within {
			t.Errorf("%s: got %+v, want %v to %v, material %v, within %v", c.name, got, c.edge, c.farthest, c.material, c.within)
		}
	}
}

// TestAboutRandom holds the ring about a place against places all along the boundary.
func TestAboutRandom(t *testing.T) {
	t.Logf("seed %d", *seed)
	random := rand.New(rand.NewPCG(*seed, 41))
	for range 200 {
		d := &draft{}
		x, y := 60*random.Float64()-30, 60*random.Float64()-30
		r := d.build(t, d.strip(0, 0, x, y, 4+10*random.Float64(), 4+10*random.Float64(), true), d.disc(x, y, 12), hole(d.disc(x, y, 3)))
		p := plane.Vec{X: 80*random.Float64() - 40, Y: 80*random.Float64() - 40}
		near, far := math.Inf(1), 0.0
		for _, l := range r.Loops {
			for i := range l {
				for k := range 401 {
					v := l[i].At(float64(k) / 400).Sub(p).Len()
					near, far = min(near, v), max(far, v)
				}
			}
		}
		got := r.About(p)
		if got.Edge > near+1e-9 || got.Edge < near-0.2 || got.Farthest < far-1e-9 || got.Farthest > far+0.2 {
			t.Fatalf("about %v: got %v to %v, seen %v to %v", p, got.Edge, got.Farthest, near, far)
		}
		if got.Material != r.Contains(p) || got.Material && !got.Within {
			t.Fatalf("about %v: got %+v", p, got)
		}
	}
}
