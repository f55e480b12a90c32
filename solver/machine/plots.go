package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/expr"
)

// Plot is what a chart shows at one travel setting, in mm, rad or bare numbers; NaN where a figure has no value.
type Plot struct {
	Travel  []float64
	Turns   []float64
	Against []float64   // by Turns: the measure, or the turn itself
	Of      [][]float64 // by Chart.Of, and by Turns
	Events  []PlotEvent // in the order of Chart.Marks
}

// PlotEvent is one time that a mark of a chart happens, and what the chart shows then.
type PlotEvent struct {
	Mark    int // index into Problem.Marks
	Turn    float64
	Against float64
	Of      []float64 // by Chart.Of
}

// ListSettings is every combination of the travels that are lists, with those that are ranges at rest. The first travel
// goes slowest.
func (m *Machine) ListSettings() [][]float64 {
	return listSettings(m.Problem.Travels)
}

func listSettings(travels []solver.Travel) [][]float64 {
	lists := slices.Clone(travels)
	for i, t := range travels {
		if t.Range {
			lists[i].Settings = []float64{t.Rest}
		}
	}
	settings, err := settingsOf(lists)
	if err != nil { // there are no more of them than of the Machine's, which could be made
		return [][]float64{restSetting(travels)}
	}
	return settings
}

// Plots is what the chart c shows at each of these travel settings.
func (m *Machine) Plots(ctx context.Context, o Options, c *solver.Chart, settings [][]float64) ([]Plot, error) {
	a := asked{measures: c.Of, marks: c.Marks}
	if c.Against >= 0 {
		a.measures = append(a.measures[:len(c.Of):len(c.Of)], c.Against)
	}
	need := m.needsOf(a.sums(m.Problem)...)
	rest, err := m.runWith(ctx, restSetting(m.Problem.Travels), nil, need.bare())
	if err != nil {
		return nil, err
	}
	out := make([]Plot, len(settings))
	return out, Share(ctx, o.quietly(), len(settings), func(i int) error {
		before := rest
		if sameSetting(settings[i], rest.travel) {
			before = nil
		}
		r, err := m.runWith(ctx, settings[i], before, need)
		if err == nil {
			out[i] = r.plot(c)
		}
		return err
	})
}

// plot is what a chart shows of this run: at the positions that it looked at, so that the lines are close enough to be
// drawn straight from one to the next. Where parts do not assemble there is a position without a figure.
func (r *run) plot(c *solver.Chart) Plot {
	p := Plot{Travel: r.travel, Of: make([][]float64, len(c.Of))}
	eval := make([]*expr.Eval, len(c.Of)+1) // one for each, so that each keeps its plan
	for i := range eval {
		eval[i] = expr.NewEval(r.m.Values)
	}
	value := func(k, measure int, s *station) float64 {
		return orNone(valueOf(eval[k], r.m.Problem.Measures[measure].Sum, s))
	}
	at := func(s *station) (against float64, of []float64) {
		for k, i := range c.Of {
			of = append(of, value(k, i, s))
		}
		if c.Against < 0 {
			return s.turn, of
		}
		return value(len(c.Of), c.Against, s), of
	}
	add := func(turn, against float64, of []float64) {
		p.Turns, p.Against = append(p.Turns, turn), append(p.Against, against)
		for k, v := range of {
			p.Of[k] = append(p.Of[k], v)
		}
	}
	none := make([]float64, len(c.Of))
	for k := range none {
		none[k] = math.NaN()
	}
	for i, span := range r.spans {
		if i > 0 {
			add(span[0].turn, math.NaN(), none)
		}
		for k := range span {
			against, of := at(&span[k])
			add(span[k].turn, against, of)
		}
	}
	s := r.m.newStation()
	for _, i := range c.Marks {
		for _, e := range r.happens(i) {
			if r.stand(e.At.Turn, s) {
				against, of := at(s)
				p.Events = append(p.Events, PlotEvent{Mark: i, Turn: e.At.Turn, Against: against, Of: of})
			}
		}
	}
	return p
}

// Over is the sum of a keep check at each position looked at over the turn, at one travel setting; NaN where it has no value.
func (m *Machine) Over(ctx context.Context, check int, travel []float64) (turns, values []float64, err error) {
	sum := m.Problem.Checks[check].Sum
	need := m.needsOf(sum)
	var before *run
	if rest := restSetting(m.Problem.Travels); !sameSetting(travel, rest) {
		if before, err = m.runWith(ctx, rest, nil, needs{need.headings, make([]bool, len(need.whole))}); err != nil {
			return nil, nil, err
		}
	}
	r, err := m.runWith(ctx, travel, before, need)
	if err != nil {
		return nil, nil, err
	}
	eval := expr.NewEval(m.Values)
	for i, span := range r.spans {
		if i > 0 {
			turns, values = append(turns, span[0].turn), append(values, math.NaN())
		}
		for k := range span {
			turns, values = append(turns, span[k].turn), append(values, orNone(valueOf(eval, sum, &span[k])))
		}
	}
	return turns, values, nil
}
