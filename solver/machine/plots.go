package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
)

// Plot holds the curves of a chart at one travel setting, in mm, rad or bare numbers; NaN where a figure has no value.
type Plot struct {
	Travel  []float64
	Turns   []float64
	Against []float64   // by Turns: the measure, or the turn itself
	Of      [][]float64 // by Chart.Of, and by Turns
	Events  []PlotEvent // in the order of Chart.Marks
}

// PlotEvent is one time that a mark of a chart happens, with the values of the chart then.
type PlotEvent struct {
	Mark    int // index into Problem.Marks
	Turn    float64
	Against float64
	Of      []float64 // by Chart.Of
}

// ListSettings lists every combination of the travels that are lists, with those that are ranges at rest. The first
// travel changes slowest.
func (m *Machine) ListSettings() [][]float64 {
	return engine.ListSettings(m.Problem.Travels)
}

// Plots returns the curves of the chart c at each of these travel settings.
func (m *Machine) Plots(ctx context.Context, o Options, c *solver.Chart, settings [][]float64) ([]Plot, error) {
	a := engine.Asked{Measures: c.Of, Marks: c.Marks}
	if c.Against >= 0 {
		a.Measures = append(a.Measures[:len(c.Of):len(c.Of)], c.Against)
	}
	need := m.NeedsOf(a.Sums(m.Problem)...)
	out := make([]Plot, len(settings))
	return out, Share(ctx, o.quietly(), len(settings), func(i int) error {
		r, err := m.RunFor(ctx, settings[i], need)
		if err == nil {
			out[i] = plot(r, c)
		}
		return err
	})
}

// plot returns the curves of a chart for this run, at its sampled positions: they are close enough for straight lines
// from one to the next. Where parts do not assemble there is a position without a figure.
func plot(r *engine.Run, c *solver.Chart) Plot {
	p := Plot{Travel: r.Travel, Of: make([][]float64, len(c.Of))}
	eval := make([]*expr.Eval, len(c.Of)+1) // one for each, so that each keeps its plan
	for i := range eval {
		eval[i] = expr.NewEval(r.Engine.Values)
	}
	value := func(k, measure int, s *engine.Station) float64 {
		return engine.OrNone(engine.ValueOf(eval[k], r.Engine.Problem.Measures[measure].Sum, s))
	}
	at := func(s *engine.Station) (against float64, of []float64) {
		for k, i := range c.Of {
			of = append(of, value(k, i, s))
		}
		if c.Against < 0 {
			return s.Turn, of
		}
		return value(len(c.Of), c.Against, s), of
	}
	add := func(turn, against float64, of []float64) {
		p.Turns, p.Against = append(p.Turns, turn), append(p.Against, against)
		for k, v := range of {
			p.Of[k] = append(p.Of[k], v)
		}
	}
	none := slices.Repeat([]float64{math.NaN()}, len(c.Of))
	room := new(engine.Station)
	for i, span := range r.Spans {
		if i > 0 {
			add(span[0].Turn, math.NaN(), none)
		}
		for k := range span {
			against, of := at(span[k].CopyTo(room))
			add(span[k].Turn, against, of)
		}
	}
	s := r.Engine.NewStation()
	for _, i := range c.Marks {
		for _, e := range r.Happens(i) {
			if r.Stand(e.At.Turn, s) {
				against, of := at(s)
				p.Events = append(p.Events, PlotEvent{Mark: i, Turn: e.At.Turn, Against: against, Of: of})
			}
		}
	}
	return p
}

// Over returns the sum of a keep check at each sampled position of the turn, at one travel setting; NaN where it has no
// value.
func (m *Machine) Over(ctx context.Context, check int, travel []float64) (turns, values []float64, err error) {
	sum := m.Problem.Checks[check].Sum
	r, err := m.RunFor(ctx, travel, m.NeedsOf(sum))
	if err != nil {
		return nil, nil, err
	}
	eval, room := expr.NewEval(m.Values), new(engine.Station)
	for i, span := range r.Spans {
		if i > 0 {
			turns, values = append(turns, span[0].Turn), append(values, math.NaN())
		}
		for k := range span {
			turns, values = append(turns, span[k].Turn), append(values, engine.OrNone(engine.ValueOf(eval, sum, span[k].CopyTo(room))))
		}
	}
	return turns, values, nil
}
