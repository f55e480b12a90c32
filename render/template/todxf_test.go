package template

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/render/dxf"
	"barover/solver/outline"
	"barover/solver/plane"
)

// read is what a reader of DXF found in a file: of each layer how many of each kind, how long its lines, arcs and circles
// are together, and the radii of its circles, in the unit of the file.
type read struct {
	Units  int                `json:"units"`
	Kinds  map[string]int     `json:"kinds"` // "LAYER KIND"
	Long   map[string]float64 `json:"long"`
	Radii  map[string]float64 `json:"radii"` // the sum of them
	Points [][2]float64       `json:"points"`
	Texts  []string           `json:"texts"`
	ends   [][2]plane.Vec     // of lines and arcs of the first layer
}

// group is one entity of a file: its group codes with their last values.
type group map[int]string

func (g group) number(t *testing.T, code int) float64 {
	v, err := strconv.ParseFloat(g[code], 64)
	if err != nil {
		t.Fatalf("group %d is %q", code, g[code])
	}
	return v
}

// readPlain reads a file by the rules of release 12: pairs of lines, a group code and a value.
func readPlain(t *testing.T, file []byte) read {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(string(file), "\n"), "\n")
	if len(lines)%2 != 0 {
		t.Fatal("the lines do not come in pairs")
	}
	r := read{Kinds: map[string]int{}, Long: map[string]float64{}, Radii: map[string]float64{}}
	var section, variable string
	var now group
	end := func() {
		if section == "ENTITIES" && now != nil {
			r.take(t, now)
		}
		now = nil
	}
	for i := 0; i < len(lines); i += 2 {
		code, err := strconv.Atoi(strings.TrimSpace(lines[i]))
		if err != nil {
			t.Fatalf("line %d: %v", i+1, err)
		}
		switch value := lines[i+1]; {
		case code == 0:
			end()
			now = group{0: value}
		case code == 2 && now != nil && now[0] == "SECTION":
			section = value
		case code == 9:
			variable = value
		case variable == "$INSUNITS" && code == 70 && section == "HEADER":
			r.Units, _ = strconv.Atoi(value)
		case now != nil:
			now[code] = value
		}
	}
	if !slices.Equal(lines[len(lines)-2:], []string{"0", "EOF"}) {
		t.Error("the file does not end with EOF")
	}
	return r
}

func (r *read) take(t *testing.T, g group) {
	layer := g[8]
	if g[0] == "ENDSEC" || g[0] == "SECTION" {
		return
	}
	r.Kinds[layer+" "+g[0]]++
	at := func(code int) plane.Vec { return plane.Vec{X: g.number(t, code), Y: g.number(t, code+10)} }
	switch g[0] {
	case "LINE":
		a, b := at(10), at(11)
		r.Long[layer] += b.Sub(a).Len()
		r.join(layer, a, b)
	case "ARC":
		c, radius, from, to := at(10), g.number(t, 40), g.number(t, 50)*math.Pi/180, g.number(t, 51)*math.Pi/180
		if to < from {
			to += 2 * math.Pi
		}
		r.Long[layer] += radius * (to - from)
		r.join(layer, c.Add(plane.Polar(from).Scale(radius)), c.Add(plane.Polar(to).Scale(radius)))
	case "CIRCLE":
		r.Long[layer] += 2 * math.Pi * g.number(t, 40)
		r.Radii[layer] += g.number(t, 40)
	case "POINT":
		p := at(10)
		r.Points = append(r.Points, [2]float64{p.X, p.Y})
	case "TEXT":
		r.Texts = append(r.Texts, g[1])
	}
}

func (r *read) join(layer string, a, b plane.Vec) {
	if strings.HasPrefix(layer, "OUTLINE") {
		r.ends = append(r.ends, [2]plane.Vec{a, b})
	}
}

// closed reports whether every end of a line or arc of the outline meets exactly one other.
func (r *read) closed(within float64) error {
	for i, e := range r.ends {
		for _, p := range e {
			met := 0
			for k, f := range r.ends {
				for _, q := range f {
					if i != k && p.Sub(q).Len() <= within {
						met++
					}
				}
			}
			if met != 1 {
				return fmt.Errorf("the end %v meets %d others", p, met)
			}
		}
	}
	return nil
}

