package main

import (
	"barover/render/report"
	"math"
	"os"
	"path/filepath"
	"testing"
)

const larkspur = exampleFolder + "/larkspur.motion"

// notch is what the valve does in one notch of the reverser, at one height of the axles: leads, travel, cut-offs in per
// cent of the stroke, and how far the block slips. The figures were computed by hand, from 1440 positions of each, when
// the engine was invented; a cut-off read from those is right to a quarter of one per cent.
type notch struct {
	name                string
	reverser, axle      float64
	leadFront, leadBack float64
	travel              float64
	cutFront, cutBack   float64
	slip                float64
}

// The half notch astern was not computed then.
var notches = []notch{
	{"mid", 0, 0, 0.0140, 0.0140, 0.278, 5.3, 4.6, 0.012},
	{"half ahead", -11, 0, 0.0141, 0.0139, 0.347, 39.4, 43.2, 0.011},
	{"full ahead", -22, 0, 0.0141, 0.0137, 0.492, 67.5, 72.6, 0.054},
	{"full astern", 22, 0, 0.0140, 0.0144, 0.533, 77.6, 74.5, 0.090},
	{"full ahead, axle up", -22, 1. / 8, 0.0116, 0.0079, 0.489, 67.7, 72.4, 0.053},
	{"full ahead, axle down", -22, -3. / 16, 0.0198, 0.0207, 0.497, 67.9, 72.5, 0.054},
}

// shown is what a mark shows in one notch at one height.
func (a *asked) shown(t *testing.T, mark, measure string, reverser, axle float64) float64 {
	t.Helper()
	for _, m := range a.Marks {
		if m.Name == mark && m.At["reverser"] == reverser && m.At["axle"] == axle {
			return m.Shows[measure]
		}
	}
	t.Fatalf("%s does not happen with the reverser at %g and the axle at %g", mark, reverser, axle)
	return 0
}

func TestLarkspurValve(t *testing.T) {
	a := checkExample(t, larkspur)
	if a.status != report.AllHolds {
		t.Errorf("status %d: Larkspur is sound", a.status)
	}
	for _, n := range notches {
		end := ""
		if n.reverser > 0 {
			end = "_astern"
		}
		at := func(mark, measure string) float64 { return a.shown(t, mark, measure, n.reverser, n.axle) }
		near(t, n.name+", lead at the front", at("lead_front", "port_front"), n.leadFront, 0.00006)
		near(t, n.name+", lead at the back", at("lead_back", "port_back"), n.leadBack, 0.00006)
		near(t, n.name+", travel", at("lead_front", "valve_travel"), n.travel, 0.0005)
		near(t, n.name+", slip", at("lead_back", "block_slip"), n.slip, 0.0005)
		near(t, n.name+", cut-off at the front", 100*at("cut_off_front"+end, "piston"), n.cutFront, 0.25)
		near(t, n.name+", cut-off at the back", 100*at("cut_off_back"+end, "piston_back"), n.cutBack, 0.25)
		// With no exhaust lap, release at one end is compression at the other.
		near(t, n.name+", release at the front", at("release_front", "piston"), 1-at("compression_back", "piston_back"), 1e-9)
		near(t, n.name+", release at the back", at("release_back", "piston_back"), 1-at("compression_front", "piston"), 1e-9)
	}
}

// The events come in their order as the engine runs: ahead the crank's angle falls, astern it rises. A port is never open
// by less than at its widest.
func TestLarkspurEventsInOrder(t *testing.T) {
	a := checkExample(t, larkspur)
	turned := func(mark string, reverser, from float64) float64 {
		for _, m := range a.Marks {
			if m.Name == mark && m.At["reverser"] == reverser && m.At["axle"] == 0 {
				way := math.Copysign(1, reverser) * (m.At["crank"] - from)
				return math.Mod(way+720, 360)
			}
		}
		t.Fatalf("%s does not happen with the reverser at %g", mark, reverser)
		return 0
	}
	for _, reverser := range []float64{-22, -11, 11, 22} {
		for _, end := range []string{"front", "back"} {
			from := map[string]float64{"front": 0, "back": 180}[end]
			events := []string{"widest_" + end, "cut_off_" + end, "release_" + end, "compression_" + end, "cut_off_" + end + "_astern"}
			if reverser > 0 {
				events = []string{"widest_" + end, "cut_off_" + end + "_astern", "compression_" + end, "release_" + end, "cut_off_" + end}
			}
			last := 0.0
			for _, mark := range events { // the last is the admission before the next dead centre
				now := turned(mark, reverser, from)
				if !(now > last) {
					t.Errorf("reverser at %g: %s after %g° of the turn from the dead centre, what comes before it after %g°", reverser, mark, now, last)
				}
				last = now
			}
			widest := a.shown(t, "widest_"+end, "port_"+end, reverser, 0)
			if lead := a.shown(t, "lead_"+end, "port_"+end, reverser, 0); !(widest >= lead) {
				t.Errorf("reverser at %g: the %s port opens by %g, and by %g at the dead centre", reverser, end, widest, lead)
			}
		}
	}
}

