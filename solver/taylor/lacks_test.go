package taylor

import (
	"math"
	"testing"
)

// TestPowerBelowZero: a whole power has a value below zero, however large it is, and a root of a power has none.
func TestPowerBelowZero(t *testing.T) {
	for _, c := range []struct {
		k     float64
		lacks bool
	}{{2, false}, {66, false}, {67, false}, {0.5, true}, {2.5, true}} {
		for _, mid := range []float64{-1.5, -0.25} {
			b := NewBuilder()
			p := b.Power(b.Param(0), c.k)
			st := NewState(&b.Tape, For(1, 3))
			st.AllowEnds()
			st.Place(&Box{Mid: []float64{mid}, Half: [][MaxVars]float64{{0.5}}}, 0, Slot(b.Tape.Len()))
			filled := st.Fill(0, Slot(b.Tape.Len()))
			if got := filled && st.Lacks(0, Slot(b.Tape.Len())); got != (c.lacks && mid < -1) {
				t.Errorf("%v to the power %v: has no value: %v", mid, c.k, got)
			}
			lo, hi := st.Range(p)
			for _, x := range []float64{mid - 0.5, mid, mid + 0.5} {
				if v := math.Pow(x, c.k); filled && (v < lo || v > hi) {
					t.Errorf("%v to the power %v is %v, beyond %v to %v", x, c.k, v, lo, hi)
				}
			}
		}
	}
}
