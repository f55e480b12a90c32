package report

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"barover/render/drawing"
	"barover/render/sheet"
	"barover/sketch/quantity"
	"barover/solver/machine"
)

// TestSheetsMendAsCheck: what mends a check on a sheet is what check says, sizes that are available included.
func TestSheetsMendAsCheck(t *testing.T) {
	for _, c := range []struct {
		path string // the one in inches, with values that spoil it, the other in mm with stock sizes
		set  []string
	}{{"../../examples/harrow-mere.motion", []string{"top_cover=5", "entabl_x=5+1/4", "radius_rod=3+1/32", "link_thick=3/16"}}, {"../../examples/launch-engine.motion", nil}} {
		e, drawn := study(t, c.path, c.set...)
		checked, err := e.Study(t.Context(), machine.Options{Levers: machine.ShortLevers})
		if err != nil {
			t.Fatal(c.path, err)
		}
		want, got := New(e, checked).mends(), New(e, drawn).mends()
		told := 0
		for i := range checked.Findings {
			w, g := want(&checked.Findings[i]), got(&drawn.Findings[i])
			if w != g {
				t.Errorf("%s, check %d: a sheet says %q, check says %q", c.path, i, g, w)
			}
			if w != "" {
				told++
			}
		}
		if told < 6 {
			t.Errorf("%s: only %d checks are told how they are mended", c.path, told)
		}
	}
}

// TestTightestBesideNotMet: where a loose line binds, the stretch of its worst says how it differs from that where its play is not enough;
// where it holds there is only the one.
func TestTightestBesideNotMet(t *testing.T) {
	at := &tightness{Needs: 0.0090 * 25.4, Tight: []tightSpot{{At: 332, From: 314, To: 351}}}
	for ok, want := range map[bool]string{false: "tightest, within 2 % of the worst, all the way from 314° to 351°", true: "tight all the way from 314° to 351°"} {
		a := &checkAnswer{OK: ok, tightness: at}
		if got := a.tightText(quantity.Units{Inches: true}); len(got) == 0 || got[0] != want {
			t.Errorf("holds %v: %q, want %q", ok, got, want)
		}
	}
}

// TestPositionIsOfWhatIsDrawn: the position drawn is that of the worst foul of the parts that are drawn, not of one that is left out.
func TestPositionIsOfWhatIsDrawn(t *testing.T) {
	e, res := study(t, "../../examples/larkspur-as-drawn.motion")
	for _, c := range []struct {
		pick sheet.Pick
		want float64 // where the coupling rod fouls the bars, and where the oil box fouls the stiffener
	}{{sheet.Pick{}, 347.5}, {sheet.Pick{Without: []string{"coupling_rod", "leading"}}, 90}, {sheet.Pick{Only: []string{"conrod", "frame"}}, 90}} {
		at, err := chosenPlace(e, New(e, res), res, Look{Pick: c.pick})
		if err != nil || at == nil || math.Abs(math.Remainder(at.Turn*180/math.Pi-c.want, 360)) > 0.5 {
			t.Errorf("%+v: drawn at %+v, want %v°", c.pick, at, c.want)
		}
	}
}

// TestReachHasACloseUp: a sum of low() or high(), by itself or by the name of a measure, is about the profile that it names.
func TestReachHasACloseUp(t *testing.T) {
	path := filepath.Join(t.TempDir(), "reach.motion")
	if err := os.WriteFile(path, []byte(reach), 0o600); err != nil {
		t.Fatal(err)
	}
	book := bookOf(t, path)
	outlines, names := 0, 0
	for _, d := range book.Sheets() {
		for _, item := range d.Layer("places", "").Items {
			if s, ok := item.(drawing.Shape); ok && s.Style.Width == 0.5 && strings.HasPrefix(s.Label, "crosshead.slipper") {
				outlines++
			}
		}
		for _, item := range d.Layer("labels", "").Items {
			if s, ok := item.(drawing.Text); ok && s.S == "crosshead.slipper" {
				names++
			}
		}
	}
	if outlines != 2 || names != 2 {
		t.Errorf("the slipper is drawn enlarged %d times and named %d times, want 2", outlines, names)
	}
}

const reach = `units mm
paper A4
turn crank = 0 to 360 step 10
point shaft at 0, 0
point crankpin
point crosspin near 150, 0
line bore through shaft heading 0
length shaft crankpin = 22
angle shaft crankpin = crank
length crankpin crosspin = 133
slide crosspin on bore
part crosshead at crosspin along bore
profile crosshead.slipper centred 30 thick 9
   box -8, -9 to 8, 9
profile frame.bars centred 30 thick 9
   box 100, 9.5 to 175, 14.5
keep low(crosshead.slipper, bore) - 100 above 5 "slipper on the bars, rear end"
measure front = 175 - high(crosshead.slipper, bore)
keep front above 20
`

// TestFewBandsInWords: two bands without a gap stand in words below the views, and have no sheet of their own.
func TestFewBandsInWords(t *testing.T) {
	book := bookOf(t, "../../examples/start/mill-engine.motion")
	said := 0
	for _, d := range book.Sheets() {
		for _, item := range d.Layer("across", "").Items {
			if s, ok := item.(drawing.Text); ok && s.S == "Across, from the datum outward: conrod.rod -3.000 to 3.000; frame.bars -5.000 to 5.000" {
				said++
			} else {
				t.Errorf("%s has %v across", d.Title, item)
			}
		}
	}
	if said != 1 || book.Len() != 2 {
		t.Errorf("%d sheets say it %d times", book.Len(), said)
	}
}

// TestNoCommandOnPaper: what cannot be typed is not led up to.
func TestNoCommandOnPaper(t *testing.T) {
	e, shared := study(t, "../../examples/launch-engine.motion")
	own := *shared
	res := &own
	res.Findings = slices.Clone(res.Findings)
	for i := range res.Findings {
		res.Findings[i].Levers = slices.Clone(res.Findings[i].Levers)
		for k := range res.Findings[i].Levers { // as where none was proved to mend it
			res.Findings[i].Levers[k].ToHold = math.NaN()
		}
	}
	mends, told := New(e, res).mends(), 0
	for i := range res.Findings {
		if words := mends(&res.Findings[i]); strings.HasSuffix(words, "try") || strings.HasSuffix(words, ":") {
			t.Errorf("%q leads to nothing", words)
		} else if strings.Contains(words, "proved to mend it") || strings.Contains(words, "cannot be proved") {
			told++
		}
	}
	if told == 0 {
		t.Error("nothing is told of what moves a check most")
	}
}

// bookOf lays out the sheets of a sketch.
func bookOf(t *testing.T, path string) *sheet.Book {
	t.Helper()
	e, res := study(t, path)
	book, err := Book(t.Context(), e, res, Look{})
	if err != nil {
		t.Fatal(path, err)
	}
	return book
}
