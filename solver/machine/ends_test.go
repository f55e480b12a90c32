package machine

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
)

// A crank's heading does not come round with the turn: its greatest is at the end, not at the start, and what falls short
// at the end does not go on over the start.
func TestHeadingAtTheEnds(t *testing.T) {
	for _, from := range []float64{0, -180, 20} {
		d := newDraft(from, from+360, 10)
		shaft := d.fixed("shaft", 0, 0)
		pin := d.found("pin")
		d.crank(shaft, pin, d.num(10))
		h := d.heading(shaft, pin)
		start := from * deg
		if from == -180 { // headings start in (-180°, 180°]
			start = math.Pi
		}
		k := d.keep(h, d.num(start+10*deg), d.num(start+2*math.Pi))
		d.measure("h", h)
		j := d.keep(h, expr.None, d.num(start+350*deg))
		res := d.study(t, d.drawn())
		e := res.Extremes[0]
		compareFigures(t, []figured{
			{"least", e.Least, start, 1e-9}, {"least at", e.LeastAt.Turn / deg, from, 1e-6},
			{"greatest", e.Greatest, start + 2*math.Pi, 1e-9}, {"greatest at", e.GreatestAt.Turn / deg, from + 360, 1e-6},
		})
		for i, want := range map[int]solver.Interval{k: {From: from * deg, To: (from + 10) * deg}, j: {From: (from + 350) * deg, To: (from + 360) * deg}} {
			f := res.Findings[i].Fouls
			if len(f) != 1 {
				t.Fatalf("from %v°: not met over %v, want %v", from, f, want)
			}
			compareFigures(t, []figured{{"from", f[0].From, want.From, 1e-6}, {"to", f[0].To, want.To, 1e-6}})
		}
	}
}

// TestBothSides: a sum that goes below the one limit and above the other is not met over the stretches of both, whichever is
// worse. The pin of a crank of 10 is at 10·cos of the turn.
func TestBothSides(t *testing.T) {
	d := newDraft(0, 360, 5)
	o, p := d.fixed("o", 0, 0), d.found("p")
	d.crank(o, p, d.num(10))
	d.part("crank", o, p)
	d.keep(d.g.X(p), d.num(-9), d.num(9.5))
	f := d.study(t, d.drawn()).Findings[0]
	low, high := math.Acos(-0.9), math.Acos(0.95)
	want := []solver.Interval{{From: low, To: 2*math.Pi - low}, {From: 2*math.Pi - high, To: 2*math.Pi + high}}
	if f.Sure != solver.Proved || f.OK || len(f.Fouls) != len(want) {
		t.Fatalf("%v, ok %v, not met over %v; want %v", f.Sure, f.OK, f.Fouls, want)
	}
	for i, w := range want {
		if got := f.Fouls[i]; !(math.Abs(got.From-w.From) <= fine) || !(math.Abs(got.To-w.To) <= fine) {
			t.Errorf("not met over %v, want %v", got, w)
		}
	}
}
