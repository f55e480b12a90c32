package machine

import (
	"context"
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/queue"
	"barover/solver/spare"
)

// Every value of a range counts, but a survey samples its steps. Where a figure is worst inside a range it may be worse
// still between two steps, and not only next to the worst step. So the ranges are cut into cells about the steps. Each
// cell that could beat the best by the slopes seen is cut further, the most promising first (S. A. Piyavskii, An
// algorithm for finding the absolute extremum of a function, 1972; D. R. Jones and others, Lipschitzian optimization
// without the Lipschitz constant, 1993). The best is improved along lines by Brent's method, and the result is added to
// the survey as one more setting.

const (
	// cellLooks is how many settings are tried for one figure and each range while cells are cut. betterLooks is how many
	// are tried along one line to improve the best. betterRounds is how often that is done along all lines.
	cellLooks    = 32
	betterLooks  = 10
	betterRounds = 5
)

// aim is a figure of a survey that is to be minimised.
type aim struct {
	of    func(*engine.Sight) float64
	asks  int // which of an atlas' questions it is of
	tally *tally
	from  extreme // the best of the steps
	steps []stepSeen
}

// stepSeen is the value of a figure at a setting.
type stepSeen struct {
	at []float64
	v  float64
}

// aims lists the figures of checks and measures, and makes the questions of an atlas.
func (s *survey) aims(ctx context.Context) (out []aim, looks *atlas) {
	looks = &atlas{s: s, ctx: ctx}
	asks := func(sight func(*engine.Run) engine.Sight) int {
		looks.questions = append(looks.questions, sight)
		return len(looks.questions) - 1
	}
	for k, i := range s.asked.Checks {
		t := &s.checks[k]
		if t.at == nil || t.keeps(s.asked.Bar(k)) {
			continue
		}
		q := asks(func(r *engine.Run) engine.Sight { return r.CheckBeside(i, s.asked.Bar(k)) })
		c := &s.m.Problem.Checks[i]
		told := c.Kind == solver.Keep || c.Kind == solver.Loose // its least and greatest are, both
		if told {
			out = append(out, t.extremes(q)...)
		}
		if !told || s.m.Moves(c.AtLeast) || s.m.Moves(c.AtMost) {
			of := func(g *engine.Sight) float64 { return g.Margin }
			out = append(out, aim{of: of, asks: q, tally: t, from: extreme{t.worst.Margin, solver.Position{Travel: t.at}}})
		}
	}
	for k, i := range s.asked.Measures {
		if t := &s.measures[k]; !math.IsNaN(t.least.v) {
			out = append(out, t.extremes(asks(func(r *engine.Run) engine.Sight { return r.Measure(i) }))...)
		}
	}
	for k := range out {
		a := &out[k]
		for i := range a.tally.seen {
			g := &a.tally.seen[i]
			if v := a.of(&g.Sight); engine.IsNumber(v) {
				a.steps = append(a.steps, stepSeen{g.at, v})
			}
		}
	}
	return out, looks
}

// extremes aims at the least and at the greatest of what a question asks.
func (t *tally) extremes(asks int) []aim {
	least := func(g *engine.Sight) float64 { return g.Least.V }
	greatest := func(g *engine.Sight) float64 { return -g.Greatest.V }
	return []aim{{of: least, asks: asks, tally: t, from: t.least}, {of: greatest, asks: asks, tally: t, from: extreme{-t.greatest.v, t.greatest.at}}}
}

// atlas keeps the settings sampled between steps, each solved once for all aims: the motion round the turn costs more than what
// one aim asks there. Each aim chooses its own settings, so that its figure does not depend on what else is asked.
type atlas struct {
	s         *survey
	ctx       context.Context
	questions []func(*engine.Run) engine.Sight
	at        spare.Once[string, *lookedFrom] // the answers to the questions, by setting
	settings  atomic.Int32
}

// runsKept is how many motions are kept. For any further setting all questions are answered at once, and the motion is dropped.
const runsKept = 200

// lookedFrom is a sampled setting with the answers (seen) to the questions that have been asked there (have).
type lookedFrom struct {
	mu   sync.Mutex
	keep bool
	run  *engine.Run
	seen []engine.Sight
	have []bool
}

