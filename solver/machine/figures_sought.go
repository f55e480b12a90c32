package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
)

// aim is a figure of a survey that is to be minimised.
type aim struct {
	question int // which of an atlas' questions it is of
	of       func(*engine.Sight) float64
	at       func(v, margin float64) float64 // the same of one position
	tally    *tally
	from     extreme // the best of the steps
}

// question is what is asked at a setting.
type question struct {
	sight func(*engine.Run) engine.Sight
	at    func() func(*engine.Station) (v, margin float64) // nil where a position alone does not answer it
}

func (q *question) single() bool { return q.at != nil }

// aims lists the figures of checks and measures, and makes the questions of an atlas.
func (s *survey) aims(ctx context.Context) (out []aim, looks *atlas) {
	looks = &atlas{s: s, ctx: ctx}
	asks := func(a engine.Asked, q question) int {
		if slices.Contains(s.m.NeedsOf(a.Sums(s.m.Problem)...).Whole, true) {
			q.at = nil
		}
		looks.questions = append(looks.questions, q)
		return len(looks.questions) - 1
	}
	for k, i := range s.asked.Checks {
		t := &s.checks[k]
		if t.at == nil || t.keeps(s.asked.Bar(k)) {
			continue
		}
		q := asks(engine.Asked{Checks: []int{i}}, question{func(r *engine.Run) engine.Sight { return r.CheckBeside(i, s.asked.Bar(k)) },
			func() func(*engine.Station) (v, margin float64) { return s.m.CheckAt(i) }})
		c := &s.m.Problem.Checks[i]
		told := c.Kind == solver.Keep || c.Kind == solver.Loose // its least and greatest are, both
		if told {
			out = append(out, t.extremes(q)...)
		}
		if !told || s.m.Moves(c.AtLeast) || s.m.Moves(c.AtMost) {
			out = append(out, aim{q, func(g *engine.Sight) float64 { return g.Margin }, func(_, margin float64) float64 { return margin },
				t, extreme{t.worst.Margin, solver.Position{Travel: t.at}}})
		}
	}
	for k, i := range s.asked.Measures {
		if t := &s.measures[k]; !math.IsNaN(t.least.v) {
			q := asks(engine.Asked{Measures: []int{i}}, question{func(r *engine.Run) engine.Sight { return r.Measure(i) },
				func() func(*engine.Station) (v, margin float64) { return s.m.MeasureAt(i) }})
			out = append(out, t.extremes(q)...)
		}
	}
	return out, looks
}

// extremes aims at the least and at the greatest of what a question asks.
func (t *tally) extremes(question int) []aim {
	return []aim{
		{question, func(g *engine.Sight) float64 { return g.Least.V }, func(v, _ float64) float64 { return v }, t, t.least},
		{question, func(g *engine.Sight) float64 { return -g.Greatest.V }, func(v, _ float64) float64 { return -v }, t, extreme{-t.greatest.v, t.greatest.at}},
	}
}
