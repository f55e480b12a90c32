package main

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// setOut is what goes out with Larkspur's cylinders, drawn and 1/16 farther out. The drawn figures are those of the list of
// widths that was set down when the engine was invented, to half a thou; "lever and return crank out 1/16".
var setOut = map[string]float64{
	"shank_back": 3.3125, "big_end_back": 3.250, "return_back": 3.578, "return_face": 3.766, "gear_back": 3.656, "lever_face": 3.844,
	"ecc_back": 3.781,
}

// The cylinders set out by 1/16: which parts change, from what to what. The same by the case, by --set and in compare.
func TestCylindersOut(t *testing.T) {
	type dim struct {
		Name          string
		Drawn, Asked  float64
		Now           float64
		Before, After float64
		Cause         bool
		Follows       []string
		UsedBy        []string `json:"used_by"`
	}
	for _, args := range [][]string{
		{"ledger", "--case", "cylinders_out"},
		{"ledger", "--set", "cylinder_line=3 15/32"},
		{"compare", "--case", "cylinders_out"},
	} {
		text, _ := barover(t, append(args, "--json", larkspur)...)
		var r struct{ Dims []dim }
		if err := json.Unmarshal([]byte(text), &r); err != nil {
			t.Fatal(err)
		}
		what := strings.Join(args, " ")
		got := map[string]bool{}
		for _, d := range r.Dims {
			was, is := d.Drawn, d.Now
			if args[0] == "compare" {
				was, is = d.Before, d.After
			}
			if d.Name == "cylinder_line" {
				if args[0] == "ledger" && d.Asked != 3.40625 {
					t.Errorf("%s: the cylinder line is asked for at %g; its dim line still says 3 13/32", what, d.Asked)
				}
				near(t, what+", cylinder line", is, 3.46875, 1e-9)
				if !slices.Contains(d.UsedBy, "frame.bars") || !slices.Contains(d.UsedBy, "crosshead.slipper") || slices.Contains(d.UsedBy, "conrod.shank") {
					t.Errorf("%s: the cylinder line is used by %v; want the bars and the slipper, and not what only follows from it", what, d.UsedBy)
				}
				continue
			}
			if len(d.Follows) == 0 {
				continue
			}
			got[d.Name] = true
			near(t, what+", "+d.Name+" as drawn", was, setOut[d.Name], thou)
			near(t, what+", "+d.Name+" goes out by", is-was, 1./16, 1e-9)
			if diff := cmp.Diff([]string{"cylinder_line"}, d.Follows); diff != "" || d.Cause {
				t.Errorf("%s, %s follows (-want +got):\n%s", what, d.Name, diff)
			}
		}
		for name := range setOut {
			if !got[name] {
				t.Errorf("%s does not tell of %s", what, name)
			}
		}
		if len(got) != len(setOut) {
			t.Errorf("%s tells of %v", what, got)
		}
	}
}
