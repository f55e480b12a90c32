package main

import (
	"strings"
	"testing"

	"barover/render/terminal"
)

// triedAt is what `check --json` says of a pair at the quarters.
func triedAt(t *testing.T, a, b string, args ...string) map[float64]float64 {
	t.Helper()
	var r struct {
		Checks []struct {
			Kind, A, B string
			AtQuarters []struct{ Crank, Is float64 } `json:"at_quarters"`
		}
	}
	checked(t, &r, args[0], args[1:]...)
	for _, c := range r.Checks {
		if c.Kind == "clear" && c.A == a && c.B == b {
			out := map[float64]float64{}
			for _, q := range c.AtQuarters {
				out[q.Crank] = q.Is
			}
			return out
		}
	}
	t.Fatalf("nothing is said of %s and %s", a, b)
	return nil
}

// What the quarters show of two engines that foul between them. The figures were computed by hand, in closed form, when the
// engines were invented; those of Larkspur's eye are of the eye alone, at running height.
func TestTriedAtTheQuarters(t *testing.T) {
	tansy, old := exampleFolder+"/tansy.motion", exampleFolder+"/larkspur-as-drawn.motion"
	for _, tt := range []struct {
		name, a, b string
		args       []string
		want       map[float64]float64
	}{
		{"Tansy bored 1", "conrod.shank", "frame.trunk", []string{tansy, "--case", "bore_1"}, map[float64]float64{90: 0.004, 270: 0.004}},
		{"Larkspur's eye", "coupling_rod.rod", "frame.bars", []string{old, "--case", "running"}, map[float64]float64{0: 0.111}},
		{"Larkspur's oil box", "conrod.oil_box", "frame.stiffener", []string{old}, map[float64]float64{90: 0.094}},
	} {
		got := triedAt(t, tt.a, tt.b, tt.args...)
		for _, at := range []float64{0, 90, 180, 270} {
			is, ok := got[at]
			if want, given := tt.want[at]; !ok || len(got) != 4 {
				t.Errorf("%s: tried at %v, want the four quarters", tt.name, got)
			} else if given {
				near(t, tt.name, is, want, thou)
			} else if !(is > 0) {
				t.Errorf("%s at %g: %g, want it clear", tt.name, at, is)
			}
		}
	}
}

// The last sentence says that turning by hand would have passed it all, and does not where it would not.
func TestTrialInTheSentence(t *testing.T) {
	for _, tt := range []struct {
		args []string
		want bool
	}{
		{[]string{"tansy.motion", "--case", "bore_1"}, true},
		{[]string{"tansy.motion", "--case", "old_bed"}, false}, // 0.062 deep at 270
		{[]string{"tansy.motion"}, false},                      // all holds
	} {
		text := reported(t, exampleFolder+"/"+tt.args[0], tt.args[1:]...).Text(terminal.Ink(false), false)
		if got := strings.Contains(text, "Tried at the quarters, it does not show."); got != tt.want {
			t.Errorf("%v: said of the quarters in the last sentence: %v, want %v\n%s", tt.args, got, tt.want, text)
		}
	}
}
