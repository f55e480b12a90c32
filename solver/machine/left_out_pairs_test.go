package machine

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/outline"
)

// webAndPlate is a web, 16 wide and 40 from the shaft to the end of its round, with a band across 0..5, and beside it what
// stands in the frame from..from+5, which the web is to clear by 0.5.
func webAndPlate(from float64, plate func(d *draft) []outline.Shape) (d *draft, shaft int, c solver.Check) {
	d = newDraft(0, 360, 5)
	shaft, pin := d.fixed("shaft", 0, 0), d.found("pin")
	d.crank(shaft, pin, d.num(32))
	crank := d.part("crank", shaft, pin)
	a := d.profile(crank, "web", d.num(0), d.num(5), d.strip(d.num(32), d.num(16), d.num(16), true))
	b := d.profile(0, "plate", d.num(from), d.num(from+5), plate(d)...)
	return d, shaft, solver.Check{Kind: solver.Clear, Stmt: d.next(), A: a, B: b, Sum: expr.None, AtLeast: d.num(0.5), AtMost: expr.None}
}

// boxed is a box, and bored one with a hole about the shaft.
func boxed(x1, y1, x2, y2 float64) func(d *draft) []outline.Shape {
	return func(d *draft) []outline.Shape {
		return []outline.Shape{d.box(d.num(x1), d.num(y1), d.num(x2), d.num(y2))}
	}
}

func bored(x1, y1, x2, y2, dia float64) func(d *draft) []outline.Shape {
	return func(d *draft) []outline.Shape {
		hole := d.disc(d.num(0), d.num(0), d.num(dia))
		hole.Hole = true
		return append(boxed(x1, y1, x2, y2)(d), hole)
	}
}

// TestAside looks at a web that turns on a shaft in the frame, and at what else of the frame is about.
func TestAside(t *testing.T) {
	none := math.NaN()
	tests := []struct {
		name  string
		plate func(d *draft) []outline.Shape
		from  float64
		least float64 // NaN where the pin accounts for the pair
	}{
		{"bed into which the web dips", boxed(-50, -60, 50, -38), 0, -2},
		{"bed nearer than asked", boxed(-50, -60, 50, -40.25), 0, 0.25},
		{"bed as far off as asked", boxed(-50, -60, 50, -40.5), 0, none},
		{"bed beside the web", boxed(-50, -60, 50, -38), 5, none},
		{"corner within the ring", boxed(30, 20, 50, 50), 0, math.Hypot(30, 20) - 40},
		{"bracket round the shaft", boxed(-10, -10, 10, 10), 0, none},
		{"bracket that ends at the shaft", boxed(-10, -10, 10, 0), 0, none},
		{"bearing", bored(-10, -10, 10, 10, 16), 0, none},
		{"bearing with a bush that is not drawn", bored(-12, -12, 12, 12, 20), 0, none},
		{"case in which the web goes round", bored(-60, -60, 60, 60, 81), 0, none},
		{"case too tight for it", bored(-60, -60, 60, 60, 78), 0, -1},
	}
	for _, c := range tests {
		d, shaft, asks := webAndPlate(c.from, c.plate)
		d.p.Pinned = []solver.Pinned{{Check: asks, Pins: []int{shaft}}}
		aside := d.study(t, d.drawn()).Aside
		if math.IsNaN(c.least) {
			if len(aside) > 0 {
				t.Errorf("%s: got %+v, want nothing said", c.name, aside[0].Finding)
			}
			continue
		}
		if len(aside) != 1 {
			t.Errorf("%s: got %d answers, want 1", c.name, len(aside))
			continue
		}
		f := aside[0].Finding
		compareFigures(t, []figured{{c.name, f.Least, c.least, 1e-6}})
		if f.OK || f.Sure != solver.Proved || len(f.Fouls) == 0 {
			t.Errorf("%s: got %+v, want it not met, proved", c.name, f)
		}
		d.p.Pinned, d.p.Checks = nil, []solver.Check{asks}
		if diff := cmp.Diff(d.study(t, d.drawn()).Findings[0], f, cmpopts.EquateNaNs()); diff != "" {
			t.Errorf("%s: other than as a check (-check +aside):\n%s", c.name, diff)
		}
	}
}

// TestAsideStandsBehind holds the number of what is looked at aside: it must not be taken for a check, and the checks must
// come out as they do without it.
func TestAsideStandsBehind(t *testing.T) {
	d, shaft, asks := webAndPlate(0, boxed(-50, -60, 50, -38))
	d.keep(d.num(3), d.num(2), expr.None)
	less := asks
	less.AtLeast = d.num(0.1)
	d.p.Pinned = []solver.Pinned{{Check: less, Pins: []int{shaft}}, {Check: asks, Pins: []int{shaft}}, {Check: less, Pins: []int{shaft}}}
	for _, o := range []Options{{}, {Sampled: true}, {Checks: true}} {
		res, err := study(t.Context(), d.p, d.drawn(), o)
		if err != nil {
			t.Fatal(err)
		}
		if len(res.Findings) != 1 || !res.OK() || len(res.Aside) != 1 || res.Aside[0].Finding.Check != 1 {
			t.Fatalf("%+v: got %+v", o, res)
		}
		if f := &res.Aside[0].Finding; f.AtLeast != 0.5 || math.Abs(f.Least+2) > 1e-6 || (f.Sure == solver.Proved) == o.Sampled {
			t.Errorf("%+v: got %+v, want -2 of 0.5 asked", o, f)
		}
		asked := res.Asked(d.p)
		if len(asked.Checks) != 2 || len(d.p.Checks) != 1 || asked.Judge(&res.Aside[0].Finding).Margin > -2.4 {
			t.Errorf("%+v: got checks %+v", o, asked.Checks)
		}
	}
}

// TestAsideWithoutValue asks for a distance that is no number.
func TestAsideWithoutValue(t *testing.T) {
	d, shaft, asks := webAndPlate(0, boxed(-50, -60, 50, -38))
	asks.AtLeast = d.g.Div(d.num(1), d.num(0))
	d.p.Pinned = []solver.Pinned{{Check: asks, Pins: []int{shaft}}}
	_, err := study(t.Context(), d.p, d.drawn(), Options{})
	if faults := (linkage.Faults)(nil); !errors.As(err, &faults) || faults[0].Stmt != asks.Stmt {
		t.Errorf("got %v, want a fault of statement %d", err, asks.Stmt)
	}
}
