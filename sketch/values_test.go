package sketch

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"barover/sketch/quantity"

	"github.com/google/go-cmp/cmp"
)

// value is the value that counts of one dimension.
func value(t *testing.T, s *Sketch, name string) float64 {
	t.Helper()
	d, _, ok := s.Dim(name)
	if !ok {
		t.Fatalf("no dimension %s", name)
	}
	return d.Value
}

func near(got, want float64) bool { return math.Abs(got-want) <= 1e-9*math.Max(1, math.Abs(want)) }

// TestKinds pins the kind that each dimension is found to have, and its value in mm and radians.
func TestKinds(t *testing.T) {
	const frame = "turn crank = 0 to 360 step 5\npoint o at 0, 0\npoint p\n"
	tests := []struct {
		name, text string // dims are a, b, c …
		kinds      string // of all dimensions, in order: L A N, or powers
		values     []float64
	}{
		{"unit", "dim a = 22mm\ndim b = 30deg\ndim c = 2", "L A N", []float64{22, math.Pi / 6, 2}},
		{"every unit", "dim a = 1mm\ndim b = 1cm\ndim c = 1m\ndim d = 1in\ndim e = 1\"\ndim f = 1thou\ndim g = 1rad\ndim h = 1°", "L L L L L L A A",
			[]float64{1, 10, 1000, 25.4, 25.4, 0.0254, 1, math.Pi / 180}},
		{"wanted", "dim a = 22\nlength o p = a", "L", []float64{22}},
		{"wanted in inches", "units in\ndim a = 22\nlength o p = a", "L", []float64{22 * 25.4}},
		{"angle wanted", "dim a = 22\nangle o p = a", "A", []float64{22 * math.Pi / 180}},
		{"argument of a sine", "dim a = 30\npoint q at 10*cos(a), 10*sin(a)", "A", []float64{math.Pi / 6}},
		{"not used", "dim a = 22", "N", []float64{22}},
		{"beside a length", "dim a = 22\ndim b = a + 3mm", "L L", []float64{22, 25}},
		{"beside an angle", "dim a = 22\ndim b = 3deg - a", "A A", []float64{22 * math.Pi / 180, -19 * math.Pi / 180}},
		{"through others", "dim a = 22\ndim b = a/2\ndim c = -b\ndim d = max(c, 1)\nlength o p = abs(d)", "L L L L", []float64{22, 11, -11, 1}},
		{"back through others", "dim a = 2*b\ndim b = 3\nlength o p = a", "L L", []float64{6, 3}},
		{"beside one that is one", "dim a = 3\ndim b = 4\ndim c = hypot(a, b)\nlength o p = b", "L L L", []float64{3, 4, 5}},
		{"rounded", "dim a = 3.4\ndim b = round(a, 1)\nlength o p = b", "L L", []float64{3.4, 3}},
		{"rounded to a step with a unit", "dim a = 7\ndim b = round(a, 5mm)", "L L", []float64{7, 5}},
		{"root of squares", "dim a = 5\ndim b = 3\ndim c = sqrt(a^2 - b^2)\nlength o p = c", "L L L", []float64{5, 3, 4}},
		{"squares and a bare number", "dim a = 5mm\ndim b = sqrt(a^2 - 9)", "L L", []float64{5, 4}},
		{"squares and a bare number in inches", "units in\ndim a = 5\ndim b = sqrt(a^2 - 9)\nlength o p = a", "L L", []float64{127, 4 * 25.4}},
		{"ratio", "dim a = 5\ndim b = 3\ndim c = asin(a/b/2)\nlength o p = a", "L L A", []float64{5, 3, math.Asin(5. / 6)}},
		{"factor", "dim a = 22\ndim b = 1.1\ndim c = a*b\nlength o p = c\nlength p o = a", "L N L", []float64{22, 1.1, 24.2}},
		{"teeth", "dim a = 20\ndim b = 40\nlength o p = 60*a/b\nangle o p = crank*a/b", "N N", []float64{20, 40}},
		{"count", "dim a = 3\npoint q at 10*cos(a*15), 10*sin(360/a)", "N", []float64{3}},
		{"count the other way round", "dim a = 3\npoint q at 10*cos(360/a), 10*sin(a*15)", "N", []float64{3}},
		{"power of a factor", "dim a = 3\nlength o p = 5*a^2\nlength p o = 2*a", "N", []float64{3}},
		{"factor of both", "dim a = 3\nlength o p = 5*a\nlength p o = 22mm*a", "N", []float64{3}},
		{"arc length", "dim a = 20mm\ndim b = 30deg\ndim c = a*b/1rad", "L A L", []float64{20, math.Pi / 6, 20 * math.Pi / 6}},
		{"area", "dim a = 20mm\ndim b = a*a", "L L2", []float64{20, 400}},
		{"products one of another", "dim d = 2\ndim e = 3\ndim f = 4\ndim g = d*f\ndim h = g + e\nlength o p = d\nlength p o = h", "L L N L L", []float64{2, 3, 4, 8, 11}},
		{"a made line says it", "dim a = 22\nmade a = 21.5mm", "L", []float64{21.5}},
		{"a plan line says it", "dim a = 22\nplan a = 1in", "L", []float64{25.4}},
		{"a case says it", "dim a = 22\ncase other : a = 3deg", "A", []float64{22 * math.Pi / 180}},
		{"a tolerance says it", "dim a = 1 ± 5thou", "L", []float64{1}},
		{"a fit says it", "dim a = 12 fit H7", "L", []float64{12}},
		{"a deviation says it", "dim a = 1 tol -1mm to 2", "L", []float64{1}},
		{"a limit says it", "dim a = 3\nmeasure m = x(p)\nkeep m above a", "L", []float64{3}},
		{"a mark says it", "dim a = 3\nmark m when heading(o, p) rises past a", "A", []float64{math.Pi / 60}},
		{"a measure says it", "dim a = 3\nmeasure m = x(p) - a", "L", []float64{3}},
		{"a rate is of the same kind", "dim a = 3\nkeep rate(x(p)) below a", "L", []float64{3}},
		{"a rate of an angle is a number", "dim a = 3\nkeep rate(heading(o, p)) below a", "N", []float64{3}},
		{"a travel says it", "dim a = 3\ntravel t = -a to a step 1mm", "L", []float64{3}},
		{"a travel without a kind is a length", "dim a = 3\ntravel t = -a to a step 1", "L", []float64{3}},
		{"a travel that is an angle", "dim a = 3\ntravel t = -a to a step 1\nangle o p = t", "A", []float64{math.Pi / 60}},
		{"powers", "dim a = 2\ndim b = a^3\ndim c = 2^a", "N N N", []float64{2, 8, 4}},
		{"broken powers", "dim a = 4mm\ndim b = (a*a)^(1/2)\ndim c = (a^3)^(1/3)", "L L L", []float64{4, 4, 4}},
		{"fractions", "dim a = 5 1/4in\ndim b = 1/4in\ndim c = 1 + 1/2in\nlength o p = c", "L L L", []float64{133.35, 6.35, 13.7}},
		{"both units in one sum", "dim a = 22 + 1/2in\ndim b = 1 + 10mm", "L L", []float64{34.7, 11}},
		{"atan2 and its kin", "dim a = atan2(1mm, 1)\ndim b = atan(1)\ndim c = acos(0.5)\ndim d = tan(45)", "A A A N", []float64{math.Pi / 4, math.Pi / 4, math.Pi / 3, 1}},
		{"least and greatest of many", "dim a = min(3mm, 2, 7)\ndim b = max(1, 5deg, 2)", "L A", []float64{2, 5 * math.Pi / 180}},
		{"pi in a length", "dim a = pi*20\nlength o p = a", "L", []float64{math.Pi * 20}},
		{"used before it is given", "length o p = a\ndim a = b\ndim b = 1", "L L", []float64{1, 1}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := good(t, frame+tt.text+"\n", Options{})
			var kinds []string
			for i, d := range s.Dims {
				kinds = append(kinds, short(d.Kind))
				if i < len(tt.values) && !near(d.Value, tt.values[i]) {
					t.Errorf("%s = %v, want %v", d.Name, d.Value, tt.values[i])
				}
			}
			if got := strings.Join(kinds, " "); got != tt.kinds || len(tt.values) != len(s.Dims) {
				t.Errorf("kinds %s, want %s", got, tt.kinds)
			}
		})
	}
}

