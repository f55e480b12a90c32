package template

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"barover/render/pdf"
	"barover/solver/plane"
)

// gauge is a ring of 60 mm with a hole of 40 mm, to be measured on paper.
func gauge(t *testing.T) []byte {
	s := newShop(t)
	s.profile("ring", 5, s.disc(0, 0, 60), hole(s.disc(0, 0, 40)))
	pages, err := s.part().Pages(options("A4"))
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) != 1 {
		t.Fatalf("%d pages", len(pages))
	}
	return pdf.Bytes(pages...)
}

// TestTrueSizeInFile measures the circles in the operators of the PDF: every end of a curve lies 30 or 20 mm off one
// centre, and so does every place along it, to a thousandth of a millimetre. The unit of PDF is 1/72 in (ISO 32000-1
// 8.3.2.3), whatever this program thinks of it.
func TestTrueSizeInFile(t *testing.T) {
	file := gauge(t)
	if !bytes.Contains(file, []byte("/PrintScaling/None")) {
		t.Error("nothing asks the viewer to print the page as large as it is")
	}
	curves := curvesOf(t, file)
	var on [2]int
	c := middle(curves)
	for _, q := range curves {
		for k := range 11 {
			s := float64(k) / 10
			at := bezier(q, s)
			r := at.Sub(c).Len()
			switch {
			case math.Abs(r-30) < 0.001:
				on[0]++
			case math.Abs(r-20) < 0.001:
				on[1]++
			case r > 15 && r < 35:
				t.Errorf("a place %v mm off the middle of the ring", r)
			}
		}
	}
	if on != [2]int{132, 132} {
		t.Errorf("%v places on the circles of 60 and 40 mm, want 12 curves of 11 places on each", on)
	}
}

// curvesOf reads the larger curves of the first page, mm, with the matrix at its head applied.
func curvesOf(t *testing.T, file []byte) (curves [][4]plane.Vec) {
	for _, m := range regexp.MustCompile(`(?s)stream\n(.*?)\nendstream`).FindAllSubmatch(file, -1) {
		z, err := zlib.NewReader(bytes.NewReader(m[1]))
		if err != nil {
			continue // not packed
		}
		text, err := io.ReadAll(z)
		if err != nil {
			t.Fatal(err)
		}
		scale := 0.0
		var at plane.Vec
		var n []float64
		for _, word := range strings.Fields(string(text)) {
			if v, err := strconv.ParseFloat(word, 64); err == nil {
				n = append(n, v)
				continue
			}
			mm := scale * 25.4 / 72
			switch {
			case word == "cm" && scale == 0 && len(n) == 6:
				scale = n[0]
			case (word == "m" || word == "l") && len(n) == 2:
				at = plane.Vec{X: n[0] * mm, Y: n[1] * mm}
			case word == "c" && len(n) == 6:
				q := [4]plane.Vec{at, {X: n[0] * mm, Y: n[1] * mm}, {X: n[2] * mm, Y: n[3] * mm}, {X: n[4] * mm, Y: n[5] * mm}}
				if at = q[3]; at.Sub(q[0]).Len() > 5 { // no dot of a leader
					curves = append(curves, q)
				}
			}
			n = n[:0]
		}
	}
	return curves
}

// middle is the middle of the box round the curves.
func middle(curves [][4]plane.Vec) plane.Vec {
	lo, hi := plane.Vec{X: 1e9, Y: 1e9}, plane.Vec{X: -1e9, Y: -1e9}
	for _, q := range curves {
		lo = plane.Vec{X: min(lo.X, q[0].X), Y: min(lo.Y, q[0].Y)}
		hi = plane.Vec{X: max(hi.X, q[0].X), Y: max(hi.Y, q[0].Y)}
	}
	return lo.Add(hi).Scale(0.5)
}

func bezier(q [4]plane.Vec, s float64) plane.Vec {
	u := 1 - s
	return q[0].Scale(u * u * u).Add(q[1].Scale(3 * u * u * s)).Add(q[2].Scale(3 * u * s * s)).Add(q[3].Scale(s * s * s))
}

