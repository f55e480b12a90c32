package solver

import (
	"math"
	"slices"
	"testing"

	"barover/solver/expr"
)

// judged is a problem with one check of each sort, for findings to be judged by.
func judged() *Problem {
	return &Problem{
		Checks: []Check{
			{Kind: Clear, A: 1, B: 2}, {Kind: Gap, A: 1, B: 2}, {Kind: Keep}, {Kind: Loose}, {Kind: Keep, Angle: true},
			{Kind: Clear, A: 2, B: 1, Note: "again"}, {Kind: Keep, Sum: expr.ID(7)},
		},
		Measures: []Measure{{Name: "over_run", Sum: expr.ID(7)}},
	}
}

const (
	ofClear = iota
	ofGap
	ofKeep
	ofLoose
	ofAngle
	ofSame
	ofMeasure
)

func TestJudge(t *testing.T) {
	none, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name                           string
		check                          int
		atLeast, atMost, least, greats float64
		ok                             bool
		margin, worst                  float64
		state                          State
	}{
		{"a clear line that holds", ofClear, 0.5, none, 0.8, none, true, 0.3, 0.8, HoldsProved},
		{"nearer than asked", ofClear, 0.5, none, 0.2, none, false, -0.3, 0.2, Short},
		{"into each other", ofClear, 0.5, none, -0.2, none, false, -0.7, -0.2, Fouls},
		{"a clear line without a limit", ofClear, none, none, -1, none, false, -1, -1, Fouls},
		{"a gap by its smallest opening", ofGap, 0.1, 1, 0.2, 0.4, true, 0.1, 0.2, HoldsProved},
		{"a gap by its largest opening", ofGap, 0.1, 0.5, 0.45, 0.65, false, -0.15, 0.65, Wide},
		{"a gap without a lower limit", ofGap, none, 0.5, -0.1, 0.1, false, -0.1, -0.1, Fouls},
		{"a gap too wide that still fouls", ofGap, none, 0.2, -0.1, 0.5, false, -0.3, -0.1, Fouls},
		{"touching but for rounding, and too wide elsewhere", ofClear, 0, 0.01, -1e-16, 0.07, false, -0.06, 0.07, Wide},
		{"nearer than asked, touching but for rounding", ofClear, 0.5, none, -1e-16, none, false, -0.5, -1e-16, Short},
		{"into each other, and wider than asked by more", ofClear, 0, 0.01, -0.02, 0.07, false, -0.06, -0.02, Fouls},
		{"too low", ofKeep, 1, 9, 0, 5, false, -1, 0, Low},
		{"too high", ofKeep, 1, 9, 4, 12, false, -3, 12, High},
		{"nearer above", ofKeep, 1, 9, 4, 8, true, 1, 8, HoldsProved},
		{"no value somewhere", ofKeep, 1, 9, 4, 8, false, -inf, 8, NoValue},
		{"nowhere assembled", ofClear, 0.5, none, none, none, false, -inf, none, Unknown},
		{"a rod that binds", ofLoose, none, 0.1, -0.4, 0.2, false, -0.3, -0.4, Binds},
		{"a rod that is free", ofLoose, none, 0.5, -0.1, 0.2, true, 0.3, 0.2, HoldsProved},
	} {
		p := judged()
		j := p.Judge(&Finding{Check: c.check, AtLeast: c.atLeast, AtMost: c.atMost, Least: c.least, Greatest: c.greats, OK: c.ok, Sure: Proved})
		if !alike(j.Margin, c.margin) || !alike(j.Worst, c.worst) || j.State != c.state {
			t.Errorf("%s: margin %v, worst %v, %v; want %v, %v, %v", c.name, j.Margin, j.Worst, j.State, c.margin, c.worst, c.state)
		}
	}
	apart := judged().Judge(&Finding{Check: ofGap, Least: none, OK: true, Apart: true, Sure: Proved})
	if apart.State != LiesApart || apart.Margin != inf || !math.IsNaN(apart.Worst) {
		t.Errorf("apart: %+v", apart)
	}
	for _, f := range []Finding{{OK: true, Sure: Sampled}, {OK: true, Sure: InPart, Unproved: []Unproved{{Interval: Interval{From: 0, To: 1}}}}} {
		if j := judged().Judge(&f); j.State != HoldsWhereSeen {
			t.Errorf("what is not proved everywhere %v", j.State)
		}
	}
}

func alike(a, b float64) bool {
	return a == b || math.IsNaN(a) && math.IsNaN(b) || math.Abs(a-b) < 1e-12
}

// Fouls come first and of each kind the tighter; a pair is told once, for the line that it holds by least.
func TestOnce(t *testing.T) {
	none := math.NaN()
	list := []Finding{
		{Check: ofClear, AtLeast: 0.5, AtMost: none, Least: 0.4, Greatest: none},
		{Check: ofGap, AtLeast: none, AtMost: 0.5, Least: 0.9, Greatest: 0.9},
		{Check: ofKeep, AtLeast: 1, AtMost: none, Least: 9, Greatest: 9, OK: true, Sure: Proved},
		{Check: ofLoose, AtLeast: none, AtMost: 0.1, Least: -0.4, Greatest: 0.2},
		{Check: ofAngle, AtLeast: 1, AtMost: none, Least: -9, Greatest: 9},
		{Check: ofSame, AtLeast: 0, AtMost: none, Least: 0.4, Greatest: none, OK: true, Sure: Proved},
		{Check: ofMeasure, AtLeast: 1, AtMost: none, Least: 2, Greatest: 9, OK: true, Sure: Proved},
	}
	p := judged()
	var order []int
	for _, told := range p.Once(list) {
		order = append(order, told.Finding.Check)
		if again := told.Finding.Check == ofClear; again != (len(told.Same) == 1) {
			t.Errorf("check %d is told with %d others", told.Finding.Check, len(told.Same))
		}
	}
	// Short by 0.4, 0.3 and 0.1, the angle behind all lengths; then what holds by 1 and by 8.
	if want := []int{ofGap, ofLoose, ofClear, ofAngle, ofMeasure, ofKeep}; !slices.Equal(order, want) {
		t.Errorf("told in the order %v, want %v", order, want)
	}
	list[ofClear].Least = -0.001
	if first := p.Once(list)[0]; first.Finding.Check != ofClear || first.State != Fouls {
		t.Errorf("a foul that is not deep comes after check %d", first.Finding.Check)
	}
	if got := [3]string{p.Called(ofSame), p.Called(ofMeasure), p.Called(ofKeep)}; got != [3]string{"again", "over_run", ""} {
		t.Errorf("called %q", got)
	}
}
