package sheet

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"barover/render/drawing"
	"barover/render/pdf"
	"barover/render/svg"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
)

// shorter is the mill with a rod of another length, mm.
func shorter(tb testing.TB, rod float64) *Engine {
	e := mill(tb)
	e.Poses = sliderCrank{throw: 22, rod: rod}
	m := &maker{e.Problem.Graph, e.Problem}
	e.Problem.Profiles[3].Shapes = []outline.Shape{m.strip(rod, 13, 9, false)}
	e.Problem.Profiles[5].Shapes = []outline.Shape{m.disc(rod, 0, 13)}
	return rebuilt(tb, e)
}

// rebuilt is the engine with its outlines made again.
func rebuilt(tb testing.TB, e *Engine) *Engine {
	e.Values = expr.Resolve(e.Problem.Graph, nil)
	e.Regions = nil
	for _, p := range e.Problem.Profiles {
		r, err := outline.Build(p.Shapes, e.Values)
		if err != nil {
			tb.Fatal(err)
		}
		e.Regions = append(e.Regions, r)
	}
	return e
}

// changed is the mill with its rod made shorter: the rod, which cleared, fouls the bars.
func changed(tb testing.TB) *Change {
	before, after := mill(tb), shorter(tb, 120)
	clear := before.Result.Findings[0]
	clear.OK, clear.Least, clear.Near = true, 0.7, [2]plane.Vec{{X: 100, Y: 8.8}, {X: 100, Y: 9.5}}
	gap := before.Result.Findings[2]
	gap.Least, gap.Greatest = 0.4, 0.4
	return &Change{Before: before, After: after, Was: "as drawn", Is: "case short", Sum: "2 checks came out otherwise.",
		Dims: []ChangedDim{{Name: "rod", Was: "133.35", Is: "120", By: "-13.35", From: "case"}, {Name: "old_one", Was: "7"}},
		Checks: []ChangedCheck{
			{Before: &gap, After: &after.Result.Findings[2], Became: solver.Better, What: "gap crank.web – conrod.big_end", Was: "0.4", Is: "0.5", By: "+0.1"},
			{Before: &clear, After: &after.Result.Findings[0], Became: solver.FallsShortNow, What: "conrod.shank – frame.bars", Was: "0.7", Is: "-0.8", By: "-1.5"},
		}}
}

// drawnIn are the labels of what a layer draws, each with the width of its line.
func drawnIn(d *drawing.Drawing, layer string) map[string]float64 {
	out := map[string]float64{}
	for _, i := range d.Layer(layer, "").Items {
		switch i := i.(type) {
		case drawing.Use:
			out[i.Label] = i.Style.Width
		case drawing.Shape:
			out[i.Label] = i.Style.Width
		}
	}
	return out
}

// named reports whether a layer draws something whose label begins so, and how wide its line is.
func named(of map[string]float64, label string) (width float64, ok bool) {
	for l, w := range of {
		if strings.HasPrefix(l, label+",") || l == label {
			return w, true
		}
	}
	return 0, false
}

func TestBothEnginesOnOneSheet(t *testing.T) {
	d := NewChangeBook(changed(t), options()).Sheet(0)
	for _, c := range []struct {
		layer, label string
		width        float64
	}{
		{"before", "before: conrod.shank", 0.18}, {"after", "after: conrod.shank", 0.7},
		{"before", "before: piston.head", 0.18}, {"after", "after: piston.head", 0.7},
		{"unchanged", "crank.web", 0.18}, {"unchanged", "frame.bars", 0.18}, {"unchanged", "conrod.big_end", 0.18},
		{"swept", "before: swept by piston", 0.18}, {"swept", "after: swept by piston", 0.35},
		{"traces", "before: path of crosspin", 0.18}, {"traces", "after: path of crosspin", 0.5},
	} {
		if w, ok := named(drawnIn(d, c.layer), c.label); !ok || w != c.width {
			t.Errorf("layer %s draws %q: %v, %v wide; want %v", c.layer, c.label, ok, w, c.width)
		}
	}
	for _, c := range [][2]string{{"after", "after: crank.web"}, {"before", "before: crank.web"}, {"after", "after: frame.bars"},
		{"swept", "after: swept by crank"}, {"traces", "after: path of crankpin"}} {
		if _, ok := named(drawnIn(d, c[0]), c[1]); ok {
			t.Errorf("layer %s draws %q, which is the same before and after", c[0], c[1])
		}
	}
}

