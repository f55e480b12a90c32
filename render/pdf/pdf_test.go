package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"image"
	_ "image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"barover/render/drawing"
	"barover/solver/plane"
)

var (
	line  = &drawing.Style{Name: "line", Width: 0.1, Line: drawing.Continuous, Stroke: drawing.RGB(0)}
	solid = &drawing.Style{Name: "solid", Width: 0.5, Line: drawing.Dashed, Stroke: drawing.RGB(0x1c3f94), Fill: drawing.RGB(0xeeeeee)}
	face  = &drawing.TextStyle{Name: "face", Height: 2.5, Colour: drawing.RGB(0), Halo: true}
)

// object returns the body of the object of that number, found by the file's own table, and its stream unpacked.
func object(t *testing.T, file []byte, n int) (dict string, data []byte) {
	t.Helper()
	tail := regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindSubmatch(file)
	if tail == nil {
		t.Fatal("no end to the file")
	}
	at, _ := strconv.Atoi(string(tail[1]))
	table := strings.Split(string(file[at:]), "\n")
	if table[0] != "xref" || len(table) < n+3 {
		t.Fatalf("no table at %d", at)
	}
	from, _ := strconv.Atoi(table[2+n][:10])
	head := strconv.Itoa(n) + " 0 obj\n"
	if !bytes.HasPrefix(file[from:], []byte(head)) {
		t.Fatalf("object %d does not stand at %d", n, from)
	}
	body := string(file[from+len(head):])
	body = body[:strings.Index(body, "\nendobj")]
	dict, rest, ok := strings.Cut(body, "\nstream\n")
	if !ok {
		return dict, nil
	}
	rest = strings.TrimSuffix(rest, "\nendstream")
	if want := regexp.MustCompile(`/Length (\d+)`).FindStringSubmatch(dict); want == nil || want[1] != strconv.Itoa(len(rest)) {
		t.Errorf("object %d: %d bytes, said to be %v", n, len(rest), want)
	}
	if !strings.Contains(dict, "/FlateDecode") {
		return dict, []byte(rest)
	}
	z, err := zlib.NewReader(strings.NewReader(rest))
	if err != nil {
		t.Fatal(err)
	}
	if data, err = io.ReadAll(z); err != nil {
		t.Fatal(err)
	}
	return dict, data
}

// objects is how many objects the file has.
func objects(t *testing.T, file []byte) int {
	m := regexp.MustCompile(`trailer\n<</Size (\d+)`).FindSubmatch(file)
	if m == nil {
		t.Fatal("no trailer")
	}
	n, _ := strconv.Atoi(string(m[1]))
	return n - 1
}

// pagesOf returns the dictionaries and contents of all pages.
func pagesOf(t *testing.T, file []byte) (dicts []string, contents [][]byte) {
	for n := 1; n <= objects(t, file); n++ {
		dict, _ := object(t, file, n)
		if !strings.HasPrefix(dict, "<</Type/Page/") {
			continue
		}
		c, _ := strconv.Atoi(regexp.MustCompile(`/Contents (\d+)`).FindStringSubmatch(dict)[1])
		_, data := object(t, file, c)
		dicts, contents = append(dicts, dict), append(contents, data)
	}
	return dicts, contents
}

// TestPageBoxes: pages of ISO 216 in points of 1/72 in (ISO 32000-1 8.3.2.3).
func TestPageBoxes(t *testing.T) {
	var pages []*drawing.Drawing
	want := [][2]float64{{595.2756, 841.8898}, {841.8898, 1190.5512}, {1190.5512, 1683.7795}}
	for _, name := range []string{"A4", "A3", "A2"} {
		p, _ := drawing.PaperNamed(name, false)
		pages = append(pages, drawing.New(name, p.Wide, p.High))
	}
	dicts, _ := pagesOf(t, Bytes(pages...))
	if len(dicts) != 3 {
		t.Fatalf("%d pages", len(dicts))
	}
	for i, d := range dicts {
		var w, h float64
		m := regexp.MustCompile(`/MediaBox\[0 0 ([\d.]+) ([\d.]+)\]`).FindStringSubmatch(d)
		if _, err := fmt.Sscan(m[1]+" "+m[2], &w, &h); err != nil || math.Abs(w-want[i][0]) > 5e-4 || math.Abs(h-want[i][1]) > 5e-4 {
			t.Errorf("%s: %v × %v, want %v", pages[i].Title, w, h, want[i])
		}
	}
}

