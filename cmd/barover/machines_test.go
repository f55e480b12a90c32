package main

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// machineFolder has machines as somebody writes them who has read the README and no more.
const machineFolder = "../../testdata/machines"

const rad = math.Pi / 180

// crosshead is how far from the shaft a crosshead stands.
func crosshead(throw, rod, crank float64) float64 {
	return throw*math.Cos(crank*rad) + math.Sqrt(rod*rod-math.Pow(throw*math.Sin(crank*rad), 2))
}

// between finds where a figure passes zero from a to b.
func between(f func(float64) float64, a, b float64) float64 {
	for range 200 {
		if m := (a + b) / 2; f(m)*f(a) > 0 {
			a = m
		} else {
			b = m
		}
	}
	return a
}

// shortMachine is one of them, and what it must come to: measures at positions, in closed form or by where circles meet.
type shortMachine struct {
	name  string
	turns string
	want  map[string]func(turn float64) float64 // by measure
}

var machines = []shortMachine{
	{"cylinder", "0,62.5,190,333", map[string]func(float64) float64{
		"piston": func(c float64) float64 { return (110 - crosshead(20, 90, c)) / 40 },
	}},
	{"two-cylinders", "0,62.5,190,333", map[string]func(float64) float64{
		"front.piston": func(c float64) float64 { return (110 - crosshead(20, 90, c)) / 40 },
		"rear.piston":  func(c float64) float64 { return (110 - crosshead(20, 90, c+90)) / 40 },
	}},
	{"oscillator", "0,30,76,200,341", map[string]func(float64) float64{
		"tilt":   func(c float64) float64 { return -math.Atan2(12*math.Sin(c*rad), 50-12*math.Cos(c*rad)) / rad },
		"stroke": func(c float64) float64 { return math.Sqrt(144 + 2500 - 1200*math.Cos(c*rad)) },
	}},
	{"hot-air", "0,60,145,270", map[string]func(float64) float64{
		"p": func(c float64) float64 { return crosshead(14, 70, c-90) },
		"d": func(c float64) float64 {
			elbow := meet(complex(60, 10), 28, polar(14, c), 60)
			wrist := complex(60, 10) + (elbow-complex(60, 10))*complex(0, -1)
			return imag(wrist) + math.Sqrt(50*50-math.Pow(88-real(wrist), 2))
		},
	}},
	{"shaper", "0,100,202,338", map[string]func(float64) float64{
		"swing": func(c float64) float64 { return cmplx.Phase(complex(0, 80)+polar(30, c)) / rad },
		"x_ram": func(c float64) float64 {
			top := polar(160, cmplx.Phase(complex(0, 80)+polar(30, c))/rad)
			return real(top) - math.Sqrt(60*60-math.Pow(155-imag(top), 2))
		},
		"ram_goes": func(float64) float64 { // the lever goes as far either way; its ends are where the crank stands square to it
			lean := math.Asin(30./80) / rad
			at := func(leans float64) float64 {
				top := polar(160, 90+leans)
				return real(top) - math.Sqrt(60*60-math.Pow(155-imag(top), 2))
			}
			return at(-lean) - at(lean)
		},
	}},
	{"grasshopper", "0,75,160,300", map[string]func(float64) float64{
		"stray":  func(c float64) float64 { return real(grasshopper(c, -60)) },
		"height": func(c float64) float64 { return imag(grasshopper(c, -60)) },
	}},
	{"cam", "0,70,155,240", map[string]func(float64) float64{
		"leans": func(c float64) float64 {
			return math.Mod(cmplx.Phase(meet(polar(8, c), 28, complex(60, 20), 50)-complex(60, 20))/rad+360, 360)
		},
	}},
}

// grasshopper is a place of the beam at a crank angle, by its distance from the middle: the bridle is turned until the connecting
// rod reaches.
func grasshopper(crank, along float64) complex128 {
	beam := func(bridle float64) (middle, heel complex128) {
		middle = polar(60, bridle)
		return middle, meet(middle, 60, complex(120, -90), 90)
	}
	pin := complex(92, -100) + polar(20, crank)
	place := func(bridle, along float64) complex128 {
		middle, heel := beam(bridle)
		return middle + (heel-middle)*complex(along/60, 0)
	}
	bridle := between(func(b float64) float64 { return cmplx.Abs(place(b, 28)-pin) - 100 }, -50, 50)
	return place(bridle, along)
}

