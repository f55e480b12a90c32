package machine

import (
	"context"
	"math"

	"barover/solver/expr"
)

// carryHeadings follows each heading along the looked-at positions, so that none jumps.
func (r *run) carryHeadings(ctx context.Context, rest *run) error {
	nodes := r.m.Problem.Graph.Headings
	if len(nodes) == 0 || len(r.spans) == 0 {
		return nil
	}
	var now []float64
	if rest != nil {
		way, err := r.m.carried(settingKey(r.travel), func() ([]float64, error) { return r.headingsFromRest(ctx, rest) })
		if err != nil {
			return err
		}
		now = way
	}
	var marks []float64
	eval := expr.NewEval(r.m.Values)
	for _, span := range r.spans {
		for i := range span {
			now = headingsAt(eval, &span[i], now)
			marks = append(marks, span[i].turn)
			r.headings = append(r.headings, now)
		}
	}
	r.marks = marks
	return nil
}

// headingsAt returns every heading at s, each beside what it was at a position nearby, and leaves them in s.
func headingsAt(eval *expr.Eval, s *station, near []float64) []float64 {
	s.sums.Heading = near
	nodes := eval.Values().Graph.Headings
	now := make([]float64, len(nodes))
	for k, id := range nodes {
		now[k] = valueOf(eval, id, s)
		if math.IsNaN(now[k]) && k < len(near) {
			now[k] = near[k] // no direction here: it runs on from where it was
		}
	}
	s.sums.Heading = now
	return now
}

// mostCarried is at how many settings the headings that were carried there from rest are kept.
const mostCarried = 10_000

// carried is the headings at the first position of a setting, carried there once.
func (m *Machine) carried(setting string, carry func() ([]float64, error)) ([]float64, error) {
	m.mu.Lock()
	now, ok := m.fromRest[setting]
	m.mu.Unlock()
	if ok {
		return now, nil
	}
	now, err := carry()
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.fromRest == nil {
		m.fromRest = make(map[string][]float64)
	}
	if err == nil && len(m.fromRest) < mostCarried {
		m.fromRest[setting] = now
	}
	return now, err
}

// restSteps is in how many steps a setting is come to from rest when headings are carried there.
const restSteps = 8

// headingsFromRest carries the headings from rest to this setting, at the first position of the turn that assembles.
func (r *run) headingsFromRest(ctx context.Context, rest *run) ([]float64, error) {
	t := r.spans[0][0].turn
	now := rest.headingsNear(t)
	s, eval := r.m.newStation(), expr.NewEval(r.m.Values)
	for k := 1; k < restSteps; k++ {
		way := make([]float64, len(r.travel))
		for i := range way {
			way[i] = rest.travel[i] + (r.travel[i]-rest.travel[i])*float64(k)/restSteps
		}
		mo, err := r.m.follow(ctx, way, t, math.Min(t+coarsest, r.to))
		if err != nil {
			return nil, err
		}
		on := &run{m: r.m, travel: way, motion: mo, from: r.from, to: r.to, whole: []float64{}}
		if on.stand(t, s) {
			now = headingsAt(eval, s, now)
		}
	}
	return now, nil
}
