package clearance

import (
	"context"
	"testing"

	"barover/solver/tube"
)

func TestDbg(t *testing.T) {
	l, bodies, _ := gear(t)
	ctx := context.Background()
	plan, _ := tube.NewPlan(l.Schedule(), l.Values())
	for _, w := range []float64{1.5, 2, 2.5, 3} {
		tb, _ := tube.Enclose(ctx, plan, tube.Following(ctx, l, whole, nil), tube.Ask{Turn: whole, Travel: []tube.Range{{From: -w, To: w}}, Rest: []float64{0},
			Reach: reaches(l, bodies), Size: 200, Tolerance: 1e-3})
		t.Log(w, len(tb.Boxes), len(tb.Gaps))
		t.Log(tb.Reached, tb.OneBranch, tb.Closes)
		if len(tb.Boxes) > 1000 {
			for i := 0; i < 60; i++ {
				t.Log(tb.Boxes[i].Turn.From/degree, tb.Boxes[i].Turn.To/degree, tb.Boxes[i].Travel)
			}
		}
	}
}