func short(k quantity.Kind) string {
	switch k {
	case quantity.Plain:
		return "N"
	case quantity.Length:
		return "L"
	case quantity.Angle:
		return "A"
	}
	return fmt.Sprintf("L%v", k.L)
}

// TestWhichCounts pins which of the lines of a dimension gives its value: the command line, the case asked for, made,
// plan, dim; and with as drawn the dim lines alone.
func TestWhichCounts(t *testing.T) {
	const text = `
dim  d = 10mm
dim  planned = 10mm
plan planned = 20mm
dim  made_1 = 10mm
made made_1 = 30mm
dim  both = 10mm
plan both = 20mm
made both = 30mm
dim  sum = both + 1mm
dim  through_1 = planned + 1mm
plan late = sum + 1mm
dim  late = 5mm
case what : both = 40mm, d = 41mm
case other : both = 50mm
`
	tests := []struct {
		o      Options
		shown  string
		values map[string]float64
	}{
		{Options{}, "now", map[string]float64{"d": 10, "planned": 20, "made_1": 30, "both": 30, "sum": 31, "through_1": 21, "late": 32}},
		{Options{AsDrawn: true}, "drawn", map[string]float64{"d": 10, "planned": 10, "made_1": 10, "both": 10, "sum": 11, "through_1": 11, "late": 5}},
		{Options{Case: "what"}, "what", map[string]float64{"d": 41, "planned": 20, "made_1": 30, "both": 40, "sum": 41, "through_1": 21, "late": 42}},
		{Options{Case: "other"}, "other", map[string]float64{"d": 10, "both": 50, "sum": 51}},
		{Options{Set: []string{"both = 1/2in", "planned=2*d"}}, "now", map[string]float64{"both": 12.7, "sum": 13.7, "planned": 20, "through_1": 21}},
		{Options{Set: []string{"both=7"}, Case: "what"}, "what", map[string]float64{"both": 7, "d": 41}},
		{Options{Set: []string{"both=7"}, AsDrawn: true}, "drawn", map[string]float64{"both": 7, "planned": 10, "made_1": 10, "sum": 8}},
	}
	for _, tt := range tests {
		s := good(t, text, tt.o)
		if s.Shown != tt.shown {
			t.Errorf("%+v: shown %q, want %q", tt.o, s.Shown, tt.shown)
		}
		for name, want := range tt.values {
			if got := value(t, s, name); !near(got, want) {
				t.Errorf("%+v: %s = %v, want %v", tt.o, name, got, want)
			}
			d, number, _ := s.Dim(name)
			if got := s.Values.At(s.Problem.Graph.Dims[number]); got != d.Value {
				t.Errorf("%+v: node of %s is %v, want %v", tt.o, name, got, d.Value)
			}
			if p := s.Problem.Dims[number]; p.Name != name || p.Stmt != d.Stmt {
				t.Errorf("%+v: dimension %d of the problem is %+v, want %s", tt.o, number, p, name)
			}
		}
	}
}

