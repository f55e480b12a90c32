package solver

import (
	"errors"
	"slices"

	"barover/solver/expr"
	"barover/solver/schedule"
)

// Play is running clearance between a part and a pin, or between a part that slides and its line.
type Play struct {
	Stmt  int
	Part  int
	Point int     // the pin: the point that the part begins or ends at; -1 for play on a line
	Line  int     // on which the part slides; -1 for play at a pin
	V     expr.ID // mm on the diameter, or from one side of the bars to the other; None for zero
	Named bool    // by a line of its own, and not by one for all pins
}

// Shift is the freedom that a play gives a part: dimensions of a Played problem, of value zero. At a pin, X and Y are a
// place in a disc of half the play. On a line, Y alone is an offset by so much either way, and X is -1.
type Shift struct{ Play, X, Y int }

// Played is a Problem in which every part with play has eyes of its own. Each eye is off its pin by two dimensions of
// value zero. The part rides on its eyes, with its points, its outlines and its own length from one to the other, so what
// it drives shifts as well. Parts, points, dimensions, profiles and checks keep their numbers; further ones follow.
type Played struct {
	*Problem
	Shifts []Shift
}

// ErrShared says why play cannot be computed: two parts join the same two pins, and it is not known to which of them the
// length between the pins belongs.
var ErrShared = errors.New("two parts with play share both their pins")

// Eyes lists every eye that turns on a pin. Of the parts that meet at a point, one carries the pin: the frame or the part that the
// point is fixed to, else the part that keeps a heading there, else the first. The others turn on it.
func (p *Problem) Eyes() (list []Play) {
	m := p.Linkage
	for point := range m.Points {
		var eyes []int
		carrier := -1
		for i := range m.Parts {
			part := &m.Parts[i]
			if part.Kind == schedule.Frame || part.P != point && part.Q != point {
				continue
			}
			if eyes = append(eyes, i); carrier < 0 || part.Kind != schedule.FromTo && m.Parts[carrier].Kind == schedule.FromTo {
				carrier = i
			}
		}
		if m.Points[point].Kind != schedule.Found {
			carrier = -1
		}
		for _, i := range eyes {
			if i != carrier {
				list = append(list, Play{Part: i, Point: point, Line: -1, V: expr.None})
			}
		}
	}
	return list
}

// WithPlay makes the Played problem. An eye without a written play has one of zero, for wear.
func (p *Problem) WithPlay() (*Played, error) {
	q := *p
	if len(q.Plays) == 0 {
		q.Plays = p.Eyes()
	}
	m := *p.Linkage
	q.Graph = p.Graph.Clone()
	m.Graph, q.Linkage = q.Graph, &m
	q.Dims, m.Points, m.Lines, m.Parts, m.Equations = slices.Clone(p.Dims), slices.Clone(m.Points), slices.Clone(m.Lines), slices.Clone(m.Parts), slices.Clone(m.Equations)
	out := &Played{Problem: &q}
	for i := range q.Plays {
		t := &q.Plays[i]
		var err error
		if t.Line >= 0 {
			out.slide(i, t)
		} else {
			err = out.eye(i, t, p.Linkage)
		}
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// shift adds a dimension of value zero.
func (q *Played) shift(t *Play) (number int, id expr.ID) {
	q.Dims = append(q.Dims, Dim{Name: "play of " + q.Linkage.Parts[t.Part].Name, Stmt: t.Stmt})
	return len(q.Dims) - 1, q.Graph.Dim(q.Graph.Const(0))
}

// carried adds a point that is off another by two sums, in axes that keep a heading, or in those of a line.
func (q *Played) carried(t *Play, at int, line int, u, v expr.ID) int {
	m := q.Linkage
	c := schedule.Part{Stmt: t.Stmt, Kind: schedule.AtHeading, P: at, Q: -1, Line: line, Heading: expr.None}
	if line >= 0 {
		c.Kind = schedule.AlongLine
	} else {
		c.Heading = q.Graph.Const(0)
	}
	m.Parts = append(m.Parts, c)
	m.Points = append(m.Points, schedule.Point{Stmt: t.Stmt, Kind: schedule.OnPart, U: u, V: v, Part: len(m.Parts) - 1})
	return len(m.Points) - 1
}

// eye gives a part an eye of its own at a pin. Its own length, and the heading that drives it, then go from eye to eye.
func (q *Played) eye(i int, t *Play, drawn *schedule.Model) error {
	m := q.Linkage
	x, u := q.shift(t)
	y, v := q.shift(t)
	q.Shifts = append(q.Shifts, Shift{i, x, y})
	eye := q.carried(t, t.Point, -1, u, v)
	part, was := &m.Parts[t.Part], &drawn.Parts[t.Part]
	move := func(p *int, from int) {
		if from == t.Point {
			*p = eye
		}
	}
	move(&part.P, was.P)
	if was.Kind != schedule.FromTo {
		return nil
	}
	move(&part.Q, was.Q)
	if q.shares(t.Part, drawn) {
		return ErrShared
	}
	for k := range drawn.Equations {
		e := &drawn.Equations[k]
		if (e.Kind == schedule.Length || e.Kind == schedule.Heading) && !e.Loose && samePair(e.P, e.Q, was.P, was.Q) {
			move(&m.Equations[k].P, e.P)
			move(&m.Equations[k].Q, e.Q)
		}
	}
	return nil
}

func samePair(a, b, p, q int) bool { return a == p && b == q || a == q && b == p }

// shares reports whether another part joins the same two points.
func (q *Played) shares(part int, drawn *schedule.Model) bool {
	was := &drawn.Parts[part]
	for k := range drawn.Parts {
		if o := &drawn.Parts[k]; k != part && o.Kind == schedule.FromTo && samePair(o.P, o.Q, was.P, was.Q) {
			return true
		}
	}
	return false
}

// slide lets a part that slides on a line be off it: the points of the part that slide there do so on a line beside it.
func (q *Played) slide(i int, t *Play) {
	m := q.Linkage
	y, v := q.shift(t)
	q.Shifts = append(q.Shifts, Shift{i, -1, y})
	zero := q.Graph.Const(0)
	line := m.Lines[t.Line]
	line.Stmt, line.Name = t.Stmt, ""
	line.P = q.carried(t, line.P, t.Line, zero, v)
	if line.Q >= 0 {
		line.Q = q.carried(t, line.Q, t.Line, zero, v)
	}
	m.Lines = append(m.Lines, line)
	for k := range m.Equations {
		if e := &m.Equations[k]; e.Kind == schedule.OnLine && e.On == t.Line && PointOf(m, t.Part, e.P) {
			e.On = len(m.Lines) - 1
		}
	}
}

// PointOf reports whether a point belongs to a part: it begins or ends there, or the point is fixed to it.
func PointOf(m *schedule.Model, part, point int) bool {
	p := &m.Parts[part]
	if p.Kind == schedule.Frame || point < 0 {
		return false
	}
	q := &m.Points[point]
	return p.P == point || p.Q == point || q.Kind == schedule.OnPart && q.Part == part
}
