// Package solver has what is asked about an engine and what is answered: a Problem with its checks and measures, a Result
// with its findings, and the one judgement of a finding. It works with numbers only (mm, radians) and knows no word of
// the language. Each item carries the number of the statement that it comes from, so that an answer can point at its
// line.
//
// It computes no finding: package machine does. To add a kind of check, begin here with CheckKind, its limits and its
// State. Also begin here with a new word for a state; terminal, JSON and sheets share it.
package solver

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/schedule"
)

// Problem is a sketch in numbers. It never changes after it is made; other dimensions are other expr.Values.
type Problem struct {
	Graph    *expr.Graph
	Dims     []Dim // by the dimension numbers of Graph
	Turn     Turn
	Travels  []Travel
	Linkage  *schedule.Model
	Sideplay []expr.ID // of each part, mm; None for no sideplay
	Plays    []Play
	Profiles []Profile
	Reaches  []Reach // outlines whose least or greatest place a sum takes
	Checks   []Check
	LeftOut  []LeftOut // pairs that `clear all` does not take
	Pinned   []Pinned  // profiles of those that it does not take because their parts share a point
	Measures []Measure
	Marks    []Mark
	Traces   []int // points
	Charts   []Chart
	Columns  []Column
}

// Dim is what the solver must know of a dimension.
type Dim struct {
	Name string
	Stmt int
	Made bool // measured on the finished part, not to be changed
}

// Turn is the crank position's range, rad. Step is > 0 and From < To.
type Turn struct {
	Name           string
	Stmt           int
	From, To, Step float64
}

// Travel is a running range or a list of separate settings, mm or rad.
type Travel struct {
	Name     string
	Stmt     int
	Angle    bool      // rad, else mm
	Number   bool      // a plain number, neither mm nor rad: a notch of a reverser
	Range    bool      // every value between From and To counts; else only the settings
	From, To float64   // of a range
	Settings []float64 // the list, or the steps of a range from From to To, both ends included
	Rest     float64
	Sums     []expr.ID // the sums of the ends of a range, or of the settings of a list; nil where they are not known
}

// Reach is the least or the greatest place of a profile's outline along a line, or across, as a node of the graph.
type Reach struct {
	Sum     expr.ID
	Profile int
}

// ReachedIn lists the profiles whose reach a sum takes, each once.
func (p *Problem) ReachedIn(sum expr.ID) (profiles []int) {
	if len(p.Reaches) == 0 {
		return nil
	}
	within := p.Graph.Within(sum)
	for _, r := range p.Reaches {
		if within[r.Sum] && !slices.Contains(profiles, r.Profile) {
			profiles = append(profiles, r.Profile)
		}
	}
	return profiles
}

// Profile is one thickness of a part: its outline and its band across the engine.
type Profile struct {
	Part   int    // index into Linkage.Parts
	Name   string // the part's name, a dot, the profile's name
	Stmt   int
	From   expr.ID // mm across, the lesser face
	To     expr.ID // mm across, the greater face
	Shapes []outline.Shape
}

// CheckKind says what a check asks.
type CheckKind uint8

// The kinds of checks.
const (
	Clear CheckKind = iota // distance in the side view
	Gap                    // distance across the engine
	Keep                   // a sum within limits
	Loose                  // a loose length within its play
)

var checkNames = [...]string{"clear", "gap", "keep", "loose"}

func (k CheckKind) String() string { return word(checkNames[:], k, "check") }

// Check is one thing that must hold. A statement with several pairs is several Checks with one Stmt.
type Check struct {
	Kind     CheckKind
	Stmt     int
	A, B     int     // profiles, of Clear and Gap
	Sum      expr.ID // of Keep
	Equation int     // of Loose: index into Linkage.Equations
	AtLeast  expr.ID // limits; None where there is none
	AtMost   expr.ID
	Note     string
	Angle    bool // Keep: the sum is an angle, rad
	Number   bool // Keep: the sum is a bare number
}

// LeftOut is a pair of parts that `clear all` did not take, and why.
type LeftOut struct{ A, B, Why string }

// NeverAcross is the reason for a pair that is left out because its bands do not overlap.
const NeverAcross = "bands across do not overlap"

// Pinned is two profiles that no check takes because their parts share points. Round a pin they belong together;
// elsewhere they may foul like any two. Study looks at them beside the checks.
type Pinned struct {
	Check Check // the check of the two, if there were one
	Pins  []int // the points that their parts share
}

// Measure is a figure at each position.
type Measure struct {
	Name, Note    string
	Stmt          int
	Sum           expr.ID
	Angle, Number bool
}

// MarkWhen says what makes a mark.
type MarkWhen uint8

// When a mark is made.
const (
	RisesPast MarkWhen = iota
	FallsPast
	IsLeast
	IsGreatest
)

// Mark is an event of the turn.
type Mark struct {
	Name  string
	Stmt  int
	Sum   expr.ID
	When  MarkWhen
	Past  expr.ID // None for IsLeast and IsGreatest
	Shows []int   // measures
}

// Column is a column of the table of settings, or its figures at some of the settings. Of lines with one name the first
// counts whose When is above or below its limit.
type Column struct {
	Name         string
	Stmt         int
	Of           []expr.ID // one figure, or the front's and the back's; each is constant over the turn
	When         expr.ID   // None: at every setting
	Above, Below expr.ID   // None where not given
	Note         string
	Angle        bool
	Number       bool
}

// Chart is measures drawn against another measure or the turn, at each setting of the travels that are lists.
type Chart struct {
	Name    string
	Stmt    int
	Of      []int // measures, all lengths, all angles or all bare numbers
	Against int   // a measure; -1 for the turn
	Marks   []int // drawn on the lines
	Note    string
}

// Numbers returns the numbers from 0 to n-1.
func Numbers(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// Alternatives returns the problem with more checks at its end: for each check of the given kinds, the other way in which it
// can be met. Two profiles that must be clear of one another in the side view may have bands that do not overlap instead.
// Two whose bands must have a gap may never pass one another in the side view instead. other maps the number of a check to
// that of its alternative.
func (p *Problem) Alternatives(kinds ...CheckKind) (q *Problem, other map[int]int) {
	with := *p
	with.Checks, other = slices.Clone(p.Checks), map[int]int{}
	for i, c := range p.Checks {
		if !slices.Contains(kinds, c.Kind) {
			continue
		}
		if c.Kind == Gap {
			c.Kind = Clear
		} else {
			c.Kind = Gap
		}
		c.AtLeast, c.AtMost, c.Note = expr.None, expr.None, ""
		other[i] = len(with.Checks)
		with.Checks = append(with.Checks, c)
	}
	return &with, other
}

// SameRanges reports whether the turn and the travels of another Problem of the same sketch are those of p. They may
// follow from dimensions.
func (p *Problem) SameRanges(q *Problem) bool {
	return p.Turn == q.Turn && slices.EqualFunc(p.Travels, q.Travels, func(a, b Travel) bool {
		return a.From == b.From && a.To == b.To && a.Rest == b.Rest && slices.Equal(a.Settings, b.Settings)
	})
}

// Sum is the sum of a setting; None where the setting is within a range, or its sum is not known.
func (t *Travel) Sum(setting float64) expr.ID {
	ends := t.Settings
	if t.Range {
		ends = []float64{t.From, t.To}
	}
	for i, v := range ends {
		if i < len(t.Sums) && math.Abs(v-setting) <= 1e-9*math.Max(1, math.Abs(v)) {
			return t.Sums[i]
		}
	}
	return expr.None
}