// TestLedgerOfValues pins what is kept of each dimension beside the value that counts.
func TestLedgerOfValues(t *testing.T) {
	s := good(t, `
dim pin = throat + 1.5 "from the boss"
dim throat = 16mm
made pin = 17.5 ± 0.02 "micrometer"
plan throat = 17.6 "wider"
dim stock = 3/16in ± 5thou
dim bush = 18mm fit H7
dim shaft = bush fit f7
dim loose_1 = 5mm tol -0.1 to 0.3
`, Options{})
	type kept struct {
		Value, Drawn, Asked, Made, Planned float64
		Tol, MadeTol, Counts               Tol
		Notes                              string
		Source                             string
		IsMade                             bool
	}
	nan := -999.
	number := func(v float64) float64 {
		if math.IsNaN(v) {
			return nan
		}
		return math.Round(v*1e9) / 1e9
	}
	rounded := func(t Tol) Tol { t.Lower, t.Upper = number(t.Lower), number(t.Upper); return t }
	got := map[string]kept{}
	for i := range s.Dims {
		d := &s.Dims[i]
		got[d.Name] = kept{number(d.Value), number(d.Drawn), number(d.Asked), number(d.Made), number(d.Planned), rounded(d.Tol), rounded(d.MadeTol), rounded(d.Counts()),
			strings.Join([]string{d.Note, d.MadeNote, d.PlanNote}, "|"), d.Source.String(), d.IsMade()}
		if a := s.Values.At(d.AskedSum); a != d.Asked {
			t.Errorf("%s: the asked node is %v, want %v", d.Name, a, d.Asked)
		}
	}
	stock := Tol{Given: true, Lower: -0.127, Upper: 0.127}
	pin := Tol{Given: true, Lower: -0.02, Upper: 0.02}
	want := map[string]kept{
		"pin":     {Value: 17.5, Drawn: 17.5, Asked: 19.1, Made: 17.5, Planned: nan, MadeTol: pin, Counts: pin, Notes: "from the boss|micrometer|", Source: "made", IsMade: true},
		"throat":  {Value: 17.6, Drawn: 16, Asked: 17.6, Made: nan, Planned: 17.6, Notes: "||wider", Source: "plan"},
		"stock":   {Value: 4.7625, Drawn: 4.7625, Asked: 4.7625, Made: nan, Planned: nan, Tol: stock, Counts: stock, Notes: "||", Source: "dim"},
		"bush":    {Value: 18, Drawn: 18, Asked: 18, Made: nan, Planned: nan, Tol: Tol{true, 0, 0.018, "H7"}, Counts: Tol{true, 0, 0.018, "H7"}, Notes: "||", Source: "dim"},
		"shaft":   {Value: 18, Drawn: 18, Asked: 18, Made: nan, Planned: nan, Tol: Tol{true, -0.034, -0.016, "f7"}, Counts: Tol{true, -0.034, -0.016, "f7"}, Notes: "||", Source: "dim"},
		"loose_1": {Value: 5, Drawn: 5, Asked: 5, Made: nan, Planned: nan, Tol: Tol{true, -0.1, 0.3, ""}, Counts: Tol{true, -0.1, 0.3, ""}, Notes: "||", Source: "dim"},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if !s.Problem.Dims[0].Made || s.Problem.Dims[1].Made {
		t.Error("pin is made, throat is not")
	}
}

// TestWith puts other values in, those that the ranges of turn and travels follow from among them.
func TestWith(t *testing.T) {
	s := good(t, `
dim throw = 22mm
dim rod = 3*throw
dim bump = 3mm
made fixed = 5mm
dim fixed = throw
turn crank = 0 to 360 step 10
travel axle = -bump to bump step bump
point a at 0, axle
point b
length a b = throw
angle a b = crank
measure m = x(b) + rod + fixed
`, Options{})
	_, throw, _ := s.Dim("throw")
	_, rod, _ := s.Dim("rod")
	_, bump, _ := s.Dim("bump")
	_, fixed, _ := s.Dim("fixed")
	p, v, messages := s.With(map[int]float64{throw: 10, bump: 4})
	if len(messages) > 0 {
		t.Fatal(printed(messages))
	}
	at := func(d int) float64 { return v.At(p.Graph.Dims[d]) }
	if at(throw) != 10 || at(rod) != 30 || at(fixed) != 5 {
		t.Errorf("throw %v, rod %v, fixed %v, want 10, 30, 5", at(throw), at(rod), at(fixed))
	}
	if d := cmp.Diff([]float64{-4, 0, 4}, p.Travels[0].Settings); d != "" {
		t.Error(d)
	}
	if s.Problem.Travels[0].To != 3 || s.Values.At(s.Problem.Graph.Dims[throw]) != 22 {
		t.Error("the sketch has changed")
	}
	for _, bad := range []map[int]float64{{throw: -1}, {bump: 0}, {bump: 1e-9}, {throw: math.NaN()}} {
		if _, _, messages := s.With(bad); bad[bump] != 1e-9 && len(messages) == 0 {
			t.Errorf("%v: no message", bad)
		}
	}
	var wait sync.WaitGroup
	for i := range 8 { // many at once, the race detector looking on
		wait.Add(1)
		go func() {
			defer wait.Done()
			if p, v, m := s.With(map[int]float64{throw: float64(i), bump: math.Inf(1)}); len(m) == 0 || v.At(p.Graph.Dims[throw]) != float64(i) {
				t.Errorf("throw %v, messages %v", v.At(p.Graph.Dims[throw]), m)
			}
		}()
	}
	wait.Wait()
	drawn, messages := s.Again(Options{AsDrawn: true})
	if len(messages) > 0 || value(t, drawn, "fixed") != 22 {
		t.Errorf("as drawn, fixed = %v, want 22 %s", value(t, drawn, "fixed"), printed(messages))
	}
}
