package engine

import (
	"cmp"
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/hunt"
	"barover/solver/plane"
)

// Points of a heading may pass through one another between two samples, or at a value of a range between its steps.
// The heading has no value there, and jumps by half a turn. So the places at which its operands vanish are searched for.

// HeadingsIn lists the headings that sums take at a position.
func (m *Engine) HeadingsIn(sums ...expr.ID) (out []expr.ID) {
	m.Problem.Graph.Visit(func(id expr.ID, n *expr.Node) bool {
		if n.Op == expr.Heading {
			out = append(out, id)
		}
		return n.Uses&expr.UsesHeading != 0 && !n.Op.Whole()
	}, sums...)
	slices.Sort(out)
	return out
}

// apartFigure is how far the points of a heading are from one another: mm of two, mm² of three.
type apartFigure struct {
	eval *expr.Eval
	y, x *expr.Eval // one for each, so that each keeps its plan
	id   expr.ID
	node expr.Node
}

func (m *Engine) apartOf(heading expr.ID) *apartFigure {
	v := m.Values
	return &apartFigure{expr.NewEval(v), expr.NewEval(v), expr.NewEval(v), heading, m.Problem.Graph.Nodes[heading]}
}

func (f *apartFigure) at(s *Station) plane.Vec {
	return plane.Vec{X: ValueOf(f.x, f.node.B, s), Y: ValueOf(f.y, f.node.A, s)}
}

func (f *apartFigure) Value(s *Station) float64 { return f.at(s).Len() }

func (f *apartFigure) slope(s *Station) (v, slope float64) { return f.Value(s), math.NaN() }

// none reports whether the points count as coincident at a position.
func (f *apartFigure) none(s *Station) bool { return math.IsNaN(ValueOf(f.eval, f.id, s)) }

// nearest is a place of the turn where points come nearest to one another.
type nearest struct {
	turn, apart float64
}

// dip is a sample at which the points of a heading are nearer than at the samples on either side.
type dip struct {
	from, turn, to float64
	apart, went    float64 // there, and how far they move from one side to the other
}

// could is how near the points may come between the samples beside a dip.
func (d *dip) could() float64 { return math.Max(0, d.apart-d.went) }

// dips lists the dips of a heading's points, without samples at which they coincide.
func (r *Run) dips(f *apartFigure) (out []dip) {
	c := &Curve{Run: r, Figure: f, At: r.Engine.NewStation()}
	for _, span := range r.Spans {
		v := make([]plane.Vec, len(span))
		for i := range span {
			v[i] = f.at(c.own(&span[i]))
		}
		for i := range span {
			a, b := max(i-1, 0), min(i+1, len(span)-1)
			went := v[i].Sub(v[a]).Len() + v[b].Sub(v[i]).Len()
			d := v[i].Len()
			if d <= v[a].Len() && d <= v[b].Len() && d < v[a].Len()+v[b].Len() && !f.none(c.own(&span[i])) {
				out = append(out, dip{span[a].Turn, span[i].Turn, span[b].Turn, d, went})
			}
		}
	}
	return out
}

// nearest is where the points of a heading come nearest within a dip.
func (r *Run) nearest(f *apartFigure, d dip) nearest {
	if d.from == d.to { // one position alone, at which they do not coincide
		return nearest{d.turn, d.apart}
	}
	c := &Curve{Run: r, Figure: f, At: r.Engine.NewStation()}
	t, apart := hunt.LeastBetween(c.Value, d.from, d.turn, d.to, d.apart, TurnTolerance)
	return nearest{t, apart}
}

const (
	// mostMet is how many places a search starts from for coincident points within ranges, the nearest ones first, and mostDips from
	// how many dips these are taken.
	mostMet, mostDips = 12, 48
	// meetSteps is how many steps of Newton's method each search takes.
	meetSteps = 12
	// meetBy is the share of its range by which a travel is moved for a slope.
	meetBy = 1e-6
	// meetReach bounds where a coincidence is searched for: the least distance seen of the two points must be at most meetReach
	// times the extent of their relative motion. The ends of a rod that only sways are farther apart, and never coincide.
	meetReach = 4
)

// Met is a place at which the points of a heading coincide; without a turn where none was found.
type Met struct {
	solver.Position
	Found bool
}

// Ranged reports whether a range is sampled at more than one step.
func (m *Engine) Ranged() bool {
	return slices.ContainsFunc(m.Travels, func(t solver.Travel) bool { return t.Range && len(t.Settings) > 1 })
}

// Meets searches for a place of the turn and the ranges at which the points of a heading coincide, once.
func (m *Engine) Meets(ctx context.Context, heading expr.ID) (Met, error) {
	if !m.Ranged() {
		return Met{}, nil
	}
	return m.metAt.Get(heading, func() (Met, error) { return m.seekMeeting(ctx, heading) })
}

