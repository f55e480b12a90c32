package tube

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/taylor"
)

// TestRates puts the speeds and accelerations of points against those of the motion, at random places of random parts of boxes.
func TestRates(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, b := range benches(t)[:8] {
		tube, l := b.enclose(t)
		r, ok := newRates(tube.Plan, 2)
		if !ok {
			t.Fatalf("%s: no rates", b.name)
		}
		run := newRateRunner(r, tube)
		looked, worst := 0, [2]float64{}
		for range 300 {
			i := rng.IntN(len(tube.Boxes))
			box := &tube.Boxes[i]
			p, tau := Full(), local(rng)
			for k := range tube.vary {
				p.Half[k] = math.Pow(10, -4*rng.Float64())
				p.Mid[k] = (1 - p.Half[k]) * (2*rng.Float64() - 1)
			}
			if !run.over(box, &p) {
				continue
			}
			turn, travel := tube.Position(box, &p, &tau)
			mo, err := l.Follow(context.Background(), travel, b.over.From, b.over.To, degree)
			if err != nil {
				t.Fatal(err)
			}
			var pose linkage.Pose
			if mo.At(turn, &pose) != linkage.Solved || slices.ContainsFunc(tube.Gives, func(g Give) bool { return g.Covers(turn, travel) }) {
				continue // beside a change point the motion follows a cubic, whose slopes are not as near
			}
			var c expr.Context
			mo.Rates(&pose, &c)
			at := tube.local(box, turn, travel)
			for k := range tube.vary {
				if p.Half[k] > 0 {
					at[k] = (at[k] - p.Mid[k]) / p.Half[k]
				}
			}
			for order, want := range [2][2][]float64{{c.DX, c.DY}, {c.DDX, c.DDY}} {
				for k, z := range r.point[order] {
					for i, s := range [2]slot{z.x, z.y} {
						got, want := tube.Space.Value(run.st.Poly(s), &at), want[i][k]
						if d := math.Abs(got - want); d > run.st.Rad(s)+1e-6*max(1, math.Abs(want)) {
							t.Fatalf("%s: point %d at %v°, part %v, order %d: %.9g ± %.3g, want %.9g", b.name, k, turn/degree, p, order, got, run.st.Rad(s), want)
						}
						worst[order] = max(worst[order], run.st.Rad(s))
					}
				}
			}
			looked++
		}
		if looked < 100 {
			t.Errorf("%s: only %d looked at", b.name, looked)
		}
		t.Logf("%s: %d looked at, greatest radius %.3g", b.name, looked, worst)
	}
}

func local(rng *rand.Rand) (tau [taylor.MaxVars]float64) {
	for k := range tau {
		tau[k] = 2*rng.Float64() - 1
	}
	return tau
}
