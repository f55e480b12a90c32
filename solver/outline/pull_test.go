package outline

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/plane"
)

// TestPull compares how the distance changes when an outline is moved and turned with differences, apart and overlapping,
// with every kind of place at which a depth beside holes may stand.
func TestPull(t *testing.T) {
	t.Logf("seed %d", *seed)
	rnd := rand.New(rand.NewPCG(*seed, 14))
	set := profiles(60, false)
	compared, rough := 0, 0
	for range 6000 {
		a, b := set[rnd.IntN(len(set))], set[rnd.IntN(len(set))]
		if a.err != nil || b.err != nil {
			t.Fatalf("cannot be made: %v %v", a.err, b.err)
		}
		pa := placed(rnd.Float64()*30-15, rnd.Float64()*30-15, rnd.Float64()*6.28)
		pb := placed(rnd.Float64()*40-20, rnd.Float64()*40-20, rnd.Float64()*6.28)
		n := Distance(a.Region, pa, b.Region, pb)
		va, vb := plane.Polar(rnd.Float64()*6.28), plane.Polar(rnd.Float64()*6.28)
		wa, wb := rnd.Float64()*0.1, rnd.Float64()*0.1
		const h = 1e-6
		at := func(k float64) float64 {
			qa := plane.Placement{Origin: pa.Origin.Add(va.Scale(k)), Dir: pa.Dir.Times(plane.Polar(k * wa))}
			qb := plane.Placement{Origin: pb.Origin.Add(vb.Scale(k)), Dir: pb.Dir.Times(plane.Polar(k * wb))}
			return Distance(a.Region, qa, b.Region, qb).D
		}
		lo, hi := at(-h), at(h)
		if math.Abs(hi-2*n.D+lo) > 1e-3*h {
			continue // a kink
		}
		speed := func(p plane.Placement, v plane.Vec, w float64) plane.Vec {
			return v.Add(n.At.Sub(p.Origin).Turned().Scale(w))
		}
		got, want := n.Pull.Dot(speed(pb, vb, wb).Sub(speed(pa, va, wa))), (hi-lo)/(2*h)
		compared++
		if n.Rough {
			rough++
		}
		if !(math.Abs(got-want) <= 1e-4*math.Max(1, math.Abs(want))) {
			t.Errorf("D = %g, rough %v: moves by %g, by differences %g at %v %v%s\nand%s", n.D, n.Rough, got, want, pa, pb, a.describe(), b.describe())
		}
	}
	t.Logf("%d compared, %d of them rough", compared, rough)
	if compared < 5000 || rough < 200 {
		t.Errorf("only %d compared, %d of them rough", compared, rough)
	}
}
