package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"barover/render/drawing"
	"barover/solver/plane"
)

var update = flag.Bool("update", false, "write the expected files anew")

var (
	thick = &drawing.Style{Name: "thick", Width: 0.5, Line: drawing.Continuous, Stroke: drawing.RGB(0), Fill: drawing.RGB(0xf0f0f0)}
	chain = &drawing.Style{Name: "chain", Width: 0.18, Line: drawing.LongDashShortDash, Stroke: drawing.RGB(0x1c3f94)}
	plain = &drawing.TextStyle{Name: "plain", Height: 2.5, Colour: drawing.RGB(0)}
	haloR = &drawing.TextStyle{Name: "halo", Height: 3.5, Colour: drawing.RGB(0xc1121f), Bold: true, Halo: true}
)

// small is a drawing with one of everything.
func small() *drawing.Drawing {
	d := drawing.New("A crank & its <web>", 100, 60)
	eye := d.Define(append(drawing.Circle(plane.Vec{}, 8), drawing.Circle(plane.Vec{}, 3)...))
	d.Define(drawing.Circle(plane.Vec{}, 1)) // never placed, so never written
	l := d.Layer("parts", "Parts")
	for i := range 3 {
		l.Place(eye, plane.Placement{Origin: plane.Vec{X: 20 + 25*float64(i), Y: 30}, Dir: plane.Polar(float64(i) * math.Pi / 3)}, thick, "crank.web")
	}
	c := d.Layer("centres", "Centre lines")
	c.Draw(drawing.Line(plane.Vec{X: 5, Y: 30}, plane.Vec{X: 95, Y: 30}), chain, "")
	c.Draw(drawing.Arc(plane.Vec{X: 50, Y: 30}, 20, 0, 1.5*math.Pi), chain, "three quarters")
	c.Draw(drawing.Arc(plane.Vec{X: 50, Y: 30}, 15, math.Pi/2, -math.Pi/2), chain, "a\x01b")
	t := d.Layer("labels", "Labels")
	t.Write(plane.Vec{X: 50, Y: 5}, drawing.Middle, haloR, "fouls by 0.031 at 90°, axle +1/8")
	t.Items = append(t.Items, drawing.Text{At: plane.Vec{X: 5, Y: 5}, Angle: math.Pi / 2, Anchor: drawing.End, Style: plain, S: `"quoted" & <bare>`})
	return d
}

func TestGolden(t *testing.T) {
	const path = "testdata/small.svg"
	got := Bytes(small())
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; run with -update to write it", err)
	}
	if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(string(got), "\n")); d != "" {
		t.Error(d)
	}
	if !bytes.Equal(got, Bytes(small())) {
		t.Error("the same drawing gives other bytes the second time")
	}
}

// TestStylesOfOneName: a text on a disc whose style has the same name still has its own size and colour, and so has every
// other style whose name is taken.
func TestStylesOfOneName(t *testing.T) {
	red, white := drawing.RGB(0x8b0000), drawing.RGB(0xffffff)
	d := drawing.New("flags", 100, 100)
	l := d.Layer("l", "l")
	l.Draw(drawing.Circle(plane.Vec{X: 20, Y: 20}, 2), &drawing.Style{Name: "flag", Fill: red}, "")
	l.Write(plane.Vec{X: 20, Y: 20}, drawing.Middle, &drawing.TextStyle{Name: "flag", Height: 2.5, Colour: white, Bold: true}, "1")
	l.Draw(drawing.Circle(plane.Vec{X: 40, Y: 20}, 2), &drawing.Style{Name: "flag", Fill: red}, "") // the first style again
	l.Draw(drawing.Circle(plane.Vec{X: 60, Y: 20}, 2), &drawing.Style{Name: "flag", Stroke: red, Width: 0.25}, "")
	l.Draw(drawing.Circle(plane.Vec{X: 80, Y: 20}, 2), &drawing.Style{Name: "paper", Fill: red}, "")
	file := string(Bytes(d))
	class := func(element string) (rules []string) {
		for _, g := range regexp.MustCompile(`(?s)<g class="([^"]+)">\n(.*?)</g>`).FindAllStringSubmatch(file, -1) {
			rule := regexp.MustCompile(`(?m)^\.`+g[1]+`\{(.*)\}$`).FindAllStringSubmatch(file, -1)
			if len(rule) != 1 {
				t.Errorf("class %s has %d rules, want one", g[1], len(rule))
				continue
			}
			for range strings.Count(g[2], "<"+element) {
				rules = append(rules, rule[0][1])
			}
		}
		return rules
	}
	size := strconv.FormatFloat(math.Round(2500/drawing.CapHeight)/1000, 'f', -1, 64)
	if d := cmp.Diff([]string{"font-size:" + size + "px;fill:#ffffff;font-weight:bold"}, class("text")); d != "" {
		t.Error(d)
	}
	disc := "stroke:none;fill:#8b0000"
	if d := cmp.Diff([]string{disc, disc, "stroke:#8b0000;stroke-width:0.25;fill:none", disc}, class("path")); d != "" {
		t.Error(d)
	}
}

