package office

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"barover/render/drawing"
	"barover/render/svg"
	"barover/solver/plane"
)

// said is what a layer says.
func said(l *drawing.Layer) (out []string) {
	for _, item := range l.Items {
		if t, ok := item.(drawing.Text); ok {
			out = append(out, t.S)
		}
	}
	return out
}

func TestStamped(t *testing.T) {
	d := drawing.New("mill", 297, 210)
	Border(d, drawing.Box{Min: plane.Vec{X: 20, Y: 10}, Max: plane.Vec{X: 287, Y: 200}})
	layers := len(d.Layers)
	s := Stamp(d, "mill.motion:12:8: there is no dimension called rod_thik")
	if len(d.Layers) != layers {
		t.Error("the drawing itself was changed")
	}
	if l := strings.Join(said(s.Layer("stamp", "")), " "); !strings.Contains(l, "OUT OF DATE") || !strings.Contains(l, "rod_thik") {
		t.Errorf("%q", l)
	}
	file := svg.Stamp(svg.Bytes(d), func(w, h float64) *drawing.Layer { return StampLayer(w, h, strings.Repeat("word ", 500)) })
	if !bytes.Contains(file, []byte("OUT OF DATE")) || !bytes.Equal(svg.Unstamp(file), svg.Bytes(d)) {
		t.Error("the file is not stamped, or the stamp does not come off")
	}
}

// TestTableCutsNoWord: in a table narrower than what its cells ask, and in wider ones, every word is there, within the
// table, and nothing lies over another.
func TestTableCutsNoWord(t *testing.T) {
	table := Table{Columns: []Column{{Head: ""}, {Head: "asked", Most: true}, {Head: "worst", End: true}, {Head: "line"}}}
	for i := range 12 {
		table.Rows = append(table.Rows, Row{Flag: i % 3, Bad: i%3 > 0, Cells: []string{"",
			strings.Repeat(fmt.Sprintf("words%d ", i), 1+i%7) + "\t: and a pair", "-0.1250", fmt.Sprint("motion.motion ", i)}})
	}
	for _, wide := range []float64{0.7 * table.Wide(), table.Wide(), 2 * table.Wide()} {
		l := &drawing.Layer{}
		foot := table.Draw(l, drawing.Box{Min: plane.Vec{Y: 300}, Max: plane.Vec{X: wide, Y: 300}}, RowLow)
		want := strings.Fields("asked worst line")
		for _, r := range table.Rows {
			for _, c := range r.Cells {
				first, _, _ := strings.Cut(c, "\t")
				want = append(want, strings.Fields(first)...)
			}
		}
		var boxes []drawing.Box
		for _, item := range l.Items {
			s, ok := item.(drawing.Text)
			if !ok {
				continue
			}
			b := s.Box().Grown(-0.3)
			if b.Min.X < 0 || b.Max.X > wide || b.Min.Y < foot {
				t.Errorf("%v wide: %q stands at %v, out of the table", wide, s.S, b)
			}
			for k, o := range boxes {
				if o.Meets(b) {
					t.Errorf("%v wide: %q lies over text %d", wide, s.S, k)
				}
			}
			boxes = append(boxes, b)
		}
		have := strings.Fields(strings.Join(said(l), " "))
		for _, w := range want {
			i := slices.Index(have, w)
			if i < 0 {
				t.Errorf("%v wide: %q is not there", wide, w)
				continue
			}
			have = slices.Delete(have, i, i+1)
		}
	}
}

// TestTitleBlockHasRoom: whatever the kind of the sheet, in one line or three, its words are all there, no text lies over another, not
// over a caption either, and none leaves the block.
func TestTitleBlockHasRoom(t *testing.T) {
	for _, kind := range []string{"Motion", "What does not hold, across the engine", "What does not hold, elevation, plan and end view, across the engine, answers"} {
		d := drawing.New("mill", 297, 210)
		_, block := Frame(297, 210)
		TitleBlock(d, block, &Block{Title: "Mill", File: "a.motion\nb.motion", Values: "as it stands", Digest: "be66241a"}, kind, "1:20", "A4")
		var texts []drawing.Text
		for _, item := range d.Layer("title", "").Items {
			s, ok := item.(drawing.Text)
			if !ok || s.S == "" {
				continue
			}
			for _, o := range texts {
				if o.Box().Meets(s.Box()) {
					t.Errorf("%q: %q lies over %q", kind, s.S, o.S)
				}
			}
			if b := s.Box(); !block.Holds(b.Min) || !block.Holds(b.Max) {
				t.Errorf("%q: %q leaves the block", kind, s.S)
			}
			texts = append(texts, s)
		}
		if all := strings.Join(said(d.Layer("title", "")), " "); !strings.Contains(all, kind) || !strings.Contains(all, Cautions) {
			t.Errorf("%q", all)
		}
	}
}

