package linkage

import (
	"fmt"

	"barover/solver/plane"
)

// Pose is the place of everything at one position of the engine. Slices are indexed as in the Model.
type Pose struct {
	Turn   float64 // rad
	Travel []float64
	Point  []plane.Vec       // mm, in the frame
	Part   []plane.Placement // origin and u axis in the frame
	Line   []plane.Placement // a place on the line and its direction

	folded []int // a scalar of each block that turns back there, which has no derivatives
}

// Status is the outcome of a position.
type Status uint8

// The statuses of a position.
const (
	Solved         Status = iota
	DeadCentre            // on the point where the linkage can go either way
	NoAssembly            // the parts do not reach
	IterationLimit        // no answer within the steps allowed
)

var statusNames = [...]string{"solved", "dead centre", "cannot be assembled", "iteration limit"}

func (s Status) String() string {
	if int(s) < len(statusNames) {
		return statusNames[s]
	}
	return fmt.Sprintf("status %d", s)
}

// Broken is an interval of the turn over which the mechanism cannot be assembled, or a place at which it cannot be told
// which way it continues: Miss is 0 there.
type Broken struct {
	From, To float64 // rad
	Travel   []float64
	Stmt     int     // the statement that cannot be met, or that is on its dead centre there
	Miss     float64 // its greatest miss, mm or rad; +Inf where a point that it holds runs off without end, NaN where the branch is lost
	Lack     *Lack   // why the statement has no value there; nil where it has one
	// Sure lists the stretches, rad, over which it is proved that there is no position. Over the rest that was only tried.
	Sure [][2]float64
}

// Tried lists the stretches, rad, over which it is not proved that there is no position.
func (b *Broken) Tried() (open [][2]float64) {
	at := b.From
	for _, s := range b.Sure {
		if at < s[0] {
			open = append(open, [2]float64{at, s[0]})
		}
		at = s[1]
	}
	if at < b.To {
		open = append(open, [2]float64{at, b.To})
	}
	return open
}

// Either reports whether it can go either way there, rather than no way at all.
func (b *Broken) Either() bool { return b.Miss == 0 && b.Lack == nil }
