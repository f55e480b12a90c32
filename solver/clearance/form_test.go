package clearance

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/trial/draws"
)

// reaches0 is how far an outline reaches in a direction, by its edges.
func reaches0(r *outline.Region, n plane.Vec) float64 {
	far := math.Inf(-1)
	for _, l := range r.Loops {
		for i := range l {
			for k := range 65 {
				far = math.Max(far, n.Dot(l[i].At(float64(k)/64)))
			}
		}
	}
	return far
}

// reachesOf is how far a form reaches in a direction with some sizes, as the bounds take it: arcs only where they face.
func (d *pairOver) reachesOf(f *Form, n plane.Vec, dev []float64) float64 {
	far := math.Inf(-1)
	for p := range f.pieces {
		for k, s := range d.spots(nil, f, &f.pieces[p], dev) {
			if i := f.pieces[p].of[k]; s.arc == nil || s.arc.faces(n, s.of) {
				g := &f.feature[i]
				far = math.Max(far, n.Dot(s.at)+s.r+g.off[0]+g.off[1]+g.off[2])
			}
		}
	}
	return far
}

// TestFormCovers draws outlines with tolerances and builds them with sizes at the limits and between: in no direction does one reach
// beyond its form.
func TestFormCovers(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 12))
	looked, arcs := 0, 0
	for range draws.Of(60) {
		e, ok := toleranced(t, rng)
		if e == nil || !ok {
			continue
		}
		d := &pairOver{Over: e.over, space: e.over.space, disc: e.over.disc}
		for _, b := range e.d.Bodies {
			f, ok := e.over.Form(b.Part, b.Region, b.Shapes)
			if !ok {
				continue
			}
			for range 4 {
				dev := e.drawDev(rng)
				_, v, ok := e.engine(dev)
				r, err := outline.Build(b.Shapes, v)
				if !ok || err != nil {
					continue
				}
				for k := range 48 {
					n := plane.Polar(2 * math.Pi * float64(k) / 48)
					if looked++; reaches0(r, n) > d.reachesOf(f, n, dev)+1e-9 {
						t.Fatalf("%s, %v: reaches %v at %d, the form %v", b.Name, b.Shapes[0].Kind, reaches0(r, n), k, d.reachesOf(f, n, dev))
					}
				}
			}
			for i := range f.feature {
				if f.feature[i].arc != nil && f.feature[i].sway > 0 {
					arcs++
				}
			}
		}
	}
	if looked < draws.Of(6000) || arcs == 0 {
		t.Errorf("too little came of it: %d directions, %d arcs that stray", looked, arcs)
	}
}
