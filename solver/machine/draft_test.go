package machine

import (
	"context"
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/schedule"
)

const (
	deg = math.Pi / 180
	in  = 25.4
)

// draft makes a Problem by hand, the way a sketch would say it. Every piece gets the next statement number.
type draft struct {
	g    *expr.Graph
	m    *schedule.Model
	p    *solver.Problem
	dims map[string]expr.ID
	stmt int
}

// newDraft starts a sketch with a turn from one angle to another, in degrees.
func newDraft(from, to, step float64) *draft {
	g := new(expr.Graph)
	m := &schedule.Model{Graph: g, Parts: []schedule.Part{{Name: "frame", Heading: expr.None, P: -1, Q: -1, Line: -1}}}
	p := &solver.Problem{Graph: g, Linkage: m, Turn: solver.Turn{Name: "crank", From: from * deg, To: to * deg, Step: step * deg}}
	return &draft{g: g, m: m, p: p, dims: make(map[string]expr.ID)}
}

func (d *draft) next() int { d.stmt++; return d.stmt }

func (d *draft) num(v float64) expr.ID { return d.g.Const(v) }

// dim adds a dimension with a drawn value.
func (d *draft) dim(name string, v float64) expr.ID { return d.dimSum(name, d.num(v)) }

func (d *draft) dimSum(name string, sum expr.ID) expr.ID {
	d.p.Dims = append(d.p.Dims, solver.Dim{Name: name, Stmt: d.next()})
	d.dims[name] = d.g.Dim(sum)
	return d.dims[name]
}

func (d *draft) travel(name string, rest float64, isRange bool, settings ...float64) expr.ID {
	k := d.m.Travels
	d.m.Travels++
	d.p.Travels = append(d.p.Travels, solver.Travel{Name: name, Stmt: d.next(), Range: isRange, From: settings[0],
		To: settings[len(settings)-1], Settings: settings, Rest: rest})
	return d.g.Travel(k)
}

func (d *draft) point(p schedule.Point) int {
	p.Stmt = d.next()
	d.m.Points = append(d.m.Points, p)
	return len(d.m.Points) - 1
}

func (d *draft) at(name string, u, v expr.ID) int {
	return d.point(schedule.Point{Name: name, Kind: schedule.Driven, U: u, V: v})
}

func (d *draft) fixed(name string, u, v float64) int { return d.at(name, d.num(u), d.num(v)) }

func (d *draft) found(name string) int {
	return d.point(schedule.Point{Name: name, Kind: schedule.Found, U: expr.None, V: expr.None})
}

func (d *draft) near(name string, u, v float64) int {
	return d.point(schedule.Point{Name: name, Kind: schedule.Found, U: d.num(u), V: d.num(v)})
}

func (d *draft) onPart(name string, part int, u, v expr.ID) int {
	return d.point(schedule.Point{Name: name, Kind: schedule.OnPart, Part: part, U: u, V: v})
}

// crank turns p round o at radius r by the turn.
func (d *draft) crank(o, p int, r expr.ID) { d.arm(o, p, r, d.g.Turn()) }

// arm holds p at a distance and heading from o.
func (d *draft) arm(o, p int, r, heading expr.ID) {
	d.length(o, p, r)
	d.hold(schedule.Equation{Kind: schedule.Heading, P: o, Q: p, R: -1, V: heading, On: -1})
}

func (d *draft) hold(e schedule.Equation) int {
	e.Stmt = d.next()
	if !e.Loose {
		e.Play = expr.None
	}
	d.m.Equations = append(d.m.Equations, e)
	return len(d.m.Equations) - 1
}

func (d *draft) length(p, q int, v expr.ID) int {
	return d.hold(schedule.Equation{Kind: schedule.Length, P: p, Q: q, R: -1, V: v, On: -1})
}

func (d *draft) slide(p, line int) int {
	return d.hold(schedule.Equation{Kind: schedule.OnLine, P: p, Q: -1, R: -1, V: expr.None, On: line})
}

func (d *draft) line(name string, p int, heading float64) int {
	d.m.Lines = append(d.m.Lines, schedule.Line{Name: name, Stmt: d.next(), P: p, Q: -1, Heading: d.num(heading * deg)})
	return len(d.m.Lines) - 1
}

func (d *draft) part(name string, p, q int) int {
	d.m.Parts = append(d.m.Parts, schedule.Part{Name: name, Stmt: d.next(), Kind: schedule.FromTo, P: p, Q: q, Line: -1,
		Heading: expr.None})
	return len(d.m.Parts) - 1
}

func (d *draft) partAlong(name string, p, line int) int {
	d.m.Parts = append(d.m.Parts, schedule.Part{Name: name, Stmt: d.next(), Kind: schedule.AlongLine, P: p, Q: -1, Line: line,
		Heading: expr.None})
	return len(d.m.Parts) - 1
}

// profile adds a profile with a band across from..to.
func (d *draft) profile(part int, name string, from, to expr.ID, shapes ...outline.Shape) int {
	for i := range shapes {
		shapes[i].Stmt = d.next()
	}
	d.p.Profiles = append(d.p.Profiles, solver.Profile{Part: part, Name: d.m.Parts[part].Name + "." + name, Stmt: d.next(), From: from,
		To: to, Shapes: shapes})
	return len(d.p.Profiles) - 1
}

func (d *draft) disc(u, v, dia expr.ID) outline.Shape {
	return outline.Shape{Kind: outline.Disc, P: [2]outline.Place{{X: u, Y: v}, {X: expr.None, Y: expr.None}},
		W: [2]expr.ID{dia, expr.None}}
}

