package linkage

import (
	"math"

	"barover/solver/schedule"
)

// Near its dead centre a loose length has the same miss on either side of it, and the worst of several has a smallest place
// on each: a descent finds the one that it begins at. So there the other sides are tried, along every freedom, and the least
// of all is taken.

const (
	// centreSlope is how much a loose length may change at the most, mm for each mm of a freedom, to be near its dead centre.
	centreSlope = 0.1
	// sidesMost is how many freedoms are tried.
	sidesMost = 4
	// lessShare is the share by which another smallest worst must be less to be gone to.
	lessShare = 1e-6
)

// sideShares is how far along the freedoms the other sides are looked for, one after the other, as shares of what a place may
// stray.
var sideShares = [2]float64{0.5, 1}

// elsewhere looks for a smaller worst beside the one that l has come to, and from there again, and leaves the engine there.
// It returns what holds it.
func (e *workspace) elsewhere(step *schedule.Step, l *looser) *looser {
	for _, share := range sideShares {
		l = e.otherSides(step, l, share*e.scale.stray())
	}
	return l
}

// otherSides tries the other sides from so far along every freedom, mm. It returns l itself where none is better.
func (e *workspace) otherSides(step *schedule.Step, l *looser, far float64) *looser {
	least := e.worstShare(step)
	ways := e.centres(step)
	if len(step.Loose) <= len(ways) || len(ways) > sidesMost {
		return l
	}
	best := e.scalars(step)
	from := best
	for sides := range pow3(len(ways)) {
		y := append([]float64(nil), from...)
		moved := false
		for k, n := 0, sides; k < len(ways); k, n = k+1, n/3 {
			by := [3]float64{0, far, -far}[n%3]
			moved = moved || by != 0
			for j, u := range l.unit {
				y[j] += by * ways[k][j] / u
			}
		}
		if !moved {
			continue
		}
		e.put(step, y)
		if o, ok := e.settled(step); ok {
			if w := e.worstShare(step); w < least*(1-lessShare)-l.quietOf(step) {
				least, best, l = w, e.scalars(step), o
			}
		}
	}
	e.put(step, best)
	return l
}

func pow3(n int) (p int) {
	p = 1
	for range n {
		p *= 3
	}
	return p
}

// worstShare is the greatest share of a play that a loose length of the step misses by.
func (e *workspace) worstShare(step *schedule.Step) (most float64) {
	e.place(step)
	for i := range step.Loose {
		most = max(most, math.Abs(step.Loose[i].Value(e.c, e.z)))
	}
	return most
}

// quietOf is the share that rounding alone may make of any loose length.
func (l *looser) quietOf(step *schedule.Step) (most float64) {
	for i := range step.Loose {
		most = max(most, l.noise/l.e.c.At(step.Loose[i].Play))
	}
	return most
}

// centres returns the freedoms that the hard rows leave where the engine stands, in mm, if along one of them a loose length
// is near its dead centre; else nothing.
func (e *workspace) centres(step *schedule.Step) (ways [][]float64) {
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
