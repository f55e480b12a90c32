package outline

import (
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
)

// TestBuild holds areas by elementary geometry and the number of loops, edges and pieces.
func TestBuild(t *testing.T) {
	pi := math.Pi
	segment := func(r, half float64) float64 { return r * r * (half - math.Sin(half)*math.Cos(half)) }
	tests := []struct {
		name                 string
		shapes               func(d *draft) []Shape
		area                 float64
		loops, edges, pieces int
	}{
		{"disc", func(d *draft) []Shape { return []Shape{d.disc(1, 2, 10)} }, 25 * pi, 1, 1, 1},
		{"box from any corner", func(d *draft) []Shape { return []Shape{d.box(20, 0, 0, 10)} }, 200, 1, 4, 1},
		{"taper", func(d *draft) []Shape { return []Shape{d.strip(0, 0, 30, 40, 10, 4, false)} }, 350, 1, 4, 1},
		{"round bar", func(d *draft) []Shape { return []Shape{d.strip(0, 0, 30, 40, 10, 10, true)} }, 500 + 25*pi, 1, 4, 1},
		{"round taper, hollow at the small end", func(d *draft) []Shape { return []Shape{d.strip(0, 0, 50, 0, 10, 4, true)} },
			350 + 12.5*pi + 2*pi, 1, 4, 3},
		{"the same twice", func(d *draft) []Shape { return []Shape{d.box(0, 0, 20, 10), d.box(0, 0, 20, 10)} }, 200, 1, 4, 1},
		{"side by side", func(d *draft) []Shape { return []Shape{d.box(0, 0, 20, 10), d.box(20, 0, 30, 10)} }, 300, 1, 6, 1},
		{"touching at a corner", func(d *draft) []Shape { return []Shape{d.box(0, 0, 10, 10), d.box(10, 10, 20, 20)} }, 200, 2, 8, 2},
		{"overlap of a millionth", func(d *draft) []Shape { return []Shape{d.box(0, 0, 20, 10), d.box(20-1e-6, 0, 30, 10)} }, 300, 1, 6, 1},
		{"a disc on the end of a bar of its width", func(d *draft) []Shape {
			return []Shape{d.strip(0, 0, 40, 0, 10, 10, true), d.disc(40, 0, 10)}
		}, 400 + 25*pi, 1, 4, 1},
		{"touching discs", func(d *draft) []Shape { return []Shape{d.disc(0, 0, 10), d.disc(10, 0, 10)} }, 50 * pi, 2, 2, 2},
		{"lens of two discs", func(d *draft) []Shape { return []Shape{d.disc(0, 0, 10), d.disc(6, 0, 10)} },
			50*pi - 2*segment(5, math.Acos(0.6)), 1, 2, 2},
		{"washer", func(d *draft) []Shape { return []Shape{d.disc(0, 0, 10), hole(d.disc(0, 0, 6))} }, 16 * pi, 2, 2, 1},
		{"hole touching the rim", func(d *draft) []Shape { return []Shape{d.disc(0, 0, 10), hole(d.disc(2, 0, 6))} }, 16 * pi, 1, 2, 1},
		{"hole before what it would cut", func(d *draft) []Shape { return []Shape{hole(d.disc(0, 0, 6)), d.disc(0, 0, 10)} }, 25 * pi, 1, 1, 1},
		{"boss put back in a hole", func(d *draft) []Shape {
			return []Shape{d.disc(0, 0, 10), hole(d.disc(0, 0, 8)), d.disc(0, 0, 2)}
		}, 10 * pi, 3, 3, 2},
		{"window", func(d *draft) []Shape { return []Shape{d.box(0, 0, 40, 30), hole(d.box(10, 10, 30, 20))} }, 1000, 2, 8, 4},
		{"notch", func(d *draft) []Shape { return []Shape{d.box(0, 0, 30, 20), hole(d.box(10, 5, 20, 20))} }, 450, 1, 8, 3},
		{"slot with round ends", func(d *draft) []Shape {
			return []Shape{d.box(0, 0, 60, 20), hole(d.strip(15, 10, 45, 10, 8, 8, true))}
		}, 1200 - 240 - 16*pi, 2, 8, 4},
		{"plate with nine holes", func(d *draft) []Shape {
			s := []Shape{d.box(0, 0, 60, 60)}
			for i := range 9 {
				s = append(s, hole(d.disc(10+20*float64(i%3), 10+20*float64(i/3), 12)))
			}
			return s
		}, 3600 - 9*36*pi, 10, 13, 9},
		{"half disc, the short way of two", func(d *draft) []Shape { return []Shape{d.path(5, 0, leg{-5, 0, 5, false})} }, 12.5 * pi, 1, 2, 1},
		{"the long way round to the left", func(d *draft) []Shape { return []Shape{d.path(5, 0, leg{0, 5, 5, true})} },
			25*pi - segment(5, pi/4), 1, 2, 1},
		{"the short way round to the left", func(d *draft) []Shape { return []Shape{d.path(5, 0, leg{0, 5, 5, false})} }, segment(5, pi/4), 1, 2, 1},
		{"a circle in two arcs", func(d *draft) []Shape { return []Shape{d.path(5, 0, leg{-5, 0, 5, false}, leg{5, 0, 5, false})} }, 25 * pi, 1, 2, 1},
		{"curved link", func(d *draft) []Shape { // a quarter of a ring
			return []Shape{d.path(100, 0, leg{0, 100, 100, false}, leg{x: 0, y: 80}, leg{80, 0, -80, false})}
		}, 900 * pi, 1, 4, 1},
		{"path the wrong way round", func(d *draft) []Shape { return []Shape{d.polygon(0, 0, 0, 10, 10, 10, 10, 0)} }, 100, 1, 4, 1},
	}
	for _, c := range tests {
		d := &draft{}
		r := d.build(t, c.shapes(d)...)
		if math.Abs(r.Area-c.area) > 1e-5 {
			t.Errorf("%s: area %.9f, want %.9f", c.name, r.Area, c.area)
		}
		if len(r.Loops) != c.loops || len(r.edges) != c.edges || len(r.Pieces) != c.pieces {
			t.Errorf("%s: %d loops, %d edges, %d pieces; want %d, %d, %d", c.name,
				len(r.Loops), len(r.edges), len(r.Pieces), c.loops, c.edges, c.pieces)
		}
		checkClosed(t, c.name, r)
	}
}

