package outline

import (
	"flag"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/trial/draws"
)

// seed starts the random tests; they print it.
var (
	seed  = flag.Uint64("seed", 1, "seed of the random tests")
	pairs = flag.Int("pairs", draws.Of(400), "random pairs of outlines to compare with the general geometry library")
)

// draft writes shapes whose every number is a dimension.
type draft struct {
	expr.Graph
	stmt int
}

func (d *draft) num(v float64) expr.ID { return d.Dim(d.Const(v)) }

func (d *draft) at(p plane.Vec) Place { return Place{d.num(p.X), d.num(p.Y)} }

var nowhere = Place{expr.None, expr.None}

func (d *draft) shape(s Shape) Shape {
	d.stmt++
	s.Stmt = d.stmt
	return s
}

func (d *draft) disc(x, y, dia float64) Shape {
	return d.shape(Shape{Kind: Disc, P: [2]Place{d.at(plane.Vec{X: x, Y: y}), nowhere}, W: [2]expr.ID{d.num(dia), expr.None}})
}

func (d *draft) box(x1, y1, x2, y2 float64) Shape {
	return d.shape(Shape{Kind: Box, P: [2]Place{d.at(plane.Vec{X: x1, Y: y1}), d.at(plane.Vec{X: x2, Y: y2})}, W: [2]expr.ID{expr.None, expr.None}})
}

func (d *draft) strip(x1, y1, x2, y2, w1, w2 float64, round bool) Shape {
	return d.shape(Shape{Kind: Strip, P: [2]Place{d.at(plane.Vec{X: x1, Y: y1}), d.at(plane.Vec{X: x2, Y: y2})},
		W: [2]expr.ID{d.num(w1), d.num(w2)}, Round: round})
}

// leg is one step of a path: straight if r is 0; the centre to the left if r > 0, to the right if r < 0.
type leg struct {
	x, y, r float64
	long    bool
}

func (d *draft) path(x, y float64, legs ...leg) Shape {
	s := Shape{Kind: Path, P: [2]Place{d.at(plane.Vec{X: x, Y: y}), nowhere}, W: [2]expr.ID{expr.None, expr.None}}
	for _, l := range legs {
		t := Step{To: d.at(plane.Vec{X: l.x, Y: l.y}), Radius: expr.None, Left: l.r > 0, Long: l.long}
		if l.r > 0 {
			t.Radius = d.num(l.r)
		} else if l.r < 0 {
			t.Radius = d.num(-l.r)
		}
		s.Steps = append(s.Steps, t)
	}
	return d.shape(s)
}

func (d *draft) polygon(xy ...float64) Shape {
	var legs []leg
	for i := 2; i < len(xy); i += 2 {
		legs = append(legs, leg{x: xy[i], y: xy[i+1]})
	}
	return d.path(xy[0], xy[1], legs...)
}

func hole(s Shape) Shape {
	s.Hole = true
	return s
}

func (d *draft) build(t testing.TB, shapes ...Shape) *Region {
	t.Helper()
	r, err := Build(shapes, expr.Resolve(&d.Graph, nil))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func placed(x, y, heading float64) plane.Placement {
	return plane.Placement{Origin: plane.Vec{X: x, Y: y}, Dir: plane.Polar(heading)}
}

// between measures two outlines that stand in the frame as they are written.
func between(a, b *Region) Near { return Distance(a, plane.Fixed, b, plane.Fixed) }
