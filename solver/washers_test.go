package solver

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestFill(t *testing.T) {
	const in = 25.4
	inch := []float64{in / 64, in / 32, in * 3 / 64, in / 16}
	none := math.NaN()
	tests := []struct {
		name             string
		gap, least, most float64
		washers          []float64
		leaves           float64
	}{
		// Coupling rods from 1/4 bar for 5/16: the float grows from 0.0155 to 0.078 and a 1/16 washer leaves 0.0155.
		{"a thinner rod", 0.078 * in, 1.0 / 128 * in, 1.0 / 32 * in, []float64{in / 16}, 0.0155 * in},
		{"not too wide", 0.02 * in, none, 1.0 / 32 * in, nil, none},
		{"as wide as may be", 5.0/8*in - 9.0/16*in + in/64, in / 64, 5.0 / 64 * in * (1 - 1e-15), nil, none},
		{"no upper limit", 0.5 * in, 0, none, nil, none},
		{"two side by side", 0.1 * in, none, 0.01 * in, []float64{in * 3 / 64, in * 3 / 64}, 0.00625 * in},
		{"nothing serves", 0.3 * in, none, 0.01 * in, nil, none},
		{"nothing left over", in / 16, none, 0.01 * in, []float64{in / 16}, 0},
	}
	for _, c := range tests {
		got, leaves := Fill(c.gap, c.gap, c.least, c.most, inch)
		if len(got) != len(c.washers) || !(math.Abs(leaves-c.leaves) <= 1e-9) && !math.IsNaN(c.leaves) || math.IsNaN(c.leaves) != math.IsNaN(leaves) {
			t.Errorf("%s: %v leaving %g, want %v leaving %g", c.name, got, leaves, c.washers, c.leaves)
			continue
		}
		for i := range got {
			if got[i] != c.washers[i] {
				t.Errorf("%s: %v, want %v", c.name, got, c.washers)
			}
		}
	}
}

func TestFillKeepsTheLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stock := rapid.SliceOfN(rapid.Float64Range(0.1, 5), 0, 8).Draw(t, "stock")
		gap, least := rapid.Float64Range(-1, 12).Draw(t, "gap"), rapid.Float64Range(0, 1).Draw(t, "least")
		most := least + rapid.Float64Range(0, 2).Draw(t, "room")
		play := rapid.Float64Range(0, 1).Draw(t, "play")
		got, leaves := Fill(gap, gap+play, least, most, stock)
		if got == nil {
			for _, a := range stock {
				if gap+play > most+MeetsLength && gap-a >= least && gap+play-a <= most {
					t.Fatalf("a washer of %g would leave %g", a, gap-a)
				}
			}
			return
		}
		sum := 0.0
		for _, a := range got {
			sum += a
		}
		if !(math.Abs(gap-sum-leaves) < 1e-9) || leaves < least-MeetsLength || leaves+play > most+MeetsLength || gap+play <= most {
			t.Fatalf("gap %g: %v leave %g, asked %g to %g", gap, got, leaves, least, most)
		}
	})
}
