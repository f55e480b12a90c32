package sheet

import (
	"math"
	"testing"

	"barover/render/drawing"
	"barover/render/office"
	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/plane"
)

// crankLines are the lines of the crank's layer that are long enough to be its way, by their styles.
func crankLines(d *drawing.Drawing) map[string]drawing.Path {
	out := map[string]drawing.Path{}
	for _, i := range d.Layer("crank", "").Items {
		if s, ok := i.(drawing.Shape); ok && len(s.Path) > 1 && s.Path[1].Op == drawing.ArcTo && s.Style.Name != "thin" {
			out[s.Style.Name] = s.Path
		}
	}
	return out
}

// backward is an engine whose crank goes against the angle of its turn.
type backward struct{ Poser }

func (b backward) Pose(turn float64, travel []float64) (*linkage.Pose, bool) {
	return b.Poser.Pose(-turn, travel)
}

// TestCrankGoesPartOfItsCircle: of a turn that is not whole the arc that the pin goes along is drawn, and nothing of the
// circle runs out of the picture.
func TestCrankGoesPartOfItsCircle(t *testing.T) {
	for _, c := range []struct {
		from, to float64 // of the turn
		back     bool
		at, span float64 // of the arc
	}{
		{0, math.Pi / 2, false, 0, math.Pi / 2},
		{math.Pi / 2, 1.5 * math.Pi, false, math.Pi / 2, math.Pi},
		{0, math.Pi / 2, true, -math.Pi / 2, math.Pi / 2},
		{-0.3, 0.4, false, -0.3, 0.7},
		{0, 2 * math.Pi, false, math.NaN(), 2 * math.Pi},
	} {
		e := mill(t)
		e.Problem.Turn = solver.Turn{Name: "crank", From: c.from, To: c.to, Step: 0.1}
		if c.back {
			e.Poses = backward{e.Poses}
		}
		s := lay(e, &Options{Ghosts: 0.2})
		v := sweepSheet(e, options())
		lines := crankLines(v.Drawing)
		span := 0.0
		for _, o := range lines["centre"][1:] {
			span += math.Abs(o.Sweep)
		}
		if math.Abs(span-c.span) > 1e-9 {
			t.Errorf("%+v: an arc of %v", c, span)
		}
		if rest := lines["crank-rest"]; (rest == nil) != (c.span > 6) || rest != nil && math.Abs(rest[1].Sweep-(2*math.Pi-c.span)) > 1e-9 {
			t.Errorf("%+v: the rest is %v", c, rest)
		}
		w := s.way(0, 1)
		if c.span < 6 && math.Abs(w.least-c.at) > 1e-9 || (w.last < w.first) != c.back {
			t.Errorf("%+v: %+v", c, w)
		}
	}
}

// TestCrankStaysOffTheTitleBlock: a crank that turns in part only has its circle left out where that has no room.
func TestCrankStaysOffTheTitleBlock(t *testing.T) {
	e := mill(t)
	e.Problem.Turn = solver.Turn{Name: "crank", From: 1.4, To: 1.7}
	e.Poses = sliderCrank{throw: 100, rod: 133.35}
	e.Regions = nil
	v := sweepSheet(e, options())
	lines := crankLines(v.Drawing)
	if lines["crank-rest"] != nil {
		t.Error("the circle is drawn beyond the picture")
	}
	if b := lines["centre"].Bounds(); b.Empty() || !v.frame().Holds(b.Min) || !v.frame().Holds(b.Max) {
		t.Errorf("the arc lies at %v", b)
	}
}

// frame is the border of the sheet.
func (o overlay) frame() drawing.Box {
	return drawing.Box{Min: plane.Vec{X: office.Filing, Y: office.Margin + office.BlockHigh}, Max: plane.Vec{X: o.Paper.Wide - office.Margin, Y: o.Paper.High - office.Margin}}
}
