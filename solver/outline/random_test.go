package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"barover/solver/expr"
	"barover/solver/plane"
)

// sketcher draws random profiles. On the grid all numbers are whole, so that edges lie on one another and corners meet.
type sketcher struct {
	*rand.Rand
	grid bool
}

func (s sketcher) between(lo, hi float64) float64 {
	v := lo + (hi-lo)*s.Float64()
	if s.grid {
		v = math.Round(v)
	}
	return v
}

// profile draws one to five shapes, holes among them, of some 40 mm.
func (s sketcher) profile(d *draft) []Shape {
	shapes := []Shape{s.solid(d)}
	for range s.IntN(3) {
		shapes = append(shapes, s.solid(d))
	}
	for range s.IntN(3) {
		shapes = append(shapes, s.opening(d))
	}
	return shapes
}

func (s sketcher) solid(d *draft) Shape {
	x, y := s.between(-15, 15), s.between(-15, 15)
	switch s.IntN(5) {
	case 0:
		return d.disc(x, y, 2*s.between(3, 12))
	case 1:
		w := 2 * s.between(2, 8)
		return d.strip(x, y, x+s.between(5, 25), y+s.between(-20, 20), w, w, s.IntN(2) == 0)
	case 2:
		return d.strip(x, y, x-s.between(5, 25), y+s.between(-20, 20), 2*s.between(2, 8), 2*s.between(2, 8), s.IntN(2) == 0)
	case 3:
		return d.box(x, y, x+s.between(4, 25), y+s.between(4, 25))
	}
	return s.curved(d, x, y)
}

func (s sketcher) opening(d *draft) Shape {
	x, y := s.between(-15, 15), s.between(-15, 15)
	switch s.IntN(4) {
	case 0, 1:
		return hole(d.disc(x, y, 2*s.between(1, 5)))
	case 2:
		return hole(d.strip(x, y, x+s.between(3, 12), y+s.between(-9, 9), 4, 4, true))
	}
	return hole(s.curved(d, x, y))
}

// curved draws a piece of a ring as a path: a convex arc, a straight end, a hollow arc and a straight end.
func (s sketcher) curved(d *draft, x, y float64) Shape {
	r, w := s.between(12, 25), s.between(3, 9)
	a := 0.0
	b := math.Pi / 2
	if !s.grid {
		a, b = s.between(-3, 3), s.between(0.4, 5.5)
	}
	at := func(r, h float64) (float64, float64) {
		p := plane.Polar(h).Scale(r)
		return x + p.X, y + p.Y
	}
	x1, y1 := at(r, a)
	x2, y2 := at(r, a+b)
	x3, y3 := at(r-w, a+b)
	x4, y4 := at(r-w, a)
	return d.path(x1, y1, leg{x2, y2, r, b > math.Pi}, leg{x: x3, y: y3}, leg{x4, y4, w - r, b > math.Pi}, leg{x: x1, y: y1})
}

// profiles draws random profiles until n of them can be made.
func profiles(n int, grid bool) []*drawn {
	s := sketcher{rand.New(rand.NewPCG(*seed, uint64(n))), grid}
	var out []*drawn
	for len(out) < n {
		d := &drawn{}
		d.shapes = s.profile(&d.draft)
		d.values = expr.Resolve(&d.Graph, nil)
		r, err := Build(d.shapes, d.values)
		if err != nil {
			d.err = err
			if f, ok := err.(*Fault); !ok || f.Stmt < 1 {
				panic("an error that names no statement: " + err.Error())
			}
			if r == nil && !emptied(d) {
				out = append(out, d)
			}
			continue
		}
		d.Region = r
		out = append(out, d)
	}
	return out
}

// emptied reports whether a profile failed for a reason of its own: its holes leave nothing.
func emptied(d *drawn) bool { return d.err.Error() == nothingLeft }

// drawn is a random profile.
type drawn struct {
	draft
	*Region
	shapes []Shape
	values *expr.Values
	err    error
}

