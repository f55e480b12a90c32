package main

import (
	"barover/render/report"
	"encoding/json"
	"testing"
)

// acrossOf is what `check --across --json` says of an engine, by the names.
func acrossOf(t *testing.T, sketch string) (bands map[string][3]float64, gaps map[[2]string][2]float64) {
	t.Helper()
	text, status := barover(t, "check", "--json", "--across", sketch)
	var a struct {
		Across []struct {
			Profile            string
			From, To, Sideplay float64
		}
		Gaps []struct {
			A, B, Sure string
			Rest, Gap  float64
		}
	}
	if err := json.Unmarshal([]byte(text), &a); err != nil || status != report.AllHolds {
		t.Fatal(status, err)
	}
	bands, gaps = map[string][3]float64{}, map[[2]string][2]float64{}
	last := a.Across[0].From
	for _, b := range a.Across {
		bands[b.Profile] = [3]float64{b.From, b.To, b.Sideplay}
		if b.From < last {
			t.Errorf("%s at %g stands behind one at %g", b.Profile, b.From, last)
		}
		last = b.From
	}
	for _, g := range a.Gaps {
		gaps[[2]string{g.A, g.B}] = [2]float64{g.Rest, g.Gap}
		if g.Sure != "proved" {
			t.Errorf("that %s and %s pass each other is %s, want proved", g.A, g.B, g.Sure)
		}
	}
	return bands, gaps
}

// The widths across Larkspur and what lies between them, as they were set down and subtracted by hand when the engine was
// invented; to half a thou.
func TestLarkspurAcross(t *testing.T) {
	bands, gaps := acrossOf(t, larkspur)
	for _, b := range []struct {
		profile  string
		from, to float64
		play     float64
	}{
		{"frame.plate", 2.0625, 2.1875, 0},
		{"driving.tread", 2.344, 2.844, 1. / 32},
		{"coupling_rod.rod", 2.914, 3.227, 1. / 32},
		{"conrod.big_end", 3.250, 3.5625, 0},
		{"conrod.shank", 3.3125, 3.500, 0},
		{"frame.bars", 3.219, 3.594, 0},
		{"driving.return_crank", 3.578, 3.766, 1. / 32},
		{"lever.bar", 3.656, 3.844, 0},
		{"ecc_bar.rod", 3.781, 3.906, 0},
		{"frame.stiffener", 3.469, 3.531, 0},
	} {
		got := bands[b.profile]
		near(t, b.profile+" from", got[0], b.from, thou)
		near(t, b.profile+" to", got[1], b.to, thou)
		near(t, "sideplay of "+b.profile, got[2], b.play, 1e-9)
	}
	for _, g := range []struct {
		a, b      string
		rest, gap float64
	}{
		{"leading.washer", "conrod.shank", 0.047, 0.016}, // "0.047 at rest, 0.016 with 1/32 side-play"
		{"leading.boss", "coupling_rod.rod", 0.008, 0.008 - 2./32},
		{"coupling_rod.rod", "conrod.big_end", 0.023, 0.023 - 1./32},
		{"conrod.big_end", "driving.return_crank", 0.0155, 0.0155 - 1./32},
		{"driving.return_crank", "ecc_bar.rod", 0.0155, 0.0155 - 1./32},
		{"crosshead.slipper", "lever.bar", 0.0625, 0.0625},
		{"frame.plate", "driving.tread", 0.1565, 0.1565 - 1./32},
	} {
		got, ok := gaps[[2]string{g.a, g.b}]
		if !ok {
			t.Errorf("no gap between %s and %s", g.a, g.b)
			continue
		}
		near(t, g.a+" to "+g.b, got[0], g.rest, 0.001)
		near(t, g.a+" to "+g.b+", sideplay taken off", got[1], g.gap, 0.001)
	}
	for _, none := range [][2]string{
		{"coupling_rod.rod", "frame.bars"}, // the eye clears the bars' ends in the side view
		{"frame.plate", "driving.boss"},    // the tyre lies between
		{"driving.boss", "conrod.big_end"}, // the coupling rod lies between
	} {
		if g, ok := gaps[none]; ok {
			t.Errorf("a gap of %v between %s and %s", g, none[0], none[1])
		}
	}
}

// Tansy's own figures, subtracted by hand: a crankpin of 13/32 between web and collar, a big end of 3/8 and a shank of 3/16
// in the middle of it, a bearing from -1 3/16 and 5/8 thick, a web of 5/16.
func TestTansyAcross(t *testing.T) {
	_, gaps := acrossOf(t, exampleFolder+"/tansy.motion")
	for pair, want := range map[[2]string]float64{
		{"crank.web", "conrod.big_end"}:    (13./32 - 3./8) / 2,
		{"conrod.big_end", "crank.collar"}: (13./32 - 3./8) / 2,
		{"conrod.shank", "crank.collar"}:   (13./32 - 3./16) / 2,
		{"frame.bearing", "crank.web"}:     19./16 - 5./8 - 5./16 - 13./64,
		{"crank.flywheel", "frame.bed"}:    2.25 - 2.125,
		{"crank.sheave", "frame.bearing"}:  1.25 - 19./16,
	} {
		got, ok := gaps[pair]
		if !ok {
			t.Errorf("no gap between %s and %s", pair[0], pair[1])
		}
		near(t, pair[0]+" to "+pair[1], got[1], want, 1e-9)
	}
	if g, ok := gaps[[2]string{"crank.pin", "conrod.big_end"}]; ok {
		t.Errorf("a gap of %v between the big end and the pin that it turns on", g)
	}
}