// read reads a file as XML and counts its elements.
func read(file []byte) (elements map[string]int, text string, err error) {
	elements = map[string]int{}
	dec := xml.NewDecoder(bytes.NewReader(file))
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return elements, text, nil
		}
		if err != nil {
			return elements, text, err
		}
		switch v := tok.(type) {
		case xml.StartElement:
			elements[v.Name.Local]++
		case xml.CharData:
			text += string(v)
		}
	}
}

func TestOutlinesStandOnce(t *testing.T) {
	n, text, err := read(Bytes(small()))
	if err != nil {
		t.Fatal(err)
	}
	for element, want := range map[string]int{"use": 3, "defs": 1, "style": 1, "path": 4, "text": 2, "title": 6} {
		if n[element] != want {
			t.Errorf("%d elements %s, want %d", n[element], element, want)
		}
	}
	if !strings.Contains(text, `"quoted" & <bare>`) {
		t.Error("a text did not come through")
	}
}

// TestAnyText: whatever a sketch's texts hold, the file can be read.
func TestAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawing.New(rapid.String().Draw(t, "title"), 100, 100)
		l := d.Layer("l", "l")
		l.Write(plane.Vec{}, drawing.Start, plain, rapid.String().Draw(t, "text"))
		l.Draw(drawing.Circle(plane.Vec{X: rapid.Float64().Draw(t, "x")}, rapid.Float64().Draw(t, "r")), thick, string(rapid.SliceOf(rapid.Byte()).Draw(t, "label")))
		if _, _, err := read(Bytes(d)); err != nil {
			t.Fatal(err)
		}
	})
}

func TestStamp(t *testing.T) {
	clean := Bytes(small())
	layer := func(text string) func(w, h float64) *drawing.Layer {
		return func(w, h float64) *drawing.Layer {
			if w != 100 || h != 60 {
				t.Errorf("the file is taken for %v × %v", w, h)
			}
			l := &drawing.Layer{ID: "stamp"}
			l.Draw(drawing.Rect(plane.Vec{X: 10, Y: 10}, plane.Vec{X: w - 10, Y: h - 10}), thick, "")
			l.Write(plane.Vec{X: 20, Y: 20}, drawing.Start, haloR, text)
			return l
		}
	}
	once := Stamp(clean, layer("line 3: </svg> there is no rod"))
	n, text, err := read(once)
	if err != nil || !strings.Contains(text, "line 3: </svg> there is no rod") || n["svg"] != 1 {
		t.Errorf("stamped: %v, %v", err, n)
	}
	twice := Stamp(once, layer("line 4"))
	if _, text, err = read(twice); err != nil || strings.Contains(text, "line 3") || !strings.Contains(text, "line 4") {
		t.Errorf("stamped again: %v: %s", err, text)
	}
	if !bytes.Equal(Unstamp(twice), clean) {
		t.Error("the stamp does not come off")
	}
	for _, other := range []string{"", "<svg>", "</svg>", "plain text", `viewBox="0 0 x y"</svg>`} {
		if got := Stamp([]byte(other), layer("x")); string(got) != other {
			t.Errorf("%q was stamped", other)
		}
	}
}

// Ends and radius are rounded each for itself, and must still give the circle: a template may be cut from it. The height of
// each arc is computed again from what is written, by Pythagoras.
func TestHalfCirclesAreTrue(t *testing.T) {
	arc := regexp.MustCompile(`A([\d.]+) ([\d.]+) 0 (\d) (\d) (-?[\d.]+) (-?[\d.]+)`)
	start := regexp.MustCompile(`M(-?[\d.]+) (-?[\d.]+)`)
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	style := &drawing.Style{Name: "line", Width: 0.3, Stroke: drawing.RGB(0)}
	for _, r := range []float64{38.537 / 2, 80, 80.00049, 12.34567, 300.1} {
		for _, turn := range []float64{0, 0.3, 1, 2.2222} {
			c := plane.Vec{X: 301.2345, Y: 310.9876}
			d := drawing.New("", 700, 700)
			d.Layer("a", "A").Draw(drawing.Arc(c, r, turn, math.Pi), style, "")
			text := string(Bytes(d))
			from := start.FindStringSubmatch(text)
			x, y := number(from[1]), number(from[2])
			arcs := arc.FindAllStringSubmatch(text, -1)
			for _, a := range arcs {
				radius, u, v := number(a[1]), number(a[5]), number(a[6])
				if a[3] != "0" {
					t.Errorf("radius %g: an arc of more than a half", r)
				}
				// The middle of the arc lies on the line from the circle's centre through the middle of its chord.
				mx, my, half := (x+u)/2, (y+v)/2, math.Hypot(u-x, v-y)/2
				if half > radius {
					radius = half // as a viewer does
				}
				high := radius - math.Sqrt(radius*radius-half*half)
				k := 1.0
				if a[4] == "0" { // anticlockwise on the paper, of which y runs down in the file
					k = -1
				}
				px, py := mx+k*high*(v-y)/(2*half), my-k*high*(u-x)/(2*half)
				if off := math.Hypot(px-c.X, 700-py-c.Y) - r; math.Abs(off) > 0.01 {
					t.Errorf("radius %g from %g: an arc is out by %g", r, turn, off)
				}
				x, y = u, v
			}
			if len(arcs) == 0 {
				t.Error("no arc is written")
			}
		}
	}
}
