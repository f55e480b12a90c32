package sketch

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/expr"
)

// TestMeasured values what is measured between points at places that are given: a at (1, 2), b at (4, 6), c at (1, 7),
// in inches; the line goes through a at 30°, the other from a to b.
func TestMeasured(t *testing.T) {
	const text = `units in
turn crank = 0 to 360 step 5
point a
point b
point c
line sloped through a heading 30
line joined from a to b
measure m = %s
`
	mm := func(v ...float64) (out []float64) {
		for _, x := range v {
			out = append(out, x*25.4)
		}
		return out
	}
	deg := math.Pi / 180
	tests := []struct {
		sum   string
		want  float64 // in the numbers of the sketch: inches, degrees
		shown string  // "length", "angle" or "number"
	}{
		{"x(a)", 1, "length"}, {"y(c)", 7, "length"}, {"dist(a, b)", 5, "length"}, {"dist(a, b) + 1", 6, "length"},
		{"heading(a, b)", math.Atan2(4, 3) / deg, "angle"}, {"heading(b, a)", math.Atan2(-4, -3) / deg, "angle"}, {"heading(a, c)", 90, "angle"},
		{"angle(b, a, c)", 90 - math.Atan2(4, 3)/deg, "angle"}, {"angle(c, a, b)", math.Atan2(4, 3)/deg - 90, "angle"}, {"angle(a, c, b) - 90", math.Atan2(-1, 3)/deg + 90 - 90, "angle"},
		{"along(c, sloped)", 2.5, "length"}, {"off(c, sloped)", 5 * math.Cos(30*deg), "length"},
		{"along(c, joined)", 4, "length"}, {"off(c, joined)", 3, "length"}, {"off(b, joined)", 0, "length"}, {"along(b, joined)", 5, "length"},
		{"x(b)*y(b)", 24, "number"}, {"x(b)/y(b)", 4. / 6, "number"}, {"x(b)^3", 64, "number"}, {"crank + 90", 120, "angle"}, {"crank/1rad", math.Pi / 6, "number"},
		{"sin(crank)*x(b)", 2, "length"}, {"x(b)*heading(a, c)", 4 * 90, "number"},
		{"min(x(a), x(b), 1/2)", 0.5, "length"}, {"max(3, x(b), x(a))", 4, "length"}, {"hypot(x(b), 3)", 5, "length"}, {"round(y(b), 4)", 8, "length"}, {"abs(x(a) - 3)", 2, "length"},
		{"rate(x(a))", 0.1, "length"}, {"rate(rate(x(a)))", 0.01, "length"}, {"rate(crank)", 1, "number"}, {"rate(2*crank)", 2, "number"},
		{"least(x(a))", 100, "length"}, {"span(x(a) - greatest(y(b)))", 101, "length"},
	}
	for _, tt := range tests {
		s := good(t, fmt.Sprintf(text, tt.sum), Options{})
		c := &expr.Context{Turn: math.Pi / 6, X: mm(1, 4, 1), Y: mm(2, 6, 7), DX: mm(0.1, 0, 0), DY: mm(0, 0, 0), DDX: mm(0.01, 0, 0), DDY: mm(0, 0, 0), Whole: mm(100, 101)}
		m := s.Problem.Measures[0]
		got := expr.NewEval(s.Values).At(m.Sum, c)
		shown := "length"
		switch {
		case m.Angle && !m.Number:
			shown, got = "angle", got/deg
		case m.Number && !m.Angle:
			shown = "number"
		default:
			got /= 25.4
		}
		if tt.sum == "span(x(a) - greatest(y(b)))" && len(s.Problem.Graph.Wholes) != 2 {
			t.Errorf("%s: %d wholes", tt.sum, len(s.Problem.Graph.Wholes))
		}
		if !near(got, tt.want) || shown != tt.shown {
			t.Errorf("%s = %v, a %s; want %v, a %s", tt.sum, got, shown, tt.want, tt.shown)
		}
	}
}

