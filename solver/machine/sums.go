package machine

import (
	"math"

	"barover/solver/expr"
)

// sumFigure is a sum as a figure of the turn, less another where one is given.
type sumFigure struct {
	id, less   expr.ID
	eval, take *expr.Eval // one for each, so that each keeps its plan
}

// sum is the figure of one sum.
func (m *Machine) sum(id expr.ID) figure {
	return &sumFigure{id: id, less: expr.None, eval: expr.NewEval(m.Values)}
}

// difference is the figure a − b.
func (m *Machine) difference(a, b expr.ID) figure {
	return &sumFigure{a, b, expr.NewEval(m.Values), expr.NewEval(m.Values)}
}

func (f *sumFigure) value(s *station) float64 {
	v := valueOf(f.eval, f.id, s)
	if f.less != expr.None {
		v -= valueOf(f.take, f.less, s)
	}
	return orNone(v)
}

func (f *sumFigure) slope(s *station) (v, slope float64) {
	if uses := f.eval.Values().Graph.Uses; (uses(f.id)|usesOf(uses, f.less))&expr.UsesRate != 0 {
		s.speeds()
	} else {
		s.going()
	}
	v, slope = slopeOf(f.eval, f.id, s)
	if f.less != expr.None {
		b, sb := slopeOf(f.take, f.less, s)
		v, slope = v-b, slope-sb
	}
	return orNone(v), slope
}

// usesOf is what a sum uses: nothing where there is none.
func usesOf(uses func(expr.ID) expr.Uses, id expr.ID) expr.Uses {
	if id == expr.None {
		return 0
	}
	return uses(id)
}

func valueOf(e *expr.Eval, id expr.ID, s *station) float64 {
	if e.Values().Graph.Uses(id)&expr.UsesRate != 0 {
		s.speeds()
	}
	return e.At(id, &s.sums)
}

func slopeOf(e *expr.Eval, id expr.ID, s *station) (v, slope float64) {
	v, slope, ok := e.Slope(id, &s.sums)
	if !ok {
		slope = math.NaN()
	}
	return v, slope
}

// orNone takes an infinite figure for none.
func orNone(v float64) float64 {
	if math.IsInf(v, 0) {
		return math.NaN()
	}
	return v
}

// moves reports whether a limit depends on more than dimensions.
func (m *Machine) moves(id expr.ID) bool {
	return id != expr.None && !m.Problem.Graph.Uses(id).Constant()
}

// limit is the value of a limit that stands still; NaN for none.
func (m *Machine) limit(id expr.ID) float64 {
	if id == expr.None {
		return math.NaN()
	}
	return m.Values.At(id)
}
