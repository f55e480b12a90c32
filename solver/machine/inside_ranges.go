package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
)

// Every value of a range counts, but a survey looks at its steps. Where a figure is worst inside a range it may be worse
// still between two steps: so the best of the steps is bettered along each range in turn, by Brent's method between
// its neighbours, and what is found there is added to the survey as one more setting.

// betterLooks is how many settings are looked at along one range for one figure.
const betterLooks = 16

// aim is a figure of a survey that is to be as little as it can be.
type aim struct {
	of    func(*sight) float64
	sight func(*run) sight
	tally *tally
	from  extreme // the best of the steps
}

// aims lists what was asked of checks and measures.
func (s *survey) aims() (out []aim) {
	for k, i := range s.asked.checks {
		if t := &s.checks[k]; t.at != nil && !t.keeps(s.asked.bar(k)) {
			out = append(out, aim{
				of:    func(g *sight) float64 { return g.margin },
				sight: func(r *run) sight { return r.checkBeside(i, s.asked.bar(k)) },
				tally: t,
				from:  extreme{t.worst.margin, solver.Position{Travel: t.at}},
			})
		}
	}
	for k, i := range s.asked.measures {
		t := &s.measures[k]
		if math.IsNaN(t.least.v) {
			continue
		}
		least := aim{
			of:    func(g *sight) float64 { return g.least.v },
			sight: func(r *run) sight { return r.measure(i) },
			tally: t,
			from:  t.least,
		}
		greatest := least
		greatest.of = func(g *sight) float64 { return -g.greatest.v }
		greatest.from = extreme{-t.greatest.v, t.greatest.at}
		out = append(out, least, greatest)
	}
	return out
}

// between betters what was seen at the steps of ranges.
func (s *survey) between(ctx context.Context, o Options) error {
	if !slices.ContainsFunc(s.m.travels, func(t solver.Travel) bool { return t.Range && len(t.Settings) > 1 }) {
		return nil
	}
	aims := s.aims()
	found := make([]ascent, len(aims))
	err := Share(ctx, o.quietly(), len(aims), func(k int) error {
		found[k] = ascent{s: s, ctx: ctx, aim: aims[k], at: aims[k].from.at.Travel, v: aims[k].from.v}
		return found[k].climb()
	})
	if err != nil {
		return err
	}
	for k := range found {
		if w := &found[k]; w.seen.have {
			aims[k].tally.take(&w.seen, w.at)
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

// climb goes along each range in turn.
func (w *ascent) climb() error {
	for k, t := range w.s.m.travels {
		if lo, hi, ok := neighbours(&t, w.at[k]); ok && w.err == nil {
			w.between(k, lo, hi)
		}
	}
	return w.err
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
func neighbours(t *solver.Travel, x float64) (lo, hi float64, ok bool) {
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