// TestFullTable: in a table of its full width no row takes a second line and nothing is left out of a cell; it is no wider than that.
func TestFullTable(t *testing.T) {
	table := Table{Columns: []Column{{Head: "asked", Most: true}, {Head: "worst", End: true}},
		Rows: []Row{{Cells: []string{"short", "1"}}, {Cells: []string{"rod in the lips\t: conrod – frame", "-0.125"}, Bad: true}}}
	wide := Bold25.Width("rod in the lips: conrod – frame") + Bold25.Width("-0.125") + 2*cellRoom
	if got := table.Full(); got < wide-1e-9 || got > wide+1e-9 {
		t.Errorf("%v wide, want %v", got, wide)
	}
	l := &drawing.Layer{}
	table.Draw(l, drawing.Box{Min: plane.Vec{Y: 300}, Max: plane.Vec{X: wide, Y: 300}}, RowLow)
	if !slices.Contains(said(l), "rod in the lips: conrod – frame") || slices.Max(table.Lines(wide)) > 1 {
		t.Errorf("%q", said(l))
	}
}

// TestLegendSaysAll: words that are longer than a key is wide stand in more lines, none cut, and each beside a sample that is long
// enough for all the dashes of any line type in a wide line.
func TestLegendSaysAll(t *testing.T) {
	long := "position at crank 347.5°, axle -3/16, reverser 0°, and the rest of a sentence that is longer than that"
	dashes := &drawing.Style{Name: "dashes", Width: 0.35, Line: drawing.LongDashTwoShortDash}
	kinds := []Kind{{dashes, "swept"}, {BlockLine, long}, {ThinLine, "thin"}}
	for _, wide := range []float64{87, 180} {
		l := &drawing.Layer{}
		Legend(l, drawing.Box{Max: plane.Vec{X: wide, Y: BlockHigh}}, kinds)
		if have, want := strings.Join(said(l), " "), "swept "+long+" thin"; have != want {
			t.Errorf("%v wide: %q, want %q", wide, have, want)
		}
		samples := 0
		for _, item := range l.Items {
			if s, ok := item.(drawing.Shape); ok && s.Style == dashes {
				samples++
				period := 0.0
				for _, d := range dashes.Line.Dashes(dashes.Width) {
					period += d
				}
				if w, _ := s.Path.Bounds().Size(); w < period {
					t.Errorf("a sample of %v mm shows dashes of %v mm", w, period)
				}
			}
		}
		if samples != 1 {
			t.Errorf("%d samples of the dashes", samples)
		}
	}
}

func TestUnitsInWords(t *testing.T) {
	for unit, want := range map[string]string{"in": "lengths in inches, angles in °", "mm": "lengths in mm, angles in °", "": "lengths in mm, angles in °"} {
		if got := (&Block{Unit: unit}).unitWords(); got != want {
			t.Errorf("%q: %q, want %q", unit, got, want)
		}
	}
}

// TestBlockShowsLongNames: the sketch's name and the values used give each other the room that they do not need, so that
// neither is cut where both have room; where they have none, the ends of names stay, in which they differ.
func TestBlockShowsLongNames(t *testing.T) {
	const long = "as it stands with bar_rear = 7.5 in, angle_edge = 1.5 in"
	const name = "thin: four-coupled side tank of 1893 for the line from the quarry to the quay with the slide bars of "
	for _, c := range []struct{ file, values, want string }{
		{"mill.motion", "thin: as drawn\nthick: " + long, "thick: " + long},
		{"four-coupled.motion", "thin: as drawn\nthick: as it stands with bar_rear = 7.5 in, angle_edge = 1.5 in", "= 1.5 in"},
		{"thin: a.motion\nthick: larkspur-with-a-long-slide-bar-and-gear.motion", "as it stands", "thick: larkspur-with-a-long-slide-bar-and-gear.motion"},
		{name + "june.motion\n" + name + "july.motion", "as it stands", "june.motion"},
		{name + "june.motion\n" + name + "july.motion", long, "july.motion"},
	} {
		d := drawing.New("mill", 420, 297)
		_, b := Frame(420, 297)
		TitleBlock(d, b, &Block{Title: "Mill", File: c.file, Values: c.values}, "Before and after", "1:2", "A3")
		l := d.Layer("title", "")
		if cut := strings.Contains(strings.Join(said(l), ""), "…"); cut != strings.HasPrefix(c.file, name) {
			t.Errorf("%q: cut: %v", c.file, cut)
		}
		if !slices.ContainsFunc(said(l), func(s string) bool { return strings.HasSuffix(s, c.want) }) {
			t.Errorf("%q is not in %q", c.want, said(l))
		}
		var boxes []drawing.Box
		for _, item := range l.Items {
			if s, ok := item.(drawing.Text); ok {
				box := s.Box().Grown(-0.5)
				if slices.ContainsFunc(boxes, box.Meets) || box.Max.X > b.Max.X {
					t.Errorf("%q lies over another text, or out of the block", s.S)
				}
				boxes = append(boxes, box)
			}
		}
	}
}