// checkClosed checks that each loop closes, that the circle holds it all and that polygons agree in their area.
// polygon is a loop with 200 chords in place of every arc.
func polygon(l []Edge) (out []plane.Vec) {
	for i := range l {
		n := 1
		if l[i].R != 0 {
			n = 200
		}
		for k := range n {
			out = append(out, l[i].At(float64(k)/float64(n)))
		}
	}
	return out
}

func checkClosed(t *testing.T, name string, r *Region) {
	t.Helper()
	for _, l := range r.Loops {
		for i := range l {
			if gap := l[i].B.Sub(l[(i+1)%len(l)].A).Len(); gap > 1e-9*r.Radius {
				t.Errorf("%s: loop open by %g", name, gap)
			}
		}
	}
	sum := 0.0
	for _, l := range r.Loops {
		poly := polygon(l)
		for i, p := range poly {
			sum += p.Cross(poly[(i+1)%len(poly)]) / 2
			if p.Sub(r.Centre).Len() > r.Radius*(1+1e-9) {
				t.Errorf("%s: %v lies outside of the circle round it", name, p)
			}
		}
	}
	if math.Abs(sum-r.Area) > 5e-3*r.Radius*r.Radius {
		t.Errorf("%s: area of the polygons %g, of the outline %g", name, sum, r.Area)
	}
}

