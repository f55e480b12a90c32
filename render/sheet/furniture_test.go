package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"barover/render/drawing"
	"barover/solver/plane"
)

// TestCheckLengths: a sheet at full size, and no other, has check lengths of 100 mm and 4 in both ways.
func TestCheckLengths(t *testing.T) {
	o := options()
	if l := sweepSheet(mill(t), o).Drawing; has(texts(l)["check-lengths"], "100 mm") {
		t.Error("check lengths on a sheet that is not at full size")
	}
	o.Paper = "A3"
	d := sweepSheet(mill(t), o).Drawing
	found := map[string]float64{}
	for _, i := range d.Layer("check-lengths", "").Items {
		s, ok := i.(drawing.Shape)
		if !ok {
			continue
		}
		run := s.Path[1].To.Sub(s.Path[0].To)
		if run.Y == 0 {
			found["level "+s.Label] = run.X
		} else {
			found["upright "+s.Label] = run.Y
		}
	}
	for _, way := range []string{"level", "upright"} {
		for name, want := range map[string]float64{"100 mm": 100, "4 in": 101.6} {
			if got := found[way+" check length "+name]; math.Abs(got-want) > 1e-9 {
				t.Errorf("%s %s: %v", way, name, got)
			}
		}
	}
	// The engine itself is to that scale: the bed is 270 mm long.
	for _, i := range d.Layer("fixed", "").Items {
		u := i.(drawing.Use)
		if w, _ := d.Outlines[u.Outline].Bounds().Size(); strings.HasPrefix(u.Label, "frame.bed") && math.Abs(w-270) > 1e-9 {
			t.Errorf("the bed is %v long on paper", w)
		}
	}
}

// TestCheckLengthsHaveRoom: whatever the paper and however many answers stand on it, a sheet at full size has its check
// lengths within the border, off the title block and the table, and off the picture.
func TestCheckLengthsHaveRoom(t *testing.T) {
	seen := 0
	for _, p := range append(drawing.Papers(false), drawing.Papers(true)...) {
		for _, rows := range []int{0, 2, 60} {
			for _, size := range [][2]float64{{10, 10}, {30, 140}, {120, 30}, {130, 90}, {200, 60}} {
				o := options()
				o.Paper, o.Portrait, o.Oriented, o.Scale = p.Name, p.Wide < p.High, true, drawing.Scale{Drawn: 1, Real: 1}
				l := choose(size[0], size[1], table{rows: rows, all: rows}, &o)
				if !l.rulers {
					continue
				}
				seen++
				d := drawing.New("", p.Wide, p.High)
				rulers(d, &l)
				for _, item := range d.Layer("check-lengths", "").Items {
					b := drawing.NoBox()
					switch i := item.(type) {
					case drawing.Shape:
						b = i.Path.Bounds()
					case drawing.Text:
						if b = i.Box(); i.Angle != 0 {
							w, h := i.Style.Width(i.S), i.Style.Height
							b = drawing.Box{Min: i.At.Sub(plane.Vec{X: h, Y: w / 2}), Max: i.At.Add(plane.Vec{Y: w / 2})}
						}
					}
					if !l.frame.Holds(b.Min) || !l.frame.Holds(b.Max) || b.Meets(l.block) || !l.table.Empty() && b.Meets(l.table) || b.Meets(l.legend) || b.Meets(l.picture.Grown(-0.01)) {
						t.Errorf("%v, %d rows, %v: %v", p, rows, size, item)
					}
				}
			}
		}
	}
	if seen < 60 {
		t.Errorf("%d sheets at full size", seen)
	}
}

// TestScaleBar: a sheet that is not at full size has a bar of a round length to its scale, off the picture; one at full
// size has its check lengths.
func TestScaleBar(t *testing.T) {
	for _, unit := range []string{"mm", "in"} {
		for _, s := range []drawing.Scale{{Drawn: 1, Real: 2}, {Drawn: 1, Real: 5}, {Drawn: 1, Real: 100}, {Drawn: 2, Real: 1}, {Drawn: 1, Real: 1}} {
			o := options()
			o.Paper, o.Scale, o.Words.Unit = "A0", s, unit
			v := sweepSheet(mill(t), o)
			if s.K() == 1 {
				if v.Drawing.Layer("scale-bar", "").Items != nil {
					t.Error("a scale bar at full size")
				}
				continue
			}
			items := v.Drawing.Layer("scale-bar", "").Items
			if len(items) != 2 {
				t.Fatalf("%v: %d items", s, len(items))
			}
			bar, name := items[0].(drawing.Shape).Path, items[1].(drawing.Text).S
			var of float64
			var in string
			if n, err := fmt.Sscanf(name, "%g %s", &of, &in); n != 2 || err != nil || in != unit {
				t.Fatalf("%v: %q", s, name)
			}
			if unit == "in" {
				of *= 25.4
			}
			if got := bar[1].To.X - bar[0].To.X; math.Abs(got-of*s.K()) > 1e-9 || got < 10 || got > 50 {
				t.Errorf("%v: %q is %v mm long", s, name, got)
			}
		}
	}
}

// TestFieldLetters: the border's fields are named without I and O, on paper of any size.
func TestFieldLetters(t *testing.T) {
	o := options()
	o.Paper, o.Portrait, o.Oriented = "A0", true, true
	l := texts(sweepSheet(mill(t), o).Drawing)["border"]
	if has(l, "I") || has(l, "O") || !has(l, "H") || !has(l, "P") {
		t.Errorf("%q", l)
	}
}
