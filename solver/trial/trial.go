// Package trial builds sketches in numbers for the tests and benchmarks of other packages.
//
// Only tests use it. A newcomer may add a sketch here.
package trial

import (
	"math"

	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/outline"
	"barover/solver/schedule"
)

// Sketch is a linkage.Model in the making. Points, lines and parts are named by their numbers.
type Sketch struct {
	schedule.Model
	Sized bool      // every number is a dimension
	Drawn []float64 // and this its value
}

// New returns a sketch of the frame alone, with that many travels.
func New(travels int) *Sketch {
	s := &Sketch{}
	s.Graph, s.Travels = &expr.Graph{}, travels
	s.Parts = []schedule.Part{{Name: "frame", Kind: schedule.Frame, P: -1, Q: -1, Line: -1, Heading: expr.None}}
	return s
}

// SliderCrank is crank 22 and rod 133.35, the crosshead on a line through the origin: part 1 the crank, 2 the rod. The axle stands as high
// as travel 0, and beside the origin by travel 1 if there is one.
func SliderCrank(travels int) *Sketch {
	s := New(travels)
	u := s.Num(0)
	if travels > 1 {
		u = s.Graph.Travel(1)
	}
	o := s.Driven(u, s.Graph.Travel(0))
	c, x := s.Found(22, 0), s.Found(155.35, 0)
	bore := s.Line(s.Fixed(0, 0), s.Num(0))
	s.Length(o, c, s.Num(22))
	s.Heading(o, c, s.Graph.Turn())
	s.Length(c, x, s.Num(133.35))
	s.Slide(x, bore)
	s.Part(o, c)
	s.Part(c, x)
	return s
}

// Num returns the sum of a number.
func (s *Sketch) Num(v float64) expr.ID {
	if !s.Sized {
		return s.Graph.Const(v)
	}
	s.Drawn = append(s.Drawn, v)
	return s.Graph.Dim(s.Graph.Const(v))
}

// Driven adds a point at sums.
func (s *Sketch) Driven(u, v expr.ID) int {
	s.Points = append(s.Points, schedule.Point{Stmt: s.stmt(), Kind: schedule.Driven, U: u, V: v, Part: -1})
	return len(s.Points) - 1
}

// Fixed adds a point that stands still.
func (s *Sketch) Fixed(u, v float64) int { return s.Driven(s.Num(u), s.Num(v)) }

// Found adds a point that the equations place, near u, v.
func (s *Sketch) Found(u, v float64) int {
	s.Points = append(s.Points, schedule.Point{Stmt: s.stmt(), Kind: schedule.Found, U: s.Num(u), V: s.Num(v), Part: -1})
	return len(s.Points) - 1
}

// On adds a point fixed to a part.
func (s *Sketch) On(part int, u, v float64) int {
	s.Points = append(s.Points, schedule.Point{Stmt: s.stmt(), Kind: schedule.OnPart, U: s.Num(u), V: s.Num(v), Part: part})
	return len(s.Points) - 1
}

func (s *Sketch) stmt() int { return len(s.Points) + len(s.Lines) + len(s.Parts) + len(s.Equations) }

func (s *Sketch) equation(e schedule.Equation) {
	e.Stmt, e.Play = s.stmt(), expr.None
	s.Equations = append(s.Equations, e)
}

// Length holds two points at a distance.
func (s *Sketch) Length(p, q int, v expr.ID) {
	s.equation(schedule.Equation{Kind: schedule.Length, P: p, Q: q, R: -1, V: v, On: -1})
}

// Heading holds the heading of q seen from p.
func (s *Sketch) Heading(p, q int, v expr.ID) {
	s.equation(schedule.Equation{Kind: schedule.Heading, P: p, Q: q, R: -1, V: v, On: -1})
}

// Slide holds a point on a line.
func (s *Sketch) Slide(p, line int) {
	s.equation(schedule.Equation{Kind: schedule.OnLine, P: p, Q: -1, R: -1, V: expr.None, On: line})
}

// Line adds a line through a point.
func (s *Sketch) Line(p int, heading expr.ID) int {
	s.Lines = append(s.Lines, schedule.Line{Stmt: s.stmt(), P: p, Q: -1, Heading: heading})
	return len(s.Lines) - 1
}

// Part adds a part from p to q.
func (s *Sketch) Part(p, q int) int {
	s.Parts = append(s.Parts, schedule.Part{Stmt: s.stmt(), Kind: schedule.FromTo, P: p, Q: q, Line: -1, Heading: expr.None})
	return len(s.Parts) - 1
}

// Along adds a part at p that keeps a line's heading.
func (s *Sketch) Along(p, line int) int {
	s.Parts = append(s.Parts, schedule.Part{Stmt: s.stmt(), Kind: schedule.AlongLine, P: p, Q: -1, Line: line, Heading: expr.None})
	return len(s.Parts) - 1
}

// Link assembles the sketch with its turn at from and its travels at rest.
func (s *Sketch) Link(from float64, rest ...float64) (*linkage.Linkage, error) {
	return linkage.New(&s.Model, expr.Resolve(s.Graph, nil), from, from+2*math.Pi, rest)
}

// Place is a place with numbers for coordinates.
func (s *Sketch) Place(u, v float64) outline.Place { return outline.Place{X: s.Num(u), Y: s.Num(v)} }

// Strip is a straight bar.
func (s *Sketch) Strip(u0, v0, u1, v1, wide, to float64, round bool) outline.Shape {
	return outline.Shape{Kind: outline.Strip, P: [2]outline.Place{s.Place(u0, v0), s.Place(u1, v1)},
		W: [2]expr.ID{s.Num(wide), s.Num(to)}, Round: round}
}

// Disc is a round.
func (s *Sketch) Disc(u, v, dia float64) outline.Shape {
	return outline.Shape{Kind: outline.Disc, P: [2]outline.Place{s.Place(u, v)}, W: [2]expr.ID{s.Num(dia)}}
}

// Box is a box from corner to corner.
func (s *Sketch) Box(u0, v0, u1, v1 float64) outline.Shape {
	return outline.Shape{Kind: outline.Box, P: [2]outline.Place{s.Place(u0, v0), s.Place(u1, v1)}}
}

// Region makes the outline of shapes.
func (s *Sketch) Region(shapes ...outline.Shape) (*outline.Region, error) {
	return outline.Build(shapes, expr.Resolve(s.Graph, nil))
}

// Loose wants two points at a distance, except for a play.
func (s *Sketch) Loose(p, q int, v, play float64) {
	s.Equations = append(s.Equations, schedule.Equation{Kind: schedule.Length, Stmt: s.stmt(), P: p, Q: q, R: -1, V: s.Num(v), On: -1,
		Loose: true, Play: s.Num(play)})
}
