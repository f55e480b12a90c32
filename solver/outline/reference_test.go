package outline

import (
	"math"
	"testing"

	"barover/solver/plane"
)

// edgeGap returns the least distance of two edges by themselves, 0 where they cross.
func edgeGap(e, f Edge) float64 {
	g := gap{d: math.Inf(1)}
	g.measure(&e, &f, 0, 0)
	return g.d
}

func seg(x1, y1, x2, y2 float64) Edge {
	return straight(plane.Vec{X: x1, Y: y1}, plane.Vec{X: x2, Y: y2}, -1)
}

// TestReferenceEdges holds distances of edges against GEOS 3.11.1 by shapely 1.8.5 and, besides, the foot of
// the perpendicular or closed forms.
func TestReferenceEdges(t *testing.T) {
	quarter := arc(plane.Vec{X: 25}, plane.Vec{Y: 25}, plane.Vec{}, 25, math.Pi/2, -1)
	tests := []struct {
		name string
		e, f Edge
		want float64
		tol  float64
	}{
		{"crossing", seg(0, 0, 10, 10), seg(0, 10, 10, 0), 0, 0},
		{"T-touch", seg(0, 0, 10, 0), seg(4, 0, 4, 7), 0, 0},
		{"parallel overlap", seg(0, 0, 10, 0), seg(3, 2.5, 20, 2.5), 2.5, 1e-12},
		{"collinear gap", seg(0, 0, 10, 0), seg(12.5, 0, 20, 0), 2.5, 1e-12},
		{"end to end", seg(0, 0, 1, 0), seg(4, 4, 9, 9), 5, 1e-12},
		{"end to interior", seg(0, 0, 4, 3), seg(5, 0, 9, 1), 3, 1e-12},
		{"nearly parallel", seg(0, 0, 1000, 0), seg(0, 1, 1000, 0.999999), 0.999999, 1e-12},
		{"far from the origin", seg(1e4, 1e4, 1e4+40, 1e4), seg(1e4+3, 1e4+1e-6, 1e4+30, 1e4+7), 1e-6, 1e-11},
		{"a place", seg(0, 0, 4, 3), seg(7, -1, 7, -1), 5, 1e-12},
		{"square to the arc", quarter, seg(30, -10, 30, 40), 5, 1e-9},
		{"arc end governs, left", quarter, seg(-8, 20, -8, 40), 8, 1e-9},
		{"arc end governs, below", quarter, seg(-40, -3, 40, -3), 3, 1e-9},
		{"within the arc", quarter, seg(10, 10, 12, 16), 5, 1e-9},
	}
	for _, c := range tests {
		for _, way := range []string{"", " swapped", " reversed"} {
			e, f := c.e, c.f
			switch way {
			case " swapped":
				e, f = f, e
			case " reversed":
				e, f = e.reversed(), f.reversed()
			}
			if got := edgeGap(e, f); !(math.Abs(got-c.want) <= c.tol) {
				t.Errorf("%s%s: %.15g, want %.15g", c.name, way, got, c.want)
			}
		}
	}
}

// TestReferenceOutlines holds distances of filled outlines against closed forms, which GEOS 3.11.1 by shapely 1.8.5
// confirms to the fineness of its chords.
func TestReferenceOutlines(t *testing.T) {
	tests := []struct {
		name string
		a, b func(d *draft) []Shape
		want float64
		tol  float64
	}{
		{"round bars", one(strip(0, 0, 40, 0, 10)), one(strip(60, 10, 90, 50, 6)), math.Sqrt(500) - 8, 1e-9},
		{"round bars touching", one(strip(0, 0, 40, 0, 10)), one(strip(20, 9, 20, 50, 8)), 0, 1e-9},
		{"round bars 0.001 apart", one(strip(0, 0, 40, 0, 10)), one(strip(20, 9.001, 20, 50, 8)), 0.001, 1e-9},
		// Filled, the block overlaps the plate: by GEOS 0. To leave by the nearer side it must shift 30 + 10.
		{"block in a plate", one(box(0, 0, 100, 60)), one(box(40, 20, 60, 40)), -40, 1e-9},
		// The same plate as a frame about the block: by GEOS the boundaries are 20 apart.
		{"block to the boundary of the plate", func(d *draft) []Shape {
			return []Shape{d.box(-10, -10, 110, 70), hole(d.box(0, 0, 100, 60))}
		}, one(box(40, 20, 60, 40)), 20, 1e-9},
		{"pin in a hole, least clearance", eye(0), one(disc(0.02, 0, 12)), 0.03, 1e-9},
		{"pin in a hole, touching", eye(0), one(disc(0.03, 0.04, 12)), 0, 1e-9},
		{"bar in the mouth of a U", func(d *draft) []Shape {
			return []Shape{d.box(0, 0, 30, 20), hole(d.box(10, 5, 20, 20))}
		}, one(box(13, 8, 16, 40)), 3, 0},
		{"the same U as a path", one(func(d *draft) Shape {
			return d.polygon(0, 0, 30, 0, 30, 20, 20, 20, 20, 5, 10, 5, 10, 20, 0, 20)
		}), one(box(13, 8, 16, 40)), 3, 0},
		{"vertex to edge", one(triangle(0, 0, 10, 0, 5, 8)), one(triangle(12, 3, 20, -2, 20, 8)), 31 / math.Sqrt(89), 1e-12},
		{"touch at a vertex", one(triangle(0, 0, 10, 0, 5, 8)), one(triangle(5, 8, 0, 16, 10, 16)), 0, 1e-12},
	}
	for _, c := range tests {
		d := &draft{}
		a, b := d.build(t, c.a(d)...), d.build(t, c.b(d)...)
		n, m := between(a, b), between(b, a)
		if !(math.Abs(n.D-c.want) <= c.tol) || !(math.Abs(m.D-c.want) <= c.tol) {
			t.Errorf("%s: %.15g, swapped %.15g, want %.15g", c.name, n.D, m.D, c.want)
		}
		checkNear(t, c.name, n)
	}
}

