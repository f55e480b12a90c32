package sheet

import (
	"testing"

	"barover/render/drawing"
	"barover/solver/outline"
	"barover/solver/schedule"
)

// TestSticks: a sketch without outlines is shown by its lengths, at the chosen position thick, with its points by name; one
// that has an outline is not.
func TestSticks(t *testing.T) {
	e := mill(t)
	q := e.Problem.Graph.Const(133.35)
	e.Problem.Linkage.Equations = append(e.Problem.Linkage.Equations, schedule.Equation{Kind: schedule.Length, P: 2, Q: 1, R: -1, V: q})
	count := func(d *drawing.Drawing, layer, style string) (n int) {
		for _, i := range d.Layer(layer, "").Items {
			if s, ok := i.(drawing.Shape); ok && s.Style.Name == style {
				n++
			}
		}
		return n
	}
	with := sweepSheet(e, options()).Drawing
	if n := count(with, "chosen", "stick"); n != 0 {
		t.Errorf("%d lengths beside the outlines", n)
	}
	e.Regions = make([]*outline.Region, len(e.Regions))
	e.Problem.Checks, e.Result = nil, nil
	o := sweepSheet(e, options())
	d := o.Drawing
	// The crank and the rod, each said twice: by a part and, of the rod, by a length.
	if got, ghosts, pins := count(d, "chosen", "stick"), count(d, "ghosts", "ghost"), count(d, "chosen", "pin"); got != 2 || ghosts != 48 || pins != 3 {
		t.Errorf("%d lengths, %d at other positions, %d points", got, ghosts, pins)
	}
	all := texts(d)
	for _, name := range []string{"shaft", "crankpin", "crosspin"} {
		if !has(all["labels"], name) {
			t.Errorf("%s is not named: %q", name, all["labels"])
		}
	}
	if !has(all["legend"], "lengths at crank 0°") {
		t.Errorf("%q", all["legend"])
	}
	for _, i := range d.Layer("ghosts", "").Items {
		s := i.(drawing.Shape)
		if b := s.Path.Bounds(); !o.frame().Holds(b.Min) || !o.frame().Holds(b.Max) {
			t.Errorf("a length at %v", b)
		}
	}
}
