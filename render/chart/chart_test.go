package chart

import (
	"math"
	"testing"

	"barover/render/drawing"
	"barover/solver/plane"
)

func TestSteps(t *testing.T) {
	for _, c := range []struct {
		length float64
		want   float64
	}{{1, 0.2}, {5, 1}, {7, 2}, {0.03, 0.01}, {360, 100}, {25, 5}, {26, 10}} {
		if got := Step(c.length, 5); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v: %v, want %v", c.length, got, c.want)
		}
	}
}

// TestChartStaysInItsBox: whatever is charted, nothing is drawn outside.
func TestChartStaysInItsBox(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	thin := &drawing.Style{Name: "thin", Width: 0.2, Line: drawing.Continuous, Stroke: drawing.RGB(0)}
	box := drawing.Box{Min: plane.Vec{X: 20, Y: 20}, Max: plane.Vec{X: 120, Y: 90}}
	for _, c := range []Chart{
		{},
		{X: Axis{From: nan, To: 1}, Y: Axis{From: 1, To: inf}},
		{X: Axis{To: 1e-300}, Y: Axis{From: -1e300, To: 1e300}},
		{X: Axis{Name: "crank", To: 6.28, Step: 1e-9}, Y: Axis{Name: "clearance, mm", From: -1, To: 3},
			Curves: []Curve{{Name: "at rest", Style: thin, Points: []plane.Vec{{Y: -100}, {X: 3, Y: 2}, {X: nan}, {X: 4, Y: inf}, {X: 5, Y: 1}, {X: 9, Y: 1}}}},
			Levels: []Level{{Y: 1, Name: "asked", Style: thin}, {Y: 99, Style: thin}, {Y: nan, Style: thin}},
			Bands:  []Band{{From: 1, To: 2, Style: thin}, {From: -5, To: 99, Style: thin}, {From: nan, To: 2, Style: thin}},
			Marks:  []Mark{{At: plane.Vec{X: 6, Y: 2.9}, Name: "the tightest place of all"}, {At: plane.Vec{X: nan}}}},
	} {
		d := drawing.New("", 200, 200)
		l := d.Layer("l", "l")
		Draw(l, box, c)
		if len(d.Sound(l)) == 0 {
			t.Errorf("%+v: nothing drawn", c)
		}
		for _, i := range d.Sound(l) {
			b := drawing.NoBox()
			switch v := i.(type) {
			case drawing.Shape:
				b = v.Path.Bounds()
			case drawing.Text:
				b = v.Box()
			}
			if g := box.Grown(0.01); !g.Holds(b.Min) || !g.Holds(b.Max) {
				t.Errorf("%+v: %+v lies outside", c, i)
			}
		}
	}
}