// TestTrueSize follows the page's operators: a line of 100 mm is that long on the paper, and a circle of radius 100 mm is
// round to 0.001 mm.
func TestTrueSize(t *testing.T) {
	d := drawing.New("", 420, 297)
	l := d.Layer("l", "l")
	l.Draw(drawing.Line(plane.Vec{X: 20, Y: 20}, plane.Vec{X: 120, Y: 20}), line, "")
	l.Draw(drawing.Circle(plane.Vec{X: 210, Y: 150}, 100), line, "")
	_, contents := pagesOf(t, Bytes(d))
	f := strings.Fields(string(contents[0]))
	num := func(i int) float64 {
		v, err := strconv.ParseFloat(f[i], 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	scale := 0.0
	var at plane.Vec
	length, worst, curves := 0.0, 0.0, 0
	for i, op := range f {
		switch op {
		case "cm":
			scale = num(i - 6)
			if num(i-3) != scale || num(i-5) != 0 || num(i-4) != 0 {
				t.Errorf("the page is not to one scale: %v", f[i-6:i])
			}
		case "m":
			at = plane.Vec{X: num(i - 2), Y: num(i - 1)}
		case "l":
			length = plane.Vec{X: num(i - 2), Y: num(i - 1)}.Sub(at).Len()
			at = plane.Vec{X: num(i - 2), Y: num(i - 1)}
		case "c":
			p := [4]plane.Vec{at, {X: num(i - 6), Y: num(i - 5)}, {X: num(i - 4), Y: num(i - 3)}, {X: num(i - 2), Y: num(i - 1)}}
			for k := range 21 {
				u := float64(k) / 20
				v := p[0].Scale((1 - u) * (1 - u) * (1 - u)).Add(p[1].Scale(3 * u * (1 - u) * (1 - u))).Add(p[2].Scale(3 * u * u * (1 - u))).Add(p[3].Scale(u * u * u))
				worst = max(worst, math.Abs(v.Sub(plane.Vec{X: 210, Y: 150}).Len()-100))
			}
			at = p[3]
			curves++
		}
	}
	mm := scale * 25.4 / 72
	if math.Abs(length*mm-100) > 1e-4 {
		t.Errorf("a line of 100 mm is %v mm", length*mm)
	}
	if curves == 0 || worst*mm > 0.001 {
		t.Errorf("a circle of 100 mm by %d curves is out by %v mm", curves, worst*mm)
	}
}

// TestTrueSizeRendered measures the same on a page made by a viewer, where one is installed.
func TestTrueSizeRendered(t *testing.T) {
	viewer, err := exec.LookPath("pdftoppm")
	if err != nil {
		t.Log("NOT MEASURED on a rendered page: there is no pdftoppm; the operators are measured by TestTrueSize")
		return
	}
	d := drawing.New("", 210, 50)
	d.Layer("l", "l").Draw(drawing.Rect(plane.Vec{X: 20, Y: 20}, plane.Vec{X: 120, Y: 22}), &drawing.Style{Name: "s", Fill: drawing.RGB(0)}, "")
	dir := t.TempDir()
	in := filepath.Join(dir, "a.pdf")
	if err := os.WriteFile(in, Bytes(d), 0o644); err != nil {
		t.Fatal(err)
	}
	const dpi = 1016 // 40 dots a mm
	if out, err := exec.Command(viewer, "-r", strconv.Itoa(dpi), "-png", "-singlefile", "-gray", in, filepath.Join(dir, "a")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	file, err := os.Open(filepath.Join(dir, "a.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	img, _, err := image.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	dark := 0
	y := img.Bounds().Dy() - 21*40
	for x := range img.Bounds().Dx() {
		if r, _, _, _ := img.At(x, y).RGBA(); r < 0x8000 {
			dark++
		}
	}
	if got := float64(dark) / 40; math.Abs(got-100) > 0.05 {
		t.Errorf("100 mm on the rendered page are %v mm", got)
	}
}

func sample() []*drawing.Drawing {
	var pages []*drawing.Drawing
	for range 2 {
		d := drawing.New("Größe (1)", 297, 210)
		o := d.Define(append(drawing.Circle(plane.Vec{}, 8), drawing.Circle(plane.Vec{X: 1}, 3)...))
		l := d.Layer("parts", "Parts")
		for i := range 100 {
			l.Place(o, plane.Placement{Origin: plane.Vec{X: float64(i), Y: 50}, Dir: plane.Polar(float64(i))}, line, "")
		}
		l.Place(o, plane.Fixed, solid, "")
		d.Layer("labels", "Labels").Write(plane.Vec{X: 10, Y: 10}, drawing.End, face, `fouls by ½ (at 90°) \ ± Ø`)
		d.Layer("labels", "Labels").Write(plane.Vec{X: 10, Y: 20}, drawing.Middle, face, "⅛ ≤ Łódź")
		pages = append(pages, d)
	}
	return pages
}

func TestFile(t *testing.T) {
	file := Bytes(sample()...)
	if !bytes.Equal(file, Bytes(sample()...)) {
		t.Error("the same drawing gives other bytes the second time")
	}
	if bytes.Contains(file, []byte("Date")) {
		t.Error("there is a date in the file")
	}
	forms := 0
	for n := 1; n <= objects(t, file); n++ {
		if dict, _ := object(t, file, n); strings.Contains(dict, "/Subtype/Form") {
			forms++
		}
	}
	if forms != 4 { // one outline, with an edge alone and filled, on two pages
		t.Errorf("%d forms", forms)
	}
	dicts, contents := pagesOf(t, file)
	for i, c := range contents {
		s := string(c)
		if strings.Count(s, " Do Q") != 101 || strings.Count(s, "/OC /L") != 2 || strings.Count(s, "BDC") != strings.Count(s, "EMC") {
			t.Errorf("page %d: %d placings, %d layers", i, strings.Count(s, " Do Q"), strings.Count(s, "/OC /L"))
		}
		if !strings.Contains(s, "(fouls by \xbd \\(at 90\xb0\\) \\\\ \xb1 \xd8) Tj") {
			t.Errorf("page %d: the text did not come through", i)
		}
		if !strings.Contains(s, "/ActualText<FEFF215B00202264002001410") {
			t.Errorf("page %d: letters that the face lacks cannot be searched for", i)
		}
		if !strings.Contains(dicts[i], "/L1") {
			t.Errorf("page %d has no second layer: %s", i, dicts[i])
		}
	}
	if dict, _ := object(t, file, 1); strings.Count(dict, " 0 R") != 5 { // the pages, and two layers listed twice
		t.Errorf("the catalogue: %s", dict)
	}
}

// TestNothing: a file of no pages, and a page of nothing, are files.
func TestNothing(t *testing.T) {
	if n := objects(t, Bytes()); n < 3 {
		t.Errorf("%d objects", n)
	}
	if d, _ := pagesOf(t, Bytes(drawing.New("", 0, 0))); len(d) != 1 {
		t.Errorf("%d pages", len(d))
	}
}