// TestMeasuresUseMeasures lets a measure stand for its sum in others, keeps and marks.
func TestMeasuresUseMeasures(t *testing.T) {
	s := good(t, `turn crank = 0 to 360 step 5
point a
keep twice above 3 below 8 "kept"
measure twice = 2*once
measure once = x(a)
mark m when twice - once falls past 1 showing once, twice
mark n when rate(once) is greatest
`, Options{})
	p := s.Problem
	e := expr.NewEval(s.Values)
	c := &expr.Context{X: []float64{5}, Y: []float64{0}, DX: []float64{7}, DY: []float64{0}}
	for _, tt := range []struct {
		name      string
		got, want float64
	}{
		{"twice", e.At(p.Measures[0].Sum, c), 10}, {"once", e.At(p.Measures[1].Sum, c), 5}, {"keep", e.At(p.Checks[0].Sum, c), 10},
		{"above", s.Values.At(p.Checks[0].AtLeast), 3}, {"below", s.Values.At(p.Checks[0].AtMost), 8},
		{"mark", e.At(p.Marks[0].Sum, c), 5}, {"past", s.Values.At(p.Marks[0].Past), 1}, {"rate", e.At(p.Marks[1].Sum, c), 7},
	} {
		if tt.got != tt.want {
			t.Errorf("%s = %v, want %v", tt.name, tt.got, tt.want)
		}
	}
	if d := cmp.Diff([]int{1, 0}, p.Marks[0].Shows); d != "" {
		t.Error(d)
	}
	if p.Marks[1].Past != expr.None || p.Marks[1].When != solver.IsGreatest || p.Checks[0].Note != "kept" {
		t.Errorf("marks %+v, check %+v", p.Marks, p.Checks[0])
	}
}

// TestMoves pins the settings of travels, where they rest, and a sketch that stands still.
func TestMoves(t *testing.T) {
	tests := []struct {
		text     string
		settings []float64
		rest     float64
		kind     string
	}{
		{"travel t = -1 to 1 step 1/2", []float64{-1, -0.5, 0, 0.5, 1}, 0, "length"},
		{"travel t = -1 to 1 step 0.4", []float64{-1, -0.6, -0.2, 0.2, 0.6, 1}, 0, "length"},
		{"travel t = -1 to 1 step 0.8", []float64{-1, -0.2, 0.6, 1}, 0, "length"},
		{"travel t = 2 to 4 step 1", []float64{2, 3, 4}, 2, "length"},
		{"travel t = -4 to -2 step 1", []float64{-4, -3, -2}, -2, "length"},
		{"travel t = -0.1 to 0.2 step 0.1 rest 0.05", []float64{-0.1, 0, 0.1, 0.2}, 0.05, "length"},
		{"travel t = 3 to 3 step 1", []float64{3}, 3, "length"},
		{"travel t = 0 to 1 step 5", []float64{0, 1}, 0, "length"},
		{"travel t = 5, -3, 0", []float64{5, -3, 0}, 5, "length"},
		{"travel t = 5, -3, 0 rest -3", []float64{5, -3, 0}, -3, "length"},
		{"travel t = 1in, 2 rest 2", []float64{25.4, 2}, 2, "length"},
		{"travel t = 0, 180deg", []float64{0, math.Pi}, 0, "angle"},
		{"travel t = 0, 90\npoint p at cos(t)*1mm, 0", []float64{0, math.Pi / 2}, 0, "angle"},
		{"travel t = 0, 2\npoint p at cos(11deg*t)*1mm, 0", []float64{0, 2}, 0, "number"},
		{"travel t = 0, 2\npoint p at cos(11*t)*1mm, 0", []float64{0, math.Pi / 90}, 0, "angle"},
	}
	for _, tt := range tests {
		s := good(t, tt.text+"\n", Options{})
		one := s.Problem.Travels[0]
		kind := map[[2]bool]string{{true, false}: "angle", {false, true}: "number", {false, false}: "length"}[[2]bool{one.Angle, one.Number}]
		if d := cmp.Diff(tt.settings, one.Settings, within(1e-12)); d != "" || !near(one.Rest, tt.rest) || kind != tt.kind {
			t.Errorf("%s: settings %v, rest %v, a %s; want %v, %v, a %s", tt.text, one.Settings, one.Rest, kind, tt.settings, tt.rest, tt.kind)
		}
		if one.Range != strings.Contains(tt.text, "step") || one.Range && (one.From != one.Settings[0] || one.To != one.Settings[len(one.Settings)-1]) {
			t.Errorf("%s: %+v", tt.text, one)
		}
		if turn := s.Problem.Turn; turn.Name != "" || turn.Stmt != -1 || !(turn.From < turn.To) || !(turn.Step > 0) || s.Turn.Stmt != -1 {
			t.Errorf("%s: the turn of a sketch that stands still is %+v", tt.text, turn)
		}
	}
	s := good(t, "turn wheel = -0.5rad to 90 step 15\n", Options{})
	if turn := s.Problem.Turn; turn.Name != "wheel" || turn.Stmt != 0 || turn.From != -0.5 || !near(turn.To, math.Pi/2) || !near(turn.Step, math.Pi/12) {
		t.Errorf("turn %+v", turn)
	}
}

