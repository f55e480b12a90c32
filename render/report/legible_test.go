package report

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"barover/render/drawing"
	"barover/render/office"
	"barover/render/sheet"
	"barover/render/template"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver"
	"barover/solver/change"
	"barover/solver/machine"
	"barover/solver/plane"
	"barover/solver/spare"
)

// oddMill is a slider-crank of about 180 mm times k, with a foul, a sum that is too low and a gap.
func oddMill(title, paper string, k float64) string {
	v := func(mm float64) string { return fmt.Sprintf("%.9g", mm*k) }
	return strings.NewReplacer("TITLE", title, "PAPER", paper, "THROW", v(22), "ROD", v(133), "FAR", v(150), "BORE", v(30), "FIVE", v(5), "NINE", v(9),
		"BARS", v(100)+", "+v(9.5)+" to "+v(175)+", "+v(14.5), "LOWER", v(100)+", "+v(-9.5)+" to "+v(175)+", "+v(-14.5), "SLIP", v(-8)+", "+v(-9)+" to "+v(8)+", "+v(9),
		"WIDE", v(13)+" to "+v(9), "BIG", v(22),
		"WEB", v(26), "OUT", v(36), "HALF", v(0.5), "THIRD", v(0.3), "GLAND", v(112)).Replace(`title "TITLE"
units mm
PAPER
dim throw = THROW
dim rod = ROD
case short : rod = 0.97*ROD
turn crank = 0 to 360 step 5
point shaft at 0, 0
point crankpin
point crosspin near FAR, 0
line bore through shaft heading 0
length shaft crankpin = throw
angle shaft crankpin = crank
length crankpin crosspin = rod
slide crosspin on bore
part crank from shaft to crankpin
part conrod from crankpin to crosspin
part crosshead at crosspin along bore
profile conrod.shank centred BORE thick FIVE
   strip crankpin to crosspin wide WIDE
profile conrod.big_end centred BORE thick NINE
   disc crankpin dia BIG
profile crank.web from OUT thick FIVE
   strip shaft to crankpin wide WEB round
profile crosshead.slipper centred BORE thick NINE
   box SLIP
profile frame.bars centred BORE thick NINE
   box BARS
   box LOWER
clear conrod frame by HALF "rod in the lips of the bars"
clear crosshead frame by THIRD
gap crank.web conrod.big_end at least THIRD
keep x(crosspin) above GLAND "the crosshead stays behind the gland"
trace crosspin
`)
}

// thirtyParts is fifteen eccentrics with their rods, all with long names.
func thirtyParts() string {
	var b strings.Builder
	b.WriteString("title \"Thirty parts with long names, of a valve gear with a very long title that nobody would write but somebody does\"\nunits mm\npaper A4\nturn crank = 0 to 360 step 30\n")
	for i := range 15 {
		x, y := i%5*60, i/5*60
		n := fmt.Sprintf("the_%dth_eccentric_strap_of_the_valve_gear", i)
		fmt.Fprintf(&b, "point shaft_of_%[1]d at %[2]d, %[3]d\npoint pin_%[1]d\nlength shaft_of_%[1]d pin_%[1]d = 12\nangle shaft_of_%[1]d pin_%[1]d = crank\n", i, x, y)
		fmt.Fprintf(&b, "point end_%[1]d near %[2]d, %[3]d\nlength pin_%[1]d end_%[1]d = 35\nline way_%[1]d through shaft_of_%[1]d heading 0\nslide end_%[1]d on way_%[1]d\n", i, x+40, y)
		fmt.Fprintf(&b, "part crank_%[2]s from shaft_of_%[1]d to pin_%[1]d\npart rod_%[2]s from pin_%[1]d to end_%[1]d\n", i, n)
		fmt.Fprintf(&b, "profile crank_%[2]s.web from 0 thick 5\n   strip shaft_of_%[1]d to pin_%[1]d wide 9 round\nprofile rod_%[2]s.shank from 5.5 thick 4\n   strip pin_%[1]d to end_%[1]d wide 8 round\n", i, n)
		fmt.Fprintf(&b, "gap crank_%[2]s rod_%[2]s at least 0.2 \"the strap of number %[1]d passes beside its crank\"\n", i, n)
	}
	return b.String() + "clear all by 1\n"
}