// checkNear checks that the answer agrees with itself.
func checkNear(t *testing.T, name string, n Near) {
	t.Helper()
	if l := n.Normal.Len(); !(math.Abs(l-1) < 1e-9) {
		t.Errorf("%s: normal %v of length %g", name, n.Normal, l)
	}
	if d := n.Q.Sub(n.P).Dot(n.Normal); !(math.Abs(d-n.D) < 1e-7) {
		t.Errorf("%s: (Q−P)·N = %g, D = %g", name, d, n.D)
	}
	if d := n.Q.Sub(n.P).Len(); !(math.Abs(d-math.Abs(n.D)) < 1e-7) {
		t.Errorf("%s: |Q−P| = %g, D = %g", name, d, n.D)
	}
}

type shaper func(d *draft) Shape

func one(m shaper) func(d *draft) []Shape { return func(d *draft) []Shape { return []Shape{m(d)} } }
func strip(x1, y1, x2, y2, w float64) shaper {
	return func(d *draft) Shape { return d.strip(x1, y1, x2, y2, w, w, true) }
}
func box(x1, y1, x2, y2 float64) shaper { return func(d *draft) Shape { return d.box(x1, y1, x2, y2) } }
func disc(x, y, dia float64) shaper     { return func(d *draft) Shape { return d.disc(x, y, dia) } }
func triangle(xy ...float64) shaper     { return func(d *draft) Shape { return d.polygon(xy...) } }

// eye is the end of a rod, with a hole of radius 6.05 at x.
func eye(x float64) func(d *draft) []Shape {
	return func(d *draft) []Shape {
		return []Shape{d.strip(x, 0, x+100, 0, 16, 16, true), d.disc(x, 0, 24), hole(d.disc(x, 0, 12.1))}
	}
}

// TestReferenceLever holds a closed form that GEOS confirms: a lever of half width 4 about the origin and a fixed pin of
// radius 5 at (50, 20) are 11 apart at 0° and touch at 12.18066039° and 31.42215858°.
func TestReferenceLever(t *testing.T) {
	d := &draft{}
	lever, pin := d.build(t, d.strip(0, 0, 100, 0, 8, 8, false)), d.build(t, d.disc(50, 20, 10))
	at := func(deg float64) float64 {
		return Distance(lever, placed(0, 0, deg*math.Pi/180), pin, plane.Fixed).D
	}
	if got := at(0); math.Abs(got-11) > 1e-12 {
		t.Errorf("at 0°: %g, want 11", got)
	}
	for _, c := range []struct{ lo, hi, want float64 }{{0, 21, 12.18066039}, {40, 22, 31.42215858}} {
		lo, hi := c.lo, c.hi
		for range 60 {
			if m := (lo + hi) / 2; at(m) > 0 {
				lo = m
			} else {
				hi = m
			}
		}
		if math.Abs(lo-c.want) > 1e-7 {
			t.Errorf("contact at %.9f°, want %.8f°", lo, c.want)
		}
	}
}

// TestReferenceThrow holds a closed form: the axis of a connecting rod, r 20, l 80, seen at the station x = 50, swings out to
// 8.470176696 when the crank stands at 62.98175784°; derivative root and ternary search agree. The rod is a hair 2e-6 wide
// and its throw is its distance from a line below.
func TestReferenceThrow(t *testing.T) {
	d := &draft{}
	const hair = 2e-6
	rod := d.build(t, d.strip(0, 0, 80, 0, hair, hair, false))
	post := d.build(t, d.strip(50, -100, 50, -90, hair, hair, false))
	throw := func(deg float64) float64 {
		crank := plane.Polar(deg * math.Pi / 180).Scale(20)
		piston := plane.Vec{X: crank.X + math.Sqrt(80*80-crank.Y*crank.Y)}
		along := piston.Sub(crank).Unit()
		// The upright distance at the station is the least distance to the post's top over the cosine of the slope.
		n := Distance(rod, plane.Placement{Origin: crank, Dir: along}, post, plane.Fixed)
		return (n.D+hair/2)/along.X - 90 + hair/2*math.Abs(along.Y)/along.X
	}
	best, where := 0.0, 0.0
	for deg := 60.0; deg < 66; deg += 0.001 {
		if h := throw(deg); h > best {
			best, where = h, deg
		}
	}
	if math.Abs(best-8.470176696) > 1e-6 || math.Abs(where-62.98175784) > 0.002 {
		t.Errorf("throw %.9f at %.5f°, want 8.470176696 at 62.98176°", best, where)
	}
}
