package sheet

import (
	"bytes"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"barover/render/drawing"
	"barover/render/pdf"
	"barover/render/svg"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// texts are all texts of a drawing, by layer.
func texts(d *drawing.Drawing) map[string][]string {
	out := map[string][]string{}
	for _, l := range d.Layers {
		for _, i := range l.Items {
			if t, ok := i.(drawing.Text); ok {
				out[l.ID] = append(out[l.ID], t.S)
			}
		}
	}
	return out
}

// overlay is the first sheet of a book, with the scale and the paper that were chosen for it.
type overlay struct {
	Drawing *drawing.Drawing
	Scale   drawing.Scale
	Paper   drawing.Paper
	Note    string
}

func sweepSheet(e *Engine, o Options) overlay {
	b := NewBook(e, o)
	return overlay{b.Sheet(0), b.l.scale, b.l.paper, b.l.note}
}

func has(list []string, want string) bool {
	for _, s := range list {
		if strings.Contains(s, want) {
			return true
		}
	}
	return false
}

func TestOverlaySaysWhatItMust(t *testing.T) {
	look := options()
	look.LabelAll = true
	o := sweepSheet(mill(t), look)
	all := texts(o.Drawing)
	for _, c := range [][2]string{
		{"title", "Sill mill engine, crank side"}, {"title", "mill.motion"}, {"title", "as it stands"}, {"title", o.Scale.String()},
		{"title", "A4"}, {"title", "1 of 3"}, {"title", "Ideal rigid geometry."}, {"title", "licensed inspector."},
		{"labels", "fouls by 0.8 at 62.3°"}, {"labels", "conrod.shank – frame.bars"}, {"labels", "12 at 270°"},
		{"answers", "conrod.shank – frame.bars"}, {"answers", "at least 0.5"}, {"answers", "fouls"}, {"answers", "holds"}, {"answers", "holds? (sampled)"}, {"answers", "1"},
		{"crank", "90°"}, {"crank", "180°"}, {"legend", "position at crank 0°"}, {"legend", "swept in a whole turn"},
		{"legend", "positions every 15°"}, {"legend", "path of crankpin, crosspin"},
	} {
		if !has(all[c[0]], c[1]) {
			t.Errorf("layer %s does not say %q: %q", c[0], c[1], all[c[0]])
		}
	}
	ghosts := 0
	for _, i := range o.Drawing.Layer("ghosts", "").Items {
		if _, ok := i.(drawing.Use); ok {
			ghosts++
		}
	}
	if ghosts != 6*24+13 { // seven moving profiles; the little end, a disc, looks the same going and coming back
		t.Errorf("%d ghosts", ghosts)
	}
}

// TestNoPlaceForWhatStandsStill: what reads the same at every position has no one place; what differs has one.
func TestNoPlaceForWhatStandsStill(t *testing.T) {
	e := mill(t)
	e.Result.Findings[3].At.Turn = 1
	e.Problem.Checks[3].Sum = e.Problem.Graph.X(1)
	s := lay(e, &Options{Words: plain})
	for _, c := range []struct {
		least, greatest float64
		want            string
	}{{3, 44, "57.3°"}, {3, 3, "everywhere"}, {3.001, 3.002, "everywhere"}, {3, 3.1, "57.3°"}, {math.NaN(), math.NaN(), "57.3°"}} {
		e.Result.Findings[3].Least, e.Result.Findings[3].Greatest = c.least, c.greatest
		for _, a := range s.answers() {
			if s.say(&a, plain); a.Check.Kind == solver.Keep && a.where != c.want {
				t.Errorf("from %v to %v: at %q, want %q", c.least, c.greatest, a.where, c.want)
			}
			if a.Check.Kind == solver.Gap && a.where != "–" {
				t.Errorf("a gap is placed at %q", a.where)
			}
		}
	}
}

// TestSampledIsNeverClear: what was only looked at position by position is not said to hold.
func TestSampledIsNeverClear(t *testing.T) {
	e := mill(t)
	for i := range e.Result.Findings {
		e.Result.Findings[i].OK, e.Result.Findings[i].Sure = true, solver.Sampled
	}
	d := sweepSheet(e, options()).Drawing
	for layer, list := range texts(d) {
		for _, s := range list {
			if s == "holds" {
				t.Errorf("layer %s says %q", layer, s)
			}
		}
	}
	if l := texts(d); !has(l["labels"], "(sampled)") || !has(l["answers"], "holds?") {
		t.Errorf("%q", l)
	}
	e.Result.Findings[1].Sure, e.Result.Findings[1].Unproved = solver.InPart, []solver.Unproved{{Interval: solver.Interval{From: 3.1, To: 3.2}}}
	if l := texts(sweepSheet(e, options()).Drawing)["answers"]; slices.Contains(l, "holds") || !has(l, "in part") {
		t.Errorf("with a stretch unproved: %q", l)
	}
}

func TestSameSheetSameBytes(t *testing.T) {
	axle := solver.Travel{Name: "axle", Range: true, From: -2, To: 3}
	one := NewBook(mill(t, axle), options()).Sheets()
	two := NewBook(mill(t, axle), options()).Sheets()
	if !bytes.Equal(pdf.Bytes(one...), pdf.Bytes(two...)) {
		t.Error("the PDF differs")
	}
	for i := range one {
		if !bytes.Equal(svg.Bytes(one[i]), svg.Bytes(two[i])) {
			t.Errorf("the SVG of sheet %d differs", i+1)
		}
	}
	if l := texts(one[0]); !has(l["legend"], "axle 0") || !has(l["legend"], "travels") {
		t.Errorf("the travels are not told of: %q", l["legend"])
	}
}

func TestPagesAreNumbered(t *testing.T) {
	b := NewBook(mill(t), options())
	pages := b.Sheets()
	if len(pages) < 3 || len(pages) != b.Len() || b.Sheet(1) != pages[1] {
		t.Fatalf("%d sheets of %d", len(pages), b.Len())
	}
	for i, p := range pages {
		want := string(rune('1'+i)) + " of " + string(rune('0'+len(pages)))
		if l := texts(p)["title"]; !has(l, want) || !has(l, "Ideal rigid geometry") {
			t.Errorf("sheet %d: %q", i+1, l)
		}
	}
}

// TestLayout: paper and scale. The mill sweeps 270 × 92 mm.
func TestLayout(t *testing.T) {
	for _, c := range []struct {
		paper       string
		portrait    bool
		oriented    bool
		scale       drawing.Scale
		want, sheet string
		note        bool
	}{
		{want: "3:4", sheet: "A4"},
		{paper: "A3", want: "1:1", sheet: "A3"},
		{paper: "A0", want: "4:1", sheet: "A0"},
		{paper: "A4", portrait: true, oriented: true, want: "1:2", sheet: "A4"},
		{scale: drawing.Scale{Drawn: 1, Real: 1}, want: "1:1", sheet: "A3"},
		{scale: drawing.Scale{Drawn: 1, Real: 10}, want: "1:10", sheet: "A4"},
		{paper: "A4", scale: drawing.Scale{Drawn: 4, Real: 5}, want: "4:5", sheet: "A4"},
		{paper: "A4", scale: drawing.Scale{Drawn: 1, Real: 1}, want: "3:4", sheet: "A4", note: true},
		{scale: drawing.Scale{Drawn: 50, Real: 1}, want: "4:1", sheet: "A0", note: true},
	} {
		o := options()
		o.Paper, o.Portrait, o.Oriented, o.Scale = c.paper, c.portrait, c.oriented, c.scale
		v := sweepSheet(mill(t), o)
		if v.Scale.String() != c.want || v.Paper.Name != c.sheet || (v.Note != "") != c.note {
			t.Errorf("%+v: %v on %v %q", c, v.Scale, v.Paper, v.Note)
		}
		if c.oriented && (v.Paper.Wide > v.Paper.High) == c.portrait {
			t.Errorf("%+v: %v", c, v.Paper)
		}
		if v.Drawing.Width != v.Paper.Wide || v.Drawing.Height != v.Paper.High {
			t.Errorf("%+v: the drawing is %v × %v", c, v.Drawing.Width, v.Drawing.Height)
		}
		if c.note && !has(texts(v.Drawing)["notes"], "does not fit") {
			t.Errorf("%+v: the sheet does not say so", c)
		}
	}
}

// TestTableMakesRoom: the table goes to another sheet where the picture wins a step by it, and the paper stands upright for what
// is tall. The room is that of A4 within its border, 267 × 190, its title block 37 high, 15 for labels all round.
func TestTableMakesRoom(t *testing.T) {
	for _, c := range []struct {
		wide, high float64
		rows, kept int
		lying      bool
		scale      string
		upright    bool
	}{
		{100, 115, 8, 0, true, "3:4", false}, // 123 high without the table, 76 with it, and at full size 11 less
		{100, 115, 8, 8, false, "1:1", true},
		{100, 60, 8, 0, false, "2:1", false}, // 123 high again
		{100, 40, 2, 2, true, "2:1", false},
		{60, 900, 2, 0, false, "1:5", true}, // 277 - 37 - 24 - 30 high; less three rows of 5.2 it is 1:6
	} {
		l := choose(c.wide, c.high, table{rows: c.rows, all: c.rows}, &Options{Paper: "A4", Oriented: c.lying})
		if l.scale.String() != c.scale || l.rows != c.kept || (l.paper.High > l.paper.Wide) != c.upright {
			t.Errorf("%+v: %v with %d rows on %v", c, l.scale, l.rows, l.paper)
		}
	}
}

func TestBrokenIsTold(t *testing.T) {
	e := mill(t)
	e.Poses = sliderCrank{22, 133.35, [2]float64{1, 2}}
	e.Result.Broken = []linkage.Broken{{From: 1, To: 2, Stmt: 12, Miss: 3}}
	d := sweepSheet(e, options()).Drawing
	if l := texts(d)["notes"]; !has(l, "cannot be assembled from 57.3° to 114.6°") {
		t.Errorf("%q", l)
	}
	o := options()
	o.At = &solver.Position{Turn: 1.5}
	if l := texts(sweepSheet(e, o).Drawing)["notes"]; !has(l, "the chosen position cannot be assembled") {
		t.Errorf("%q", l)
	}
}

// badPoses gives poses that hold no numbers, or too few.
type badPoses struct{ how int }

func (b badPoses) Pose(turn float64, travel []float64) (*linkage.Pose, bool) {
	p, _ := sliderCrank{throw: 22, rod: 133.35}.Pose(turn, travel)
	switch b.how {
	case 0:
		return nil, true
	case 1:
		p.Part = p.Part[:1]
	case 2:
		p.Part[2].Origin.X = math.NaN()
		p.Point[1].Y = math.Inf(1)
	case 3:
		for i := range p.Part {
			p.Part[i].Origin = p.Part[i].Origin.Scale(1e12)
		}
	case 4:
		p.Line = nil
	case 5:
		for i := range p.Part {
			p.Part[i].Dir = plane.Vec{}
		}
	}
	return p, true
}

// TestOddEngines: nothing to draw, figures that are none, engines too large and too small: a sheet all the same.
func TestOddEngines(t *testing.T) {
	g := &expr.Graph{}
	empty := &Engine{Problem: &solver.Problem{Graph: g, Linkage: &schedule.Model{Graph: g, Parts: []schedule.Part{{Name: "frame"}}}}, Values: expr.Resolve(g, nil)}
	engines := []*Engine{empty}
	for how := range 6 {
		e := mill(t)
		e.Poses = badPoses{how}
		engines = append(engines, e)
	}
	for _, turn := range []solver.Turn{{From: 1, To: 1}, {From: 2, To: 1}, {To: math.Inf(1)}, {To: math.NaN()}, {To: 1e9}} {
		e := mill(t)
		e.Problem.Turn = turn
		if turn.To == 1e9 { // with one part alone: its outlines at places all over its way take long to put together
			e.Pick.Only = []string{"conrod"}
		}
		engines = append(engines, e)
	}
	e := mill(t)
	e.Regions = make([]*outline.Region, 3)
	e.Problem.Profiles[4].Part = 99
	e.Problem.Traces = []int{-1, 99}
	e.Result.Findings[1].Near[0].X = math.NaN()
	engines = append(engines, e)
	for i, e := range engines {
		for _, c := range []struct {
			at     *solver.Position
			ghosts float64
		}{{&solver.Position{Turn: math.NaN()}, []float64{math.NaN(), 0}[i%2]}, {&solver.Position{Turn: 1, Travel: []float64{1, 2, 3}}, []float64{7, 1e-12, -1}[i%3]}} {
			o := options()
			o.At, o.Ghosts = c.at, c.ghosts
			pages := NewBook(e, o).Sheets()
			if len(pages) == 0 || len(pdf.Bytes(pages...)) == 0 {
				t.Errorf("engine %d: nothing drawn", i)
			}
			if bytes.Contains(svg.Bytes(pages[0]), []byte("NaN")) {
				t.Errorf("engine %d: a figure that is none in the file", i)
			}
		}
	}
}

// BenchmarkSheet is the overlay of a small engine with its SVG and PDF: what a watcher does at every save.
func BenchmarkSheet(b *testing.B) {
	e := mill(b)
	b.ReportAllocs()
	for b.Loop() {
		d := sweepSheet(e, options()).Drawing
		if len(svg.Bytes(d))+len(pdf.Bytes(d)) < 1000 {
			b.Fatal("nothing drawn")
		}
	}
}

// TestVerdictOnTheFirstSheet: where the table of answers has no room on the first sheet, that says how many came out how,
// and on which sheet they stand; nothing where the table is on it.
func TestVerdictOnTheFirstSheet(t *testing.T) {
	for _, c := range []struct {
		all  bool // holds, and is proved
		want string
	}{{false, "What the sketch asks: 1 check fouls, 1 not proved, 2 hold; see sheet "}, {true, "What the sketch asks: all 4 hold; see sheet "}} {
		e := mill(t)
		for i := range e.Result.Findings {
			if f := &e.Result.Findings[i]; c.all {
				f.OK, f.Least, f.Sure = true, max(f.Least, 1), solver.Proved
			}
		}
		b := NewBook(e, options())
		if notes := texts(b.Sheet(0))["notes"]; b.l.rows > 0 && len(notes) > 0 {
			t.Errorf("the table stands on the sheet, and beside it %q", notes)
		}
		o := options()
		o.Paper, o.Oriented, o.Scale = "A4", true, drawing.Scale{Drawn: 3, Real: 4}
		m := &maker{e.Problem.Graph, e.Problem} // a post 160 high: 123 are left without the table
		m.profile(0, "frame.post", -20, 20, m.box(-40, -60, -30, 100))
		if b = NewBook(rebuilt(t, e), o); b.l.rows > 0 || b.l.note != "" {
			t.Fatal("the table has room", b.l.note)
		}
		on := 0
		for i, d := range b.Sheets() {
			if on == 0 && has(texts(d)["answers"], "what the sketch asks") {
				on = i + 1
			}
		}
		if notes := texts(b.Sheet(0))["notes"]; !has(notes, c.want+strconv.Itoa(on)) {
			t.Errorf("%q, want %q and %d", notes, c.want, on)
		}
	}
}

// TestRestOfTheTable: under a table of which only some rows are shown, it says how the others came out: those that do not hold first.
func TestRestOfTheTable(t *testing.T) {
	e, o := mill(t), options()
	all := alone(lay(e, &o), o.Words).table()
	if got := all.rest(0); got != "1 check fouls, 1 not proved, 2 hold" {
		t.Errorf("of none shown: %q", got)
	}
	if got := all.rest(1); got != "1 not proved, 2 hold" {
		t.Errorf("with the foul shown: %q", got)
	}
	for i := range e.Result.Findings {
		e.Result.Findings[i].Sure = solver.Proved
	}
	if got := alone(lay(e, &o), o.Words).table().rest(2); got != "both hold" {
		t.Errorf("of the last two: %q", got)
	}
}

// TestRoomyPairsAreCounted: the sheet of answers has no row for pairs with much room, and the first sheet does not say that it has.
func TestRoomyPairsAreCounted(t *testing.T) {
	e, o := mill(t), options()
	e.Result.Findings[1].AtLeast = 2
	if got := alone(lay(e, &o), o.Words).table().whole; got != "all stand on the sheet of answers" {
		t.Error(got)
	}
	e.Result.Findings[1].Least = roomy * e.Result.Findings[1].AtLeast
	all := alone(lay(e, &o), o.Words)
	if got := all.table().whole; got != "all but 1 with much room stand on the sheet of answers" {
		t.Error(got)
	}
	if told, far := rows(all.is.answers()); len(told) != 3 || far != 1 {
		t.Errorf("%d rows, %d without", len(told), far)
	}
}

// TestAnglesOfAnswers: an angle that is asked or comes out is not rounded to the tenth of a degree of a position, whose half is rounded up.
func TestAnglesOfAnswers(t *testing.T) {
	e, o := mill(t), options()
	p, f := &e.Problem.Checks[3], &e.Result.Findings[3]
	p.Angle, f.AtLeast, f.AtMost, f.Least, f.Greatest = true, -0.1, 14.478*math.Pi/180, 0, 14.4775*math.Pi/180
	s := lay(e, &o)
	for _, a := range s.answers() {
		if a.Check.Kind != solver.Keep {
			continue
		}
		if s.say(&a, o.Words); a.asked != "-5.73° to 14.478°" || a.figure != "14.478°" {
			t.Errorf("asked %s, worst %s", a.asked, a.figure)
		}
	}
	if got := degrees(62.25 * math.Pi / 180); got != "62.3°" {
		t.Error(got)
	}
}

// TestAnswersThatTheTurnLeaves: a greatest over the turn that differs from travel to travel is asked at no one place of the turn.
func TestAnswersThatTheTurnLeaves(t *testing.T) {
	e, o := mill(t), options()
	p, f := &e.Problem.Checks[3], &e.Result.Findings[3]
	p.Sum = e.Problem.Graph.Unary(expr.Greatest, p.Sum)
	f.Least, f.Greatest = 1, 2
	s := lay(e, &o)
	for _, a := range s.answers() {
		if a.Check.Kind != solver.Keep {
			continue
		}
		if s.say(&a, o.Words); a.where != "any crank" {
			t.Errorf("%q", a.where)
		}
	}
}