func TestLarkspurGearMoves(t *testing.T) {
	a := checkExample(t, larkspur, "--case", "running")
	for _, r := range []struct {
		measure         string
		least, greatest float64
		tolerance       float64
	}{
		{"block_place", -0.526, 0.597, thou},
		{"link_swings", -20.5, 20.5, 0.1},
		{"lever_foot", 9.11, 11.11, 0.005},
	} {
		least, greatest := a.measure(t, r.measure)
		near(t, "least "+r.measure, least, r.least, r.tolerance)
		near(t, "greatest "+r.measure, greatest, r.greatest, r.tolerance)
	}
	// From where to where the block works in full gear, ahead and astern: its place farthest out, less the slip.
	near(t, "block ahead", -0.526+a.shown(t, "lead_back", "block_slip", -22, 0), -0.472, thou)
	near(t, "block astern", 0.597-a.shown(t, "lead_back", "block_slip", 22, 0), 0.507, thou)
}

// The least gaps of the sound engine, at three heights.
func TestLarkspurGaps(t *testing.T) {
	for _, tt := range []struct {
		height            string
		eye, lip, box, at float64
	}{
		{"running", 0.099, 0.064, 0.219, 17.7},
		{"at_bump", 0.066, 0.040, 0.094, 12.8},
		{"at_droop", 0.054, 0.028, 0.406, 10.3},
	} {
		a := checkExample(t, larkspur, "--case", tt.height)
		least, crank := a.clearance(t, "coupling_rod.rod", "frame.bars")
		near(t, tt.height+", eye to the ends of the bars", least, tt.eye, thou)
		near(t, tt.height+", its crank position", math.Min(crank, 360-crank), tt.at, 0.1)
		least, _ = a.clearance(t, "conrod.shank", "frame.bars")
		near(t, tt.height+", rod to the lip of the bars", least, tt.lip, thou)
		least, crank = a.clearance(t, "conrod.oil_box", "frame.stiffener")
		near(t, tt.height+", oil box to the angle", least, tt.box, thou)
		near(t, tt.height+", its crank position", crank, 90, half)
		near(t, tt.height+", shank over the washer", a.gap(t, "conrod.shank", "leading.washer"), 0.047-1./32, thou)
		least, _ = a.clearance(t, "crosshead.piston", "frame.cover_front")
		near(t, tt.height+", piston to the front cover", least, 1./16, 0.0021) // less where the axle is off the line
	}
}

// gap is the space across between two profiles.
func (a *asked) gap(t *testing.T, x, y string) float64 {
	t.Helper()
	for _, c := range a.Checks {
		if c.Kind == "gap" && c.A == x && c.B == y {
			return *c.Least
		}
	}
	t.Fatalf("nothing is said of the gap from %s to %s", x, y)
	return 0
}

// foul is the stretch of the turn over which a check falls short, the k-th from the start, degrees.
func (a *asked) foul(t *testing.T, kind, x, y string, k int) (from, to float64) {
	t.Helper()
	for i := len(a.Checks) - 1; i >= 0; i-- { // the last that asks: a sketch may ask more than the one that it uses
		if c := a.Checks[i]; c.Kind == kind && c.A == x && c.B == y {
			if k >= len(c.Fouls) {
				t.Fatalf("%s %s %s falls short over %d stretches", kind, x, y, len(c.Fouls))
			}
			return c.Fouls[k].From, c.Fouls[k].To
		}
	}
	t.Fatalf("nothing is said of %s and %s", x, y)
	return
}

