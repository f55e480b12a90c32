package position

import (
	"math"
	"slices"

	"barover/solver/schedule"
)

// Near its dead centre a loose length has the same miss on either side of it, and the maximum of several has a local
// minimum on each; a descent finds the one on its own side. So there the other sides are tried, along every freedom, and
// the least of all is taken.

const (
	// centreSlope is the greatest change of a loose length near its dead centre, mm for each mm of a freedom.
	centreSlope = 0.1
	// sidesMost is the number of freedoms tried.
	sidesMost = 4
	// lessShare is the share by which another minimum must be less to be taken.
	lessShare = 1e-6
)

// sideShares is how far along the freedoms the other sides are searched, one after the other, as shares of the allowed
// deviation of a place.
var sideShares = [2]float64{0.5, 1}

// elsewhere looks for a smaller maximum beside the one that l has found, and from there again, and leaves the engine
// there. It returns what holds it.
func (e *State) elsewhere(step *schedule.Step, l *looser) *looser {
	for _, share := range sideShares {
		l = e.otherSides(step, l, share*e.Scale.stray())
	}
	return l
}

// otherSides tries the other sides from so far along every freedom, mm. It returns l itself where none is better.
func (e *State) otherSides(step *schedule.Step, l *looser, far float64) *looser {
	ways := e.centres(step)
	if len(step.Loose) <= len(ways) || len(ways) > sidesMost {
		return l
	}
	from := e.Scalars(step)
	p := e.pastOf(step, l)
	for sides := range pow3(len(ways)) {
		y := slices.Clone(from)
		for k, n := 0, sides; k < len(ways); k, n = k+1, n/3 {
			by := [3]float64{0, far, -far}[n%3]
			for j, u := range l.unit {
				y[j] += by * ways[k][j] / u
			}
		}
		if sides > 0 {
			p.try(y)
		}
	}
	return p.best()
}

// fromFlanks looks for a smaller maximum from the poses at the positions on either side. The least there, continued from
// both, is the least between them; one that takes over and gives way again within a step is not seen.
func (e *State) fromFlanks(step *schedule.Step, l *looser) *looser {
	p := e.pastOf(step, l)
	for _, x := range e.Flanks {
		y := make([]float64, len(step.Scalars))
		for j, s := range step.Scalars {
			y[j] = x[s]
		}
		p.try(y)
	}
	return p.best()
}

// past is the results of descents of a step.
type past struct {
	e     *State
	step  *schedule.Step
	ends  [][]float64 // the scalars where they ended
	least float64     // the least worst share
	x     []float64   // the scalars there
	l     *looser     // what holds them
}

// pastOf begins with the result of l.
func (e *State) pastOf(step *schedule.Step, l *looser) *past {
	x := e.Scalars(step)
	return &past{e: e, step: step, ends: [][]float64{x}, least: e.worstShare(step), x: x, l: l}
}

// try descends from x.
func (p *past) try(x []float64) {
	p.e.Put(p.step, x)
	l, ok := p.e.settled(p.step, p)
	if !ok {
		return
	}
	end := p.e.Scalars(p.step)
	p.ends = append(p.ends, end)
	if w := p.e.worstShare(p.step); w < p.less(l) {
		p.least, p.x, p.l = w, end, l
	}
}

// best puts the engine where the worst is least.
func (p *past) best() *looser {
	p.e.Put(p.step, p.x)
	return p.l
}

// less is the value below which a worst share is an improvement.
func (p *past) less(l *looser) float64 { return p.least*(1-lessShare) - l.quietOf() }

// beats reports whether the share that l has settled is no less than the best known.
func (p *past) beats(l *looser) bool {
	return p != nil && !(math.Abs(l.r[l.ends.on[0].row]) < p.less(l))
}

// knows reports whether l is beside a known end, to which it would come again.
func (p *past) knows(l *looser) bool {
	return p != nil && slices.ContainsFunc(p.ends, func(x []float64) bool {
		return l.off(x) <= sameRel*l.e.Scale.Size
	})
}

func pow3(n int) (p int) {
	p = 1
	for range n {
		p *= 3
	}
	return p
}

// worstShare is the greatest share of a play that a loose length of the step misses by.
func (e *State) worstShare(step *schedule.Step) (most float64) {
	e.Place(step)
	for i := range step.Loose {
		most = max(most, math.Abs(step.Loose[i].Value(e.C, e.Z)))
	}
	return most
}

// quietOf is the share that rounding alone may cause in any loose length.
func (l *looser) quietOf() (most float64) {
	for i := range l.step.Rows[l.hard:] {
		most = max(most, l.noise/l.play(l.hard+i))
	}
	return most
}

// centres returns the freedoms that the hard rows leave at the present place, in mm, if along one of them a loose length
// is near its dead centre; else nothing.
func (e *State) centres(step *schedule.Step) (ways [][]float64) {
	l := e.newLooser(step)
	if !l.survey() {
		return nil
	}
	near := false
	for i := range step.Loose {
		row, most := l.hard+i, 0.0
		for k := range l.free() {
			way := l.q.way(k)
			slope := 0.0
			for j, v := range l.jac[row*l.n : (row+1)*l.n] {
				slope += v * way[j]
			}
			most = max(most, math.Abs(slope)*l.play(row))
		}
		near = near || most < centreSlope
	}
	if !near {
		return nil
	}
	for k := range l.free() {
		ways = append(ways, l.q.way(k))
	}
	return ways
}
