package clearance

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/trial"
	"barover/solver/tube"
)

// barred draws a sketch with a round bar on the frame, from one width to another, all of whose numbers have a tolerance.
func barred(t *testing.T, rng *rand.Rand, length, wide, narrow, half float64) (*engines, []outline.Shape) {
	for range 20 {
		d, err := trial.RandomSized(rng)
		if err != nil {
			continue
		}
		n := len(d.Drawn)
		bar := []outline.Shape{d.Strip(3, 5, 3+0.8*length, 5+0.6*length, wide, narrow, true)}
		l, err := d.Link(d.From, 0)
		if err != nil {
			continue
		}
		e := &engines{d: d, l: l}
		for k := n; k < len(d.Drawn); k++ {
			e.sizes, e.disc = append(e.sizes, tube.Size{Dim: k, Mid: d.Drawn[k], Half: half}), append(e.disc, false)
		}
		if e.enclose(t) {
			return e, bar
		}
	}
	t.Fatal("no sketch could be enclosed")
	return nil, nil
}

// TestBarHoldsDiscs: whatever the sizes, each disc by which the distance of a bar of two widths is bounded from above lies within the
// outline with these sizes. Half of the wide disc does not.
func TestBarHoldsDiscs(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 21))
	for _, c := range []struct{ length, wide, narrow, half float64 }{
		{30, 20, 6, 0.05}, {30, 6, 20, 0.05}, {5, 40, 20, 0.02}, {133, 13, 9, 0.2}, {40, 8, 8, 0.1}, {50, 10, 9.9999, 1e-3},
	} {
		e, shapes := barred(t, rng, c.length, c.wide, c.narrow, c.half)
		middle := make([]float64, len(e.sizes))
		_, v, _ := e.engine(middle)
		region, err := outline.Build(shapes, v)
		if err != nil {
			t.Fatal(err)
		}
		f, ok := e.over.Form(0, region, shapes)
		if !ok {
			t.Fatalf("%v: no form", c)
		}
		e.over.fill()
		m := &mostOver{pairOver: e.over.pair(f, f), ra: region, rb: region}
		tight := math.Inf(-1)
		for range 200 {
			dev := e.drawDev(rng)
			_, v, ok := e.engine(dev)
			r, err := outline.Build(shapes, v)
			if !ok || err != nil {
				t.Fatal(err)
			}
			with := m.few.Of(dev)
			loop := region.Loops[0]
			at := loop[rng.IntN(len(loop))].At(rng.Float64())
			for _, d := range m.discs(0, at) {
				tight = max(tight, at.Sub(d.head).Len()-d.r)
				m.mustLieWithin(t, r, &d, with)
			}
			for i := range m.a.pieces {
				list, _ := m.stuff(m.a, i, with)
				for _, b := range list {
					m.mustLieWithin(t, r, &innerDisc{head: b.p, r: b.rp}, with)
					m.mustLieWithin(t, r, &innerDisc{head: b.q, r: b.rq}, with)
				}
			}
			if t.Failed() {
				t.Fatalf("%v with %v, about %v", c, dev, at)
			}
		}
		t.Logf("%v: a disc is off the edge by %.3g mm at most", c, tight)
	}
}

// mustLieWithin looks at the rim of a disc with some sizes.
func (m *mostOver) mustLieWithin(t *testing.T, r *outline.Region, d *innerDisc, dev []float64) {
	var none [taylor.MaxVars]float64
	at := [3]float64{d.head.X, d.head.Y, d.r}
	for k, c := range d.move {
		if c != nil {
			at[k] += m.space.ValueOf(c, &none, dev)
		}
		at[2] -= d.off[k]
	}
	for k := range 180 {
		rim := plane.Vec{X: at[0], Y: at[1]}.Add(plane.Polar(2 * math.Pi * float64(k) / 180).Scale(at[2] - 1e-7))
		if at[2] > 1e-7 && !r.Contains(rim) {
			t.Errorf("the disc about %v of radius %v is not within the outline at %v", at[:2], at[2], rim)
			return
		}
	}
}
