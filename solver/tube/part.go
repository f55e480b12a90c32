package tube

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"barover/solver/taylor"
)

// Part is a part of a box in its own coordinates: from Mid - Half to Mid + Half, each within [-1, 1].
type Part struct{ Mid, Half [taylor.MaxVars]float64 }

// Full returns the whole of a box.
func Full() (p Part) {
	for k := range p.Half {
		p.Half[k] = 1
	}
	return p
}

// Across returns the part of a box at one travel setting, over all of the box's turn. The part is a single place where
// the turn makes no difference. It returns false if the setting is not in the box.
func (t *Tube) Across(b *Box, travel []float64) (p Part, ok bool) {
	for j, r := range b.Travel {
		if r.To > r.From && !(travel[j] >= r.From && travel[j] <= r.To) {
			return p, false
		}
	}
	p.Mid = t.local(b, b.Turn.Mid(), travel)
	if !t.idle {
		p.Mid[0], p.Half[0] = 0, 1
	}
	return p, true
}

// Position returns the turn and the travels at a place of a part of a box.
func (t *Tube) Position(b *Box, p *Part, tau *[taylor.MaxVars]float64) (turn float64, travel []float64) {
	travel = make([]float64, len(b.Travel))
	for j := range b.at.Mid {
		v := b.at.Mid[j]
		r := b.Turn
		if j > 0 {
			r = b.Travel[j-1]
		}
		for k := range t.vary {
			v += b.at.Half[j][k] * (p.Mid[k] + p.Half[k]*tau[k])
		}
		if j == 0 && b.folded != nil {
			v = turnAt(b.folded, p.Mid[0]+p.Half[0]*tau[0])
		}
		v = math.Min(math.Max(v, r.From), r.To)
		if j == 0 {
			turn = v
		} else {
			travel[j-1] = v
		}
	}
	return turn, travel
}

// Place is a position in one of several tubes.
type Place struct {
	Tube   int     // which of the tubes
	Turn   float64 // rad
	Travel []float64
}

// Halve cuts a stretch of the turn of a box, rad, as Halved cuts its part. On a folded box each half keeps the whole stretch,
// since its coordinate is not the turn.
func (b *Box) Halve(turn Range) [2]Range {
	if b.folded != nil {
		return [2]Range{turn, turn}
	}
	return [2]Range{{turn.From, turn.Mid()}, {turn.Mid(), turn.To}}
}

// foldedPart is the half width in the coordinate at or below which a part of a folded box is not cut further.
const foldedPart = 1.0 / 64

// Fine reports whether a part of a box is too short to be cut further: its stretch of the turn is no longer than fine, rad,
// and a part of a folded box is no wider than foldedPart in the coordinate.
func (b *Box) Fine(p *Part, turn Range, fine float64) bool {
	return turn.To-turn.From <= fine && !(b.folded != nil && p.Half[0] > foldedPart)
}

// About is a share of the part along each of so many coordinates, about a place in it: -1 to 1 of each.
func (p Part) About(at *[taylor.MaxVars]float64, vars int, share float64) Part {
	for k := range vars {
		half := share * p.Half[k]
		p.Mid[k] += (p.Half[k] - half) * at[k]
		p.Half[k] = half
	}
	return p
}

// Halved returns the half of a part that comes first (0) or second (1) in the turn.
func (p Part) Halved(side int) Part { return p.HalvedAlong(0, side) }

// HalvedAlong is Halved for any coordinate.
func (p Part) HalvedAlong(k, side int) Part {
	p.Half[k] /= 2
	p.Mid[k] += float64(2*side-1) * p.Half[k]
	return p
}

// Longest is the coordinate, of so many, along which the part is longest.
func (p *Part) Longest(vars int) int { return floats.MaxIdx(p.Half[:vars]) }

// Stretch cuts a part of a box to a stretch of the turn, ends included. It returns false if the box holds none of it.
func (t *Tube) Stretch(b *Box, p *Part, from, to float64) bool {
	from, to = math.Max(from, b.Turn.From), math.Min(to, b.Turn.To)
	if !(from <= to) {
		return false
	}
	if t.idle || b.folded != nil {
		return true
	}
	mid, half := b.at.Mid[0], b.at.Half[0][0]
	lo, hi := math.Max((from-mid)/half, -1), math.Min((to-mid)/half, 1)
	p.Mid[0], p.Half[0] = (lo+hi)/2, (hi-lo)/2
	return true
}

// Meet cuts a part to another of the same box. It returns false where they share at most an end.
func (p *Part) Meet(q *Part) bool {
	for k := range p.Half {
		lo, hi := max(p.Mid[k]-p.Half[k], q.Mid[k]-q.Half[k]), min(p.Mid[k]+p.Half[k], q.Mid[k]+q.Half[k])
		if lo > hi || lo == hi && p.Half[k] > 0 {
			return false
		}
		p.Mid[k], p.Half[k] = (lo+hi)/2, (hi-lo)/2
	}
	return true
}