// TestBrokenLinesOfBothDiffer: what is broken before and after a change has another pattern in each, so that a print in grey tells them apart.
func TestBrokenLinesOfBothDiffer(t *testing.T) {
	for _, pair := range [][2]*drawing.Style{{wasSwept, isSwept}, {wasTrace, isTrace}} {
		if was, is := pair[0], pair[1]; was.Line == is.Line || was.Width >= is.Width {
			t.Errorf("%s and %s are alike", was.Name, is.Name)
		}
	}
	if wasSwept.Line == wasTrace.Line {
		t.Error("a path before looks like a swept outline before")
	}
}

func TestChangeIsToldBesideThePicture(t *testing.T) {
	o := options()
	o.Values = "thin: as drawn\nthick: case short"
	all := texts(NewChangeBook(changed(t), o).Sheet(0))
	for _, c := range [][2]string{
		{"answers", "dim rod"}, {"answers", "133.35"}, {"answers", "-13.35"}, {"answers", "case"}, {"answers", "dim old_one"}, {"answers", "gone"},
		{"answers", "gap crank.web – conrod.big_end"}, {"answers", "better"}, {"answers", "▲"}, {"answers", "now fouls"}, {"answers", "×"},
		{"answers", "at least 0.5"}, {"labels", "× conrod.shank – frame.bars fouls"}, {"labels", "0.7 → -0.8 at 62.3°"},
		{"notes", "2 checks came out otherwise."}, {"notes", "drawn at crank 0°"}, {"notes", "× falls short; ▲ better"},
		{"title", "thin: as drawn"}, {"title", "thick: case short"}, {"title", "Ideal rigid geometry."}, {"title", "Before and after"},
		{"legend", "before: as drawn"}, {"legend", "after: case short"}, {"legend", "the same before and after"},
	} {
		if !has(all[c[0]], c[1]) {
			t.Errorf("layer %s does not say %q: %q", c[0], c[1], all[c[0]])
		}
	}
	fouls, gap := -1, -1
	for i, s := range all["answers"] {
		switch s {
		case "conrod.shank – frame.bars":
			fouls = i
		case "gap crank.web – conrod.big_end":
			gap = i
		}
	}
	if !(fouls >= 0 && fouls < gap) {
		t.Errorf("what falls short stands at %d of the table, what holds at %d", fouls, gap)
	}
}

// TestOneFrameForBoth: an engine that is larger before the change than after it has room, at one scale.
func TestOneFrameForBoth(t *testing.T) {
	for _, rods := range [][2]float64{{133.35, 70}, {70, 133.35}} {
		c := &Change{Before: shorter(t, rods[0]), After: shorter(t, rods[1]), Was: "old", Is: "new"}
		o := options()
		b := layBoth(c, &o)
		l := choose(b.is.box.Max.X-b.is.box.Min.X, b.is.box.Max.Y-b.is.box.Min.Y, table{}, &o)
		v := b.view(&o, l)
		if v.now.k != v.old.k || v.now.shift != v.old.shift || v.now.k != l.scale.K() {
			t.Errorf("rods %v: scales %v and %v, shifts %v and %v", rods, v.now.k, v.old.k, v.now.shift, v.old.shift)
		}
		for _, one := range []*view{v.now, v.old} {
			for i := range one.bodies {
				for _, run := range one.flat(&one.bodies[i], one.chosen) {
					if box := drawing.BoxOf(run); !l.picture.Holds(box.Min) || !l.picture.Holds(box.Max) {
						t.Errorf("rods %v: %s stands at %v, the picture has %v", rods, one.bodies[i].name, box, l.picture)
					}
				}
			}
		}
	}
}

// TestCameAndWent: a part that only one engine has is drawn in that one's line and named.
func TestCameAndWent(t *testing.T) {
	after := mill(t)
	m := &maker{after.Problem.Graph, after.Problem}
	after.Problem.Profiles[1].Name = "frame.sole"
	m.profile(0, "frame.stop", -4, 4, m.box(195, -8, 200, 8))
	d := NewChangeBook(&Change{Before: mill(t), After: rebuilt(t, after), Was: "old.motion", Is: "new.motion"}, options()).Sheet(0)
	was, is := drawnIn(d, "before"), drawnIn(d, "after")
	if w, ok := named(was, "before: frame.bed"); !ok || w != 0.18 || len(was) != 1 {
		t.Errorf("drawn thin: %v; want frame.bed alone", was)
	}
	if len(is) != 2 {
		t.Errorf("drawn thick: %v; want frame.sole and frame.stop", is)
	}
	for _, name := range []string{"– gone: frame.bed", "+ new: frame.sole", "+ new: frame.stop"} {
		if !has(texts(d)["labels"], name) {
			t.Errorf("%q is not named: %q", name, texts(d)["labels"])
		}
	}
}

