package engine

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
)

// Row holds the value of every measure at one position, in mm, rad or as a bare number; NaN where a measure has none.
// Assembled is false where the parts do not reach: then no measure has a value.
type Row struct {
	At        solver.Position
	Assembled bool
	Measures  []float64 // by Problem.Measures
}

// Turns lists the positions of the turn that a table shows: from its start step by step, and its end. Without a turn
// there is one position.
func (m *Engine) Turns() []float64 {
	t := m.Problem.Turn
	if t.Stmt < 0 {
		return []float64{t.From}
	}
	var out []float64
	for k := 0.0; len(out) < maxRows; k++ {
		x := t.From + k*t.Step
		if !(x < t.To-t.Step*1e-6) {
			break
		}
		out = append(out, x)
	}
	return append(out, t.To)
}

// maxRows bounds a table at one setting: a turn in steps of a thousandth of a degree is within it.
const maxRows = 1_000_000

// Table calls row with the measures at each of these turns, at every travel setting that a table shows; the turn changes
// fastest. The Row and what it holds are overwritten by the next. It returns the stretches over which the parts cannot be
// assembled.
func (m *Engine) Table(ctx context.Context, turns []float64, row func(*Row) error) ([]linkage.Broken, error) {
	var broken []linkage.Broken
	for _, setting := range m.settings {
		r, err := m.RunFor(ctx, setting, m.EverySum())
		if err != nil {
			return nil, err
		}
		broken = append(broken, r.motion.Broken()...)
		if err := r.table(ctx, turns, row); err != nil {
			return nil, err
		}
	}
	return broken, nil
}

// table passes on a row for each turn at one setting.
func (r *Run) table(ctx context.Context, turns []float64, row func(*Row) error) error {
	measures := r.Engine.Problem.Measures
	evals := make([]*expr.Eval, len(measures)) // one for each, so that each keeps its plan
	for i := range evals {
		evals[i] = expr.NewEval(r.Engine.Values)
	}
	s := r.Engine.NewStation()
	out := Row{At: solver.Position{Travel: r.Travel}, Measures: make([]float64, len(measures))}
	for _, t := range turns {
		if out.At.Turn, out.Assembled = t, r.Stand(t, s); out.Assembled {
			s.speeds()
		}
		for i := range measures {
			out.Measures[i] = math.NaN()
			if out.Assembled {
				out.Measures[i] = evals[i].At(measures[i].Sum, &s.sums)
			}
		}
		if err := row(&out); err != nil {
			return err
		}
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	return nil
}