// bracket is a part with lines, arcs both ways, circles and a slot, and what its outline and holes measure, mm.
func bracket(t *testing.T) (p *Part, outlineLong, holesLong float64) {
	s := newShop(t)
	shapes := []outline.Shape{s.strip(0, 0, 100, 0, 40, 30, true), hole(s.disc(0, 0, 10)), hole(s.disc(50, 18, 12)), hole(s.strip(60, 0, 80, 0, 6, 6, true))}
	s.profile("plate", 5, shapes...)
	s.point("post", plane.Vec{X: 30, Y: 0})
	// A strip that tapers from 40 to 30 over 100, half circles at its ends, less what the bay of radius 6 about (50, 18)
	// takes of the upper side. That side passes the bay's middle at a distance h, and gives up a chord for an arc.
	side := math.Hypot(100, 5)
	h := (18 - (20 - 5*50./100)) * 100 / side // above the side: positive
	chord := 2 * math.Sqrt(36-h*h)
	bay := 2 * 6 * math.Acos(h/6)
	outlineLong = 2*side + math.Pi*20 + math.Pi*15 - chord + bay
	holesLong = math.Pi*10 + math.Pi*6 + 40
	return s.part(), outlineLong, holesLong
}

// TestDXFLengths reads files in either unit again, by the plain reader here and, where it is there, by ezdxf, and holds the
// lengths in them against those computed by hand.
func TestDXFLengths(t *testing.T) {
	p, long, holes := bracket(t)
	for _, inches := range []bool{false, true} {
		k, units, unit := 1.0, 4, "1 mm"
		if inches {
			k, units, unit = 1/25.4, 1, "1 in"
		}
		o := options("A4")
		file := dxf.Bytes(p.File(o, inches))
		if !bytes.HasPrefix(file, []byte("999\n")) || !bytes.Contains(file[:200], []byte(unit)) {
			t.Errorf("the unit does not stand at the head of the file: %.100s", file)
		}
		plain := readPlain(t, file)
		if err := plain.closed(2e-6); err != nil {
			t.Errorf("inches %v: the outline is open: %v", inches, err)
		}
		held := func(by string, r read) {
			t.Helper()
			if r.Units != units {
				t.Errorf("%s: $INSUNITS is %d, want %d", by, r.Units, units)
			}
			for layer, want := range map[string]float64{"OUTLINE": long, "HOLES": holes, "NOTES": 2*(100+101.6) + 8*2} {
				if got := r.Long[layer]; !(math.Abs(got-want*k) <= 1e-5) {
					t.Errorf("%s, inches %v: %s is %v long, want %v", by, inches, layer, got, want*k)
				}
			}
			if got := r.Radii["HOLES"]; math.Abs(got-5*k) > 1e-6 {
				t.Errorf("%s: circles of the holes have radius %v", by, got)
			}
			if got := len(r.Points); got != len(p.Marks) {
				t.Errorf("%s: %d points, want %d", by, got, len(p.Marks))
			}
			if !slices.ContainsFunc(r.Texts, func(s string) bool {
				return strings.Contains(s, "ONE UNIT OF THIS FILE IS "+strings.ToUpper(unit))
			}) {
				t.Errorf("%s: no note says the unit", by)
			}
		}
		held("plain reader", plain)
		if other, ok := readEzdxf(t, file); ok {
			held("ezdxf", other)
			if d := cmp.Diff(plain.Kinds, other.Kinds); d != "" {
				t.Errorf("the readers do not agree on what is in the file: %s", d)
			}
		}
	}
}

// noEzdxf is the exit status of script where python has no ezdxf.
const noEzdxf = 77

