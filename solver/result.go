package solver

import (
	"math"

	"barover/solver/linkage"
	"barover/solver/plane"
)

// Position is a place in the turn and the travels.
type Position struct {
	Turn   float64   // rad
	Travel []float64 // mm or rad, by Problem.Travels
}

// Interval is a stretch of the turn, rad. It may end beyond a whole turn where it runs across the start.
type Interval struct {
	From, To float64
	Out      float64 // the possible error of either end, rad; 0 where they are right to 0.001°
}

// Sure says how sure an answer is.
type Sure uint8

// How sure an answer is.
const (
	Sampled Sure = iota // sampled position by position and refined; a narrow touch may have been missed
	InPart              // proved except for the stretches listed, which are sampled
	Proved              // over the whole turn and every travel
)

var sureNames = [...]string{"sampled", "sampled", "proved"}

func (s Sure) String() string { return word(sureNames[:], s, "sure") }

// Finding is the answer to one Check. Lengths are mm, angles rad; NaN where a figure was not sought.
type Finding struct {
	Check    int     // index into Problem.Checks
	AtLeast  float64 // what was asked; NaN for no limit
	AtMost   float64
	Least    float64 // over the whole turn and every travel
	Greatest float64
	At       Position     // where the worst is
	Near     [2]plane.Vec // Clear: the two nearest places (deepest where they overlap) at At, in the frame: on A, on B
	Fouls    []Interval   // where the check is not met, at the travel setting FoulsAt
	FoulsAt  []float64
	OK       bool
	Sure     Sure
	Unproved []Unproved // stretches for which nothing is claimed
	Apart    bool       // Gap, Clear: the two never pass one another, or their bands never overlap: nothing to measure
	Levers   []Lever
	Tight    *Tight // Loose: where it is tightest; nil where it is hardly missed anywhere
	// Play is the effect of play on a clear or keep line; nil where no play counts. The Least of a clear line is then
	// that of the worst engine that was solved with its pins off their middles, and so is its Greatest where it has an
	// upper limit.
	Play *PlayFigures
}

// Figure is the least or the greatest of a finding; NaN where there was nothing to measure.
func (f *Finding) Figure(upper bool) float64 {
	switch {
	case f.Apart:
		return math.NaN()
	case upper && !math.IsNaN(f.Greatest):
		return f.Greatest
	}
	return f.Least
}

// PlayFigures are proved bounds of a figure over every place of the parts in their play; NaN where that is not known.
// Tight is the least of a clear line with every play at zero, and TightMost its greatest.
type PlayFigures struct{ Least, Greatest, Tight, TightMost float64 }

// Lever is the effect of one dimension on a check.
type Lever struct {
	Dim     int
	PerUnit float64 // change of the figure for a change of the dimension by one (mm, rad)
	ToHold  float64 // the value of the dimension with which the check just holds, proved; NaN where none is offered
	Next    float64 // the next size available beyond it, with which it was proved to hold as well; NaN where none is
	Spare   float64 // the room that Next leaves
	// The effect of the change on other checks, with Next, or with ToHold where there is no Next.
	Breaks  []int     // checks that hold now and would not
	Mends   []int     // checks that do not hold now and would
	Worsens []Finding // checks that do not hold now and would fall short by more, with their new findings
}

// Event is one time that a mark happens.
type Event struct {
	Mark  int
	At    Position
	Shows []float64 // by Mark.Shows
}

// Extremes are the least and the greatest of a measure over the whole turn and every travel.
type Extremes struct {
	Measure             int
	Least, Greatest     float64
	LeastAt, GreatestAt Position
	Sure                Sure
}

// Result is the answers to all questions of a Problem.
type Result struct {
	Broken   []linkage.Broken
	Followed bool      // nothing is broken where it was looked at step by step, and what lies between is not proved
	Passes   []Pass    // change points; none where the checks alone were asked
	Findings []Finding // in the order of Problem.Checks
	Events   []Event
	Extremes []Extremes // in the order of Problem.Measures; none where the checks alone were asked
	LeftOut  []LeftOut  // those of the Problem, and pairs whose bands across do not overlap
	Aside    []Aside    // of the Problem's Pinned, those that may come near one another away from their pins
	RoundPin []Pinned   // of the same, those that share a band and are both of metal round the first of their Pins: taken for pin and eye
}

// OK reports whether every check holds and the parts assemble over the whole turn at every travel tried.
func (r *Result) OK() bool {
	for i := range r.Findings {
		if !r.Findings[i].OK {
			return false
		}
	}
	return len(r.Broken) == 0
}

// Aside is an answer that no check asks for: two profiles whose parts are pinned to one another. Finding.Check is their
// number after the checks, as in Asked.
type Aside struct {
	Check   Check
	Pins    []int // the points that their parts share
	Finding Finding
}

// Fault is why a sketch cannot be solved: too few statements, too many, or two ways to assemble. Stmt is the first
// statement concerned, Also the others.
type Fault = linkage.Fault

// Tight says where round the turn a loose line is tightest, with the travels as in its finding's At.
type Tight struct {
	Spots []Spot
	Reads Reading
}

// Spot is a stretch of the turn, rad, over which a loose line misses by nearly as much as anywhere, and the place within
// it where it misses by most. It may end beyond a whole turn where it runs across the start.
type Spot struct{ From, To, At float64 }

// Reading is what the places of the tight spots say about two cranks that a loose line couples, on an engine with a
// second line a quarter of a turn beside it. Computed, no source: cranks of throw r that are coupled with a quartering
// error e bind by r·e·|sin·cos|/(|sin| + |cos|) of the angle from a dead centre. That is zero there and greatest half way
// between. Rods and throws that do not fit bind by their whole error on dead centres.
type Reading uint8

// The readings.
const (
	Unread    Reading = iota // no two cranks, or the places are not telling
	OnCentres                // on dead centres: rod centres or throws
	Between                  // half way between dead centres, and free on them: quartering
	Mixed                    // half way between, but not free on dead centres: more than one error
)

// Asked returns p with, after its checks, the pairs that were tried without a check.
func (r *Result) Asked(p *Problem) *Problem {
	if len(r.Aside) == 0 {
		return p
	}
	q := *p
	q.Checks = append([]Check(nil), p.Checks...)
	for i := range r.Aside {
		q.Checks = append(q.Checks, r.Aside[i].Check)
	}
	return &q
}

// Pass is a change point that the engine passes, or misses by little, at one travel setting.
type Pass struct {
	linkage.Pass
	Gives float64 // the most that its statement gives, proved, where the engine goes straight on, mm; NaN if not proved
}
