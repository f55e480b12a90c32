package engine

import (
	"context"
	"math"

	"barover/solver/expr"
)

// carryHeadings follows each heading along the sampled positions, so none jumps by a turn.
func (r *Run) carryHeadings(ctx context.Context, rest *Run) error {
	nodes := r.Engine.Problem.Graph.Headings
	if len(nodes) == 0 || len(r.Spans) == 0 {
		return nil
	}
	var now []float64
	if rest != nil {
		var err error
		if now, err = r.headingsFromRest(ctx, rest); err != nil {
			return err
		}
	}
	var marks []float64
	eval := expr.NewEval(r.Engine.Values)
	for _, span := range r.Spans {
		for i := range span {
			now = headingsAt(eval, &span[i], now)
			marks = append(marks, span[i].Turn)
			r.headings = append(r.headings, now)
		}
	}
	r.marks = marks
	return nil
}

// headingsAt returns every heading at s, each taken nearest to its value at a position nearby, and stores them in s.
func headingsAt(eval *expr.Eval, s *Station, near []float64) []float64 {
	s.sums.Heading = near
	nodes := eval.Values().Graph.Headings
	now := make([]float64, len(nodes))
	for k, id := range nodes {
		now[k] = ValueOf(eval, id, s)
		if math.IsNaN(now[k]) && k < len(near) {
			now[k] = near[k] // no direction here: it keeps its value
		}
	}
	s.sums.Heading = now
	return now
}

// takeHeadings takes over the headings of another run at the same setting.
func (r *Run) takeHeadings(was *Run) {
	r.marks, r.headings, r.found.Headings = was.marks, was.headings, true
	i := 0
	for _, span := range r.Spans {
		for k := range span {
			if i < len(r.headings) {
				span[k].sums.Heading = r.headings[i]
			}
			i++
		}
	}
}

// restSteps is the number of steps from rest to a setting when headings are carried there.
const restSteps = 8

// headingsFromRest carries the headings from rest to this setting, at the first position of the turn that assembles.
func (r *Run) headingsFromRest(ctx context.Context, rest *Run) ([]float64, error) {
	t := r.Spans[0][0].Turn
	now := rest.headingsNear(t)
	s, eval := r.Engine.NewStation(), expr.NewEval(r.Engine.Values)
	for k := 1; k < restSteps; k++ {
		way := make([]float64, len(r.Travel))
		for i := range way {
			way[i] = rest.Travel[i] + (r.Travel[i]-rest.Travel[i])*float64(k)/restSteps
		}
		mo, err := r.Engine.follow(ctx, way, t, t)
		if err != nil {
			return nil, err
		}
		on := &Run{Engine: r.Engine, Travel: way, motion: mo, From: r.From, To: r.To, whole: []float64{}}
		if on.Stand(t, s) {
			now = headingsAt(eval, s, now)
		}
	}
	return now, nil
}
