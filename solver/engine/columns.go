package engine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
)

// SettingRow is a row of the table of settings: a travel setting and the value of each of Problem.Columns there, in mm,
// rad or as a bare number. A value is NaN where the figure has none, and nil where its line does not count.
type SettingRow struct {
	Travel []float64
	Of     [][]float64
}

// SettingTable computes the table of settings: a row for every product of listed settings, with the ranges at rest. With
// ends it has rows for either end of each range too. It returns the stretches over which the parts cannot be assembled.
func (m *Engine) SettingTable(ctx context.Context, ends bool) (rows []SettingRow, broken []linkage.Broken, err error) {
	var sums []expr.ID
	for i := range m.Problem.Columns {
		c := &m.Problem.Columns[i]
		sums = append(append(sums, c.Of...), c.When, c.Above, c.Below)
	}
	need := m.NeedsOf(sums...)
	for _, setting := range settingRows(m.Problem.Travels, ends) {
		r, err := m.RunFor(ctx, setting, need)
		if err != nil {
			return nil, nil, err
		}
		broken = append(broken, r.motion.Broken()...)
		rows = append(rows, r.settingRow())
	}
	return rows, broken, nil
}

// settingRows lists the settings of the table: those of the lists, and of each range rest and, with ends, both ends.
func settingRows(travels []solver.Travel, ends bool) (out [][]float64) {
	for _, setting := range ListSettings(travels) {
		out = append(out, setting)
		for k, t := range travels {
			if !ends || !t.Range {
				continue
			}
			for _, v := range [2]float64{t.From, t.To} {
				if v != t.Rest {
					at := slices.Clone(setting)
					at[k] = v
					out = append(out, at)
				}
			}
		}
	}
	return out
}

func (r *Run) settingRow() SettingRow {
	row := SettingRow{Travel: r.Travel, Of: make([][]float64, len(r.Engine.Problem.Columns))}
	s, eval := r.Engine.NewStation(), expr.NewEval(r.Engine.Values)
	stands := len(r.Spans) > 0 && r.Stand(r.Spans[0][0].Turn, s)
	value := func(id expr.ID) float64 {
		if !stands {
			return math.NaN()
		}
		return OrNone(ValueOf(eval, id, s))
	}
	for i := range r.Engine.Problem.Columns {
		c := &r.Engine.Problem.Columns[i]
		if c.Above != expr.None && !(value(c.When) > value(c.Above)) || c.Below != expr.None && !(value(c.When) < value(c.Below)) {
			continue
		}
		for _, id := range c.Of {
			row.Of[i] = append(row.Of[i], value(id))
		}
	}
	return row
}
