package outline

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
)

// speeds returns the derivative of the distance by every dimension of both outlines, a and b drawn with one draft, from
// the motion of the two nearest places.
func speeds(d *draft, v *expr.Values, a, b *Region, pb plane.Placement) []float64 {
	n := Distance(a, plane.Fixed, b, pb)
	grad := expr.NewGradient(&d.Graph, 0, 0)
	seeds := a.Seeds(nil, n.A, n.P, n.Normal, -1)
	seeds = b.Seeds(seeds, n.B, pb.In(n.Q), n.Normal.Against(pb.Dir), 1)
	expr.NewEval(v).Backward(seeds, &expr.Context{}, grad)
	return grad.Dim
}

// differences returns the same by building and measuring again with each dimension a little more and a little less. Where
// the slopes on the two sides differ, the place is a kink and the result NaN.
func differences(d *draft, as, bs []Shape, pb plane.Placement) []float64 {
	const h = 1e-5
	at := func(k int, by float64) float64 {
		v := expr.Resolve(&d.Graph, nil)
		v = expr.Resolve(&d.Graph, map[int]float64{k: v.At(d.Dims[k]) + by})
		a, err := Build(as, v)
		if err != nil {
			return math.NaN()
		}
		b, err := Build(bs, v)
		if err != nil {
			return math.NaN()
		}
		return Distance(a, plane.Fixed, b, pb).D
	}
	out := make([]float64, len(d.Dims))
	for k := range out {
		lo, mid, hi := at(k, -h), at(k, 0), at(k, h)
		out[k] = (hi - lo) / (2 * h)
		if math.Abs((hi-mid)-(mid-lo)) > 1e-3*h {
			out[k] = math.NaN()
		}
	}
	return out
}

// TestVelocity compares the derivative of the distance by each dimension of the shapes with central differences, with
// every kind of shape, apart and overlapping, at edges and at corners.
func TestVelocity(t *testing.T) {
	kinds := []struct {
		name string
		make func(d *draft) []Shape
	}{
		{"disc", func(d *draft) []Shape { return []Shape{d.disc(1, 2, 14)} }},
		{"box", func(d *draft) []Shape { return []Shape{d.box(9, 5, -8, -6)} }},
		{"taper", func(d *draft) []Shape { return []Shape{d.strip(-9, 2, 11, -3, 10, 5, false)} }},
		{"round bar", func(d *draft) []Shape { return []Shape{d.strip(-9, 2, 11, -3, 10, 10, true)} }},
		{"round taper", func(d *draft) []Shape { return []Shape{d.strip(-9, 2, 11, -3, 12, 5, true)} }},
		{"bulged path", func(d *draft) []Shape {
			return []Shape{d.path(-9, -5, leg{8, -6, 20, false}, leg{x: 9, y: 7}, leg{-7, 8, 9, false})}
		}},
		{"hollow path", func(d *draft) []Shape {
			return []Shape{d.path(-9, -5, leg{8, -6, -20, false}, leg{x: 9, y: 7}, leg{-7, 8, -12, false})}
		}},
		{"the long way round", func(d *draft) []Shape { return []Shape{d.path(3, -4, leg{4, 5, 8, true})} }},
		{"half circle", func(d *draft) []Shape { return []Shape{d.path(6, -4, leg{-5, 7, math.Hypot(11, 11) / 2, false})} }},
		{"disc on a bar", func(d *draft) []Shape { return []Shape{d.disc(-8, 0, 14), d.strip(-8, 0, 12, 1, 6, 6, true)} }},
		{"eye", func(d *draft) []Shape { return []Shape{d.disc(0, 0, 30), hole(d.disc(1, 0.5, 22))} }},
		{"window", func(d *draft) []Shape { return []Shape{d.box(-20, -20, 20, 20), hole(d.box(-11, -12, 12, 11))} }},
	}
	t.Logf("seed %d", *seed)
	rnd := rand.New(rand.NewPCG(*seed, 6))
	compared, overlapping, corners, rough := 0, 0, 0, 0
	for _, ka := range kinds {
		seen := 0
		for i := range 16 {
			kb := kinds[(i*5)%len(kinds)]
			d := &draft{}
			as, bs := ka.make(d), kb.make(d)
			v := expr.Resolve(&d.Graph, nil)
			a, b := d.build(t, as...), d.build(t, bs...)
			far := 60.0
			if i%3 == 0 {
				far = 14
			}
			pb := plane.Placement{Origin: plane.Polar(rnd.Float64() * 6.28).Scale(far * rnd.Float64()), Dir: plane.Polar(rnd.Float64() * 6.28)}
			n := Distance(a, plane.Fixed, b, pb)
			if n.Rough {
				rough++
				continue
			}
			got, want := speeds(d, v, a, b, pb), differences(d, as, bs, pb)
			for k := range want {
				if math.IsNaN(want[k]) {
					continue
				}
				compared++
				if want[k] != 0 {
					seen++
				}
				if math.Abs(got[k]-want[k]) > 1e-6*math.Max(1, math.Abs(want[k])) {
					t.Errorf("%s and %s at %v, D = %g: by dimension %d %g, by differences %g", ka.name, kb.name, pb, n.D, k, got[k], want[k])
				}
			}
			if n.D < 0 {
				overlapping++
			}
			if n.A.Line[1] >= 0 || n.B.Line[1] >= 0 {
				corners++
			}
		}
		if seen < 4 {
			t.Errorf("%s: only %d derivatives that are not zero", ka.name, seen)
		}
	}
	t.Logf("%d derivatives, %d pairs overlapping, %d at corners, %d rough", compared, overlapping, corners, rough)
	if overlapping < 10 || corners < 10 || rough > 70 {
		t.Errorf("%d overlapping, %d at corners: too few, or %d rough: too many", overlapping, corners, rough)
	}
}

// TestStatement: an edge knows the statement of its shape.
func TestStatement(t *testing.T) {
	d := &draft{}
	r := d.build(t, d.box(0, 0, 20, 10), d.disc(20, 5, 10), hole(d.disc(20, 5, 4)))
	count := map[int]int{}
	for i := range r.edges {
		count[r.Statement(r.edges[i].Line)]++
	}
	if len(r.edges) != 5 || count[1] != 3 || count[2] != 1 || count[3] != 1 || r.Statement(cutLine) != 0 {
		t.Errorf("edges by statement: %v", count)
	}
}

// TestHalfCircleVelocity: the radius of a half circle follows from its ends, so that moving them moves it.
func TestHalfCircleVelocity(t *testing.T) {
	d := &draft{}
	w := d.num(10)
	half := d.Div(w, d.Const(2))
	zero := d.num(0)
	s := Shape{Kind: Path, Stmt: 1, P: [2]Place{{half, zero}, nowhere}}
	s.Steps = []Step{{To: Place{d.Unary(expr.Neg, half), zero}, Radius: half, Left: true}}
	post := d.disc(0, 20, 4)
	v := expr.Resolve(&d.Graph, nil)
	a, b := d.build(t, s), d.build(t, post)
	if got := speeds(d, v, a, b, plane.Fixed)[0]; math.Abs(got+0.5) > 1e-12 {
		t.Errorf("distance by the width %g, want -0.5", got)
	}
}
