package clearance

import (
	"context"
	"math"
	"testing"

	"barover/solver/linkage"
	"barover/solver/outline"
	"barover/solver/trial"
	"barover/solver/tube"
)

var whole = tube.Range{From: 0, To: 2 * math.Pi}

func gear(t testing.TB) (*linkage.Linkage, []trial.Body, [][2]int) {
	t.Helper()
	s, bodies, err := trial.Gear(7)
	if err != nil {
		t.Fatal(err)
	}
	l, err := s.Link(0, 0)
	if err != nil {
		t.Fatal(err)
	}
	return l, bodies, trial.Pairs(bodies, 77)
}

func reaches(l *linkage.Linkage, bodies []trial.Body) []float64 {
	r := make([]float64, len(l.Schedule().Model.Parts))
	for _, b := range bodies {
		r[b.Part] = max(r[b.Part], b.Region.Centre.Len()+b.Region.Radius)
	}
	return r
}

// prove finds the least distance of every pair over tubes at several settings or over ranges.
func proveGear(t testing.TB, l *linkage.Linkage, bodies []trial.Body, pairs [][2]int, settings []tube.Range) ([]Answer, []*tube.Tube) {
	ctx := context.Background()
	plan, err := tube.NewPlan(l.Schedule(), l.Values())
	if err != nil {
		t.Fatal(err)
	}
	var tubes []*tube.Tube
	for _, r := range settings {
		tb, err := tube.Enclose(ctx, plan, tube.Following(ctx, l, whole, nil), tube.Ask{Turn: whole, Travel: []tube.Range{r}, Rest: []float64{0},
			Reach: reaches(l, bodies), Size: 200, Tolerance: 1e-3})
		if err != nil || !tb.Whole() {
			t.Fatal(err, tb.Gaps)
		}
		tubes = append(tubes, tb)
	}
	p := New(tubes, 1e-3)
	out := make([]Answer, len(pairs))
	for i, q := range pairs {
		a, b := bodies[q[0]], bodies[q[1]]
		out[i] = p.Least(ctx, Body{a.Region, a.Part}, Body{b.Region, b.Part})
	}
	return out, tubes
}

// sampleGear is the least distance of every pair at each degree, at some heights.
func sampleGear(t testing.TB, l *linkage.Linkage, bodies []trial.Body, pairs [][2]int, heights []float64) []float64 {
	out := make([]float64, len(pairs))
	for i := range out {
		out[i] = math.Inf(1)
	}
	var pose linkage.Pose
	for _, h := range heights {
		mo, err := l.Follow(context.Background(), []float64{h}, 0, 2*math.Pi, degree)
		if err != nil {
			t.Fatal(err)
		}
		for d := range 360 {
			mo.At(float64(d)*degree, &pose)
			for i, q := range pairs {
				a, b := &bodies[q[0]], &bodies[q[1]]
				out[i] = min(out[i], outline.Distance(a.Region, pose.Part[a.Part], b.Region, pose.Part[b.Part]).D)
			}
		}
	}
	return out
}

var heights2 = []tube.Range{{From: -3, To: 3}}

var heights = []tube.Range{{From: -3, To: -3}, {From: 0, To: 0}, {From: 3, To: 3}}

func TestGear(t *testing.T) {
	l, bodies, pairs := gear(t)
	sampled := sampleGear(t, l, bodies, pairs, []float64{-3, 0, 3})
	for _, settings := range [][]tube.Range{heights, {{From: -3, To: 3}}} {
		got, tubes := proveGear(t, l, bodies, pairs, settings)
		nodes, boxes := 0, 0
		for _, tb := range tubes {
			boxes += len(tb.Boxes)
		}
		for i, q := range pairs {
			a := got[i]
			nodes += a.Boxes
			if !a.Done {
				t.Errorf("%s against %s: [%g, %g] after %d", bodies[q[0]].Name, bodies[q[1]].Name, a.Lo, a.Hi, a.Boxes)
			}
			if sampled[i] < a.Lo-1e-9 || len(settings) > 1 && a.Hi > sampled[i]+2e-3 {
				t.Errorf("%s against %s: proved [%g, %g], sampled %g", bodies[q[0]].Name, bodies[q[1]].Name, a.Lo, a.Hi, sampled[i])
			}
		}
		t.Logf("%d boxes, %d parts looked at for %d pairs", boxes, nodes, len(pairs))
	}
}
