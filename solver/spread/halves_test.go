package spread_test

import (
	"fmt"
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/trial/engine"
)

// A gap asks not to be below zero where it asks nothing else of its lower side, and a worst case below zero is that side's
// whatever the upper one asks. The figure is 3.5 by hand, and the rod's place counts whole.
func TestGapBelowNought(t *testing.T) {
	none := math.NaN()
	tests := []struct {
		least, most, by float64
		worst           float64
		upper, ok       bool
	}{
		{none, none, 3.4, 0.1, false, true},
		{none, none, 3.6, -0.1, false, false},
		{0.5, none, 3.6, -0.1, false, false},
		{0.5, 10, 3.0, 0.5, false, true},
		{0.5, 10, 3.1, 0.4, false, false},
		{0.5, 10, 3.51, -0.01, false, false},
		{0.5, 10, 5, -1.5, false, false},
		{none, 10, 3.4, 0.1, false, true},
		{none, 10, 3.51, -0.01, false, false},
		{none, 4, 0.4, 3.9, true, true},
		{none, 4, 0.6, 4.1, true, false},
		{none, 4, 3.51, 7.01, true, false},
		{-9, 4, 1, 4.5, true, false},
		{-9, 4, 8, 11.5, true, false},
		{-1, 40, 4, -0.5, false, true},
		{-1, 40, 5, -1.5, false, false},
	}
	for _, c := range tests {
		t.Run(fmt.Sprint(c.least, c.most, c.by), func(t *testing.T) {
			e := engine.New()
			limit := func(v float64) expr.ID {
				if math.IsNaN(v) {
					return expr.None
				}
				return e.Problem.Graph.Const(v)
			}
			of := e.Problem.Checks[engine.Beside]
			of.AtLeast, of.AtMost = limit(c.least), limit(c.most)
			e.Problem.Checks = []solver.Check{of}
			a := carried(t, e, machine.Options{}, 60, within(e, "rod_out", -c.by, c.by)).Checks[0]
			if !(math.Abs(a.Worst-c.worst) <= 1e-9) || a.Upper != c.upper || a.OK != c.ok || a.Drawn || !(math.Abs(a.RSS-c.worst) <= 1e-9) {
				t.Errorf("worst %v, rss %v, upper %v, ok %v, drawn %v; want %v, upper %v, ok %v", a.Worst, a.RSS, a.Upper, a.OK, a.Drawn,
					c.worst, c.upper, c.ok)
			}
			if a.OK && a.Short > 0 || math.IsInf(a.Room, 0) {
				t.Errorf("%d engines fall short, the worst leaves %v", a.Short, a.Room)
			}
		})
	}
}
