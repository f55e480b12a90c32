package taylor

import (
	"maps"
	"math"
	"math/rand/v2"
	"testing"
)

// kinkedSum draws a sum of kinks, of two levels, over a turn and three sizes, and returns its slot and its figure. Parts of it are used twice.
func kinkedSum(rng *rand.Rand, b *Builder) (root Slot, of func(x [4]float64) float64) {
	type part struct {
		at Slot
		of func(x [4]float64) float64
	}
	var list []part
	for range 4 {
		var w [4]float64
		sum := b.Number(rng.NormFloat64())
		mid, _ := b.Value(sum)
		for j := range w {
			w[j] = rng.NormFloat64()
			sum = b.Add(sum, b.scale(b.Param(j), w[j]))
		}
		list = append(list, part{sum, func(x [4]float64) float64 { return mid + w[0]*x[0] + w[1]*x[1] + w[2]*x[2] + w[3]*x[3] }})
	}
	for range 5 {
		p, q := list[rng.IntN(len(list))], list[rng.IntN(len(list))]
		switch rng.IntN(6) {
		case 0:
			list = append(list, part{b.Abs(p.at), func(x [4]float64) float64 { return math.Abs(p.of(x)) }})
		case 1:
			list = append(list, part{b.Min(p.at, q.at), func(x [4]float64) float64 { return min(p.of(x), q.of(x)) }})
		case 2:
			list = append(list, part{b.Max(p.at, q.at), func(x [4]float64) float64 { return max(p.of(x), q.of(x)) }})
		case 3:
			list = append(list, part{b.Sub(p.at, q.at), func(x [4]float64) float64 { return p.of(x) - q.of(x) }})
		case 4:
			list = append(list, part{b.Mul(p.at, q.at), func(x [4]float64) float64 { return p.of(x) * q.of(x) }})
		case 5:
			list = append(list, part{b.scale(p.at, -0.5), func(x [4]float64) float64 { return -0.5 * p.of(x) }})
		}
	}
	p, q, r := list[len(list)-1], list[len(list)-2], list[len(list)-3]
	return b.Add(b.Sub(p.at, q.at), r.at), func(x [4]float64) float64 { return p.of(x) - q.of(x) + r.of(x) }
}

// Along any slope between those of the sides of its kinks a figure that bends upward there is no less than what is enclosed. Where it bends
// downward it is the lesser of both sides.
func TestKinksAlongASlope(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 33))
	space, led, forked := ForSizes(1, 2*Weight+1, 3), 0, 0
	for range 3000 {
		b := NewBuilder()
		root, of := kinkedSum(rng, b)
		sign := float64(2*rng.IntN(2) - 1)
		st := NewState(&b.Tape, space)
		mid, half := rng.NormFloat64(), 0.3*rng.Float64()
		sizes := []float64{0.3 * rng.Float64(), 0.3 * rng.Float64(), 0.3 * rng.Float64()}
		var least func(lead map[Slot]float64) float64
		least = func(lead map[Slot]float64) float64 {
			st.Lead(lead)
			st.Place(&Box{Mid: []float64{mid}, Half: [][MaxVars]float64{{half}}, Middle: make([]float64, 3), Sizes: sizes}, 0, Slot(b.Tape.Len()))
			if !st.Fill(0, Slot(b.Tape.Len())) {
				t.Fatal("not enclosed")
			}
			next := maps.Clone(lead)
			for _, k := range st.Kinks(root, sign) {
				if !k.Up {
					forked++
					other := maps.Clone(lead)
					next[k.At], other[k.At] = 0, 1
					return min(least(next), least(other))
				}
			}
			for _, k := range st.Kinks(root, sign) {
				next[k.At] = rng.Float64()
				led++
			}
			if len(next) > len(lead) {
				return least(next)
			}
			poly := make([]float64, space.N)
			for i, c := range st.Poly(root) {
				poly[i] = sign * c
			}
			lo, _, _ := space.LeastOf(poly, make([]bool, 3))
			return lo - st.Rad(root)
		}
		lo := least(map[Slot]float64{})
		for range 30 {
			x := [4]float64{mid + half*(2*rng.Float64()-1)}
			for i, h := range sizes {
				x[1+i] = h * (2*rng.Float64() - 1)
			}
			if v := sign * of(x); v < lo-1e-12 {
				t.Fatalf("%v at %v, below %v", v, x, lo)
			}
		}
	}
	if led < 500 || forked < 500 {
		t.Errorf("only %d kinks along a slope, %d along one side after the other", led, forked)
	}
}
