package solver

import (
	"context"
	"math"

	"barover/solver/expr"
)

// Plot is what a chart shows at one travel setting: mm, rad or bare numbers, NaN where there is none.
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

// The turn is looked at for a plot in steps of at most this, rad, and at no more positions than that.
const (
	plotStep      = math.Pi / 180
	mostPlotTurns = 1440
)

// ListSettings is every setting of the travels that are lists, with those that are ranges at rest. The first travel goes
// slowest.
func (m *Machine) ListSettings() [][]float64 {
	rest := restSetting(m.Problem.Travels)
	lists := make([]Travel, len(rest))
	for i, t := range m.Problem.Travels {
		if lists[i] = t; t.Range {
			lists[i].Settings = []float64{t.Rest}
		}
	}
	settings, err := settingsOf(lists)
	if err != nil { // there are no more of them than of the Machine's, which could be made
		return [][]float64{rest}
	}
	return settings
}

// Plots is what the chart c shows at each of these travel settings.
func (m *Machine) Plots(ctx context.Context, o Options, c *Chart, settings [][]float64) ([]Plot, error) {
	a := asked{measures: c.Of, marks: c.Marks}
	if c.Against >= 0 {
		a.measures = append(a.measures[:len(c.Of):len(c.Of)], c.Against)
	}
	need := m.needsOf(a.sums(m.Problem)...)
	rest, err := m.runWith(ctx, restSetting(m.Problem.Travels), nil, needs{need.headings, make([]bool, len(need.whole))})
	if err != nil {
		return nil, err
	}
	out := make([]Plot, len(settings))
	return out, share(ctx, o.quietly(), len(settings), func(i int) error {
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

// plot is what a chart shows of this run.
func (r *run) plot(c *Chart) Plot {
	p := Plot{Travel: r.travel, Of: make([][]float64, len(c.Of))}
	s := r.m.newStation()
	eval := make([]*expr.Eval, len(c.Of)+1) // one for each, so that each keeps its plan
	for i := range eval {
		eval[i] = expr.NewEval(r.m.Values)
	}
	at := func(t float64) (against float64, of []float64) {
		against, of = t, make([]float64, len(c.Of))
		stands := r.stand(t, s)
		value := func(e *expr.Eval, measure int) float64 {
			if !stands {
				return math.NaN()
			}
			return orNone(valueOf(e, r.m.Problem.Measures[measure].Sum, s))
		}
		for k, i := range c.Of {
			of[k] = value(eval[k], i)
		}
		if c.Against >= 0 {
			against = value(eval[len(c.Of)], c.Against)
		}
		return against, of
	}
	step := math.Max(math.Min(plotStep, r.m.Problem.Turn.Step), r.length()/mostPlotTurns)
	n := int(math.Ceil(r.length()/step - 1e-9))
	for i := range n + 1 {
		t := math.Min(r.from+float64(i)*step, r.to)
		against, of := at(t)
		p.Turns, p.Against = append(p.Turns, t), append(p.Against, against)
		for k := range of {
			p.Of[k] = append(p.Of[k], of[k])
		}
	}
	for _, i := range c.Marks {
		for _, e := range r.happens(i) {
			against, of := at(e.At.Turn)
			p.Events = append(p.Events, PlotEvent{Mark: i, Turn: e.At.Turn, Against: against, Of: of})
		}
	}
	return p
}
