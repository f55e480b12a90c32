package solver

import (
	"context"
	"math"
)

// Worst is the figure of a finding where the check holds by least, and whether that is its greatest, at an upper limit.
// NaN where there was nothing to measure.
func (p *Problem) Worst(f *Finding) (v float64, upper bool) {
	if f.Apart {
		return math.NaN(), false
	}
	switch p.Checks[f.Check].Kind {
	case Gap:
		return f.Least, f.AtMost-f.Least < f.Least-orNought(f.AtLeast)
	case Keep:
		upper = f.AtMost-f.Greatest < orGreatest(f.Least-f.AtLeast)
	case Loose:
		upper = f.Greatest > -f.Least
	}
	if upper {
		return f.Greatest, true
	}
	return f.Least, false
}

func orNought(v float64) float64 {
	if v != v {
		return 0
	}
	return v
}

// Slopes is the derivative by each dimension of the worst figure of each finding: what the figure changes by for a change
// of the dimension by one (mm, rad). Nil where there is none to be told.
func (m *Machine) Slopes(ctx context.Context, findings []Finding) ([][]float64, error) {
	out := make([][]float64, len(findings))
	var at []*run // one for each travel setting met so far
	for i := range findings {
		f := &findings[i]
		c := &m.Problem.Checks[f.Check]
		if f.Apart || f.Least != f.Least {
			continue
		}
		if c.Kind == Gap {
			if g, ok := m.gapGradient(c); ok {
				out[i] = g
			}
			continue
		}
		r := oneAt(at, f.At.Travel)
		if r == nil {
			var err error
			if r, err = m.runFor(ctx, f.At.Travel); err != nil {
				return nil, err
			}
			at = append(at, r)
		}
		if g, ok := r.extremeGradient(m.figureOf(c), f.At.Turn); ok {
			out[i] = g
		}
	}
	return out, nil
}

func oneAt(runs []*run, travel []float64) *run {
	for _, r := range runs {
		if sameSetting(r.travel, travel) {
			return r
		}
	}
	return nil
}