func TestNothingChanged(t *testing.T) {
	b := NewChangeBook(&Change{Before: mill(t), After: mill(t), Was: "as drawn", Is: "as it stands", Sum: "Nothing moved."}, options())
	d := b.Sheet(0)
	if b.Len() != 1 || !has(texts(d)["notes"], "Nothing changed") {
		t.Errorf("%d sheets; notes %q", b.Len(), texts(d)["notes"])
	}
	if n := len(drawnIn(d, "before")) + len(drawnIn(d, "after")) + len(drawnIn(d, "swept")); n != 0 || len(drawnIn(d, "unchanged")) != 9 {
		t.Errorf("%d outlines differ, %d are the same; want 0 and 9", n, len(drawnIn(d, "unchanged")))
	}
}

// TestOneOfBothStands: where one engine cannot be assembled at the position drawn, the other is drawn whole, and it is said.
func TestOneOfBothStands(t *testing.T) {
	for _, broken := range []string{"before", "after", "both"} {
		before, after := mill(t), mill(t)
		dead := sliderCrank{22, 133.35, [2]float64{1, 2}}
		if broken != "after" {
			before.Poses = dead
		}
		if broken != "before" {
			after.Poses = dead
		}
		o := options()
		o.At = &solver.Position{Turn: 1.5}
		d := NewChangeBook(&Change{Before: before, After: after, Was: "as drawn", Is: "as it stands"}, o).Sheet(0)
		was, is := len(drawnIn(d, "before")), len(drawnIn(d, "after"))
		want := map[string][2]int{"before": {0, 9}, "after": {9, 0}, "both": {0, 0}}[broken]
		if was != want[0] || is != want[1] || len(drawnIn(d, "unchanged")) != 0 {
			t.Errorf("%s broken: %d outlines thin and %d thick, want %v", broken, was, is, want)
		}
		for _, side := range []string{"Before, as drawn", "After, as it stands"} {
			said := has(texts(d)["notes"], side+": cannot be assembled")
			if should := broken == "both" || strings.HasPrefix(strings.ToLower(side), broken); said != should {
				t.Errorf("%s broken: that %s cannot be assembled is said: %v", broken, side, said)
			}
		}
	}
}

// TestAcrossShowsBoth: where a band changed, and nothing from the side, the strip comes first: that row thick and thin, the rest once.
func TestAcrossShowsBoth(t *testing.T) {
	after := mill(t)
	after.Problem.Profiles[3].To = after.Problem.Graph.Const(3.25)
	b := NewChangeBook(&Change{Before: mill(t), After: rebuilt(t, after), Was: "as drawn", Is: "as it stands"}, options())
	if b.Len() != 2 {
		t.Fatalf("%d sheets, want the plan with the strip, and the overlay", b.Len())
	}
	// The plan: the rod's band as it was, thin, by 5 mm, and as it is, by 5.75 mm, where its edges stand thick.
	k, high := 0.0, 0.0
	for _, i := range b.Sheet(0).Layer("views", "").Items {
		if s, ok := i.(drawing.Shape); ok && s.Style == wasBand && strings.HasPrefix(s.Label, "before: conrod.shank") {
			_, h := s.Path.Bounds().Size()
			k, high = h/5, h
		}
	}
	seen := false
	for _, i := range b.Sheet(0).Layer("views", "").Items {
		if s, ok := i.(drawing.Shape); ok && strings.HasPrefix(s.Label, "plan: conrod.shank") {
			_, h := s.Path.Bounds().Size()
			seen = seen || math.Abs(h-5.75*k) < 1e-6
		}
	}
	if high == 0 || !seen {
		t.Errorf("the plan does not show the rod %v mm thick as it was, and by 5.75 as it is: %v", high, seen)
	}
	if !has(texts(b.Sheet(1))["notes"], "see across the engine") {
		t.Errorf("the overlay does not say where the change is to be seen: %q", texts(b.Sheet(1))["notes"])
	}
	widths := map[string][]float64{}
	for _, i := range b.Sheet(0).Layer("across", "").Items {
		if s, ok := i.(drawing.Shape); ok && strings.Contains(s.Label, ".") {
			widths[s.Label] = append(widths[s.Label], s.Style.Width)
		}
	}
	for name, w := range widths {
		want := []float64{0.18}
		if name == "conrod.shank" {
			want = []float64{0.18, 0.7}
		}
		if len(w) != len(want) || w[0] != want[0] || w[len(w)-1] != want[len(want)-1] {
			t.Errorf("%s: lines of %v, want %v", name, w, want)
		}
	}
	if !has(texts(b.Sheet(0))["across"], "-2.5 to 2.5 → -2.5 to 3.25") {
		t.Errorf("the band's figures are missing: %q", texts(b.Sheet(0))["across"])
	}
}