// The two errors of the old drawing: one shows itself at some crank angles only, the other at one end of the springs'
// travel only.
func TestLarkspurAsDrawn(t *testing.T) {
	path := exampleFolder + "/larkspur-as-drawn.motion"
	a := checkExample(t, path, "--case", "running")
	least, _ := a.clearance(t, "coupling_rod.rod", "frame.bars")
	near(t, "eye in the ends of the bars", least, -0.137, thou)
	least, _ = a.clearance(t, "leading.washer", "frame.bars")
	near(t, "washer in the ends of the bars", least, -0.105, thou)
	for _, tt := range []struct {
		profile  string
		k        int
		from, to float64
	}{
		{"coupling_rod.rod", 0, 7, 39}, {"coupling_rod.rod", 1, 321, 353},
		{"leading.washer", 0, 9, 36}, {"leading.washer", 1, 324, 351},
	} {
		from, to := a.foul(t, "gap", tt.profile, "frame.bars", tt.k)
		near(t, tt.profile+" strikes from", from, tt.from, half)
		near(t, tt.profile+" strikes up to", to, tt.to, half)
	}
	least, _ = a.clearance(t, "conrod.oil_box", "frame.stiffener")
	near(t, "oil box under the angle at running height", least, 0.094, thou)

	a = checkExample(t, path)
	if a.status != report.FallsShort {
		t.Errorf("status %d: the drawing is wrong", a.status)
	}
	least, _ = a.clearance(t, "coupling_rod.rod", "frame.bars")
	near(t, "eye in the ends of the bars, worst of all heights", least, -0.191, thou)
	least, _ = a.clearance(t, "conrod.oil_box", "frame.stiffener")
	near(t, "oil box in the angle", least, -0.031, thou)
	least, _ = a.clearance(t, "conrod.shank", "frame.bars")
	near(t, "rod on the lips of the bars, at full droop", least, -0.0022, 0.0001)
	near(t, "eye beside the bars", a.gap(t, "coupling_rod.rod", "frame.bars"), 3.21875-3.2265-1./32, 1e-6)

	a = checkExample(t, path, "--set", "bump=3/32", "--set", "droop=-3/32", "--set", "ride=3/32")
	least, _ = a.clearance(t, "conrod.oil_box", "frame.stiffener")
	near(t, "oil box at 3/32 up", least, 0, 1e-6)
	a = checkExample(t, path, "--case", "at_droop")
	least, _ = a.clearance(t, "conrod.oil_box", "frame.stiffener")
	near(t, "oil box at full droop", least, 0.094+3./16, thou)
	a = checkExample(t, path, "--case", "cylinders_out")
	near(t, "washer beside the bars, cylinders out", a.gap(t, "leading.washer", "frame.bars"), -0.016, thou)
	a = checkExample(t, path, "--case", "bar_7_13_16")
	least, _ = a.clearance(t, "coupling_rod.rod", "frame.bars")
	near(t, "eye to a bar end at 7 13/16", least, -0.008, thou)
	a = checkExample(t, path, "--set", "bar_rear=7 13/16", "--case", "running")
	least, _ = a.clearance(t, "coupling_rod.rod", "frame.bars")
	near(t, "the same at running height", least, 0.040, thou)
}

// Over which part of the turn the oil box strikes the angle, whatever more is asked about the two: a sketch of its own asks
// that they do not touch.
func TestLarkspurOilBoxStrikes(t *testing.T) {
	folder, err := filepath.Abs(exampleFolder)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "strikes.motion")
	text := `use "` + filepath.ToSlash(folder) + `/larkspur-as-drawn.motion"` + "\nclear conrod.oil_box frame.stiffener by 0\n"
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	from, to := checkExample(t, path, "--anywhere").foul(t, "clear", "conrod.oil_box", "frame.stiffener", 0)
	near(t, "strikes from", from, 76, half)
	near(t, "strikes up to", to, 104, half)
}

// What a change does to Larkspur.
func TestLarkspurChanged(t *testing.T) {
	float := func(options ...string) float64 {
		least, _ := checkExample(t, larkspur, options...).measure(t, "coupling_float")
		return least
	}
	near(t, "float of the coupling rod", float(), 0.0155, 1e-6)
	near(t, "float of one from 1/4 bar", float("--case", "coupling_quarter"), 0.078, 1e-6)
	near(t, "float with a washer of 1/16", float("--case", "coupling_packed"), 0.0155, 1e-6)
	near(t, "float with the cylinders out", float("--case", "cylinders_out"), 5./64, 1e-3)
	before, _ := checkExample(t, larkspur).measure(t, "driving_pin")
	near(t, "driving pin", before, 43./64, 0.0002)
	after, _ := checkExample(t, larkspur, "--case", "cylinders_out").measure(t, "driving_pin")
	near(t, "driving pin, cylinders out", after, 47./64, 0.0002)

	a := checkExample(t, larkspur, "--case", "rod_9_1_8", "--set", "bump=0", "--set", "droop=0")
	least, _ := a.clearance(t, "crosshead.piston", "frame.cover_rear")
	near(t, "piston in the rear cover", least, -1./16, 1e-6)
	for _, c := range a.Checks {
		switch c.A {
		case "bar_rear - least(x(crosspin)) + half_slipper":
			near(t, "over-run at the rear", *c.Least, 1./4, 1e-6)
		case "greatest(x(crosspin)) + half_slipper - bar_front":
			near(t, "over-run at the front", *c.Least, 0, 1e-6)
		}
	}
}

// What making a part of the gear wrong does to the leads, in thou.
func TestLarkspurLeads(t *testing.T) {
	for _, tt := range []struct {
		name        string
		reverser    float64
		front, back float64
	}{
		{"trunnion_low", -22, 19, 9}, {"trunnion_low", 22, 9, 19},
		{"eccentric_long", -22, 7, 21},
		{"return_crank_out", -22, 10, 10}, {"return_crank_out", 22, 18, 18},
	} {
		a := checkExample(t, larkspur, "--case", tt.name)
		near(t, tt.name+", lead at the front", 1000*a.shown(t, "lead_front", "port_front", tt.reverser, 0), tt.front, 0.6)
		near(t, tt.name+", lead at the back", 1000*a.shown(t, "lead_back", "port_back", tt.reverser, 0), tt.back, 0.6)
	}
}
