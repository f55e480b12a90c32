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
	"barover/solver/outline"
	"barover/solver/schedule"
)

// sill is the whole sketch that has every kind of statement.
const sill = `title "Sill mill engine, crank side"
units mm

dim throw       = 22
dim rod_centres = 5 1/4in
dim rod_thick   = 3/16in
dim bore_out    = 31.5                 "cylinder centre line, from the bed plate"
made rod_thick  = 5 ± 0.05             "stock bar"
dim bar_from    = 118
dim bar_half    = 9.5 ± 0.1            "half the space between the slide bars"

turn crank = 0 to 360 step 5

point shaft at 0, 0
point crankpin
point crosspin near 150, 0
line  bore through shaft heading 0
length shaft crankpin    = throw
angle  shaft crankpin    = crank
length crankpin crosspin = rod_centres
slide  crosspin on bore

part crank     from shaft to crankpin
part conrod    from crankpin to crosspin
part crosshead at crosspin along bore

profile conrod.shank   centred bore_out thick rod_thick
   strip crankpin to crosspin wide 13 to 9
profile conrod.big_end centred bore_out thick 11
   disc crankpin dia 22
profile frame.bars     centred bore_out thick 9
   box bar_from, bar_half to bar_from + 62, bar_half + 5
   box bar_from, -bar_half to bar_from + 62, -bar_half - 5

clear conrod frame by 0.5              "rod in the lips of the bars"
measure piston = (greatest(x(crosspin)) - x(crosspin)) / span(x(crosspin))
mark  half_stroke when piston rises past 1/2
trace crosspin
`

// TestWholeSketch follows the whole sketch into the problem.
func TestWholeSketch(t *testing.T) {
	s := good(t, sill, Options{})
	p, v := s.Problem, s.Values
	if s.Title != "Sill mill engine, crank side" || s.Units.Inches || s.Shown != "now" {
		t.Errorf("title %q, inches %v, shown %s", s.Title, s.Units.Inches, s.Shown)
	}
	values := map[string]float64{}
	for _, d := range s.Dims {
		if !d.Kind.Is(quantity.Length) {
			t.Errorf("%s is %s", d.Name, d.Kind)
		}
		values[d.Name] = d.Value
	}
	want := map[string]float64{"throw": 22, "rod_centres": 133.35, "rod_thick": 5, "bore_out": 31.5, "bar_from": 118, "bar_half": 9.5}
	if d := cmp.Diff(want, values, within(1e-12)); d != "" {
		t.Error(d)
	}
	if d, _, _ := s.Dim("rod_thick"); !near(d.Drawn, 4.7625) || !near(d.Asked, 4.7625) || d.MadeTol.Upper != 0.05 {
		t.Errorf("rod_thick: %+v", d)
	}
	if turn := p.Turn; turn.Name != "crank" || turn.From != 0 || !near(turn.To, 2*math.Pi) || !near(turn.Step, math.Pi/36) {
		t.Errorf("turn %+v", turn)
	}
	for _, c := range []struct{ got, want any }{
		{pointsOf(p), "shaft:at crankpin:found crosspin:near"},
		{len(p.Linkage.Lines), 1}, {len(p.Linkage.Equations), 4},
		{partNames(p), "frame crank conrod crosshead"},
		{p.Traces, []int{2}},
	} {
		if d := cmp.Diff(c.want, c.got); d != "" {
			t.Error(d)
		}
	}
	if e := p.Linkage.Equations[2]; e.Kind != schedule.Length || e.P != 1 || e.Q != 2 || !near(v.At(e.V), 133.35) || s.Line(e.Stmt) != 20 {
		t.Errorf("equation %+v in line %d", e, s.Line(e.Stmt))
	}
	shank, bars := p.Profiles[0], p.Profiles[2]
	if shank.Name != "conrod.shank" || shank.Part != 2 || !near(v.At(shank.From), 29) || !near(v.At(shank.To), 34) {
		t.Errorf("shank %+v from %v to %v", shank, v.At(shank.From), v.At(shank.To))
	}
	if strip := shank.Shapes[0]; strip.Kind != outline.Strip || v.At(strip.P[0].X) != 0 || !near(v.At(strip.P[1].X), 133.35) || v.At(strip.W[0]) != 13 || v.At(strip.W[1]) != 9 {
		t.Errorf("strip %+v", strip)
	}
	if box := bars.Shapes[1]; box.Kind != outline.Box || v.At(box.P[1].X) != 180 || v.At(box.P[1].Y) != -14.5 {
		t.Errorf("box %+v", box)
	}
	if got := checksOf(s); got != "clear conrod.big_end frame.bars 0.5 line 35, clear conrod.shank frame.bars 0.5 line 35" {
		t.Error(got)
	}
	if p.Checks[0].Note != "rod in the lips of the bars" || p.LeftOut != nil {
		t.Errorf("note %q, left out %v", p.Checks[0].Note, p.LeftOut)
	}
	if m := p.Measures[0]; !m.Number || m.Angle || p.Marks[0].When != solver.RisesPast || v.At(p.Marks[0].Past) != 0.5 || p.Marks[0].Sum != m.Sum {
		t.Errorf("measure %+v, mark %+v", m, p.Marks[0])
	}
	if len(p.Graph.Wholes) != 2 {
		t.Errorf("%d wholes, want 2", len(p.Graph.Wholes))
	}
}