func (d *draft) box(x1, y1, x2, y2 expr.ID) outline.Shape {
	return outline.Shape{Kind: outline.Box, P: [2]outline.Place{{X: x1, Y: y1}, {X: x2, Y: y2}},
		W: [2]expr.ID{expr.None, expr.None}}
}

// strip runs along u from 0 to length.
func (d *draft) strip(length, w1, w2 expr.ID, round bool) outline.Shape {
	o := d.num(0)
	return outline.Shape{Kind: outline.Strip, P: [2]outline.Place{{X: o, Y: o}, {X: length, Y: o}}, W: [2]expr.ID{w1, w2},
		Round: round}
}

func (d *draft) clear(a, b int, by expr.ID) int {
	return d.check(solver.Check{Kind: solver.Clear, A: a, B: b, AtLeast: by, AtMost: expr.None})
}

func (d *draft) gap(a, b int, least, most expr.ID) int {
	return d.check(solver.Check{Kind: solver.Gap, A: a, B: b, AtLeast: least, AtMost: most})
}

func (d *draft) keep(sum, above, below expr.ID) int {
	return d.check(solver.Check{Kind: solver.Keep, Sum: sum, AtLeast: above, AtMost: below})
}

func (d *draft) check(c solver.Check) int {
	c.Stmt = d.next()
	d.p.Checks = append(d.p.Checks, c)
	return len(d.p.Checks) - 1
}

func (d *draft) measure(name string, sum expr.ID) int {
	d.p.Measures = append(d.p.Measures, solver.Measure{Name: name, Stmt: d.next(), Sum: sum})
	return len(d.p.Measures) - 1
}

func (d *draft) mark(name string, sum expr.ID, when solver.MarkWhen, past expr.ID, shows ...int) int {
	d.p.Marks = append(d.p.Marks, solver.Mark{Name: name, Stmt: d.next(), Sum: sum, When: when, Past: past, Shows: shows})
	return len(d.p.Marks) - 1
}

// Sums that a sketch has functions for.

func (d *draft) dist(p, q int) expr.ID {
	return d.g.Binary(expr.Hypot, d.g.Sub(d.g.X(q), d.g.X(p)), d.g.Sub(d.g.Y(q), d.g.Y(p)))
}

func (d *draft) heading(p, q int) expr.ID {
	return d.g.Binary(expr.Heading, d.g.Sub(d.g.Y(q), d.g.Y(p)), d.g.Sub(d.g.X(q), d.g.X(p)))
}

// angle is at q, from qp round to qr.
func (d *draft) angle(p, q, r int) expr.ID {
	ax, ay := d.g.Sub(d.g.X(p), d.g.X(q)), d.g.Sub(d.g.Y(p), d.g.Y(q))
	bx, by := d.g.Sub(d.g.X(r), d.g.X(q)), d.g.Sub(d.g.Y(r), d.g.Y(q))
	cross := d.g.Sub(d.g.Mul(ax, by), d.g.Mul(ay, bx))
	dot := d.g.Add(d.g.Mul(ax, bx), d.g.Mul(ay, by))
	return d.g.Binary(expr.Heading, cross, dot)
}

// drawn is the dimensions as drawn.
func (d *draft) drawn() *expr.Values { return expr.Resolve(d.g, nil) }

// with is the dimensions as drawn except for one.
func (d *draft) with(name string, v float64) *expr.Values {
	return expr.Resolve(d.g, map[int]float64{int(d.g.Nodes[d.dims[name]].Ref): v})
}

// study answers the draft's questions.
// study is the Study of a Machine made for it.
func study(ctx context.Context, p *solver.Problem, v *expr.Values, o Options) (*solver.Result, error) {
	m, err := New(p, v)
	if err != nil {
		return nil, err
	}
	return m.Study(ctx, o)
}

func (d *draft) study(t *testing.T, v *expr.Values) *solver.Result {
	t.Helper()
	res, err := study(t.Context(), d.p, v, Options{})
	if err != nil {
		t.Fatalf("study: %v", err)
	}
	if len(res.Findings) != len(d.p.Checks) || len(res.Extremes) != len(d.p.Measures) {
		t.Fatalf("got %d findings, %d extremes; want %d, %d", len(res.Findings), len(res.Extremes), len(d.p.Checks),
			len(d.p.Measures))
	}
	return res
}

// sliderCrank is a crank at the origin, a rod and a pin that slides along the x axis.
type sliderCrank struct {
	shaft, crankpin, crosspin int
	bore                      int
	crank, rod, slipper       int
}

func (d *draft) sliderCrank(throw, centres expr.ID, nearX float64) (s sliderCrank) {
	s.shaft = d.fixed("shaft", 0, 0)
	s.crankpin = d.found("crankpin")
	s.crosspin = d.near("crosspin", nearX, 0)
	s.bore = d.line("bore", s.shaft, 0)
	d.crank(s.shaft, s.crankpin, throw)
	d.length(s.crankpin, s.crosspin, centres)
	d.slide(s.crosspin, s.bore)
	s.crank = d.part("crank", s.shaft, s.crankpin)
	s.rod = d.part("conrod", s.crankpin, s.crosspin)
	s.slipper = d.partAlong("crosshead", s.crosspin, s.bore)
	return s
}

// fourBar is the linkage of a worked example in R. L. Norton, Design of Machinery: ground 100 along x, crank, coupler, rocker.
type fourBar struct{ a, b, c, d int }

func (d *draft) fourBar(ground, crank, coupler, rocker expr.ID, nearX, nearY float64) (f fourBar) {
	f.a = d.fixed("a", 0, 0)
	f.d = d.at("d", ground, d.num(0))
	f.b = d.found("b")
	f.c = d.near("c", nearX, nearY)
	d.crank(f.a, f.b, crank)
	d.length(f.b, f.c, coupler)
	d.length(f.d, f.c, rocker)
	return f
}