// twelveFouls is a plate whose lobe runs into each of twelve stops round it.
func twelveFouls() string {
	var b strings.Builder
	b.WriteString("title \"Twelve fouls\"\nunits mm\npaper A4\ndim throw = 30\nturn crank = 0 to 360 step 10\ntravel axle = -3 to 3 step 3\npoint shaft at 0, axle\npoint pin\n" +
		"length shaft pin = throw\nangle shaft pin = crank\npart plate from shaft to pin\nprofile plate.web from 0 thick 8\n   disc shaft dia 90\n   disc pin dia 40\n")
	for i := range 12 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 12)
		fmt.Fprintf(&b, "profile frame.stop_%[1]d from 0 thick 8\n   disc %.3[2]f, %.3[3]f dia 6\nclear plate frame.stop_%[1]d by 1/2\n", i+1, 52*c, 52*s)
	}
	return b.String()
}

// tallEngine stands upright: 480 mm high, 120 wide.
const tallEngine = `title "Tall engine"
units mm
paper A4
turn crank = 0 to 360 step 10
point shaft at 0, 0
point pin
length shaft pin = 40
angle shaft pin = crank
point cross near 0, 300
line up through shaft heading 90
length pin cross = 260
slide cross on up
part crank from shaft to pin
part rod from pin to cross
profile crank.web from 0 thick 8
   strip shaft to pin wide 20 round
profile frame.column from -10 thick 9
   box -60, -60 to -50, 420
clear all by 2
`

// oddSketches are engines that are hard on a sheet, by their names.
func oddSketches() map[string]string {
	return map[string]string{
		"a4": oddMill("A4", "paper A4", 1), "five-mm": oddMill("Five millimetres over all", "paper A4 portrait", 5.0/180),
		"ten-m": oddMill("Ten metres over all", "paper A3", 10000.0/180), "thirty": thirtyParts(), "twelve": twelveFouls(), "tall": tallEngine,
	}
}

// studied is a sketch with what a drawing asks of it. Tests that only read it share it.
type studied struct {
	*assembled.Engine
	res *solver.Result
}

// known are the sketches studied so far, by their paths.
var known spare.Once[string, studied]

// study answers what a drawing of a sketch asks, with values that are set, once for all tests.
func study(t *testing.T, path string, set ...string) (*assembled.Engine, *solver.Result) {
	t.Helper()
	s, err := known.Get(strings.Join(append(set, path), " "), func() (studied, error) {
		e := assemble(t, path, sketch.Options{Set: set})
		res, err := e.Study(t.Context(), machine.Options{Checks: true, Levers: machine.ShortLevers})
		return studied{e, res}, err
	})
	if err != nil {
		t.Fatal(path, err)
	}
	return s.Engine, s.res
}

func assemble(t *testing.T, path string, o sketch.Options) *assembled.Engine {
	t.Helper()
	e, err := assembled.Assemble(path, o)
	if err != nil {
		t.Fatal(path, err)
	}
	return e
}

// sheetsOf lays out the sheets of a sketch on its own paper and on A4, and of what a case of it changes where it has one called short. Those of
// larkspur-worn are not laid out on A4: larkspur shows all of them there but its play, and tansy-worn shows play.
func sheetsOf(t *testing.T, path string) (books map[string]*sheet.Book) {
	t.Helper()
	ctx := t.Context()
	e, res := study(t, path)
	own := bookOf(t, path)
	books = map[string]*sheet.Book{"": own}
	first := own.Sheet(0)
	if onA4 := math.Abs(first.Width*first.Height-210*297) < 1; filepath.Base(path) != "larkspur-worn.motion" && (!onA4 || e.Paper.Oriented) {
		book, err := Book(ctx, e, res, Look{Paper: sketch.Paper{Size: "A4"}})
		if err != nil {
			t.Fatal(path, err)
		}
		books[" on A4"] = book
	}
	if text, err := os.ReadFile(path); err == nil && strings.Contains(string(text), "case short") {
		after := assemble(t, path, sketch.Options{Case: "short"})
		found, err := change.Compare(ctx, EngineOf(e), EngineOf(after), machine.Options{})
		if err != nil {
			t.Fatal(path, err)
		}
		both := Compare(e, after, found, false, false)
		if books[" changed"], err = both.Book(ctx, Look{}); err != nil {
			t.Fatal(path, err)
		}
	}
	return books
}

// templatesOf lays out the templates of a sketch's parts, on A4.
func templatesOf(t *testing.T, path string) map[string][]*drawing.Drawing {
	t.Helper()
	e, _ := study(t, path)
	list := map[string][]*drawing.Drawing{}
	for i := range e.Problem.Linkage.Parts {
		part, err := template.New(e.Machine, i, "")
		if err != nil {
			continue // a part without a profile, or one of kilometres
		}
		o := template.Options{Sheet: SheetOptions(e, nil, Look{}), Paper: "A4"}
		if pages, err := part.Pages(o); err == nil {
			list[part.Name] = pages
		}
	}
	return list
}