// script makes ezdxf read a file strictly and say what it found.
const script = `
import collections, json, math, sys
try:
    import ezdxf
except ImportError:
    sys.exit(77)
doc = ezdxf.readfile(sys.argv[1])
problems = doc.audit().errors
assert not problems, problems
r = {"units": doc.header["$INSUNITS"], "kinds": collections.Counter(), "long": collections.Counter(), "radii": collections.Counter(), "points": [], "texts": []}
for e in doc.modelspace():
    kind, layer = e.dxftype(), e.dxf.layer
    assert layer in doc.layers, layer
    r["kinds"][layer + " " + kind] += 1
    if kind == "LINE":
        r["long"][layer] += (e.dxf.end - e.dxf.start).magnitude
    elif kind == "ARC":
        r["long"][layer] += e.dxf.radius * math.radians((e.dxf.end_angle - e.dxf.start_angle) % 360)
    elif kind == "CIRCLE":
        r["long"][layer] += 2 * math.pi * e.dxf.radius
        r["radii"][layer] += e.dxf.radius
    elif kind == "POINT":
        r["points"].append([e.dxf.location.x, e.dxf.location.y])
    elif kind == "TEXT":
        r["texts"].append(e.dxf.text)
print(json.dumps(r))
`

// readEzdxf reads a file with python's ezdxf; false where that is not there.
func readEzdxf(t *testing.T, file []byte) (r read, ok bool) {
	t.Helper()
	at := filepath.Join(t.TempDir(), "part.dxf")
	if err := os.WriteFile(at, file, 0o644); err != nil {
		t.Fatal(err)
	}
	var out []byte
	for _, python := range []string{"/usr/bin/python3", "python3"} {
		var err error
		if out, err = exec.Command(python, "-c", script, at).Output(); err == nil {
			break
		}
		if e := (*exec.ExitError)(nil); errors.As(err, &e) && e.ExitCode() != noEzdxf {
			t.Fatalf("ezdxf cannot read the file: %s", e.Stderr)
		}
		out = nil
	}
	if out == nil {
		t.Log("THERE IS NO python3-ezdxf: the file was read by the plain reader of this test alone")
		return r, false
	}
	if err := json.Unmarshal(out, &r); err != nil {
		t.Fatal(err)
	}
	return r, true
}

// TestDXFLayers: one pair of layers for a part of one thickness, a pair for each of several, whatever they are called.
func TestDXFLayers(t *testing.T) {
	for _, c := range []struct {
		profiles []string
		want     []string
	}{
		{[]string{"plate"}, []string{"OUTLINE", "HOLES", "CENTRES", "NOTES"}},
		{[]string{"big_end", "shank"}, []string{"OUTLINE-BIG_END", "HOLES-BIG_END", "OUTLINE-SHANK", "HOLES-SHANK", "CENTRES", "NOTES"}},
		{[]string{"Schäkel", "Schökel"}, []string{"OUTLINE-SCH_KEL", "HOLES-SCH_KEL", "OUTLINE-SCH_KEL-2", "HOLES-SCH_KEL-2", "CENTRES", "NOTES"}},
		{[]string{strings.Repeat("long", 10) + "a", strings.Repeat("long", 10) + "b"},
			[]string{"OUTLINE-LONGLONGLONGLONGLONGLON", "HOLES-LONGLONGLONGLONGLONGLONGL",
				"OUTLINE-LONGLONGLONGLONGLONGL-2", "HOLES-LONGLONGLONGLONGLONGLON-2", "CENTRES", "NOTES"}},
	} {
		s := newShop(t)
		for i, name := range c.profiles {
			s.profile(name, 5, s.disc(0, 0, 20+float64(i)))
		}
		var got []string
		for _, l := range s.part().File(options("A4"), false).Layers {
			got = append(got, l.Name)
			if len(l.Name) > 31 {
				t.Errorf("%s is too long for a layer", l.Name)
			}
		}
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("%v: %s", c.profiles, d)
		}
	}
}

// TestDXFPlaces: the points of the file are the places of the list, from the datums.
func TestDXFPlaces(t *testing.T) {
	p, _, _ := bracket(t)
	r := readPlain(t, dxf.Bytes(p.File(options("A4"), false)))
	for i, m := range p.Marks {
		if q := r.Points[i]; math.Abs(q[0]-m.At.X) > 1e-6 || math.Abs(q[1]-m.At.Y) > 1e-6 {
			t.Errorf("mark %d is at %v in the file, %v in the list", m.Number, q, m.At)
		}
	}
	found := slices.Contains(r.Texts, "1: 20.000, 20.000  hole 10 dia, plate, shaft")
	if !found {
		t.Errorf("the notes do not have the list: %q", r.Texts)
	}
}
