package solver

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// Held is the Problem over part of the turn in which some loose lines, by the numbers of their equations, are rigid rods,
// each with its line's play at both of its pins. The other loose lines are left out, so no pose that all of them allow is
// lost. A part from pin to pin of a loose line rides on its own eyes whether the line is held or not. If the line is not
// held, the two eyes may be farther apart than the part is long. The part then rides on the eye at its beginning or, with
// back, on the eye at its end. stands is the place of every point at the start of that part of the turn, and selects the
// way of assembly. The Problem has no checks of loose lines, no measures and no marks.
func (p *Problem) Held(equations []int, back bool, turn Turn, stands []plane.Vec) *Problem {
	q, m := *p, *p.Linkage
	q.Graph = p.Graph.Clone()
	m.Graph, q.Linkage, q.Turn = q.Graph, &m, turn
	m.Points, m.Lines, m.Parts, m.Equations = slices.Clone(m.Points), slices.Clone(m.Lines), slices.Clone(m.Parts), nil
	q.Sideplay, q.Plays = slices.Clone(p.Sideplay), nil
	q.Measures, q.Marks, q.Traces, q.Charts, q.Columns, q.Pinned = nil, nil, nil, nil, nil, nil
	for i := range m.Points {
		if m.Points[i].Kind == schedule.Found {
			m.Points[i].U, m.Points[i].V = q.Graph.Const(stands[i].X), q.Graph.Const(stands[i].Y)
		}
	}
	own := map[[2]int]bool{} // part and pin to which a loose line gives play
	for i, e := range p.Linkage.Equations {
		held := slices.Contains(equations, i)
		if e.Loose {
			for _, part := range q.rods(&e, held) {
				if back && !held {
					part = q.turnedRound(part, e.V)
				}
				for _, point := range [2]int{e.P, e.Q} {
					q.Plays = append(q.Plays, Play{Stmt: e.Stmt, Part: part, Point: point, Line: -1, V: e.Play, Named: true})
					own[[2]int{part, point}] = true
				}
			}
			if !held {
				continue
			}
			e.Loose, e.Play = false, expr.None
		}
		m.Equations = append(m.Equations, e)
	}
	for _, t := range p.Plays {
		if t.Line >= 0 || !own[[2]int{t.Part, t.Point}] {
			q.Plays = append(q.Plays, t)
		}
	}
	q.Checks = slices.Clone(p.Checks)
	for i := range q.Checks {
		if q.Checks[i].Kind == Loose {
			q.Checks[i] = Check{Kind: Keep, Stmt: q.Checks[i].Stmt, Sum: q.Graph.Const(0), AtLeast: expr.None, AtMost: expr.None}
		}
	}
	return &q
}

// turnedRound lets a part ride on the eye at its end. It adds another part in the opposite direction, whose number it
// returns, and places the first by its length from there.
func (p *Problem) turnedRound(part int, length expr.ID) int {
	m, g := p.Linkage, p.Graph
	t := m.Parts[part]
	back := len(m.Parts)
	m.Parts = append(m.Parts, schedule.Part{Stmt: t.Stmt, Kind: schedule.FromTo, P: t.Q, Q: t.P, Line: -1, Heading: g.Const(math.Pi)})
	p.Sideplay = append(p.Sideplay, expr.None)
	on := func(u expr.ID) int {
		m.Points = append(m.Points, schedule.Point{Stmt: t.Stmt, Kind: schedule.OnPart, U: u, V: g.Const(0), Part: back})
		return len(m.Points) - 1
	}
	begin, end := on(g.Sub(g.Const(0), length)), on(g.Const(0))
	line := schedule.Line{Stmt: t.Stmt, P: begin, Q: end, Heading: expr.None}
	if t.Heading != expr.None { // its axes are turned from the direction from pin to pin
		m.Points = append(m.Points, schedule.Point{Stmt: t.Stmt, Kind: schedule.OnPart, Part: back,
			U: g.Sub(g.Unary(expr.Cos, t.Heading), length), V: g.Sub(g.Const(0), g.Unary(expr.Sin, t.Heading))})
		line.Q = len(m.Points) - 1
	}
	m.Lines = append(m.Lines, line)
	m.Parts[part] = schedule.Part{Stmt: t.Stmt, Name: t.Name, Kind: schedule.AlongLine, P: begin, Q: -1, Line: len(m.Lines) - 1, Heading: expr.None}
	return back
}

// rods lists the parts from pin to pin of a loose line. A line that is held and has none gets one without an outline.
func (p *Problem) rods(e *schedule.Equation, held bool) (list []int) {
	m := p.Linkage
	for i := range m.Parts {
		if t := &m.Parts[i]; t.Kind == schedule.FromTo && samePair(t.P, t.Q, e.P, e.Q) {
			list = append(list, i)
		}
	}
	if held && len(list) == 0 {
		m.Parts = append(m.Parts, schedule.Part{Stmt: e.Stmt, Kind: schedule.FromTo, P: e.P, Q: e.Q, Line: -1, Heading: expr.None})
		p.Sideplay = append(p.Sideplay, expr.None)
		list = append(list, len(m.Parts)-1)
	}
	return list
}
