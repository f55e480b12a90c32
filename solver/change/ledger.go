package change

import (
	"cmp"
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/machine"
)

// Asked is a dimension that differs from the value that the rest of the engine asks for.
type Asked struct {
	Dim   int
	Asked float64 // the value of its sum, mm, rad or a plain number
}

// Entry is the effect on the engine of the difference between a dimension and its asked value.
type Entry struct {
	Asked
	Differs float64 // its value minus the asked one
	Moves   []Move  // what matters most first
	Breaks  []int   // checks that fall short, and would hold with the asked value
	Mends   []int   // checks that hold, and would fall short with the asked value
	// BySlope says that the engine cannot be solved with the asked value, so Moves are by slopes. They are right for a
	// small difference; Breaks and Mends are then unknown.
	BySlope bool
}

// Move is the effect of a difference on one check.
type Move struct {
	Check int
	Upper bool    // the figure is the greatest, at an upper limit; else the least
	By    float64 // the figure minus what it would be with the asked value

	became solver.Became
	weight float64
}

// Ledger solves the engine again with each dimension in turn as it is asked for, and finds what the difference moves.
// What does most harm comes first: what breaks most checks, then what takes the largest share of any room.
func Ledger(ctx context.Context, e *Engine, dims []Asked, o machine.Options) ([]Entry, *solver.Result, error) {
	m, err := e.Vary.Machine(nil)
	if err != nil {
		return nil, nil, err
	}
	now, err := m.Study(ctx, o)
	if err != nil {
		return nil, nil, err
	}
	var out []Entry
	for _, d := range dims {
		one := Entry{Asked: d, Differs: valueOf(e, d.Dim) - d.Asked}
		if err := one.solve(ctx, e, now, o); err != nil {
			return nil, nil, err
		}
		if one.BySlope {
			if err := one.slope(ctx, m, now); err != nil {
				return nil, nil, err
			}
		}
		slices.SortStableFunc(one.Moves, func(a, b Move) int {
			return cmp.Or(solver.Mattering(a.became, a.weight, b.became, b.weight),
				cmp.Compare(e.About[a.Check], e.About[b.Check]))
		})
		out = append(out, one)
	}
	slices.SortStableFunc(out, func(a, b Entry) int {
		return cmp.Or(cmp.Compare(len(b.Breaks), len(a.Breaks)), cmp.Compare(b.most(), a.most()), bySize(a.Differs, b.Differs),
			cmp.Compare(e.Problem.Dims[a.Dim].Name, e.Problem.Dims[b.Dim].Name))
	})
	return out, now, nil
}

// most is the greatest weight among the moves that the difference makes worse.
func (e *Entry) most() float64 {
	most := 0.0
	for _, m := range e.Moves {
		if m.became != solver.Better && m.became != solver.Mended {
			most = math.Max(most, m.weight)
		}
	}
	return most
}

// solve solves the engine with the one dimension as it is asked for.
func (e *Entry) solve(ctx context.Context, of *Engine, now *solver.Result, o machine.Options) error {
	m, err := of.Vary.Machine(map[int]float64{e.Dim: e.Asked.Asked})
	if err != nil {
		e.BySlope = true
		return nil
	}
	asked, err := m.Study(ctx, o)
	if err != nil {
		return err
	}
	if len(asked.Broken) > 0 && len(now.Broken) == 0 {
		e.BySlope = true
		return nil
	}
	for i := range now.Findings {
		is, would := &now.Findings[i], &asked.Findings[i]
		if d, moved := difference(of.Problem, would, of.Problem, is); moved {
			e.Moves = append(e.Moves, Move{i, d.Upper, d.Is - d.Was, d.Became, d.Weight})
		}
		switch {
		case would.OK && !is.OK:
			e.Breaks = append(e.Breaks, i)
		case is.OK && !would.OK:
			e.Mends = append(e.Mends, i)
		}
	}
	return nil
}

// slope estimates what the difference moves.
func (e *Entry) slope(ctx context.Context, m *machine.Machine, now *solver.Result) error {
	slopes, err := m.Slopes(ctx, now.Findings)
	if err != nil {
		return err
	}
	for i, g := range slopes {
		if g == nil {
			continue
		}
		if by := g[e.Dim] * e.Differs; math.Abs(by) > little {
			is := m.Problem.Judge(&now.Findings[i])
			would := is
			if would.Margin -= by; is.Upper {
				would.Margin += 2 * by
			}
			e.Moves = append(e.Moves, Move{i, is.Upper, by, solver.Change(&would, &is), solver.Weight(&would, &is)})
		}
	}
	return nil
}