func (m *Engine) seekMeeting(ctx context.Context, heading expr.ID) (Met, error) {
	type start struct {
		dip
		nearest
		run *Run
	}
	var from []start
	settings, _ := m.Looked()
	f := m.apartOf(heading)
	seen := outlying{least: math.Inf(1), lo: plane.Vec{X: math.Inf(1), Y: math.Inf(1)}, hi: plane.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
	for _, travel := range settings {
		r, err := m.RunWith(ctx, travel, nil, m.NeedsOf())
		if err != nil {
			return Met{}, err
		}
		seen.take(r, f)
		for _, d := range r.dips(f) {
			from = append(from, start{dip: d, run: r})
		}
	}
	if seen.least > meetReach*seen.hi.Sub(seen.lo).Len() {
		return Met{}, ctx.Err()
	}
	slices.SortStableFunc(from, func(a, b start) int { return cmp.Compare(a.could(), b.could()) })
	from = from[:min(len(from), mostDips)]
	for i := range from {
		s := &from[i]
		s.nearest = s.run.nearest(f, s.dip)
	}
	slices.SortStableFunc(from, func(a, b start) int { return cmp.Compare(a.nearest.apart, b.nearest.apart) })
	for _, s := range from[:min(len(from), mostMet)] {
		if p, ok := m.meet(ctx, f, s.nearest.turn, s.run.Travel); ok {
			return Met{p, true}, ctx.Err()
		}
	}
	return Met{}, ctx.Err()
}

// outlying is the bounding box, mm, of one point of a heading relative to the other, and their least distance, mm, over the
// samples taken.
type outlying struct {
	least  float64
	lo, hi plane.Vec
}

// take adds the samples of a run.
func (o *outlying) take(r *Run, f *apartFigure) {
	c := &Curve{Run: r, Figure: f, At: r.Engine.NewStation()}
	for _, span := range r.Spans {
		for i := range span {
			v := f.at(c.own(&span[i]))
			o.least = math.Min(o.least, v.Len())
			o.lo = plane.Vec{X: math.Min(o.lo.X, v.X), Y: math.Min(o.lo.Y, v.Y)}
			o.hi = plane.Vec{X: math.Max(o.hi.X, v.X), Y: math.Max(o.hi.Y, v.Y)}
		}
	}
}

// meet goes from a place to one where the points of a heading coincide, by Newton's method: of all ways there the shortest, each
// range counted by its width.
func (m *Engine) meet(ctx context.Context, f *apartFigure, turn float64, travel []float64) (solver.Position, bool) {
	s, at := m.NewStation(), append([]float64{turn}, travel...)
	look := func(at []float64) (plane.Vec, bool) {
		mo, err := m.follow(ctx, at[1:], m.Problem.Turn.From, math.Min(math.Max(at[0], m.Problem.Turn.From)+Coarsest, m.Problem.Turn.To))
		if err != nil || !m.BareRun(mo, at[1:]).Stand(at[0], s.Anew()) {
			return plane.Vec{}, false
		}
		return f.at(s), true
	}
	for range meetSteps {
		v, ok := look(at)
		if !ok || ctx.Err() != nil {
			return solver.Position{}, false
		}
		if f.none(s) {
			return solver.Position{Turn: at[0], Travel: at[1:]}, true
		}
		if at, ok = m.towards(at, v, look); !ok {
			return solver.Position{}, false
		}
	}
	return solver.Position{}, false
}

// towards takes one step of Newton's method from a place at which the figure is v.
func (m *Engine) towards(at []float64, v plane.Vec, look func([]float64) (plane.Vec, bool)) ([]float64, bool) {
	slope, wide := make([]plane.Vec, len(at)), make([]float64, len(at))
	var xx, xy, yy float64
	for k := range at {
		lo, hi := m.Problem.Turn.From, m.Problem.Turn.To
		ranges := true
		if k > 0 {
			t := &m.Travels[k-1]
			lo, hi, ranges = t.From, t.To, t.Range
		}
		if wide[k] = hi - lo; !ranges || !(hi > lo) {
			continue
		}
		by := meetBy * wide[k]
		if at[k]+by > hi {
			by = -by
		}
		next := slices.Clone(at)
		next[k] += by
		w, ok := look(next)
		if !ok {
			return nil, false
		}
		slope[k] = w.Sub(v).Scale(wide[k] / by)
		xx, xy, yy = xx+slope[k].X*slope[k].X, xy+slope[k].X*slope[k].Y, yy+slope[k].Y*slope[k].Y
	}
	det, all := xx*yy-xy*xy, xx+yy
	p := plane.Vec{X: (yy*v.X - xy*v.Y) / det, Y: (xx*v.Y - xy*v.X) / det}
	line := plane.Vec{X: xx*v.X + xy*v.Y, Y: xy*v.X + yy*v.Y}.Scale(1 / all) // of v, along the line on which most of the motion is
	switch off := v.Sub(line).Len(); {
	case !(all > 0):
		return nil, false
	// Everything that moves, moves one point past the other on one line, to rounding. A range that hardly leaves the line still
	// brings a point onto it.
	case !(det > 1e-15*all*all), !(det > 1e-12*all*all) && off*off < 1e-30*all:
		p = line.Scale(1 / all)
	}
	next := slices.Clone(at)
	for k := range at {
		lo, hi := m.Problem.Turn.From, m.Problem.Turn.To
		if k > 0 {
			lo, hi = m.Travels[k-1].From, m.Travels[k-1].To
		}
		if slope[k] != (plane.Vec{}) {
			next[k] = math.Min(math.Max(at[k]-wide[k]*slope[k].Dot(p), lo), hi)
		}
	}
	return next, true
}
