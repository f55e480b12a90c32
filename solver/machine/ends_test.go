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
