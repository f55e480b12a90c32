package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/tube"
)

// between are both lines of an envelope at a place of the turn.
func (e *Envelope) between(turn float64) (low, high float64) {
	for i := 1; i < len(e.Turns); i++ {
		if turn <= e.Turns[i] {
			w := (turn - e.Turns[i-1]) / (e.Turns[i] - e.Turns[i-1])
			return (1-w)*e.Low[i-1] + w*e.Low[i], (1-w)*e.High[i-1] + w*e.High[i]
		}
	}
	return math.NaN(), math.NaN()
}

// TestEnvelopeHoldsEveryEngine: whatever the throw within its tolerance and wherever the eyes stand, the distance lies between the lines;
// and where it is least the lower one is near the worst of them, the upper one near the best.
func TestEnvelopeHoldsEveryEngine(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 8))
	for _, half := range []float64{10.5, 9.5} { // all clear; all foul at the worst place
		c := &playedCrank{throw: 22, rod: 130, half: half, big: 0.2, little: 0.1, slide: 0.06}
		d, check := c.draft()
		m := newMachineOf(t, d)
		const tol = 0.05
		k := &m.Problem.Checks[check]
		e, err := m.Envelopes(t.Context(), []tube.Size{{Dim: 0, Mid: c.throw, Half: tol}}).Of(t.Context(), k.A, k.B, nil, 4)
		if err != nil || e.Why != solver.NotTried {
			t.Fatal(e.Why, err)
		}
		throw := c.throw
		worst, best, at := math.Inf(1), math.Inf(-1), 55*deg
		for n := range 60000 {
			turn := 360 * deg * rng.Float64()
			if n%2 == 0 {
				turn = at
			}
			c.throw = throw + tol*(2*rng.Float64()-1)
			if rng.IntN(2) == 0 {
				c.throw = throw + math.Copysign(tol, c.throw-throw)
			}
			big, little := plane.Polar(2*math.Pi*rng.Float64()).Scale(c.big/2), plane.Polar(2*math.Pi*rng.Float64()).Scale(c.little/2)
			rod, _ := c.pose(turn, big, little, c.slide/2*(2*rng.Float64()-1))
			v := outline.Distance(c.shank, rod, c.lip, plane.Fixed).D
			low, high := e.between(turn)
			if !(math.Min(v, 4) > low-1e-9) || !(math.Min(v, 4) < high+1e-9) {
				t.Fatalf("%v at %v° lies outside %v to %v", v, turn/deg, low, high)
			}
			if turn == at {
				worst, best = math.Min(worst, v), math.Max(best, v)
			}
		}
		low, high := e.between(at)
		width := best - worst
		if worst < 0 { // how deep they overlap at least is told less closely
			width *= 20
		}
		if worst-low > 0.1*width || high-best > 0.1*width {
			t.Errorf("the envelope has %v to %v, engines %v to %v", low, high, worst, best)
		}
	}
}

// TestEnvelopeIsOpenWhereNothingIsProved: with its eyes at the ends of their play a four-bar cannot pass its dead centre. There the
// envelope has a gap, and elsewhere every engine lies within it.
func TestEnvelopeIsOpenWhereNothingIsProved(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 8))
	c := &playedBars{throw: 20, coupler: 50, rocker: 48, ground: 77.9, play: [4]float64{0.1, 0.1, 0.1, 0.1},
		on: plane.Vec{X: 25, Y: 4}, still: plane.Vec{X: 30, Y: -30}, dia: [2]float64{4, 6}}
	d := c.draft(0, math.NaN())
	m := newMachineOf(t, d)
	k := &m.Problem.Checks[0]
	e, err := m.Envelopes(t.Context(), nil).Of(t.Context(), k.A, k.B, nil, 200)
	if err != nil || e.Why != solver.NotTried {
		t.Fatal(e.Why, err)
	}
	open := 0
	for i := range e.Low {
		if math.IsNaN(e.Low[i]) != math.IsNaN(e.High[i]) {
			t.Errorf("at %v° from %v to %v", e.Turns[i]/deg, e.Low[i], e.High[i])
		}
		if math.IsNaN(e.Low[i]) {
			open++
		}
	}
	low, _ := e.between(180 * deg)
	if before, _ := e.between(160 * deg); !math.IsNaN(low) || math.IsNaN(before) || open == 0 {
		t.Errorf("nowhere below %v at 160° and %v at 180°; %d of %d places are open", before, low, open, len(e.Low))
	}
	for range 20000 {
		turn := 360 * deg * rng.Float64()
		low, high := e.between(turn)
		if math.IsNaN(low) {
			continue
		}
		var angle [4]float64
		for i := range angle {
			angle[i] = 2 * math.Pi * rng.Float64()
		}
		if v := c.apart(turn, angle); !(v > low-1e-9) || !(v < high+1e-9) {
			t.Fatalf("%v at %v° lies outside %v to %v", v, turn/deg, low, high)
		}
	}
}

func newMachineOf(t *testing.T, d *draft) *Machine {
	t.Helper()
	m, err := New(d.p, d.drawn())
	if err != nil {
		t.Fatal(err)
	}
	return m
}