// look returns the answer to one question at a setting, and samples the setting if that is new.
func (a *atlas) look(travel []float64, question int) (engine.Sight, error) {
	l, err := a.at.Get(engine.SettingKey(travel), func() (*lookedFrom, error) {
		n := len(a.questions)
		return &lookedFrom{keep: a.settings.Add(1) <= runsKept, seen: make([]engine.Sight, n), have: make([]bool, n)}, nil
	})
	if err != nil {
		return engine.Sight{}, err
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.have[question] {
		return l.seen[question], nil
	}
	if l.run == nil {
		r, err := a.s.m.RunFor(a.ctx, travel, a.s.need)
		if err != nil {
			return engine.Sight{}, err
		}
		l.run = r
	}
	for i, q := range a.questions {
		if i == question || !l.keep {
			l.seen[i], l.have[i] = q(l.run), a.ctx.Err() == nil
		}
	}
	if !l.keep || !slices.Contains(l.have, false) {
		l.run = nil
	}
	return l.seen[question], a.ctx.Err()
}

// between improves the samples at the steps of ranges.
func (s *survey) between(ctx context.Context, o Options) error {
	if !s.m.Ranged() {
		return nil
	}
	aims, looks := s.aims(ctx)
	found := make([]ascent, len(aims))
	err := Share(ctx, o.quietly(), len(aims), func(k int) error {
		found[k] = ascent{s: s, looks: looks, aim: aims[k], at: aims[k].from.at.Travel, v: aims[k].from.v}
		return found[k].climb()
	})
	if err != nil {
		return err
	}
	for k := range found {
		w := &found[k]
		if w.seen.Have {
			w.tally.take(&w.seen, w.at)
		}
	}
	return nil
}

// ascent is the search from the best of the steps for something better.
type ascent struct {
	s     *survey
	looks *atlas
	aim
	at    []float64 // where it is best so far
	v     float64
	seen  engine.Sight      // the answer at the place at; empty at the step where the search began
	half  []float64         // half the width of the cell about it
	slope []float64         // of each travel, the steepest seen
	cells queue.Least[cell] // keyed by their floors
	err   error
}

// cell is a part of the ranges, sampled in its middle.
type cell struct {
	at, half []float64
	v        float64
	floor    float64 // the least value in it by the slopes seen
}

// climb cuts the cells that could beat the best, and improves the best along each range. Each cell about a step is cut once,
// whatever the slopes from step to step: a wave that is as long as a step shows none.
func (w *ascent) climb() error {
	w.begin()
	ranges := 0
	for _, h := range w.half {
		if h > 0 {
			ranges++
		}
	}
	looks, whole := 2, make([]cell, min(w.cells.Len(), cellLooks*ranges/4))
	for i := range whole {
		whole[i] = w.cells.Pop()
	}
	for i := range whole {
		w.cut(&whole[i])
		looks += 2
	}
	for ; looks <= cellLooks*ranges && w.cells.Len() > 0 && w.err == nil; looks += 2 {
		top := w.cells.Pop()
		if !(top.floor < w.v-w.within()) {
			break
		}
		w.cut(&top)
	}
	w.better()
	return w.err
}

// within is how much better a place must be to be worth trying.
func (w *ascent) within() float64 {
	return 0.2 * w.s.m.tolerance() * math.Max(1, math.Abs(w.v)/w.s.m.Size)
}

// begin makes a cell about every step, and computes the slopes between them.
func (w *ascent) begin() {
	travels := w.s.m.Travels
	w.slope, w.half = make([]float64, len(travels)), make([]float64, len(travels))
	values := make(map[string]float64, len(w.steps))
	for _, x := range w.steps {
		values[engine.SettingKey(x.at)] = x.v
	}
	var list []cell
	for _, x := range w.steps {
		c := cell{at: x.at, half: make([]float64, len(travels)), v: x.v}
		for k := range travels {
			lo, hi, ok := neighbours(&travels[k], x.at[k])
			if !ok {
				continue
			}
			c.half[k] = math.Max(x.at[k]-lo, hi-x.at[k]) / 2
			way := slices.Clone(x.at)
			if way[k] = hi; hi > x.at[k] {
				if v, known := values[engine.SettingKey(way)]; known {
					w.slope[k] = math.Max(w.slope[k], math.Abs(v-x.v)/(hi-x.at[k]))
				}
			}
		}
		if engine.SameSetting(x.at, w.at) {
			copy(w.half, c.half)
		}
		list = append(list, c)
	}
	for i := range list {
		w.put(list[i])
	}
}

// put adds a cell to those that may be cut. Its key is the least value that the slopes seen allow in it.
func (w *ascent) put(c cell) {
	c.floor = c.v
	for k, l := range w.slope {
		c.floor -= l * c.half[k]
	}
	w.cells.Push(c.floor, &c)
}

// cut cuts a cell into three along the range by which it may fall most, and samples the two new ones.
func (w *ascent) cut(c *cell) {
	k := 0
	for j, h := range c.half {
		if now, best := w.slope[j]*h, w.slope[k]*c.half[k]; now > best || now == best && c.half[k] == 0 {
			k = j
		}
	}
	half := slices.Clone(c.half)
	half[k] /= 3
	t := &w.s.m.Travels[k]
	if engine.SameSetting(c.at, w.at) {
		w.half = half
	}
	w.put(cell{at: c.at, half: half, v: c.v})
	for _, way := range [2]float64{-2, 2} {
		at := slices.Clone(c.at)
		at[k] = math.Min(math.Max(at[k]+way*half[k], t.From), t.To)
		if at[k] == c.at[k] || w.err != nil {
			continue
		}
		v := w.look(at, half)
		if !engine.IsNumber(v) {
			continue
		}
		w.slope[k] = math.Max(w.slope[k], math.Abs(v-c.v)/math.Abs(at[k]-c.at[k]))
		w.put(cell{at: at, half: half, v: v})
	}
}

// look samples a setting in the middle of a cell, and keeps it if it is better.
func (w *ascent) look(at, half []float64) float64 {
	seen, err := w.looks.look(at, w.asks)
	if err != nil {
		w.err = err
		return math.NaN()
	}
	if y := w.of(&seen); seen.Have && engine.ClearlyLess(y, w.v, math.Max(1, math.Abs(w.v))) {
		w.v, w.at, w.seen, w.half = y, at, seen, half
	}
	return w.of(&seen)
}

// better searches along one range after another within the cell about the best, and then along the total step of that
// round, as for a ridge that lies across the ranges. It ends when that gains nothing (M. J. D. Powell, An efficient
// method for finding the minimum of a function of several variables without calculating derivatives, 1964).
func (w *ascent) better() {
	var ways [][]float64
	for k, h := range w.half {
		if h > 0 {
			way := make([]float64, len(w.half))
			way[k] = h
			ways = append(ways, way)
		}
	}
	for range betterRounds {
		from, v, most, best := w.at, w.v, 0.0, 0
		for i, way := range ways {
			was := w.v
			w.along(way)
			if gain := was - w.v; gain > most {
				most, best = gain, i
			}
		}
		if w.err != nil || len(ways) < 2 || !(w.v < v-w.within()) {
			return
		}
		led := make([]float64, len(from))
		for k := range led {
			led[k] = w.at[k] - from[k]
		}
		w.along(led)
		ways = append(slices.Delete(ways, best, best+1), led)
	}
}

// along searches along a line through the best, by its length on either side.
func (w *ascent) along(way []float64) {
	from, half, lo, hi, gain := w.at, w.half, -1.0, 1.0, 0.0
	for k, d := range way {
		if gain += w.slope[k] * math.Abs(d); d != 0 {
			t := &w.s.m.Travels[k]
			a, b := (t.From-from[k])/d, (t.To-from[k])/d
			lo, hi = math.Max(lo, math.Min(a, b)), math.Min(hi, math.Max(a, b))
		}
	}
	look := func(x float64) float64 {
		at := slices.Clone(from)
		for k, d := range way {
			if d != 0 {
				t := &w.s.m.Travels[k]
				at[k] = math.Min(math.Max(at[k]+x*d, t.From), t.To)
			}
		}
		return w.look(at, half)
	}
	if w.err == nil && lo < hi && gain > w.within() {
		engine.LeastWithin(look, lo, 0, hi, w.v, math.Max(1e-6*(hi-lo), w.within()/gain), betterLooks)
	}
}

// neighbours returns the steps of a range on either side of x.
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
