package machine

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
)

// Whatever the dimensions are, a study ends with an answer or with faults, and never says that something holds of which it
// has no figure.
func TestAnyDimensions(t *testing.T) {
	odd := []float64{0, -1, 1e-12, 1e-3, 5, 17, 60, 120, 1e3, 1e9, 1e300, math.NaN(), math.Inf(1)}
	rapid.Check(t, func(r *rapid.T) {
		d := leverEngine(rand.New(rand.NewPCG(rapid.Uint64().Draw(r, "engine"), 1)))
		fixed := make(map[int]float64)
		for range rapid.IntRange(0, 3).Draw(r, "odd ones") {
			dim := rapid.IntRange(0, len(d.p.Dims)-1).Draw(r, "dimension")
			fixed[dim] = rapid.SampledFrom(odd).Draw(r, "value")
		}
		sampled := rapid.Bool().Draw(r, "sampled")
		res, err := study(t.Context(), d.p, expr.Resolve(d.g, fixed), Options{Sampled: sampled, Levers: ShortLevers})
		var faults linkage.Faults
		if err != nil {
			if !errors.As(err, &faults) {
				r.Fatalf("neither an answer nor faults: %v", err)
			}
			return
		}
		for i := range res.Findings {
			f := &res.Findings[i]
			if f.OK && !f.Apart && math.IsNaN(f.Least) {
				r.Errorf("holds without a figure: %+v", f)
			}
			if f.OK && len(f.Fouls) > 0 || !f.OK && !math.IsNaN(f.Least) && len(f.Fouls) == 0 && f.Sure == solver.Proved && len(f.Unproved) == 0 {
				r.Errorf("ok and fouls do not agree: %+v", f)
			}
			for _, v := range f.Fouls {
				if !(v.From <= v.To) || v.To-v.From > d.p.Turn.To-d.p.Turn.From+1e-9 {
					r.Errorf("fouls %v", f.Fouls)
				}
			}
			for _, l := range f.Levers {
				if math.IsNaN(l.PerUnit) {
					r.Errorf("lever without a figure: %+v", l)
				}
			}
		}
	})
}

func BenchmarkStudy(b *testing.B) {
	e := newTrunkEngine()
	v := e.drawn()
	for _, c := range []struct {
		name string
		o    Options
	}{{"proved", Options{Workers: 1}}, {"sampled", Options{Workers: 1, Sampled: true}}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := study(b.Context(), e.p, v, c.o); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