// TestBuildFaults holds what cannot be made: an error that names the statement, not a panic.
func TestBuildFaults(t *testing.T) {
	nan, huge := math.NaN(), 1e300
	tests := []struct {
		name   string
		shapes func(d *draft) []Shape
		stmt   int
		msg    string // any where empty
	}{
		{"nothing", func(d *draft) []Shape { return nil }, 0, ""},
		{"disc of no size", func(d *draft) []Shape { return []Shape{d.disc(0, 0, 0)} }, 1, "the diameter of a disc must be more than 0"},
		{"disc below zero", func(d *draft) []Shape { return []Shape{d.box(0, 0, 1, 1), d.disc(0, 0, -1)} }, 2, "the diameter of a disc must be more than 0"},
		{"no number", func(d *draft) []Shape { return []Shape{d.disc(nan, 0, 1)} }, 1, ""},
		{"far beyond", func(d *draft) []Shape { return []Shape{d.disc(huge, 0, 1)} }, 1, ""},
		{"flat box", func(d *draft) []Shape { return []Shape{d.box(0, 0, 10, 0)} }, 1, ""},
		{"strip from a place to itself", func(d *draft) []Shape { return []Shape{d.strip(3, 3, 3, 3, 1, 1, true)} }, 1, ""},
		{"strip of no width", func(d *draft) []Shape { return []Shape{d.strip(0, 0, 3, 3, 0, 1, false)} }, 1, "the width of a strip must be more than 0"},
		{"path that stands still", func(d *draft) []Shape { return []Shape{d.polygon(0, 0, 0, 0, 1, 1)} }, 1, ""},
		{"path without steps", func(d *draft) []Shape { return []Shape{d.path(0, 0)} }, 1, ""},
		{"path without an inside", func(d *draft) []Shape { return []Shape{d.polygon(0, 0, 5, 5)} }, 1, ""},
		{"arc too small", func(d *draft) []Shape { return []Shape{d.path(0, 0, leg{10, 0, 4.99, false})} }, 1, ""},
		{"arc of radius zero", func(d *draft) []Shape {
			s := d.path(0, 0, leg{10, 0, 5, false})
			s.Steps[0].Radius = d.num(0)
			return []Shape{s}
		}, 1, "the radius of an arc must be more than 0"},
		{"nothing left", func(d *draft) []Shape { return []Shape{d.disc(0, 0, 5), hole(d.box(-9, -9, 9, 9))} }, 1, ""},
		{"hole alone", func(d *draft) []Shape { return []Shape{hole(d.disc(0, 0, 5))} }, 1, ""},
		{"no sum", func(d *draft) []Shape {
			s := d.disc(0, 0, 5)
			s.W[0] = expr.None
			return []Shape{s}
		}, 1, ""},
	}
	for _, c := range tests {
		d := &draft{}
		shapes := c.shapes(d)
		r, err := Build(shapes, expr.Resolve(&d.Graph, nil))
		f, ok := err.(*Fault)
		if !ok || r != nil {
			t.Errorf("%s: got region %v, error %v; want a fault", c.name, r, err)
			continue
		}
		if f.Stmt != c.stmt || f.Msg == "" || c.msg != "" && f.Msg != c.msg {
			t.Errorf("%s: statement %d %q, want statement %d %q", c.name, f.Stmt, f.Msg, c.stmt, c.msg)
		}
	}
}

// TestHalfCircleByRounding: a radius that is half the distance except for rounding makes a half circle.
func TestHalfCircleByRounding(t *testing.T) {
	d := &draft{}
	r := d.build(t, d.path(0, 0, leg{0.3, 0, 0.15 * (1 - 1e-12), false}))
	if want := math.Pi * 0.15 * 0.15 / 2; math.Abs(r.Area-want) > 1e-12 {
		t.Errorf("area %g, want %g", r.Area, want)
	}
}

// TestTooManyEdges: a profile is refused before it takes for ever.
func TestTooManyEdges(t *testing.T) {
	d := &draft{}
	var shapes []Shape
	for i := range MaxEdges/4 + 1 {
		shapes = append(shapes, d.box(float64(i), 0, float64(i)+0.5, 1))
	}
	if _, err := Build(shapes, expr.Resolve(&d.Graph, nil)); err == nil {
		t.Error("a profile of more than MaxEdges edges was taken")
	}
	if r, err := Build(shapes[:100], expr.Resolve(&d.Graph, nil)); err != nil || math.Abs(r.Area-50) > 1e-9 {
		t.Errorf("a hundred boxes: %v", err)
	}
}

// TestContains holds places in and out of an outline with a hole and an arc on each side.
func TestContains(t *testing.T) {
	d := &draft{}
	r := d.build(t, d.strip(0, 0, 40, 0, 20, 20, true), hole(d.disc(0, 0, 8)))
	tests := []struct {
		p    plane.Vec
		want bool
	}{
		{plane.Vec{X: 20}, true}, {plane.Vec{}, false}, {plane.Vec{X: 4.01}, true}, {plane.Vec{X: 3.99}, false},
		{plane.Vec{X: -9.9}, true}, {plane.Vec{X: -10.1}, false}, {plane.Vec{X: 49.9}, true}, {plane.Vec{X: 49, Y: 9}, false},
		{plane.Vec{X: 20, Y: 10.1}, false}, {plane.Vec{X: -5, Y: 0}, true}, {plane.Vec{X: math.NaN()}, false},
	}
	for _, c := range tests {
		if got := r.Contains(c.p); got != c.want {
			t.Errorf("Contains(%v) = %v, want %v", c.p, got, c.want)
		}
	}
}
