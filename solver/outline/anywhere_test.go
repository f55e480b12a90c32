package outline

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/trial/draws"
)

// redrawn draws the shapes of a profile again, placed at p and k times as large; a box becomes a path.
func (d *drawn) redrawn(p plane.Placement, k float64) (*draft, []Shape) {
	v := d.values
	at := func(q Place) plane.Vec { return p.Out(plane.Vec{X: v.At(q.X), Y: v.At(q.Y)}.Scale(k)) }
	e := &draft{}
	var out []Shape
	for _, s := range d.shapes {
		a := at(s.P[0])
		var n Shape
		switch s.Kind {
		case Disc:
			n = e.disc(a.X, a.Y, k*v.At(s.W[0]))
		case Strip:
			b := at(s.P[1])
			n = e.strip(a.X, a.Y, b.X, b.Y, k*v.At(s.W[0]), k*v.At(s.W[1]), s.Round)
		case Box:
			b := at(s.P[1])
			c, f := at(Place{s.P[1].X, s.P[0].Y}), at(Place{s.P[0].X, s.P[1].Y})
			n = e.polygon(a.X, a.Y, c.X, c.Y, b.X, b.Y, f.X, f.Y)
		case Path:
			var legs []leg
			for _, t := range s.Steps {
				l := leg{x: at(t.To).X, y: at(t.To).Y, long: t.Long}
				if t.Radius != expr.None {
					if l.r = k * v.At(t.Radius); !t.Left {
						l.r = -l.r
					}
				}
				legs = append(legs, l)
			}
			n = e.path(a.X, a.Y, legs...)
		}
		n.Hole = s.Hole
		out = append(out, n)
	}
	return e, out
}

// TestSameAnywhere: turned, moved far away and drawn at another scale, profiles whose edges and corners fall on one another
// make the same outline, though by rounding nothing falls on anything any more.
func TestSameAnywhere(t *testing.T) {
	t.Logf("seed %d", *seed)
	rnd := rand.New(rand.NewPCG(*seed, 12))
	for _, d := range profiles(400, true) {
		if d.err != nil {
			t.Fatalf("cannot be made: %v%s", d.err, d.describe())
		}
		k := math.Pow(10, rnd.Float64()*7-3)
		far := math.Pow(10, rnd.Float64()*4) * k
		p := plane.Placement{Origin: plane.Polar(rnd.Float64() * 7).Scale(far), Dir: plane.Polar(rnd.Float64() * 7)}
		e, shapes := d.redrawn(p, k)
		r, err := Build(shapes, expr.Resolve(&e.Graph, nil))
		if err != nil {
			t.Errorf("at %v, %g times as large: %v%s", p, k, err, d.describe())
			continue
		}
		if math.Abs(r.Area/(k*k)-d.Area) > 1e-5 || len(r.Loops) != len(d.Loops) || len(r.edges) != len(d.edges) {
			t.Errorf("at %v, %g times as large: area %.12g, %d loops, %d edges; was %.12g, %d, %d%s", p, k,
				r.Area/(k*k), len(r.Loops), len(r.edges), d.Area, len(d.Loops), len(d.edges), d.describe())
		}
	}
}

// TestNearlyCoincident: profiles whose edges and corners miss one another by anything from rounding to a hundredth of a
// millimetre are made too, with hardly another area.
func TestNearlyCoincident(t *testing.T) {
	t.Logf("seed %d", *seed)
	rnd := rand.New(rand.NewPCG(*seed, 13))
	for _, d := range profiles(draws.Of(1000), true) {
		if d.err != nil {
			t.Fatalf("cannot be made: %v%s", d.err, d.describe())
		}
		miss := math.Pow(10, rnd.Float64()*13-15)
		fixed := make(map[int]float64)
		for k, id := range d.Dims {
			fixed[k] = d.values.At(id) + miss*(2*rnd.Float64()-1)
		}
		r, err := Build(d.shapes, expr.Resolve(&d.Graph, fixed))
		if err != nil {
			t.Errorf("off by %g: %v%s", miss, err, d.describe())
			continue
		}
		near := &drawn{Region: r, shapes: d.shapes, values: expr.Resolve(&d.Graph, fixed)}
		for range 50 {
			p := r.Centre.Add(plane.Vec{X: rnd.Float64()*2 - 1, Y: rnd.Float64()*2 - 1}.Scale(r.Radius))
			want, ok := near.inShapes(p, 1e-3+20*miss)
			if ok && (r.Contains(p) != want || near.inPieces(p) != want) {
				t.Errorf("off by %g: %v in the outline %v, in a piece %v, by the shapes %v%s", miss, p, r.Contains(p), near.inPieces(p), want, d.describe())
			}
		}
		length := 0.0
		for i := range d.shapes {
			for _, e := range mustMake(&d.shapes[i], d.values) {
				length += e.Length()
			}
		}
		// The places of an arc's path move more than its ends where its radius is nearly half their distance.
		if off := math.Abs(r.Area - d.Area); off > 1e-6+20*miss*length {
			t.Errorf("off by %g: area %.12g, was %.12g%s", miss, r.Area, d.Area, d.describe())
		}
	}
}

func mustMake(s *Shape, v *expr.Values) []Edge {
	m := maker{v: v}
	edges, _ := m.shape(s)
	return edges
}