// inShapes reports whether p is material by the shapes alone, told by elementary geometry; near a boundary, to within
// margin, it answers false for ok.
func (d *drawn) inShapes(p plane.Vec, margin float64) (in, ok bool) {
	for i := len(d.shapes) - 1; i >= 0; i-- {
		depth := d.depthIn(&d.shapes[i], p)
		if math.Abs(depth) < margin {
			return false, false
		}
		if depth > 0 {
			return !d.shapes[i].Hole, true
		}
	}
	return false, true
}

// depthIn returns a number that is > 0 in a shape, < 0 out of it, and near its boundary no more than the distance to it.
func (d *drawn) depthIn(s *Shape, p plane.Vec) float64 {
	v := d.values
	at := func(q Place) plane.Vec { return plane.Vec{X: v.At(q.X), Y: v.At(q.Y)} }
	a := at(s.P[0])
	switch s.Kind {
	case Disc:
		return v.At(s.W[0])/2 - p.Sub(a).Len()
	case Box:
		b := at(s.P[1])
		return math.Min(math.Min(p.X-math.Min(a.X, b.X), math.Max(a.X, b.X)-p.X), math.Min(p.Y-math.Min(a.Y, b.Y), math.Max(a.Y, b.Y)-p.Y))
	case Strip:
		b := at(s.P[1])
		u := b.Sub(a).Unit()
		l := b.Sub(a).Len()
		x, y := p.Sub(a).Dot(u), math.Abs(p.Sub(a).Cross(u))
		w := (v.At(s.W[0])*(l-x) + v.At(s.W[1])*x) / l / 2
		slope := (v.At(s.W[1]) - v.At(s.W[0])) / l / 2
		depth := math.Min(math.Min(x, l-x), (w-y)/math.Hypot(1, slope))
		if s.Round {
			depth = math.Max(depth, math.Min(-x, v.At(s.W[0])/2-p.Sub(a).Len()))
			depth = math.Max(depth, math.Min(x-l, v.At(s.W[1])/2-p.Sub(b).Len()))
			if (math.Abs(x) < 1e-3 || math.Abs(x-l) < 1e-3) && math.Abs(depth) < 1e-3 {
				depth = 0 // on the seam between bar and end: no answer
			}
		}
		return depth
	}
	return d.depthInRing(s, p)
}

// depthInRing is depthIn for a path made by curved.
func (d *drawn) depthInRing(s *Shape, p plane.Vec) float64 {
	v := d.values
	at := func(q Place) plane.Vec { return plane.Vec{X: v.At(q.X), Y: v.At(q.Y)} }
	a, inner := at(s.P[0]), at(s.Steps[2].To)
	r, small := v.At(s.Steps[0].Radius), v.At(s.Steps[2].Radius)
	c := a.Add(inner.Sub(a).Unit().Scale(r))
	from := a.Sub(c).Unit()
	to := at(s.Steps[0].To).Sub(c).Unit()
	q := p.Sub(c)
	depth := math.Min(r-q.Len(), q.Len()-small)
	sides := [2]float64{from.Cross(q), -to.Cross(q)}
	if s.Steps[0].Long {
		if sides[0] < 0 && sides[1] < 0 { // in the wedge that is left out
			depth = math.Min(depth, math.Max(sides[0], sides[1]))
		}
		return depth
	}
	return math.Min(depth, math.Min(sides[0], sides[1]))
}

// describe writes the shapes in numbers, for a test that fails.
func (d *drawn) describe() string {
	var b strings.Builder
	kinds := [...]string{"disc", "strip", "box", "path"}
	for _, s := range d.shapes {
		fmt.Fprintf(&b, "\n%s hole %v round %v:", kinds[s.Kind], s.Hole, s.Round)
		for _, id := range []expr.ID{s.P[0].X, s.P[0].Y, s.P[1].X, s.P[1].Y, s.W[0], s.W[1]} {
			if id != expr.None {
				fmt.Fprintf(&b, " %.17g", d.values.At(id))
			}
		}
		for _, t := range s.Steps {
			fmt.Fprintf(&b, " to %.17g,%.17g", d.values.At(t.To.X), d.values.At(t.To.Y))
			if t.Radius != expr.None {
				fmt.Fprintf(&b, " radius %.17g left %v long %v", d.values.At(t.Radius), t.Left, t.Long)
			}
		}
	}
	return b.String()
}