// TestMachines: every machine holds, proved, and stands where its closed form or its circles put it.
func TestMachines(t *testing.T) {
	told := map[string]bool{}
	for _, m := range machines {
		told[m.name] = true
		t.Run(m.name, func(t *testing.T) {
			holdsProved(t, m.name)
			out, _ := barover(t, "table", filepath.Join(machineFolder, m.name+".motion"), "--at", m.turns)
			rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
			if err != nil || len(rows) != 1+len(strings.Split(m.turns, ",")) {
				t.Fatalf("%v: %s", err, out)
			}
			seen := 0
			for _, row := range rows[1:] {
				turn, _ := strconv.ParseFloat(row[0], 64)
				for k, name := range rows[0] {
					want, ok := m.want[name]
					if !ok {
						continue
					}
					seen++
					if got, err := strconv.ParseFloat(row[k], 64); err != nil || math.Abs(got-want(turn)) > 1e-8 {
						t.Errorf("%s at %g is %s, want %.10f", name, turn, row[k], want(turn))
					}
				}
			}
			if seen != len(m.want)*(len(rows)-1) {
				t.Errorf("%d figures, want %d", seen, len(m.want)*(len(rows)-1))
			}
		})
	}
	for _, name := range []string{"link-motion", "six-side", "six-coupled"} { // see below
		told[name] = true
	}
	files, err := filepath.Glob(filepath.Join(machineFolder, "*.motion"))
	if err != nil || len(files) != len(told) {
		t.Errorf("%d machines, %d looked at: %v", len(files), len(told), err)
	}
}

// holdsProved makes sure that all checks of a machine hold, and that all is proved; it returns the answers.
func holdsProved(t *testing.T, name string) (r struct {
	Checks   []struct{ Named, Sure string }
	Measures []struct {
		Name            string
		Least, Greatest float64
	}
	Marks []struct {
		Name string
		At   map[string]float64
	}
}) {
	t.Helper()
	out, status := barover(t, "check", "--json", filepath.Join(machineFolder, name+".motion"))
	if err := json.Unmarshal([]byte(out), &r); err != nil || status != 0 || len(r.Checks) == 0 {
		t.Errorf("%s: status %d, %v", name, status, err)
	}
	for _, c := range r.Checks {
		if c.Sure != "proved" {
			t.Errorf("%s: %s is %s", name, c.Named, c.Sure)
		}
	}
	return r
}

// TestLinkMotionMachine: in mid gear the block stands on the line of symmetry of the link, so that where it is on both dead
// centres has a closed form; and the notches either side of mid gear mirror one another.
func TestLinkMotionMachine(t *testing.T) {
	holdsProved(t, "link-motion")
	out, _ := barover(t, "table", "--settings", "--json", filepath.Join(machineFolder, "link-motion.motion"))
	var table struct {
		Rows []struct {
			At    struct{ Notch float64 }
			Shows struct {
				Lead, Cut_off struct{ Front, Back float64 }
				Goes          float64
			}
		}
	}
	if err := json.Unmarshal([]byte(out), &table); err != nil || len(table.Rows) != 5 {
		t.Fatalf("%v: %s", err, out)
	}
	// The pins of the eccentrics stand at ∓5 sin 20° along and ±5 cos 20° across; the rods are open at 0° and crossed at 180°.
	along, across := 5*math.Sin(20*rad), 5*math.Cos(20*rad)
	front := -along + math.Sqrt(100*100-math.Pow(24-across, 2))
	back := along + math.Sqrt(100*100-math.Pow(24+across, 2))
	mid := table.Rows[2].Shows
	if got := mid.Lead.Front + mid.Lead.Back; math.Abs(got-(back-front-4)) > 1e-9 {
		t.Errorf("both leads in mid gear come to %.10f, want %.10f", got, back-front-4)
	}
	for k := range 2 {
		a, b := table.Rows[k], table.Rows[4-k]
		if a.At.Notch != -b.At.Notch || math.Abs(a.Shows.Goes-b.Shows.Goes) > 1e-9 || math.Abs(a.Shows.Lead.Front-b.Shows.Lead.Front) > 1e-9 {
			t.Errorf("notches %g and %g: the valve goes %.9f and %.9f", a.At.Notch, b.At.Notch, a.Shows.Goes, b.Shows.Goes)
		}
	}
}

// TestSixCoupledMachine: by how much an axle that stands high by h asks for a longer rod of length l is √(l² + h²) - l, on both
// sides alike, and both sides cost no more than a few of one.
func TestSixCoupledMachine(t *testing.T) {
	for _, name := range []string{"six-side", "six-coupled"} {
		r := holdsProved(t, name)
		if len(r.Measures) == 0 {
			t.Errorf("%s: no measures", name)
		}
		for _, m := range r.Measures {
			if strings.HasSuffix(m.Name, "rear_miss") && (math.Abs(m.Greatest-(math.Hypot(80, 5)-80)) > 1e-6 || math.Abs(m.Least) > 1e-6) {
				t.Errorf("%s: %s goes from %.7f to %.7f", name, m.Name, m.Least, m.Greatest)
			}
		}
	}
	lines := func(name string) int {
		text, err := os.ReadFile(filepath.Join(machineFolder, name+".motion"))
		if err != nil {
			t.Fatal(err)
		}
		return strings.Count(string(text), "\n")
	}
	if n := lines("two-cylinders"); n >= 15 {
		t.Errorf("two cylinders take %d lines more than one", n)
	}
}
