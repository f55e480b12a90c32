package labels

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"barover/render/drawing"
	"barover/solver/plane"
)

// TestLabelsDoNotCollide: of any labels, those that are placed overlap no other and stay in the room.
func TestLabelsDoNotCollide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := drawing.Box{Max: plane.Vec{X: rapid.Float64Range(50, 400).Draw(t, "w"), Y: rapid.Float64Range(50, 300).Draw(t, "h")}}
		l := New(room)
		x, y := rapid.Float64Range(-20, 420), rapid.Float64Range(-20, 320)
		a, b := plane.Vec{X: x.Draw(t, "ax"), Y: y.Draw(t, "ay")}, plane.Vec{X: x.Draw(t, "bx"), Y: y.Draw(t, "by")}
		l.Cover([][]plane.Vec{{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}}})
		var placed []drawing.Box
		for range rapid.IntRange(1, 30).Draw(t, "labels") {
			target := plane.Vec{X: x.Draw(t, "x"), Y: y.Draw(t, "y")}
			w, h := rapid.Float64Range(1, 80).Draw(t, "lw"), rapid.Float64Range(1, 12).Draw(t, "lh")
			if rapid.Bool().Draw(t, "fixed") {
				if box := (drawing.Box{Min: target, Max: target.Add(plane.Vec{X: w, Y: h})}); l.Claim(box) {
					placed = append(placed, box)
				}
				continue
			}
			if s, ok := l.Place(target, rapid.Float64Range(0, 10).Draw(t, "ring"), w, h, plane.Vec{X: 1}, math.Inf(1)); ok {
				if bw, bh := s.Box.Size(); math.Abs(bw-w) > 1e-9 || math.Abs(bh-h) > 1e-9 {
					t.Fatalf("a label of %v × %v got %v", w, h, s.Box)
				}
				placed = append(placed, s.Box)
			}
		}
		for i, p := range placed {
			if !room.Holds(p.Min) || !room.Holds(p.Max) {
				t.Fatalf("%v lies outside %v", p, room)
			}
			for _, q := range placed[:i] {
				if p.Meets(q) {
					t.Fatalf("%v and %v overlap", p, q)
				}
			}
		}
	})
}

// TestLabelThatHidesTooMuch: where a label finds room over the picture alone, one that may be left out is.
func TestLabelThatHidesTooMuch(t *testing.T) {
	room := drawing.Box{Max: plane.Vec{X: 100, Y: 80}}
	for _, most := range []float64{0.3, math.Inf(1)} {
		l := New(room)
		l.Cover([][]plane.Vec{{{}, {X: 100}, {X: 100, Y: 80}, {Y: 80}}})
		if _, ok := l.Place(plane.Vec{X: 50, Y: 40}, 2, 20, 5, plane.Vec{X: 1}, most); ok != math.IsInf(most, 1) {
			t.Errorf("at most %v: placed %v", most, ok)
		}
	}
	// A leader out of a corner that a label closes strikes through it, or is not drawn.
	l := New(room)
	l.Claim(drawing.Box{Min: plane.Vec{Y: 20}, Max: plane.Vec{X: 100, Y: 55}})
	for _, most := range []float64{math.Inf(1), 0.3} {
		one := *l
		if s, ok := one.Place(plane.Vec{X: 50, Y: 10}, 2, 40, 22, plane.Vec{Y: 1}, most); ok != math.IsInf(most, 1) {
			t.Errorf("at most %v: placed %v, %v", most, ok, s.Box)
		}
	}
}

// TestLeaderKeepsOffLines: of two ways that are as far, a leader takes the one on which no outline lies, although the other is the way
// outward.
func TestLeaderKeepsOffLines(t *testing.T) {
	room := drawing.Box{Max: plane.Vec{X: 160, Y: 120}}
	target := plane.Vec{X: 80, Y: 60}
	// Round the target there is no room for letters as far as 24 mm; to the right stand rods side by side there.
	l := New(room)
	l.Block(drawing.Box{Min: target, Max: target}.Grown(24))
	for x := 86.0; x <= 104; x += 2 {
		l.Line([][]plane.Vec{{{X: x, Y: 5}, {X: x, Y: 115}}})
	}
	s, ok := l.Place(target, 1, 20, 5, plane.Vec{X: 1}, math.Inf(1))
	if !ok || s.Bend.X > target.X {
		t.Errorf("the leader goes to %v, over the rods", s.Bend)
	}
}
