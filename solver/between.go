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
	seen  func(*look) *sight
}

// aims lists what is asked of checks and measures.
func (m *Machine) aims(a asked) (out []aim) {
	for _, i := range a.checks {
		out = append(out, aim{
			sight: func(r *run) sight { return r.check(i) },
			of:    func(s *sight) float64 { return s.margin },
			put:   func(l *look, s sight) { l.checks[i] = s },
			seen:  func(l *look) *sight { return &l.checks[i] },
		})
	}
	for _, i := range a.measures {
		one := aim{
			sight: func(r *run) sight { return r.measure(i) },
			of:    func(s *sight) float64 { return s.least.v },
			put:   func(l *look, s sight) { l.measures[i] = s },
			seen:  func(l *look) *sight { return &l.measures[i] },
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

// along goes along each range from the best of the steps. It returns nil where none is bettered.
func (s *survey) along(ctx context.Context, a aim) (travel []float64, g sight, err error) {
	best, v := -1, math.Inf(1)
	for i, l := range s.looks {
		if x := a.of(a.seen(l)); a.seen(l).have && x < v {
			best, v = i, x
		}
	}
	if best < 0 {
		return nil, g, nil
	}
	now := slices.Clone(s.settings[best])
	for k, t := range s.m.Problem.Travels {
		lo, hi, ok := neighbours(&t, now[k])
		if !ok {
			continue
		}
		look := func(x float64) float64 {
			way := slices.Clone(now)
			way[k] = x
			var r *run
			if r, err = s.m.runWith(ctx, way, s.rest, s.need); err != nil {
				return math.NaN()
			}
			seen := a.sight(r)
			if y := a.of(&seen); seen.have && clearlyLess(y, v, math.Max(1, math.Abs(v))) {
				v, travel, g = y, way, seen
			}
			return a.of(&seen)
		}
		for _, m := range [2]float64{(lo + now[k]) / 2, (now[k] + hi) / 2} {
			if m != now[k] {
				look(m)
			}
		}
		if travel != nil && travel[k] != now[k] {
			x := travel[k]
			leastWithin(look, math.Max(lo, x-(hi-lo)/4), x, math.Min(hi, x+(hi-lo)/4), v, 1e-6*(hi-lo), betterLooks)
		}
		if err != nil {
			return nil, g, err
		}
		if travel != nil {
			now = slices.Clone(travel)
		}
	}
	return travel, g, nil
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
