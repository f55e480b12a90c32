package machine

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
)

// twoDiscs is a disc of diameter 10 on a crank of 20 that passes another fixed at (x, 0), with bands across 0..5 and
// from..from+5.
func twoDiscs(x, from float64) (d *draft, a, b int) {
	d = newDraft(0, 360, 5)
	o, pin := d.fixed("shaft", 0, 0), d.found("pin")
	d.crank(o, pin, d.num(20))
	crank := d.part("crank", o, pin)
	f := d.dim("from", from)
	a = d.profile(crank, "web", d.num(0), d.num(5), d.disc(d.num(20), d.num(0), d.num(10)))
	b = d.profile(0, "plate", f, d.g.Add(f, d.num(5)), d.disc(d.dim("x", x), d.num(0), d.num(10)))
	return d, a, b
}

func TestGap(t *testing.T) {
	none := math.NaN()
	tests := []struct {
		name        string
		x, from     float64
		least, most float64
		play        float64
		want        float64 // NaN: they never pass
		ok          bool
		fouls       int
	}{
		{"clear by 2", 25, 7, none, none, 0, 2, true, 0},
		{"sideplay of both taken off", 25, 7, none, none, 0.5, 1, true, 0},
		{"into each other", 25, 4, none, none, 0, -1, false, 1},
		{"into each other, yet asked for", 25, 4, -1, none, 0, -1, true, 0},
		{"the other way round", 25, -7, 1, none, 0, 2, true, 0},
		{"less than asked", 25, 7, 2.5, none, 0, 2, false, 1},
		{"exactly as asked", 25, 7.3, 2.3, none, 0, 2.3, true, 0},
		{"more than wanted", 25, 7, none, 1, 0, 2, false, 1},
		{"at most, but into each other", 25, 4, none, 1, 0, -1, false, 1},
		{"never pass", 31, 4, none, none, 0, none, true, 0},
	}
	for _, c := range tests {
		d, a, b := twoDiscs(c.x, c.from)
		limit := func(v float64) expr.ID {
			if math.IsNaN(v) {
				return expr.None
			}
			return d.num(v)
		}
		d.gap(a, b, limit(c.least), limit(c.most))
		d.p.Sideplay = []expr.ID{d.num(c.play), d.num(c.play)}
		f := d.study(t, d.drawn()).Findings[0]
		if f.OK != c.ok || len(f.Fouls) != c.fouls || f.Apart != math.IsNaN(c.want) {
			t.Errorf("%s: got %+v", c.name, f)
		}
		if !math.IsNaN(c.want) {
			compareFigures(t, []figured{{c.name, f.Least, c.want, 1e-12}})
		} else if !math.IsNaN(f.Least) {
			t.Errorf("%s: got %v, want nothing measured", c.name, f.Least)
		}
		if c.fouls == 1 { // discs of 10 on 20 and 25: they overlap within ± acos((20² + 25² − 10²) / 2·20·25)
			within := math.Acos(925.0 / 1000)
			compareFigures(t, []figured{
				{c.name + " from", f.Fouls[0].From, 2*math.Pi - within, 1e-9},
				{c.name + " to", f.Fouls[0].To, 2*math.Pi + within, 1e-9},
			})
		}
	}
}

// TestGapBarelyPassed: two that overlap in the side view by less than counts as a miss pass each other all the same, and
// where is told, proved and looked at alike.
func TestGapBarelyPassed(t *testing.T) {
	for _, deep := range []float64{1e-3, 1e-4, 5e-5, 1e-5, 1e-6} {
		for _, sampled := range []bool{false, true} {
			d, a, b := twoDiscs(30-deep, 7)
			d.gap(a, b, d.num(2.5), expr.None)
			res, err := study(t.Context(), d.p, d.drawn(), Options{Sampled: sampled})
			if err != nil {
				t.Fatal(err)
			}
			f := res.Findings[0]
			if f.OK || f.Apart || len(f.Fouls) != 1 {
				t.Errorf("overlapping by %g (sampled %v): %+v", deep, sampled, f)
				continue
			}
			x := 30 - deep
			within := math.Acos((400 + x*x - 100) / (2 * 20 * x))
			from, to := f.Fouls[0].From, f.Fouls[0].To
			if off := math.Max(math.Abs(from+within-2*math.Pi), math.Abs(to-within-2*math.Pi)); !(off <= math.Max(1e-7, f.Fouls[0].Out)) {
				t.Errorf("overlapping by %g (sampled %v): from %v to %v, want %v either way of the start", deep, sampled, from, to, within)
			}
		}
	}
}

// Profiles whose bands across do not overlap, sideplay included, are left out of the side view and said to be.
func TestBandsApart(t *testing.T) {
	tests := []struct {
		name       string
		from, play float64
		apart      bool
	}{
		{"apart", 7, 0, true},
		{"face to face", 5, 0, true},
		{"sideplay brings them together", 7, 1.1, false},
		{"sideplay does not reach", 7, 0.9, true},
		{"overlap", 3, 0, false},
	}
	for _, c := range tests {
		d, a, b := twoDiscs(25, c.from)
		d.p.Sideplay = []expr.ID{d.num(c.play), d.num(c.play)}
		d.clear(a, b, d.num(1))
		res := d.study(t, d.drawn())
		f := res.Findings[0]
		if f.Apart != c.apart || f.OK != c.apart {
			t.Errorf("%s: got %+v", c.name, f)
		}
		if got := len(res.LeftOut) == 1 && res.LeftOut[0] == (solver.LeftOut{A: "crank.web", B: "frame.plate", Why: solver.NeverAcross}); got != c.apart {
			t.Errorf("%s: left out: %v", c.name, res.LeftOut)
		}
		if !c.apart && !(math.Abs(f.Least+5) <= 1e-9) {
			t.Errorf("%s: got %v, want -5", c.name, f.Least)
		}
	}
}
