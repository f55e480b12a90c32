package tube

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"barover/solver/expr"
	"barover/solver/taylor"
)

// Range is a stretch of the turn (rad) or of a travel (mm or rad). A fixed travel has From = To.
type Range struct{ From, To float64 }

// Mid returns the middle of the range.
func (r Range) Mid() float64 { return r.From + (r.To-r.From)/2 }

// Holds reports whether some travels are each within their range.
func Holds(ranges []Range, travel []float64) bool {
	for j, r := range ranges {
		if !(travel[j] >= r.From && travel[j] <= r.To) {
			return false
		}
	}
	return true
}

// Box is a part of the motion: over its stretch of the turn and the travels, every place is within a radius of a
// polynomial.
type Box struct {
	Turn   Range   // rad
	Travel []Range // each in its own unit: mm, rad or a plain number

	at   taylor.Box
	part int       // boxes with the same number are proved to be on one branch
	poly []float64 // of each kept slot, Space.N each
	rad  []float64 // of each kept slot
	wide []float64 // of each scalar, the half width of the tube in which the solution is the only one

	// folded is nil except for a box that leads up to a dead centre. The coordinate of such a box is a scalar, and folded is the
	// turn, rad, as a polynomial in it. It is not an enclosure: proved is only that the turn lies in Turn.
	folded []float64
}

// Cause says why a stretch has no enclosure.
type Cause uint8

// The causes of a Gap.
const (
	CannotAssemble Cause = iota // no position was found in it
	EitherWay                   // there are positions, but the linkage can go either way here
	OutOfBudget                 // the boxes or the time allowed ran out
	Unreached                   // the travels were not shown to lead there from rest without a jump
	AtDeadCentre                // too near to the dead centre at which the motion ends or begins
	SizesPart                   // the engine goes on as drawn, but with some of its sizes it may not
)

var causeNames = [...]string{"cannot be assembled", "can go either way", "out of budget", "not reached from rest", "too near a dead centre", "may not go on with some sizes"}

func (c Cause) String() string {
	if int(c) < len(causeNames) {
		return causeNames[c]
	}
	return fmt.Sprintf("cause %d", c)
}

// Gap is a stretch of the turn over which nothing is claimed, for the travels within Travel.
type Gap struct {
	Turn   Range
	Travel []Range
	Cause  Cause
}

// Tube is the enclosed motion over a stretch of the turn and ranges of the travels. Boxes and Gaps together cover it.
type Tube struct {
	Plan   *Plan
	Space  *taylor.Space
	Turn   Range
	Travel []Range
	Boxes  []Box // by the turn; where travels were split, boxes side by side are in succession
	Gaps   []Gap
	Gives  []Give // which statements give where change points were crossed
	// Closes reports that the turn is a whole one and ends where it began. It is false for a motion that changes to its
	// other way of assembly in the course of a turn.
	Closes bool
	// Reached reports that there is a position at the start of the turn with the travels at rest.
	Reached bool
	// OneBranch reports that every box is proved to be on the branch of the start.
	OneBranch bool

	vary []int     // parameters that vary: 0 the turn, 1 + k the travel k
	idle bool      // the turn makes no difference, and does not vary
	rest []float64 // the setting from which the travels come

	affine  bool         // the boxes keep the first powers of sizes alone
	squares []sync.Mutex // of each box, where those with squares are enclosed one by one
	first   *Tube        // the boxes without squares of such a Tube

	widest, size float64   // those of its solver, to enclose parts of boxes again
	reach        []float64 // of each kept slot: factor of its radius before it is compared with the limit
}

// Folded reports whether a turn, rad, lies in a box up to a dead centre.
func (t *Tube) Folded(turn float64) bool {
	return slices.ContainsFunc(t.Boxes, func(b Box) bool { return b.folded != nil && turn >= b.Turn.From && turn <= b.Turn.To })
}

// Whole reports whether the motion is enclosed everywhere, on the branch of the start.
func (t *Tube) Whole() bool { return len(t.Gaps) == 0 && t.OneBranch && t.Reached }

// Numbers is how many numbers the boxes hold, or will with squares: the memory of the tube.
func (t *Tube) Numbers() (n int) {
	for i := range t.Boxes {
		b := &t.Boxes[i]
		n += len(b.poly) + len(b.rad) + len(b.wide)
	}
	if t.affine {
		n *= t.coefficients() / t.Space.N
	}
	return n
}

// VariesLike reports whether the same travels vary in two tubes over the same ranges, so that they have the same cells.
func (t *Tube) VariesLike(o *Tube) bool {
	return t.idle == o.idle && slices.Equal(t.vary, o.vary) && !slices.ContainsFunc(t.ranges(), func(j int) bool { return t.Travel[j-1] != o.Travel[j-1] })
}

// Unlike lists the tubes in which something that depends on a set of travels moves differently. Of tubes that differ only in
// other travels one is enough. If a tube has gaps or more than one branch every tube is listed, since another may reach where
// it does not.
func Unlike(tubes []*Tube, rides uint64) (list []int) {
	broken := slices.ContainsFunc(tubes, func(t *Tube) bool { return !t.Whole() })
	for i, t := range tubes {
		like := func(k int) bool {
			return expr.SameTravels(rides, len(t.Travel), func(j int) bool { return t.Travel[j] == tubes[k].Travel[j] })
		}
		if broken || !slices.ContainsFunc(list, like) {
			list = append(list, i)
		}
	}
	return list
}

// Started is how many boxes, the first ones, begin at the start of the turn: they cover every travel, if the tube has no
// gap.
func (t *Tube) Started() (n int) {
	for n < len(t.Boxes) && t.Boxes[n].Turn.From == t.Turn.From {
		n++
	}
	return n
}

// ranges are the travels that vary, as in vary, and firstRange is where they begin there.
func (t *Tube) ranges() []int { return t.vary[t.firstRange():] }

func (t *Tube) firstRange() int {
	if t.idle {
		return 0
	}
	return 1
}

// boxOver returns the taylor.Box over a stretch of the turn and of the travels, each end moved outward by some units in
// the last place so that neighbours leave no sliver between them.
func (t *Tube) boxOver(turn Range, travel []Range) taylor.Box {
	b := taylor.Box{Mid: make([]float64, 1+len(travel)), Half: make([][taylor.MaxVars]float64, 1+len(travel))}
	for k, j := range t.vary {
		r := turn
		if j > 0 {
			r = travel[j-1]
		}
		mid := r.Mid()
		b.Half[j][k] = max(r.To-mid, mid-r.From)*(1+0x1p-50) + math.Abs(mid)*0x1p-51
	}
	b.Mid[0] = turn.Mid()
	for j, r := range travel {
		b.Mid[1+j] = r.Mid()
	}
	t.Plan.Deviate(&b)
	return b
}

// local returns the box's own coordinates of a position. They are in [-1, 1] for positions within the box.
func (t *Tube) local(b *Box, turn float64, travel []float64) (tau [taylor.MaxVars]float64) {
	for k, j := range t.vary {
		v := turn
		if j > 0 {
			v = travel[j-1]
		}
		if h := b.at.Half[j][k]; h > 0 {
			tau[k] = (v - b.at.Mid[j]) / h
		}
	}
	return tau
}

// value evaluates a kept slot of a box at a place, in the box's own coordinates.
func (t *Tube) value(b *Box, kept int, tau *[taylor.MaxVars]float64) float64 {
	n := t.Space.N
	return t.Space.Value(b.poly[kept*n:kept*n+n], tau)
}
