package linkage

import (
	"context"
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

const deg = math.Pi / 180

// draft makes a Model by hand, in the way that a sketch would say it. Each call takes the next statement number.
type draft struct {
	*schedule.Model
	g    *expr.Graph
	stmt int
}

func newDraft() *draft {
	g := new(expr.Graph)
	return &draft{g: g, Model: &schedule.Model{Graph: g, Parts: []schedule.Part{{Name: "frame", P: -1, Q: -1, Line: -1, Heading: expr.None}}}}
}

func (d *draft) next() int { d.stmt++; return d.stmt }

// num is a number; dim is one that is a dimension, so that gradients by it can be had.
func (d *draft) num(v float64) expr.ID { return d.g.Const(v) }
func (d *draft) dim(v float64) expr.ID { return d.g.Dim(d.g.Const(v)) }
func (d *draft) turn() expr.ID         { return d.g.Turn() }

func (d *draft) travel() expr.ID {
	d.Travels++
	return d.g.Travel(d.Travels - 1)
}

func (d *draft) point(p schedule.Point) int {
	p.Stmt = d.next()
	d.Points = append(d.Points, p)
	return len(d.Points) - 1
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

func (d *draft) line(name string, p int, heading expr.ID) int {
	d.Lines = append(d.Lines, schedule.Line{Name: name, Stmt: d.next(), P: p, Q: -1, Heading: heading})
	return len(d.Lines) - 1
}

func (d *draft) lineTo(name string, p, q int) int {
	d.Lines = append(d.Lines, schedule.Line{Name: name, Stmt: d.next(), P: p, Q: q, Heading: expr.None})
	return len(d.Lines) - 1
}

func (d *draft) part(p schedule.Part) int {
	p.Stmt = d.next()
	d.Parts = append(d.Parts, p)
	return len(d.Parts) - 1
}

func (d *draft) rod(name string, p, q int) int {
	return d.part(schedule.Part{Name: name, Kind: schedule.FromTo, P: p, Q: q, Line: -1, Heading: expr.None})
}

func (d *draft) along(name string, p, line int) int {
	return d.part(schedule.Part{Name: name, Kind: schedule.AlongLine, P: p, Q: -1, Line: line, Heading: expr.None})
}

func (d *draft) arc(name string, part int, u, v, radius float64) int {
	c := d.onPart("", part, d.num(u), d.num(v))
	d.Arcs = append(d.Arcs, schedule.Arc{Name: name, Stmt: d.next(), Centre: c, Radius: d.num(radius)})
	return len(d.Arcs) - 1
}

func (d *draft) equation(e schedule.Equation) int {
	e.Stmt = d.next()
	if !e.Loose {
		e.Play = expr.None
	}
	d.Equations = append(d.Equations, e)
	return e.Stmt
}

func (d *draft) length(p, q int, v expr.ID) int {
	return d.equation(schedule.Equation{Kind: schedule.Length, P: p, Q: q, R: -1, V: v, On: -1})
}

func (d *draft) loose(p, q int, v, play float64) int {
	return d.equation(schedule.Equation{Kind: schedule.Length, P: p, Q: q, R: -1, V: d.num(v), On: -1, Loose: true, Play: d.num(play)})
}

func (d *draft) heading(p, q int, v expr.ID) int {
	return d.equation(schedule.Equation{Kind: schedule.Heading, P: p, Q: q, R: -1, V: v, On: -1})
}

func (d *draft) angle(p, q, r int, v expr.ID) int {
	return d.equation(schedule.Equation{Kind: schedule.Angle, P: p, Q: q, R: r, V: v, On: -1})
}

func (d *draft) slide(p, line int) int {
	return d.equation(schedule.Equation{Kind: schedule.OnLine, P: p, Q: -1, R: -1, V: expr.None, On: line})
}

func (d *draft) slideArc(p, arc int) int {
	return d.equation(schedule.Equation{Kind: schedule.OnArc, P: p, Q: -1, R: -1, V: expr.None, On: arc})
}

// crank turns q round p at a radius by the turn.
func (d *draft) crank(p, q int, radius float64) {
	d.length(p, q, d.num(radius))
	d.heading(p, q, d.turn())
}

func (d *draft) values() *expr.Values { return expr.Resolve(d.g, nil) }

// assemble is New, which must succeed.
func (d *draft) assemble(t testing.TB, turnFrom float64, rest ...float64) *Linkage {
	t.Helper()
	l, err := New(d.Model, d.values(), turnFrom, turnFrom+2*math.Pi, rest)
	if err != nil {
		for _, f := range err.(Faults) {
			t.Errorf("%s (statement %d, also %v) %v %v; %s", f.Msg, f.Stmt, f.Also, f.Lengths, f.Angles, f.Help)
		}
		t.FailNow()
	}
	return l
}

// motion follows the whole turn from turnFrom, degrees.
func (d *draft) motion(t testing.TB, from, to, step float64, travel ...float64) *Motion {
	t.Helper()
	l := d.assemble(t, from*deg, travel...)
	mo, err := l.Follow(context.Background(), travel, from*deg, to*deg, step*deg)
	if err != nil {
		t.Fatal(err)
	}
	return mo
}

// pose is the position at a turn, degrees.
func pose(t testing.TB, mo *Motion, turn float64) *Pose {
	t.Helper()
	p := new(Pose)
	if s := mo.At(turn*deg, p); s != Solved {
		t.Fatalf("at %g°: %v", turn, s)
	}
	return p
}

// wantPlace checks where a point is.
func wantPlace(t testing.TB, what string, got plane.Vec, x, y, tol float64) {
	t.Helper()
	if !(math.Abs(got.X-x) <= tol && math.Abs(got.Y-y) <= tol) {
		t.Errorf("%s: got (%.10g, %.10g), want (%.10g, %.10g) ± %g", what, got.X, got.Y, x, y, tol)
	}
}

// wantNumber checks a number.
func wantNumber(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.12g, want %.12g ± %g", what, got, want, tol)
	}
}
