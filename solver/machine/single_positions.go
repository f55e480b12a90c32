package machine

import (
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/hunt"
)

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
	// nearMost is how many motions are kept to solve positions from.
	nearMost = 128
)

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
