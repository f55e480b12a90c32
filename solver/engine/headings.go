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

const (
	// restSteps is the number of steps from rest to a setting when headings are carried there, and restHalvings how often one is
	// halved where a heading turns by more than restTurn, rad: two points pass close by one another there.
	restSteps    = 8
	restHalvings = 12
	restTurn     = 1
)

// headingsFromRest carries the headings from rest to this setting, at the first position of the turn that assembles.
func (r *Run) headingsFromRest(ctx context.Context, rest *Run) (now []float64, err error) {
	t := r.Spans[0][0].Turn
	w := restWalk{r: r, rest: rest, turn: t, s: r.Engine.NewStation(), eval: expr.NewEval(r.Engine.Values)}
	now = rest.headingsNear(t)
	for k := range restSteps {
		if now, err = w.step(ctx, float64(k)/restSteps, float64(k+1)/restSteps, now, restHalvings); err != nil {
			return nil, err
		}
	}
	return now, nil
}

// restWalk is the way from rest to a setting.
type restWalk struct {
	r, rest *Run
	turn    float64 // rad
	s       *Station
	eval    *expr.Eval
}

// step carries the headings from one share of the way to another.
func (w *restWalk) step(ctx context.Context, from, to float64, now []float64, halvings int) ([]float64, error) {
	way := make([]float64, len(w.r.Travel))
	for i := range way {
		way[i] = w.rest.Travel[i] + (w.r.Travel[i]-w.rest.Travel[i])*to
	}
	mo, err := w.r.Engine.follow(ctx, way, w.turn, w.turn)
	if err != nil {
		return nil, err
	}
	on := &Run{Engine: w.r.Engine, Travel: way, motion: mo, From: w.r.From, To: w.r.To, whole: []float64{}}
	if !on.Stand(w.turn, w.s.Anew()) {
		return now, nil
	}
	next := headingsAt(w.eval, w.s, now)
	if halvings == 0 || !turned(now, next) {
		return next, nil
	}
	mid := (from + to) / 2
	if now, err = w.step(ctx, from, mid, now, halvings-1); err != nil {
		return nil, err
	}
	return w.step(ctx, mid, to, now, halvings-1)
}

// turned reports whether a heading turns so far from one place to the next that it may have turned the other way round.
func turned(from, to []float64) bool {
	for k := range min(len(from), len(to)) {
		if math.Abs(to[k]-from[k]) > restTurn {
			return true
		}
	}
	return false
}