// TestChangedPlaceEnlarged: the pair that fouls now is drawn thick, and thin as it was at the same position.
func TestChangedPlaceEnlarged(t *testing.T) {
	b := NewChangeBook(changed(t), options())
	d := b.Sheet(1)
	widths := map[float64]bool{}
	for _, i := range d.Layer("places", "").Items {
		if s, ok := i.(drawing.Shape); ok && strings.HasPrefix(s.Label, "conrod.shank") {
			widths[s.Style.Width] = true
		}
	}
	if !widths[0.7] || !widths[0.18] || !has(texts(d)["places"], "0.7 → -0.8 at 62.3°") {
		t.Errorf("the rod is drawn in lines of %v; %q", widths, texts(d)["places"])
	}
}

func TestChangeSameBytes(t *testing.T) {
	var svgs, pdfs [2][]byte
	for i := range 2 {
		b := NewChangeBook(changed(t), options())
		svgs[i], pdfs[i] = svg.Bytes(b.Sheet(0)), pdf.Bytes(b.Sheets()...)
	}
	if !bytes.Equal(svgs[0], svgs[1]) || !bytes.Equal(pdfs[0], pdfs[1]) {
		t.Error("the same change was drawn in different bytes")
	}
}

// TestTravelsByName: the engine before stands at the travels of the one after that it has too, and else at rest.
func TestTravelsByName(t *testing.T) {
	from := &solver.Problem{Travels: []solver.Travel{{Name: "axle"}, {Name: "lever"}}}
	to := &solver.Problem{Travels: []solver.Travel{{Name: "lever", Rest: 5}, {Name: "spring", Rest: 3}, {Name: "axle"}}}
	if got := carried(from, to, []float64{1, 2}); got[0] != 2 || got[1] != 3 || got[2] != 1 {
		t.Errorf("carried to %v, want [2 3 1]", got)
	}
}

// TestSticksOfBoth: sketches without outlines show their lengths, thick where they changed.
func TestSticksOfBoth(t *testing.T) {
	bare := func(rod float64) *Engine {
		e := shorter(t, rod)
		e.Problem.Profiles, e.Regions, e.Result, e.Problem.Checks = nil, nil, nil, nil
		return e
	}
	d := NewChangeBook(&Change{Before: bare(133.35), After: bare(120), Was: "old", Is: "new"}, options()).Sheet(0)
	got := drawnIn(d, "sticks")
	want := map[string]float64{"shaft to crankpin": 0.25, "after: crankpin to crosspin": 0.7, "before: crankpin to crosspin": 0.18}
	for label, w := range want {
		if got[label] != w {
			t.Errorf("%s is drawn %v wide, want %v; there are %v", label, got[label], w, got)
		}
	}
}

// TestOddChanges: engines that cannot be drawn, or hold nothing, do not stop a sheet.
func TestOddChanges(t *testing.T) {
	empty := func() *Engine {
		e := mill(t)
		e.Problem.Profiles, e.Regions, e.Problem.Linkage.Points, e.Problem.Traces, e.Poses, e.Result = nil, nil, nil, nil, nil, nil
		return e
	}
	pairs := [][2]*Engine{{empty(), mill(t)}, {mill(t), empty()}, {empty(), empty()}}
	for how := range 6 {
		odd := mill(t)
		odd.Poses = badPoses{how}
		pairs = append(pairs, [2]*Engine{odd, mill(t)}, [2]*Engine{mill(t), odd})
	}
	for i, pair := range pairs {
		b := NewChangeBook(&Change{Before: pair[0], After: pair[1], Was: "old", Is: "new"}, options())
		for _, d := range b.Sheets() {
			if len(svg.Bytes(d)) == 0 {
				t.Errorf("pair %d: nothing drawn", i)
			}
		}
	}
}
