package sheet

import (
	"math"
	"testing"

	"barover/render/drawing"
	"barover/solver/plane"
)

// TestCentreLineEndsBeyondWhatItGoesThrough: a centre line is drawn over what it goes through and a little beyond, and not
// right across the engine beside it.
func TestCentreLineEndsBeyondWhatItGoesThrough(t *testing.T) {
	e := mill(t)
	s := lay(e, &Options{Ghosts: 0.3})
	o := options()
	v := newView(s, &o, newBook(alone(s, o.Words), o).l)
	room := drawing.Box{Min: v.on(s.box.Min), Max: v.on(s.box.Max)}.Grown(20)
	// The bore goes through all from the big end, swept round to -(22+11), to the head at the end of its stroke.
	a, b, ok := v.reach(v.at(plane.Placement{Dir: plane.Vec{X: 1}}), room)
	if right := v.on(plane.Vec{X: 22 + 133.35 + 70}).X + centreOver; !ok || math.Abs(b.X-right) > 0.2 {
		t.Errorf("it ends at %v, want %v", b, right)
	}
	if left := v.on(plane.Vec{X: -22 - 11}).X - centreOver; math.Abs(a.X-left) > 0.2 {
		t.Errorf("it begins at %v, want %v", a, left)
	}
	// A line upright through the bed's right end goes through the bed alone, which stands from -60 to -45.
	a, b, ok = v.reach(v.at(plane.Placement{Origin: plane.Vec{X: 228}, Dir: plane.Vec{Y: 1}}), room)
	if low, high := v.on(plane.Vec{Y: -60}).Y-centreOver, v.on(plane.Vec{Y: -45}).Y+centreOver; !ok || math.Abs(a.Y-low) > 1e-6 || math.Abs(b.Y-high) > 1e-6 {
		t.Errorf("upright from %v to %v, want %v to %v", a.Y, b.Y, low, high)
	}
	// One beside everything is drawn right across.
	a, b, ok = v.reach(v.at(plane.Placement{Origin: plane.Vec{Y: 500}, Dir: plane.Vec{X: 1}}), drawing.Box{Min: plane.Vec{Y: -1e4}, Max: plane.Vec{X: 300, Y: 1e4}})
	if !ok || a.X != 0 || b.X != 300 {
		t.Errorf("beside everything from %v to %v", a, b)
	}
}