func within(slack float64) cmp.Option {
	return cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= slack || a == b })
}

func pointsOf(p *solver.Problem) string {
	var list []string
	for _, q := range p.Linkage.Points {
		how := map[schedule.PointKind]string{schedule.Driven: "at", schedule.Found: "found", schedule.OnPart: "on"}[q.Kind]
		if q.Kind == schedule.Found && q.U != expr.None {
			how = "near"
		}
		list = append(list, q.Name+":"+how)
	}
	return strings.Join(list, " ")
}

func partNames(p *solver.Problem) string {
	var list []string
	for _, q := range p.Linkage.Parts {
		list = append(list, q.Name)
	}
	return strings.Join(list, " ")
}

// checksOf shows the checks in their order.
func checksOf(s *Sketch) string {
	var list []string
	limit := func(word string, id expr.ID) string {
		if id == expr.None {
			return ""
		}
		return fmt.Sprintf(" %s%v", word, math.Round(s.Values.At(id)*1e9)/1e9)
	}
	for _, c := range s.Problem.Checks {
		text := c.Kind.String()
		if c.Kind == solver.Clear || c.Kind == solver.Gap {
			text += " " + s.Problem.Profiles[c.A].Name + " " + s.Problem.Profiles[c.B].Name
		}
		list = append(list, text+limit("", c.AtLeast)+limit("≤", c.AtMost)+fmt.Sprintf(" line %d", s.Line(c.Stmt)))
	}
	return strings.Join(list, ", ")
}

// TestClearAll pins the pairs that clear all takes, what it leaves out and why.
func TestClearAll(t *testing.T) {
	files := map[string]string{"main.motion": `use "allow.motion"
turn crank = 0 to 360 step 5
point o at 0, 0
point far at 90, crank/1rad*1mm
point still at 9, 9
point p
length o p = 10
angle o p = crank
point q near 50, 0
length p q = 50
line way from o to still
slide q on way
part web from o to p
part rod from p to q
part head at q along way
part lever from far to q
point tip on rod at 3, 3
part arm at tip heading 0
profile web.rim across 0 to 3
   disc o dia 5
profile rod.b across 0 to 3
   disc p dia 5
profile rod.a across 0 to 3
   disc q dia 5
profile head.body across 0 to 3
   disc q dia 5
profile head.rim across 0 to 3
   disc q dia 7
profile frame.bed across 0 to 3
   box 0, 0 to 3, 3
profile arm.bar across 0 to 3
   disc tip dia 3
clear all by 0.5
clear rod head by 2
clear all by 1
allow head.rim arm
allow web head
`, "allow.motion": "\nallow frame web\nallow frame head\nallow rod.a frame\n"}
	s, messages := Read(readerOf(files), "main.motion", Options{})
	if len(messages) > 0 {
		t.Fatal(printed(messages))
	}
	all := "clear arm.bar frame.bed %[1]s, clear arm.bar head.body %[1]s, clear arm.bar web.rim %[1]s, clear frame.bed rod.b %[1]s"
	want := fmt.Sprintf(all, "0.5 line 33") +
		", clear rod.a head.body 2 line 34, clear rod.a head.rim 2 line 34, clear rod.b head.body 2 line 34, clear rod.b head.rim 2 line 34, " +
		fmt.Sprintf(all, "1 line 35")
	if d := cmp.Diff(strings.Split(want, ", "), strings.Split(checksOf(s), ", ")); d != "" {
		t.Error(d)
	}
	left := []solver.LeftOut{
		{A: "arm.bar", B: "head.rim", Why: "allowed, line 36"},
		{A: "arm", B: "rod", Why: "pinned at tip"},
		{A: "frame", B: "head", Why: "allowed, allow.motion line 3"},
		{A: "frame.bed", B: "rod.a", Why: "allowed, allow.motion line 4"},
		{A: "frame", B: "web", Why: "pinned at o"},
		{A: "head", B: "rod", Why: "pinned at q"},
		{A: "head", B: "web", Why: "allowed, line 37"},
		{A: "rod", B: "web", Why: "pinned at p"},
	}
	if d := cmp.Diff(left, s.Problem.LeftOut); d != "" {
		t.Error(d)
	}
}

