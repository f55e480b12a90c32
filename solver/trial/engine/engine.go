// Package engine builds whole engines in numbers for the tests of packages that solve one again and again.
//
// Only tests use it. A newcomer may add an engine.
package engine

import (
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/outline"
	"barover/solver/trial"
)

// Engine is a Problem with the numbers of its dimensions.
type Engine struct {
	Problem *solver.Problem
	Fixed   map[int]float64 // dimensions that do not follow their sums
	s       *trial.Sketch
	number  map[string]int
}

// The checks of the engine of New, by their numbers.
const (
	Lip     = iota // clear rod trunk: by lip_room
	Beside         // gap bearing rod: at least 1, at most 9
	Pin            // keep pin_length + bearing_at − rod_out above −0.5 below 0.5
	End            // keep the crosspin's greatest x below cover
	Travels        // keep the crosspin's y within 0.001: it never moves
)

// New returns a small horizontal engine, mm: a crank of throw 25.4, a rod of 127 centres that tapers from rod_deep to
// rod_shallow, and a trunk guide with its lip mouth from the shaft and half_bore from the centre line. Across the engine
// the rod lies rod_out from the centre line, beside a bearing on the crankpin bearing_at from it, and pin_length is what
// the pin needs to reach the rod.
func New() *Engine {
	e := &Engine{s: trial.New(0), number: make(map[string]int), Fixed: make(map[int]float64)}
	s, g := e.s, e.s.Graph
	e.Problem = &solver.Problem{Graph: g, Linkage: &s.Model, Turn: solver.Turn{Name: "crank", From: 0, To: 6.283185307179586, Step: 0.08726646259971647}}
	throw, rod := e.Dim("throw", s.Num(25.4)), e.Dim("rod", s.Num(127))
	deep, shallow := e.Dim("rod_deep", s.Num(12.7)), e.Dim("rod_shallow", s.Num(9.525))
	mouth, half := e.Dim("mouth", s.Num(88.9)), e.Dim("half_bore", s.Num(15.875))
	room := e.Dim("lip_room", s.Num(0.8))
	out, thick := e.Dim("rod_out", s.Num(12)), e.Dim("rod_thick", s.Num(4))
	at, bearing := e.Dim("bearing_at", s.Num(4)), e.Dim("bearing_thick", s.Num(5))
	pin := e.Dim("pin_length", g.Sub(out, at))
	cover := e.Dim("cover", g.Add(g.Add(throw, rod), s.Num(1)))

	shaft, crankpin, crosspin := s.Fixed(0, 0), s.Found(25, 0), s.Found(150, 0)
	s.Length(shaft, crankpin, throw)
	s.Heading(shaft, crankpin, g.Turn())
	s.Length(crankpin, crosspin, rod)
	bore := s.Line(shaft, s.Num(0))
	s.Slide(crosspin, bore)
	crank, conrod := s.Part(shaft, crankpin), s.Part(crankpin, crosspin)

	zero := s.Num(0)
	place := func(x, y expr.ID) outline.Place { return outline.Place{X: x, Y: y} }
	strip := outline.Shape{Kind: outline.Strip, P: [2]outline.Place{place(zero, zero), place(rod, zero)}, W: [2]expr.ID{deep, shallow}}
	disc := outline.Shape{Kind: outline.Disc, P: [2]outline.Place{place(throw, zero), place(expr.None, expr.None)}, W: [2]expr.ID{s.Num(14), expr.None}}
	box := func(top expr.ID, by float64) outline.Shape {
		return outline.Shape{Kind: outline.Box, P: [2]outline.Place{place(mouth, top), place(g.Add(mouth, s.Num(76)), g.Add(top, s.Num(by)))}, W: [2]expr.ID{expr.None, expr.None}}
	}
	shank := e.profile(conrod, "conrod.shank", out, thick, strip)
	ring := e.profile(crank, "crank.bearing", at, bearing, disc)
	trunk := e.profile(0, "frame.trunk", out, s.Num(30), box(half, 12), box(g.Unary(expr.Neg, half), -12))

	x := g.X(crosspin)
	e.check(solver.Check{Kind: solver.Clear, A: shank, B: trunk, AtLeast: room, AtMost: expr.None})
	e.check(solver.Check{Kind: solver.Gap, A: ring, B: shank, AtLeast: s.Num(1), AtMost: s.Num(9)})
	e.check(solver.Check{Kind: solver.Keep, Sum: g.Sub(g.Add(pin, at), out), AtLeast: s.Num(-0.5), AtMost: s.Num(0.5)})
	e.check(solver.Check{Kind: solver.Keep, Sum: x, AtLeast: expr.None, AtMost: cover})
	e.check(solver.Check{Kind: solver.Keep, Sum: g.Y(crosspin), AtLeast: s.Num(-0.001), AtMost: s.Num(0.001)})
	e.Problem.Measures = []solver.Measure{{Name: "stroke", Sum: g.Unary(expr.Span, x)}, {Name: "height", Sum: g.Y(crankpin)}}
	e.Problem.Marks = []solver.Mark{{Name: "half_stroke", Sum: g.Sub(x, rod), When: solver.FallsPast, Past: zero, Shows: []int{1}}}
	return e
}

// Dim adds a dimension, mm, that follows from a sum, and returns its node.
func (e *Engine) Dim(name string, sum expr.ID) expr.ID {
	e.number[name] = len(e.Problem.Dims)
	e.Problem.Dims = append(e.Problem.Dims, solver.Dim{Name: name})
	return e.s.Graph.Dim(sum)
}

func (e *Engine) profile(part int, name string, middle, thick expr.ID, shapes ...outline.Shape) int {
	g := e.s.Graph
	half := g.Mul(thick, e.s.Num(0.5))
	e.Problem.Profiles = append(e.Problem.Profiles, solver.Profile{Part: part, Name: name, From: g.Sub(middle, half), To: g.Add(middle, half), Shapes: shapes})
	return len(e.Problem.Profiles) - 1
}

func (e *Engine) check(c solver.Check) {
	c.Stmt = len(e.Problem.Checks)
	e.Problem.Checks = append(e.Problem.Checks, c)
}

// Number is the number of a dimension.
func (e *Engine) Number(name string) int {
	n, ok := e.number[name]
	if !ok {
		panic("the engine has no dimension " + name)
	}
	return n
}

// Set gives a dimension a value of its own.
func (e *Engine) Set(name string, v float64) *Engine {
	e.Fixed[e.Number(name)] = v
	return e
}

// Values are the dimensions as they are.
func (e *Engine) Values() *expr.Values { return expr.Resolve(e.Problem.Graph, e.Fixed) }

// Value is the value of a dimension.
func (e *Engine) Value(name string) float64 {
	return e.Values().At(e.Problem.Graph.Dims[e.Number(name)])
}

// Vary gives the engine other dimensions.
func (e *Engine) Vary() machine.Vary { return Varied(e.Problem, e.Values()) }

// Varied is the Vary of a Problem whose turn and travels do not follow from dimensions, starting at v.
func Varied(p *solver.Problem, v *expr.Values) machine.Vary {
	return func(change map[int]float64) (*solver.Problem, *expr.Values, error) {
		return p, v.With(change), nil
	}
}