// TestTrueSizeOnPaper measures the page as a printer has it: 600 dots to the inch, by the row of dots through the middle of
// the ring. The middles of the four lines it crosses lie 60 and 40 mm apart to half a dot, 0.02 mm, and the check lengths
// are as long as they say.
func TestTrueSizeOnPaper(t *testing.T) {
	tool, err := exec.LookPath("pdftoppm")
	if err != nil {
		t.Log("THERE IS NO pdftoppm: the page was not rendered, only the operators of the file were measured (TestTrueSizeInFile)")
		return
	}
	const per = 600 / 25.4 // dots to a millimetre
	page := rendered(t, tool, gauge(t), 600)
	if w, h := float64(page.wide)/per, float64(page.high)/per; math.Abs(w-297) > 0.1 && math.Abs(w-210) > 0.1 || math.Abs(w*h-297*210) > 60 {
		t.Errorf("the page is %.2f × %.2f mm", w, h)
	}
	best := ""
	for y := 0; y < page.high && best == ""; y++ {
		lines := page.crossings(y, per)
		for i := range lines {
			for k := i + 1; k < len(lines); k++ {
				// The widest chords: a row beside the middle by 1 mm would have 59.97.
				if math.Abs(lines[k]-lines[i]-60) < 0.025 && pair(lines, lines[i]+10, 40) {
					best = fmt.Sprintf("row %d: %.3f to %.3f", y, lines[i], lines[k])
				}
			}
		}
	}
	if best == "" {
		t.Error("no row of the page crosses circles of 60 and 40 mm")
	}
	for _, long := range []float64{100, 101.6} {
		if !page.levelLine(long, per) {
			t.Errorf("no level line of %v mm is on the page", long)
		}
	}
}

// pair reports whether lines stand at a place and so far on from it.
func pair(lines []float64, from, long float64) bool {
	near := func(at float64) bool {
		for _, l := range lines {
			if math.Abs(l-at) < 0.03 {
				return true
			}
		}
		return false
	}
	return near(from) && near(from+long)
}

// crossings are the middles of the lines of outline thickness that a row of dots crosses, mm.
func (d *dots) crossings(y int, per float64) (out []float64) {
	start := -1
	for x := range d.wide {
		dark := d.dark(x, y)
		switch {
		case dark && start < 0:
			start = x
		case !dark && start >= 0:
			if wide := float64(x-start) / per; wide > 0.4 && wide < 0.6 {
				out = append(out, float64(start+x)/2/per)
			}
			start = -1
		}
	}
	return out
}

// levelLine reports whether a level line of that length, to 0.1 mm with what its thickness adds, is on the page.
func (d *dots) levelLine(long, per float64) bool {
	for y := range d.high {
		run := 0
		for x := 0; x <= d.wide; x++ {
			if x < d.wide && d.dark(x, y) {
				run++
				continue
			}
			if more := float64(run)/per - long; more > -0.1 && more < 0.3 {
				return true
			}
			run = 0
		}
	}
	return false
}

// dots is a page in grey, a byte a dot: 0 is black.
type dots struct {
	wide, high int
	at         []byte
}

func (d *dots) dark(x, y int) bool { return d.at[y*d.wide+x] < 0x80 }

// rendered is the first page of a file as dots.
func rendered(t *testing.T, tool string, file []byte, dpi int) *dots {
	t.Helper()
	at := filepath.Join(t.TempDir(), "page")
	if err := os.WriteFile(at+".pdf", file, 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(tool, "-r", strconv.Itoa(dpi), "-gray", "-singlefile", at+".pdf", at).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	b, err := os.ReadFile(at + ".pgm")
	if err != nil {
		t.Fatal(err)
	}
	var d dots
	var most int
	if _, err := fmt.Sscanf(string(b[:min(len(b), 64)]), "P5\n%d %d\n%d", &d.wide, &d.high, &most); err != nil || most != 255 || len(b) < d.wide*d.high {
		t.Fatalf("no page of grey dots: %v", err)
	}
	d.at = b[len(b)-d.wide*d.high:]
	return &d
}
