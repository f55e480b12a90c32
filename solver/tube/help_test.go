package tube

import (
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/taylor"
)

// sketch builds a linkage.Model.
type sketch struct {
	linkage.Model
	g *expr.Graph
}

func newSketch(travels int) *sketch {
	g := &expr.Graph{}
	s := &sketch{g: g}
	s.Graph, s.Travels = g, travels
	s.Parts = []linkage.Part{{Name: "frame", Kind: linkage.Frame, P: -1, Q: -1, Line: -1, Heading: expr.None}}
	return s
}

func (s *sketch) num(v float64) expr.ID { return s.g.Const(v) }

func (s *sketch) driven(u, v expr.ID) int {
	s.Points = append(s.Points, linkage.Point{Kind: linkage.Driven, U: u, V: v, Part: -1})
	return len(s.Points) - 1
}

func (s *sketch) fixed(u, v float64) int { return s.driven(s.num(u), s.num(v)) }

func (s *sketch) found(u, v float64) int {
	s.Points = append(s.Points, linkage.Point{Kind: linkage.Found, U: s.num(u), V: s.num(v), Part: -1})
	return len(s.Points) - 1
}

func (s *sketch) on(part int, u, v float64) int {
	s.Points = append(s.Points, linkage.Point{Kind: linkage.OnPart, U: s.num(u), V: s.num(v), Part: part})
	return len(s.Points) - 1
}

func (s *sketch) equation(e linkage.Equation) {
	e.Stmt = len(s.Equations)
	s.Equations = append(s.Equations, e)
}

func (s *sketch) length(p, q int, v expr.ID) {
	s.equation(linkage.Equation{Kind: linkage.Length, P: p, Q: q, R: -1, V: v, On: -1, Play: expr.None})
}

func (s *sketch) heading(p, q int, v expr.ID) {
	s.equation(linkage.Equation{Kind: linkage.Heading, P: p, Q: q, R: -1, V: v, On: -1, Play: expr.None})
}

func (s *sketch) slide(p, line int) {
	s.equation(linkage.Equation{Kind: linkage.OnLine, P: p, Q: -1, R: -1, V: expr.None, On: line, Play: expr.None})
}

func (s *sketch) line(p int, heading float64) int {
	s.Lines = append(s.Lines, linkage.Line{P: p, Q: -1, Heading: s.num(heading)})
	return len(s.Lines) - 1
}

func (s *sketch) part(p, q int) int {
	s.Parts = append(s.Parts, linkage.Part{Kind: linkage.FromTo, P: p, Q: q, Line: -1, Heading: expr.None})
	return len(s.Parts) - 1
}

func (s *sketch) plan(t testing.TB) *Plan {
	t.Helper()
	sch := linkage.Compile(&s.Model)
	p, err := NewPlan(sch, expr.Resolve(s.g, nil))
	if err != nil {
		t.Fatal(err)
	}
	if len(sch.Steps) == 0 {
		t.Fatal("no schedule")
	}
	return p
}

// creeper is a Guide that creeps from the start in small steps by Newton's method.
type creeper struct {
	t      testing.TB
	v      *solver
	from   float64
	rest   []float64
	start  []float64
	size   float64
	points []pointAt
}

type pointAt struct {
	place linkage.Place
	x, y  float64
}

// newCreeper takes rough places of the points at the start.
func newCreeper(t testing.TB, p *Plan, from float64, rest []float64, near []pointAt) *creeper {
	c := &creeper{t: t, v: newSolver(p, taylor.For(1, 1), 1e-3, 100), from: from, rest: rest, points: near}
	c.start = make([]float64, len(p.scalar))
	for i, k := range p.Schedule.Scalars {
		for _, q := range near {
			if q.place == k.Place && k.Kind == linkage.ScalarX {
				c.start[i] = q.x
			}
			if q.place == k.Place && k.Kind == linkage.ScalarY {
				c.start[i] = q.y
			}
		}
		if k.Kind == linkage.ScalarAlong {
			c.start[i] = near[0].x
		}
	}
	return c
}

func (c *creeper) solve(turn float64, travel, s []float64) bool {
	box := taylor.Box{Mid: append([]float64{turn}, travel...), Half: make([][taylor.MaxVars]float64, 1+len(travel))}
	v := c.v
	v.st.Place(&box, 0, taylor.Slot(v.plan.tape.Len()))
	for i := range v.plan.steps {
		st := &v.plan.steps[i]
		v.st.Fill(st.a, st.unknowns)
		if len(st.row) > 0 {
			if !v.centre(st, s) {
				return false
			}
		} else {
			v.st.Fill(st.ops, st.rows)
		}
	}
	for k, slot := range v.plan.scalar {
		s[k] = v.st.Poly(slot)[0]
	}
	return true
}

func (c *creeper) Position(turn float64, travel, s []float64) bool {
	copy(s, c.start)
	const n = 400
	steps := max(1, int(math.Abs(turn-c.from)/(2*math.Pi)*n))
	at := make([]float64, len(travel))
	for i := 0; i <= steps; i++ {
		f := float64(i) / float64(steps)
		for k := range at {
			at[k] = c.rest[k] + (travel[k]-c.rest[k])*f
		}
		if !c.solve(c.from+(turn-c.from)*f, at, s) {
			return false
		}
	}
	return true
}

func (c *creeper) Resume(turn float64, travel []float64) (float64, bool) { return turn, true }

// sliderCrank is crank 22 and rod 133.35, the crosshead on the x axis.
func sliderCrank() *sketch {
	s := newSketch(1)
	o := s.fixed(0, 0)
	c := s.found(22, 0)
	x := s.found(155.35, 0)
	bore := s.line(o, 0)
	s.length(o, c, s.num(22))
	s.heading(o, c, s.g.Turn())
	s.length(c, x, s.num(133.35))
	s.slide(x, bore)
	s.part(o, c)
	s.part(c, x)
	return s
}