// TestSheetsAreLegible: on every sheet of every example, starter and odd engine no text lies over another or under what is filled after it, none outside the border or over its centring marks, and
// none is lower than 2.5 mm, in the border's zones 1.8 mm.
func TestSheetsAreLegible(t *testing.T) {
	dir := t.TempDir()
	var paths []string
	for name, text := range oddSketches() {
		path := filepath.Join(dir, name+".motion")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	for _, pattern := range []string{"../../examples/*.motion", "../../examples/start/*.motion"} {
		found, err := filepath.Glob(pattern)
		if err != nil || len(found) == 0 {
			t.Fatal(pattern, err)
		}
		paths = append(paths, found...)
	}
	for _, path := range paths {
		t.Run(filepath.Base(path), func(t *testing.T) {
			t.Parallel()
			for name, book := range sheetsOf(t, path) {
				for i := range book.Len() {
					legible(t, fmt.Sprintf("%s%s, sheet %d of %d", filepath.Base(path), name, i+1, book.Len()), book.Sheet(i))
				}
			}
			for name, list := range templatesOf(t, path) {
				for i, d := range list {
					legible(t, fmt.Sprintf("%s, template of %s, sheet %d of %d", filepath.Base(path), name, i+1, len(list)), d)
				}
			}
		})
	}
}

// lettered is a text with the box round its letters.
type lettered struct {
	drawing.Text
	box drawing.Box
}

// filled is what an item of a drawing fills.
func filled(d *drawing.Drawing, item drawing.Item) (list [][][]plane.Vec) {
	add := func(p drawing.Path, s *drawing.Style) {
		if runs, _ := p.Flat(0.05); s.Fill.On {
			list = append(list, runs)
		}
	}
	switch i := item.(type) {
	case drawing.Shape:
		add(i.Path, i.Style)
	case drawing.Use:
		add(d.Outlines[i.Outline].Placed(i.At), i.Style)
	}
	return list
}

// holds reports whether a place lies within closed runs.
func holds(runs [][]plane.Vec, at plane.Vec) bool {
	for _, s := range drawing.Stretches(runs, at.Y) {
		if s[0] <= at.X && at.X <= s[1] {
			return true
		}
	}
	return false
}

// overEdge reports whether the edge of a part, as it stands at the position drawn, runs through a box.
func overEdge(d *drawing.Drawing, b drawing.Box) bool {
	for _, id := range []string{"fixed", "chosen"} {
		for _, item := range d.Layer(id, "").Items {
			if u, ok := item.(drawing.Use); ok {
				if runs, closed := d.Outlines[u.Outline].Placed(u.At).Flat(0.05); len(b.Cut(runs, closed)) > 0 {
					return true
				}
			}
		}
	}
	return false
}

// legible holds the texts of a sheet against one another, the border and the least height.
func legible(t *testing.T, name string, d *drawing.Drawing) {
	t.Helper()
	frame := d.Layer("border", "").Items[0].(drawing.Shape).Path.Bounds()
	var all []lettered
	for _, l := range d.Layers {
		for _, item := range l.Items {
			for _, fill := range filled(d, item) {
				for _, x := range all {
					if holds(fill, x.box.Centre()) {
						t.Errorf("%s: what layer %s fills lies over %q", name, l.ID, x.S)
					}
				}
			}
			s, ok := item.(drawing.Text)
			if !ok || s.S == "" {
				continue
			}
			x := lettered{s, s.Box().Grown(-0.3)} // of which some lies below all letters
			least, room := 2.5, frame
			if l.ID == "border" {
				least, room = 1.8, drawing.Box{Max: plane.Vec{X: d.Width, Y: d.Height}}
			}
			if s.Style.Height < least {
				t.Errorf("%s: %q is %v mm high", name, s.S, s.Style.Height)
			}
			if !room.Grown(0.01).Holds(x.box.Min) || !room.Grown(0.01).Holds(x.box.Max) {
				t.Errorf("%s: %q of layer %s stands at %v, outside %v", name, s.S, l.ID, x.box, room)
			}
			if l.ID == "crank" && overEdge(d, x.box) {
				t.Errorf("%s: the angle %q lies over the edge of a part", name, s.S)
			}
			for _, m := range office.Marks(frame) {
				if l.ID != "border" && m.Grown(0.3).Meets(x.box) {
					t.Errorf("%s: %q of layer %s lies over a centring mark: %v %v", name, s.S, l.ID, x.box, m)
				}
			}
			for _, o := range all {
				if o.box.Meets(x.box) {
					t.Errorf("%s: %q of layer %s lies over %q at %v", name, s.S, l.ID, o.S, x.box)
				}
			}
			all = append(all, x)
		}
	}
}
