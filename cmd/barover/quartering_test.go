package main

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"barover/render/report"
	"barover/render/terminal"
)

const quartering = exampleFolder + "/quartering.motion"

// coupled is what `check --json` says of a loose line.
type coupled struct {
	Kind     string
	AtLeast  *float64 `json:"at_least"`
	AtMost   float64  `json:"at_most"`
	Least    float64
	Greatest float64
	OK       bool
	Sure     string
	Needs    float64
	Tight    []struct{ At, From, To float64 }
	Reads    string
}

func rods(t *testing.T, options ...string) (near, far coupled, status int) {
	t.Helper()
	var a struct{ Checks []json.RawMessage }
	status = checked(t, &a, quartering, options...)
	if len(a.Checks) != 3 { // the third is that of the rod against the bars
		t.Fatalf("%d checks", len(a.Checks))
	}
	for i, of := range [2]*coupled{&near, &far} {
		fromJSON(t, string(a.Checks[i]), of)
	}
	return near, far, status
}

// What the example says of itself, in thou. Computed, no source: r·e·|sin·cos|/(|sin| + |cos|) for the quartering, all of
// the error on dead centres for rods and throws, √(6.5² + d²) − 6.5 for an axle that stands d higher than the other.
func TestQuartering(t *testing.T) {
	for _, c := range []struct {
		name, reads string
		worst       float64
		status      int
		at          []float64 // of the near rod's tight spots
	}{
		{"", "", 0, report.AllHolds, nil},
		{"quarter_out", "quartering", 1.54, report.AllHolds, []float64{45, 135, 225, 315}},
		{"rods_long", "centres", 2, report.AllHolds, []float64{135, 315}},
		{"near_rod_long", "centres", 2, report.AllHolds, []float64{0, 180}},
		{"throw_out", "centres", 2, report.AllHolds, []float64{0, 90, 180, 270}},
		{"two_errors", "both", 3.54, report.FallsShort, []float64{315}},
		{"over_a_bump", "centres", 1.2, report.AllHolds, []float64{136, 316}},
		{"crossed", "centres", 7.5, report.FallsShort, []float64{138, 318}},
	} {
		var options []string
		if c.name != "" {
			options = []string{"--case", c.name}
		}
		near, far, status := rods(t, options...)
		if status != c.status {
			t.Errorf("%s: status %d, want %d", c.name, status, c.status)
		}
		for _, r := range []coupled{near, far} {
			near := func(what string, got, want, tolerance float64) {
				if !(math.Abs(got-want) <= tolerance) {
					t.Errorf("%s: %s is %g, want %g", c.name, what, got, want)
				}
			}
			near("worst", 1000*math.Max(-r.Least, r.Greatest), c.worst, 0.02)
			near("needed play", r.Needs, math.Max(-r.Least, r.Greatest), 1e-12)
			near("play", r.AtMost, 0.002, 1e-12)
			if r.Kind != "loose" || r.AtLeast != nil || r.Sure != "sampled" || r.Reads != c.reads || r.OK != (c.status == report.AllHolds) {
				t.Errorf("%s: got %+v", c.name, r)
			}
		}
		if len(near.Tight) != len(c.at) {
			t.Errorf("%s: tight at %v, want %v", c.name, near.Tight, c.at)
			continue
		}
		for i, want := range c.at {
			s := near.Tight[i]
			if off := math.Remainder((s.From+s.To)/2-want, 360); !(math.Abs(off) <= 2) {
				t.Errorf("%s: tight from %g to %g, want about %g", c.name, s.From, s.To, want)
			}
		}
	}
}

// The table says where it is tight, what that reads as, and what play would free it, rounded up.
func TestQuarteringInWords(t *testing.T) {
	for _, c := range []struct{ name, want string }{
		{"quarter_out", "tight at 45°, 135°, 225° and 315°, half way between dead centres, and free on them: as when the " +
			"quartering is out"},
		{"near_rod_long", "tight at 0° and 180°, on dead centres: as when rod centres or throws differ"},
		{"two_errors", "as when the quartering and rod centres or throws are out together; a play of 0.0036 would free it"},
		{"rods_long", "tight all the way from 90° to 180° and all the way from"},
	} {
		text := reported(t, quartering, "--case", c.name).Text(terminal.Ink(false), false)
		if words := strings.Join(strings.Fields(text), " "); !strings.Contains(words, c.want) {
			t.Errorf("%s: got\n%s\nwant it to say\n%s", c.name, text, c.want)
		}
	}
	text := reported(t, quartering).Text(terminal.Ink(false), false)
	if strings.Contains(text, "tight at") {
		t.Errorf("true wheels are said to be tight:\n%s", text)
	}
}
