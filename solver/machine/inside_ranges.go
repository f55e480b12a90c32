package machine

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/hunt"
	"barover/solver/spare"
)

// Every value of a range counts, but a survey samples its steps. A figure may be worse between them, and not only next to
// the worst step. So the ranges are sampled more closely, together with the turn, by single positions: a position costs a
// thousandth of a motion. From every place there that could beat the best by the slopes seen a search goes downhill, over
// the turn and all ranges at once (see package hunt). A motion is followed only where that ends better than the best known: what
// is reported was followed from rest.
//
// A figure with a least, greatest or place over the whole turn has no value at a single position. For it the ranges alone
// are searched in the same way, and each place costs a motion.

const (
	// positionsEach is how many positions are sampled for every setting at the steps, about as many as its motion took.
	// There are at least positionsLeast, and at most positionsMost at a setting of the lists; and so many of them that
	// there are figuresMost figures.
	positionsEach, positionsLeast, positionsMost, figuresMost = 600, 60_000, 500_000, 6_000_000
	// turnStep is the greatest step of the turn, rad, turnSteps how many there are at most before they are halved, and
	// rangeParts into about how many parts a range is divided at most.
	turnStep, turnSteps, rangeParts = 10 * math.Pi / 180, 72, 96
	// looksEach is how many motions are followed for one figure and each travel where single positions do not do, over all
	// settings of the lists, but looksLeast at each.
	looksEach, looksLeast = 64, 8
	// confirmed is how many of the best settings found for one figure are followed at most.
	confirmed = 4
	// nearMost is how many motions are kept to solve positions from.
	nearMost = 128
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

// atlas keeps the settings sampled between steps, each solved once for all aims: the motion round the turn costs more than what
// one aim asks there. Each aim chooses its own settings, so that its figure does not depend on what else is asked.
type atlas struct {
	s         *survey
	ctx       context.Context
	questions []question
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
			l.seen[i], l.have[i] = q.sight(l.run), a.ctx.Err() == nil
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
	if len(aims) == 0 {
		return nil
	}
	found := make([]ascent, len(aims))
	for k := range aims {
		found[k] = ascent{atlas: looks, aim: aims[k], at: aims[k].from.at.Travel, v: aims[k].from.v}
	}
	lists := engine.ListSettings(s.m.Travels)
	for _, list := range lists {
		p, err := looks.positions(o.quietly(), list, len(lists))
		if err != nil {
			return err
		}
		if err := Share(ctx, o.quietly(), len(aims), func(k int) error { return found[k].search(p) }); err != nil {
			return err
		}
	}
	if err := Share(ctx, o.quietly(), len(aims), func(k int) error { return found[k].confirm() }); err != nil {
		return err
	}
	for k := range found {
		w := &found[k]
		w.tally.cut = w.tally.cut || w.cut
		if w.seen.Have {
			w.tally.take(&w.seen, w.at)
		}
	}
	return nil
}

// ascent is the search from the best of the steps for something better.
type ascent struct {
	*atlas
	aim
	at    []float64 // where it is best so far
	v     float64
	seen  engine.Sight  // the answer there; empty at the step where the search began
	found []hunt.Trough // settings at which single positions are better, the best first
	cut   bool          // there was more to search than its bounds allow
}

// within is how much better a place must be to be worth trying.
func (w *ascent) within() float64 {
	return 0.2 * w.s.m.tolerance() * math.Max(1, math.Abs(w.v)/w.s.m.Size)
}

// search looks for better places at one setting of the lists.
func (w *ascent) search(p *positions) (err error) {
	h := hunt.Hunt{Grid: p.Grid, Within: w.within(), Best: w.v, Looks: math.MaxInt}
	if len(w.found) > 0 {
		h.Best = math.Min(h.Best, w.found[0].V)
	}
	if w.questions[w.question].single() {
		h.Values, h.Of, h.Edges = p.valuesOf(&w.aim), p.figureOf(w), true
		w.cut = w.cut || !p.close
	} else {
		h.Grid, h.Looks = p.settings, p.looks
		h.Of = func(at []float64) float64 {
			v, e := w.look(slices.Clone(at))
			if e != nil {
				err = e
			}
			return v
		}
		h.Values = make([]float64, h.Size())
		for i := range h.Values {
			h.Values[i] = h.Of(h.Place(i))
		}
		h.Best = w.v
	}
	for _, f := range h.Lowest() {
		w.found = append(w.found, hunt.Trough{At: f.At[:len(w.s.m.Travels)], V: f.V})
	}
	slices.SortStableFunc(w.found, func(a, b hunt.Trough) int { return cmp.Compare(a.V, b.V) })
	w.found = w.found[:min(len(w.found), confirmed)]
	w.cut = w.cut || h.Cut
	return err
}

// confirm follows the motions at the settings found.
func (w *ascent) confirm() error {
	for _, f := range w.found {
		if !(f.V < w.v-w.within()) {
			break
		}
		if _, err := w.look(f.At); err != nil {
			return err
		}
	}
	return nil
}

// look samples a setting, and keeps it if it is better.
func (w *ascent) look(at []float64) (float64, error) {
	seen, err := w.atlas.look(at, w.question)
	if err != nil {
		return math.Inf(1), err
	}
	v := solver.OrGreatest(w.of(&seen))
	if seen.Have && engine.ClearlyLess(v, w.v, math.Max(1, math.Abs(w.v))) {
		w.v, w.at, w.seen = v, at, seen
	}
	return v, nil
}

// positions is the engine at single positions, over the turn and the ranges at one setting of the lists.
type positions struct {
	m         *Machine
	hunt.Grid           // of the travels and the turn
	close     bool      // each step is divided
	values    [][]spot  // of each question, at every place of the grid
	settings  hunt.Grid // of the travels, for figures that need motions
	looks     int       // how many more of these may be followed for one of them
	near      hunt.Grid // of the travels, where motions are kept
	runs      []*engine.Run
}

// spot is a figure at a position, and its margin.
type spot struct{ v, margin float64 }

// positions samples the engine at one setting of the lists, of so many.
func (a *atlas) positions(o Options, list []float64, lists int) (*positions, error) {
	m := a.s.m
	steps := make(hunt.Grid, len(list))
	for k, t := range m.Travels {
		steps[k] = hunt.Axis{At: []float64{list[k]}}
		if t.Range && len(t.Settings) > 1 {
			steps[k] = hunt.Axis{At: t.Settings, Lo: t.From, Hi: t.To}
		}
	}
	p := &positions{m: m, looks: max(looksLeast, looksEach*len(steps)/lists)}
	p.near, _ = steps.Divided(nearMost, func(int) int { return 1 })
	p.settings, _ = steps.Divided(steps.Size()+p.looks/2, func(int) int { return 4 })
	if err := p.follow(a, o); err != nil {
		return nil, err
	}
	t := m.Problem.Turn
	turn := hunt.Axis{At: []float64{t.From}}
	if t.To > t.From {
		n := math.Min(math.Ceil((t.To-t.From)/turnStep-1e-9), turnSteps)
		turn = hunt.Axis{At: hunt.Split([]float64{t.From, t.To}, int(n)), Lo: t.From, Hi: t.To}
		if p.runs[0].Closed { // the turn goes on from its end at its start
			turn.Lo, turn.Hi = t.From-math.Pi, t.To+math.Pi
		}
	}
	most := min(max(positionsEach*steps.Size(), positionsLeast/lists), positionsMost, figuresMost/len(a.questions))
	p.Grid, p.close = append(slices.Clone(steps), turn).Divided(most, func(k int) int {
		if k == len(list) {
			return 2
		}
		return max(2, rangeParts/(len(steps[k].At)-1))
	})
	return p, p.sample(a, o)
}

// follow follows the motions from which positions are solved.
func (p *positions) follow(a *atlas, o Options) error {
	p.runs = make([]*engine.Run, p.near.Size())
	return Share(a.ctx, o, len(p.runs), func(i int) error {
		r, err := p.m.RunFor(a.ctx, p.near.Place(i), a.s.need.Bare())
		if err == nil {
			p.runs[i] = r.Beside(r.Travel)
		}
		return err
	})
}

// sample solves the places of the grid, for all questions that a position answers.
func (p *positions) sample(a *atlas, o Options) error {
	p.values = make([][]spot, len(a.questions))
	single := false
	for q := range p.values {
		if a.questions[q].single() {
			p.values[q], single = make([]spot, p.Size()), true
		}
	}
	if !single {
		return nil
	}
	n := len(p.m.Travels)
	turns := p.Grid[n].At
	return Share(a.ctx, o, p.Size()/len(turns), func(i int) error {
		r, s := p.beside(p.Place(i * len(turns))[:n]), p.m.NewStation()
		figures := make([]func(*engine.Station) (v, margin float64), len(p.values))
		for q := range figures {
			if p.values[q] != nil {
				figures[q] = a.questions[q].at()
			}
		}
		for j, t := range turns {
			stands := r.Stand(t, s)
			for q, figure := range figures {
				if figure == nil {
					continue
				}
				at := &p.values[q][i*len(turns)+j]
				if *at = (spot{math.NaN(), math.NaN()}); stands {
					at.v, at.margin = figure(s)
				}
			}
		}
		return a.ctx.Err()
	})
}

// beside returns a run at any setting, from the nearest motion.
func (p *positions) beside(travel []float64) *engine.Run {
	return p.runs[p.near.Nearest(travel)].Beside(slices.Clone(travel))
}

// valuesOf is what an aim has at every place of the grid.
func (p *positions) valuesOf(a *aim) []float64 {
	out := make([]float64, p.Size())
	for i, s := range p.values[a.question] {
		out[i] = solver.OrGreatest(a.at(s.v, s.margin))
	}
	return out
}

// figureOf is an aim at any place.
func (p *positions) figureOf(w *ascent) func(at []float64) float64 {
	n, figure, s := len(p.m.Travels), w.questions[w.question].at(), p.m.NewStation()
	var r *engine.Run
	return func(at []float64) float64 {
		if r == nil || !slices.Equal(r.Travel, at[:n]) {
			r = p.beside(at[:n])
			s.Anew()
		}
		if !r.Stand(at[n], s) {
			return math.Inf(1)
		}
		return solver.OrGreatest(w.aim.at(figure(s)))
	}
}