// TestChecks pins what each kind of check carries.
func TestChecks(t *testing.T) {
	s := good(t, `units in
turn crank = 0 to 360 step 5
point a at 0, 0
point b
point c
length a b = 3
angle a b = crank
loose length b c = 4 play 1/8
loose length a c = 4 play 1/8
part rod from a to b
part bar from b to c
profile rod.eye across 0 to 1
   disc a dia 1
profile bar.eye across 1 to 2
   disc b dia 1
gap rod bar
gap rod bar at most 1/4 "float"
gap rod.eye bar.eye at least 1/8 at most 1/4
keep heading(a, b) above -30 below 400
keep x(b)*y(b) below 9
keep x(b)/y(b) above -9
keep x(b) above -3
sideplay rod = 1/32
trace b
trace b
`, Options{})
	p := s.Problem
	var got []string
	for _, c := range p.Checks {
		text := fmt.Sprintf("%s line %d %v %v", c.Kind, s.Line(c.Stmt), c.Angle, c.Number)
		for _, id := range []expr.ID{c.AtLeast, c.AtMost} {
			v := "-"
			if id != expr.None {
				v = quantity.Trimmed(s.Values.At(id), 4)
			}
			text += " " + v
		}
		got = append(got, text)
	}
	want := []string{
		"loose line 8 false false - 3.175", "loose line 9 false false - 3.175",
		"gap line 16 false false 0 -", "gap line 17 false false - 6.35", "gap line 18 false false 3.175 6.35",
		"keep line 19 true false -0.5236 6.9813", "keep line 20 false true - 9", "keep line 21 false true -9 -", "keep line 22 false false -76.2 -",
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if e := p.Linkage.Equations[p.Checks[1].Equation]; !e.Loose || s.Line(e.Stmt) != 9 {
		t.Errorf("the second loose check is of equation %+v", e)
	}
	if d := cmp.Diff([]int{1}, p.Traces); d != "" {
		t.Error(d)
	}
	if len(p.Sideplay) != 3 || p.Sideplay[0] != expr.None || !near(s.Values.At(p.Sideplay[1]), 25.4/32) || p.Sideplay[2] != expr.None {
		t.Errorf("sideplay %v", p.Sideplay)
	}
}

// TestOrdered pins the order of things that need one another, and the circles.
func TestOrdered(t *testing.T) {
	tests := []struct {
		needs   [][]int
		order   string
		circles string
	}{
		{[][]int{{1}, {2}, {}}, "[2 1 0]", "[]"},
		{[][]int{{}, {}, {}}, "[0 1 2]", "[]"},
		{[][]int{{1, 2}, {2}, {}, {0}}, "[2 1 0 3]", "[]"},
		{[][]int{{0}}, "[0]", "[[0]]"},
		{[][]int{{1}, {2}, {0}, {1}}, "[2 1 0 3]", "[[0 1 2]]"},
		{[][]int{{1, 2}, {0}, {0}}, "[1 2 0]", "[[0 1]]"},
		{[][]int{{1}, {1}, {3}, {2}}, "[1 0 3 2]", "[[1] [2 3]]"},
	}
	for _, tt := range tests {
		order, circles := ordered(len(tt.needs), func(i int) []int { return tt.needs[i] })
		if got := fmt.Sprint(order); got != tt.order || fmt.Sprint(circles) != tt.circles {
			t.Errorf("%v: %v %v, want %v %v", tt.needs, order, circles, tt.order, tt.circles)
		}
	}
}
