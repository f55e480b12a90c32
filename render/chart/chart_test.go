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

// TestWordsHideNoCurve: the words of marks and levels lie off the curves and off one another wherever there is room.
func TestWordsHideNoCurve(t *testing.T) {
	thin := &drawing.Style{Name: "thin", Width: 0.2, Line: drawing.Continuous, Stroke: drawing.RGB(0)}
	box := drawing.Box{Max: plane.Vec{X: 90, Y: 65}}
	for phase := range 24 {
		c := Chart{X: Axis{Name: "crank", To: 2 * math.Pi}, Y: Axis{Name: "clearance, mm", From: -0.5, To: 4},
			Levels: []Level{{Y: 0, Style: thin}, {Y: 0.6, Name: "0.6 asked", Style: thin}},
			Curves: []Curve{{Name: "at rest", Style: thin}, {Name: "axle 3", Style: thin}}}
		for i := range 241 {
			x := float64(i) * math.Pi / 120
			y := 2.2 - 2*math.Cos(x-float64(phase)*math.Pi/12)
			c.Curves[0].Points = append(c.Curves[0].Points, plane.Vec{X: x, Y: y + 0.3})
			c.Curves[1].Points = append(c.Curves[1].Points, plane.Vec{X: x, Y: y})
		}
		c.Marks = []Mark{{At: plane.Vec{X: float64(phase) * math.Pi / 12, Y: 0.2}, Name: "0.2 at 180°"}}
		d := drawing.New("", 100, 100)
		l := d.Layer("l", "l")
		Draw(l, box, c)
		var words []drawing.Box
		var curves []drawing.Path
		for _, i := range l.Items {
			switch v := i.(type) {
			case drawing.Text:
				if v.Style.Halo {
					words = append(words, v.Box())
				}
			case drawing.Shape:
				if v.Label == "at rest" || v.Label == "axle 3" {
					curves = append(curves, v.Path)
				}
			}
		}
		if len(words) != 2 || len(curves) < 2 {
			t.Fatalf("phase %d: %d words, %d curves", phase, len(words), len(curves))
		}
		if words[0].Meets(words[1]) {
			t.Errorf("phase %d: the words overlap", phase)
		}
		for _, w := range words {
			for _, k := range curves {
				runs, closed := k.Flat(0.01)
				if len(w.Cut(runs, closed)) > 0 {
					t.Errorf("phase %d: a word at %v lies over a curve", phase, w)
				}
			}
		}
	}
}

// TestLevelNamesAreOffLines: the names of two levels that lie closer together than letters are high are on no line, neither their own
// nor the other, and none stands beyond the other line, whose name it would seem; where both look like one line it is named for both. A curve
// dips below both at its ends, and its least is named too, on its own side of them.
func TestLevelNamesAreOffLines(t *testing.T) {
	box := drawing.Box{Max: plane.Vec{X: 65, Y: 46}}
	for gap, name := range map[float64]string{0.03: "0.0 and 1/32 asked", 0.06: "1/32 asked", 0.1: "1/32 asked", 0.2: "1/32 asked"} {
		l := &drawing.Layer{}
		thin, asked := &drawing.Style{Name: "touch", Width: 0.5}, &drawing.Style{Name: "asked", Width: 0.25}
		c := Chart{X: Axis{From: 0, To: 360, Step: 90}, Y: Axis{From: -0.25, To: 1.1},
			Levels: []Level{{Y: 0, Style: thin}, {Y: gap, Name: "1/32 asked", Style: asked}},
			Bands:  []Band{{From: 0, To: 40, Style: thin}, {From: 320, To: 360, Style: thin}},
			Marks:  []Mark{{At: plane.Vec{X: 347.5, Y: -0.19}, Name: "-0.1913"}}}
		var points []plane.Vec
		for x := 0.0; x <= 360; x += 5 {
			points = append(points, plane.Vec{X: x, Y: 3*math.Sin(math.Mod(x+12.5, 360)*math.Pi/360) - 0.19})
		}
		c.Curves = []Curve{{Style: asked, Points: points}}
		Draw(l, box, c)
		var lines []drawing.Box
		for _, item := range l.Items {
			if s, ok := item.(drawing.Shape); ok && (s.Style == thin || s.Style == asked) {
				if b := s.Path.Bounds(); b.Max.Y-b.Min.Y < 1e-9 {
					lines = append(lines, b)
				}
			}
		}
		named := 0
		for _, item := range l.Items {
			s, ok := item.(drawing.Text)
			if ok && s.S == c.Marks[0].Name && s.Box().Max.Y > lines[0].Min.Y {
				t.Errorf("levels %v apart: the least is named at %v, above 0", gap, s.Box())
			}
			if ok && s.S == name {
				named++
				if s.Box().Min.Y < lines[1].Max.Y {
					t.Errorf("levels %v apart: the name at %v stands below 0", gap, s.Box())
				}
				for _, line := range lines {
					if s.Box().Meets(line) {
						t.Errorf("levels %v apart: the name at %v lies over the line at %v", gap, s.Box(), line)
					}
				}
			}
		}
		if len(lines) != 2 || named != 1 {
			t.Fatalf("%d lines, named %d times", len(lines), named)
		}
	}
}

// TestMarkIsNamedBesideIt: the figure of a least in a narrow dip stands by it, not by the line of what is asked.
func TestMarkIsNamedBesideIt(t *testing.T) {
	l := &drawing.Layer{}
	style := &drawing.Style{Name: "curve", Width: 0.5}
	c := Chart{X: Axis{From: 0, To: 360, Step: 90}, Y: Axis{From: -0.02, To: 0.37},
		Levels: []Level{{Y: 0, Style: style}, {Y: 0.047, Name: "3/64 asked", Style: style}}, Marks: []Mark{{At: plane.Vec{X: 180, Y: 0.0625}, Name: "0.0625"}}}
	var points []plane.Vec
	for x := 130.0; x <= 230; x++ {
		points = append(points, plane.Vec{X: x, Y: 0.0625 + (x-180)*(x-180)/6000})
	}
	c.Curves = []Curve{{Style: style, Points: points}}
	box := drawing.Box{Max: plane.Vec{X: 150, Y: 120}}
	Draw(l, box, c)
	var dot drawing.Box
	for _, item := range l.Items {
		if s, ok := item.(drawing.Shape); ok && s.Label == "0.0625" {
			dot = s.Path.Bounds()
		}
	}
	for _, item := range l.Items {
		if s, ok := item.(drawing.Text); ok && s.S == "0.0625" {
			if off := s.Box().Centre().Sub(dot.Centre()).Len(); off > 14 {
				t.Errorf("the figure stands %.0f mm off its place", off)
			}
			return
		}
	}
	t.Error("the least is not named")
}
