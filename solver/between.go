package solver

import (
	"context"
	"math"
	"slices"
)

// Every value of a range counts, but a survey looks at its steps. Where a figure is worst inside a range it may be worse
// still between two steps: so the best of the steps is bettered along each range in turn, by Brent's method between
// its neighbours, and what is found there is added to the survey as one more setting.

// betterLooks is how many settings are looked at along one range for one figure.
const betterLooks = 16

// aim is a figure of a survey that is to be as little as it can be.
type aim struct {
	sight func(*run) sight
	of    func(*sight) float64
	put   func(*look, sight) // where it belongs in a look
	in    func(*look) *sight
}

// aims lists what is asked of checks and measures.
func (m *Machine) aims(a asked) (out []aim) {
	for _, i := range a.checks {
		out = append(out, aim{
			sight: func(r *run) sight { return r.check(i) },
			of:    func(s *sight) float64 { return s.margin },
			put:   func(l *look, s sight) { l.checks[i] = s },
			in:    func(l *look) *sight { return &l.checks[i] },
		})
	}
	for _, i := range a.measures {
		one := aim{
			sight: func(r *run) sight { return r.measure(i) },
			of:    func(s *sight) float64 { return s.least.v },
			put:   func(l *look, s sight) { l.measures[i] = s },
			in:    func(l *look) *sight { return &l.measures[i] },
		}
		other := one
		other.of = func(s *sight) float64 { return -s.greatest.v }
		out = append(out, one, other)
	}
	return out
}

// between betters what was seen at the steps of ranges.
func (s *survey) between(ctx context.Context, o Options, a asked) error {
	if !slices.ContainsFunc(s.m.Problem.Travels, func(t Travel) bool { return t.Range && len(t.Settings) > 1 }) {
		return nil
	}
	aims := s.m.aims(a)
	found := make([]*look, len(aims))
	at := make([][]float64, len(aims))
	err := share(ctx, o.quietly(), len(aims), func(k int) error {
		travel, g, err := s.along(ctx, aims[k])
		if err != nil || travel == nil {
			return err
		}
		at[k], found[k] = travel, s.m.newLook()
		aims[k].put(found[k], g)
		return nil
	})
	if err != nil {
		return err
	}
	for k, l := range found {
		if l != nil {
			s.settings, s.looks = append(s.settings, at[k]), append(s.looks, l)
		}
	}
	return nil
}

// ascent is the way from the best of the steps to something better.
type ascent struct {
	s   *survey
	ctx context.Context
	aim
	at   []float64 // where it is best so far
	v    float64
	seen sight // there; empty at the step that it began from
	err  error
}

// along goes along each range from the best of the steps. It returns nil where none is bettered.
func (s *survey) along(ctx context.Context, a aim) (travel []float64, g sight, err error) {
	w := &ascent{s: s, ctx: ctx, aim: a, v: math.Inf(1)}
	for i, l := range s.looks {
		if g := a.in(l); g.have && a.of(g) < w.v {
			w.at, w.v = s.settings[i], a.of(g)
		}
	}
	if w.at == nil {
		return nil, g, nil
	}
	for k, t := range s.m.Problem.Travels {
		if lo, hi, ok := neighbours(&t, w.at[k]); ok && w.err == nil {
			w.between(k, lo, hi)
		}
	}
	if w.err != nil || !w.seen.have {
		return nil, g, w.err
	}
	return w.at, w.seen, nil
}

// between goes along travel k between two steps.
func (w *ascent) between(k int, lo, hi float64) {
	from := w.at
	look := func(x float64) float64 {
		way := slices.Clone(from)
		way[k] = x
		r, err := w.s.m.runWith(w.ctx, way, w.s.rest, w.s.need)
		if err != nil {
			w.err = err
			return math.NaN()
		}
		seen := w.sight(r)
		if y := w.of(&seen); seen.have && clearlyLess(y, w.v, math.Max(1, math.Abs(w.v))) {
			w.v, w.at, w.seen = y, way, seen
		}
		return w.of(&seen)
	}
	for _, m := range [2]float64{(lo + from[k]) / 2, (from[k] + hi) / 2} {
		if m != from[k] {
			look(m)
		}
	}
	if x := w.at[k]; x != from[k] && w.err == nil {
		near := (hi - lo) / 4
		leastWithin(look, math.Max(lo, x-near), x, math.Min(hi, x+near), w.v, 1e-6*(hi-lo), betterLooks)
	}
}

// neighbours is the steps of a range on either side of x.
func neighbours(t *Travel, x float64) (lo, hi float64, ok bool) {
	lo, hi = x, x
	if !t.Range {
		return lo, hi, false
	}
	below, above := math.Inf(-1), math.Inf(1)
	for _, s := range t.Settings {
		if s < x-1e-9 {
			below = math.Max(below, s)
		}
		if s > x+1e-9 {
			above = math.Min(above, s)
		}
	}
	if below > math.Inf(-1) {
		lo = below
	}
	if above < math.Inf(1) {
		hi = above
	}
	return lo, hi, hi > lo
}
