package engine

import (
	"math"

	"barover/solver/expr"
)

// sumFigure is a sum as a figure of the turn, minus another where one is given.
type sumFigure struct {
	id, less   expr.ID
	eval, take *expr.Eval // one for each, so that each keeps its plan
	rates      bool       // there is a rate in it
}

// Sum returns the figure of one sum.
func (m *Engine) Sum(id expr.ID) Figure {
	return &sumFigure{id: id, less: expr.None, eval: expr.NewEval(m.Values), rates: m.rated(id)}
}

// difference returns the figure a − b.
func (m *Engine) difference(a, b expr.ID) Figure {
	return &sumFigure{a, b, expr.NewEval(m.Values), expr.NewEval(m.Values), m.rated(a) || m.rated(b)}
}

// rated reports whether there is a rate in a sum; None has none.
func (m *Engine) rated(id expr.ID) bool {
	return id != expr.None && m.Problem.Graph.Uses(id)&expr.UsesRate != 0
}

func (f *sumFigure) Value(s *Station) float64 {
	v := ValueOf(f.eval, f.id, s)
	if f.less != expr.None {
		v -= ValueOf(f.take, f.less, s)
	}
	return OrNone(v)
}

func (f *sumFigure) slope(s *Station) (v, slope float64) {
	if f.rates {
		s.speeds()
	} else {
		s.going()
	}
	v, slope = slopeOf(f.eval, f.id, s)
	if f.less != expr.None {
		b, sb := slopeOf(f.take, f.less, s)
		v, slope = v-b, slope-sb
	}
	return OrNone(v), slope
}

// ValueOf returns the value of a sum at a position; NaN where it has no value.
func ValueOf(e *expr.Eval, id expr.ID, s *Station) float64 {
	if e.Values().Graph.Uses(id)&expr.UsesRate != 0 {
		s.speeds()
	}
	return e.At(id, &s.sums)
}

func slopeOf(e *expr.Eval, id expr.ID, s *Station) (v, slope float64) {
	v, slope, ok := e.Slope(id, &s.sums)
	if !ok {
		slope = math.NaN()
	}
	return v, slope
}

// OrNone treats an infinite figure as none.
func OrNone(v float64) float64 {
	if math.IsInf(v, 0) {
		return math.NaN()
	}
	return v
}

// Moves reports whether a limit depends on more than dimensions.
func (m *Engine) Moves(id expr.ID) bool {
	return id != expr.None && !m.Problem.Graph.Uses(id).Constant()
}

// Limit returns the value of a limit that does not change with the turn; NaN for none.
func (m *Engine) Limit(id expr.ID) float64 {
	if id == expr.None {
		return math.NaN()
	}
	return m.Values.At(id)
}