// TestPinnedToFrame pins which points are the frame's: those that stand still, and those that were put on it.
func TestPinnedToFrame(t *testing.T) {
	const text = `turn crank = 0 to 360 step 5
dim three = 3mm
point a at %s
point b
angle a b = crank
length a b = 5
part web from a to b
profile web.rim across 0 to 3
   disc a dia 5
profile frame.bed across 0 to 3
   box 0, 0 to 3, 3
clear all by 1
travel axle = 0 to 3 step 1
`
	for _, tt := range []struct {
		at     string
		pinned bool
	}{{"0, three", true}, {"0, axle", false}, {"crank/1rad*1mm, 0", false}} {
		s := good(t, fmt.Sprintf(text, tt.at), Options{})
		if got := len(s.Problem.LeftOut) == 1; got != tt.pinned {
			t.Errorf("at %s: pinned %v, want %v", tt.at, got, tt.pinned)
		}
	}
	s := good(t, strings.Replace(fmt.Sprintf(text, "0, 0"), "point a at", "point a on frame at", 1), Options{})
	if d := cmp.Diff([]solver.LeftOut{{A: "frame", B: "web", Why: "pinned at a"}}, s.Problem.LeftOut); d != "" {
		t.Error(d)
	}
}

// TestFixedPlaces pins where a point's name stands in a part's own axes.
func TestFixedPlaces(t *testing.T) {
	s := good(t, `dim rod = 10mm
point o at 0, 0
point f on frame at 2, 3
point a at 1, 1
point b at 4, 5
point c near 8, 0
point d on bar at 3, 4
length c b = rod
part bar from b to c heading 30
part strut from a to b
part beam from d to bar_end
point bar_end on bar at 3, 16
part rocker at b heading 45
profile bar.one across 0 to 1
   strip b to c wide 1
   disc d dia 1
profile strut.one across 0 to 1
   strip a to b wide 1
profile beam.one across 0 to 1
   strip d to bar_end wide 1
profile frame.one across 0 to 1
   strip f to a wide 1
   strip o to b wide 1
profile rocker.one across 0 to 1
   path b to 3, 0 to 3, 3 arc b radius 4 right long
`, Options{})
	var got []string
	for _, p := range s.Problem.Profiles {
		for _, shape := range p.Shapes {
			for _, at := range shape.P {
				if at.X != expr.None {
					got = append(got, fmt.Sprintf("%s %.3f %.3f", p.Name, s.Values.At(at.X), s.Values.At(at.Y)))
				}
			}
		}
	}
	want := []string{"bar.one 0.000 0.000", "bar.one 8.660 5.000", "bar.one 3.000 4.000", "strut.one 0.000 0.000", "strut.one 5.000 0.000",
		"beam.one 0.000 0.000", "beam.one 12.000 0.000", "frame.one 2.000 3.000", "frame.one 1.000 1.000", "frame.one 0.000 0.000", "frame.one 4.000 5.000", "rocker.one 0.000 0.000"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	steps := s.Problem.Profiles[4].Shapes[0].Steps
	if len(steps) != 3 || steps[2].Left || !steps[2].Long || s.Values.At(steps[2].Radius) != 4 || steps[1].Radius != expr.None || s.Values.At(steps[2].To.X) != 0 {
		t.Errorf("steps %+v", steps)
	}
}
