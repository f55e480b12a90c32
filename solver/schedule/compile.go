package schedule

import (
	"slices"

	"barover/solver/expr"
)

// Compile finds the order in which the points of m are placed. Where statements are missing or too many the Schedule
// has no Steps; New then says why.
func Compile(m *Model) *Schedule {
	b := newBuilder(m)
	b.settle()
	b.slideOrFree()
	b.freeDirections()
	s := b.s
	for {
		b.equationRows()
		s.cut(b.rows, b.looseRows())
		if s.Steps == nil || !b.freeNorms() {
			break
		}
	}
	s.Whole = b.wholeRows()
	s.rides = s.Origins(s.Model.Graph.Travels)
	return s
}

// pair is an ordered pair of points.
type pair struct{ p, q int }

// builder eliminates. It finds for as many places as it can an Op that makes them, and unknown scalars for the rest.
type builder struct {
	m     *Model
	s     *Schedule
	order []Place // places in the order they were made
	used  []bool  // equations met by an Op
	rows  []Row
	aux   []Place // free directions, which have rows of their own
	tied  []Op    // points made free although a part holds them: the condition of the part

	length, heading map[pair]int // first hard equation of each kind; length both ways round
	touch           [][]int32    // for each place, the tasks that may become possible once it is made
	todo            []int32
	ranks           [][]int // Found points by how many equations tie them to made places
	rank            []int8
}

func newBuilder(m *Model) *builder {
	np, nl := len(m.Points), len(m.Lines)
	s := &Schedule{Model: m, Places: np + nl, Point: make([]Place, np), Line: make([]Place, nl), Part: make([]Place, len(m.Parts))}
	for i := range s.Point {
		s.Point[i] = Place(i)
	}
	for i := range s.Line {
		s.Line[i] = Place(np + i)
	}
	for i, p := range m.Parts {
		if p.Kind == AlongLine {
			s.Part[i] = s.Line[p.Line]
			continue
		}
		s.Part[i] = s.newPlace()
	}
	s.Ground = s.newPlace()
	s.OpAt, s.Met, s.Depends = slices.Repeat([]Op{none}, s.Places), make([][]int, s.Places), make([][]int32, s.Places)
	b := &builder{m: m, s: s, used: make([]bool, len(m.Equations)), rank: make([]int8, np), ranks: make([][]int, maxRank+1)}
	b.index()
	return b
}

// none is the Op of a place without an Op yet.
var none = Op{Z: Nowhere, P: Nowhere, Q: Nowhere, D: Nowhere, A: expr.None, B: expr.None, C: expr.None, S: -1}

func (s *Schedule) newPlace() Place {
	s.Places++
	return Place(s.Places - 1)
}

// The tasks are numbered: equations, then points, lines and parts.
func (b *builder) pointTask(i int) int32 { return int32(len(b.m.Equations) + i) }
func (b *builder) lineTask(i int) int32  { return b.pointTask(len(b.m.Points)) + int32(i) }
func (b *builder) partTask(i int) int32  { return b.lineTask(len(b.m.Lines)) + int32(i) }

// index finds the partners of each equation, and which tasks wait for which places.
func (b *builder) index() {
	m, s := b.m, b.s
	b.length, b.heading = make(map[pair]int), make(map[pair]int)
	b.touch = make([][]int32, s.Places)
	wait := func(task int32, places ...Place) {
		for _, p := range places {
			if p != Nowhere {
				b.touch[p] = append(b.touch[p], task)
			}
		}
		b.todo = append(b.todo, task)
	}
	for i, p := range m.Points {
		if p.Kind == OnPart && m.Parts[p.Part].Kind != Frame {
			wait(b.pointTask(i), b.origin(p.Part), s.Part[p.Part])
		} else if p.Kind != Found {
			wait(b.pointTask(i))
		}
	}
	for i, l := range m.Lines {
		wait(b.lineTask(i), Place(l.P), Place(l.Q))
	}
	for i, p := range m.Parts {
		switch p.Kind {
		case FromTo:
			wait(b.partTask(i), Place(p.P), Place(p.Q))
		case AtHeading, Frame:
			wait(b.partTask(i))
		}
	}
	for i, e := range m.Equations {
		if e.Loose {
			continue
		}
		b.partner(i, e)
		wait(int32(i), b.mentions(e)...)
	}
}

// partner files a length or heading under its pair of points.
func (b *builder) partner(i int, e Equation) {
	first := func(m map[pair]int, k pair) {
		if _, ok := m[k]; !ok {
			m[k] = i
		}
	}
	switch e.Kind {
	case Length:
		first(b.length, pair{e.P, e.Q})
		first(b.length, pair{e.Q, e.P})
	case Heading:
		first(b.heading, pair{e.P, e.Q})
	}
}

// origin is the place of a part's origin, Nowhere for the frame.
func (b *builder) origin(part int) Place {
	if b.m.Parts[part].Kind == Frame {
		return Nowhere
	}
	return b.s.Point[b.m.Parts[part].P]
}

// mentions lists the places in an equation.
func (b *builder) mentions(e Equation) []Place {
	switch e.Kind {
	case Angle:
		return []Place{Place(e.P), Place(e.Q), Place(e.R)}
	case OnLine:
		return []Place{Place(e.P), Place(b.m.Lines[e.On].P), b.s.Line[e.On]}
	case OnArc:
		return []Place{Place(e.P), Place(b.m.Arcs[e.On].Centre)}
	}
	return []Place{Place(e.P), Place(e.Q)}
}

func (b *builder) made(p Place) bool { return b.s.OpAt[p].Z != Nowhere }

// meet notes that the op of place z satisfies equations.
func (b *builder) meet(z Place, equations ...int) {
	b.s.Met[z] = equations
	for _, e := range equations {
		b.used[e] = true
	}
}

// make records the Op of a place and wakes the tasks that waited for it.
func (b *builder) make(op Op) {
	b.s.OpAt[op.Z] = op
	b.order = append(b.order, op.Z)
	b.s.spread(op.Z)
	b.todo = append(b.todo, b.touch[op.Z]...)
	for _, t := range b.touch[op.Z] {
		if int(t) < len(b.m.Equations) {
			b.raise(b.m.Equations[t])
		}
	}
}

// settle makes every place that needs no unknown.
func (b *builder) settle() {
	for len(b.todo) > 0 {
		t := int(b.todo[len(b.todo)-1])
		b.todo = b.todo[:len(b.todo)-1]
		m := b.m
		if t < len(m.Equations) {
			b.tryEquation(t)
			continue
		}
		if t -= len(m.Equations); t < len(m.Points) {
			b.tryPoint(t)
			continue
		}
		if t -= len(m.Points); t < len(m.Lines) {
			b.tryLine(t)
			continue
		}
		b.tryPart(t - len(m.Lines))
	}
}
