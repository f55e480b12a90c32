package taylor

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Between the ends of a range a convex figure lies below its chord. So |a| from lo < 0 to hi > 0 lies within lo·hi/(lo-hi) of a line, and no
// line is nearer. The greater of a and b is (a + b + |a - b|)/2, the lesser (a + b - |a - b|)/2.
func TestKinksAreAsNearAsALineCanBe(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 25))
	for range 300 {
		mid, half, b0, b1 := 2*rng.Float64()-1, 0.1+rng.Float64(), 2*rng.Float64()-1, 2*rng.Float64()-1
		b := NewBuilder()
		a := b.Param(0)
		other := b.Add(b.scale(a, b1), b.Number(b0))
		kinks := []struct {
			at    Slot
			of    func(x float64) float64
			share float64 // of the radius of |d|
		}{
			{b.Abs(b.Sub(a, other)), func(x float64) float64 { return math.Abs(x - (b1*x + b0)) }, 1},
			{b.Min(a, other), func(x float64) float64 { return min(x, b1*x+b0) }, 0.5},
			{b.Max(a, other), func(x float64) float64 { return max(x, b1*x+b0) }, 0.5},
		}
		st := NewState(&b.Tape, For(1, 4))
		st.Place(&Box{Mid: []float64{mid}, Half: [][MaxVars]float64{{half}}}, 0, Slot(b.Tape.Len()))
		if !st.Fill(0, Slot(b.Tape.Len())) {
			t.Fatal("not enclosed")
		}
		diff := func(x float64) float64 { return x - (b1*x + b0) }
		p, q := diff(mid-half), diff(mid+half)
		want := 0.0
		if p*q < 0 {
			want = -p * q / (math.Abs(p) + math.Abs(q))
		}
		for i, k := range kinks {
			if rad := st.Rad(k.at); rad > k.share*want+1e-12 {
				t.Errorf("kink %d of %v by %v, %v and %v: radius %v, want %v", i, mid, half, b0, b1, rad, k.share*want)
			}
			for range 20 {
				tau := [MaxVars]float64{2*rng.Float64() - 1}
				v := k.of(mid + half*tau[0])
				if off := math.Abs(v - st.Space.Value(st.Poly(k.at), &tau)); off > st.Rad(k.at)+1e-14 {
					t.Errorf("kink %d of %v by %v, %v and %v: off by %v, radius %v", i, mid, half, b0, b1, off, st.Rad(k.at))
				}
			}
		}
	}
}
