package main

import (
	"math"
	"path/filepath"
	"testing"
)

// TestBenchSheets: each bench sheet holds and comes to its check value, computed by hand or by the short form of its rule.
func TestBenchSheets(t *testing.T) {
	tests := []struct {
		sheet, measure  string
		want, tolerance float64
		how             string
	}{
		{"curve", "stands_off", 13 * 13 / (8 * 360.), 1e-5, "the rise of an arc is c²/8R, to a part in 12,000 here"},
		{"curve", "wants_play", 13*13/(8*360.) - 1./32, 1e-5, "the same less the slack of two flanges"},
		{"wheel-up", "bush_leans", 5. / 16 * (1. / 32) / 5, 1e-6, "the bush leans as much less than the wheel as it is shorter than the boxes are apart"},
		{"wheel-up", "rod_wants", math.Pow(1./64+3./160, 2) / 13, 1e-6, "h²/2l"},
		{"throws", "spread", 0.0007, 1e-9, "1.0005 less 0.9998"},
		{"throws", "lean_left_rear", 0.0008, 1e-9, "0.4 thou in half an inch"},
		{"shim", "shim", 0.0056875, 1e-9, "3.5 thou in 2 in, over 3 1/4 in"},
		{"spring", "gives", 0.188172, 1e-6, "17.5 lb on 93 lb/in"},
		{"spring", "rate_asked", 93.3333, 1e-4, "17.5 lb over 3/16 in"},
		{"axle", "length_over", 5.8125, 1e-9, "4 11/16 and twice 9/16"},
		{"axle", "side_play", 0.03125, 1e-9, "2.34375 less 2.3125"},
		{"rings", "ring_short", 1. / 32, 1e-9, "8.25 + 4 - 1/4 + 5/32 less 11.9375 + 3/16"},
		{"rings", "left_open", 1. / 16, 1e-9, "8.25 + 4 - 1/4 less 11.9375"},
		{"square", "stands_off", 0.0035, 1e-9, "2.906 + 0.348 + 0.311/2 less 3.406"},
		{"square", "leans", 0.0035 / 9.25 * 180 / math.Pi, 1e-8, "the offset over the centres, in radians: the sine of so little is the angle"},
		{"old-drawing", "stroke", 2, 1e-9, "twice the throw"},
		{"return-crank", "swings", spanOf(gearOf(6.01725, 0).swing), 1e-5, "the gear solved apart"},
		{"weighshaft", "slips", spanOf(func(crank float64) float64 { return gearOf(6.01725, -22).block(t, crank) }), 1e-6, "the gear solved apart"},
	}
	sheets := map[string]bool{}
	for _, tt := range tests {
		sheets[tt.sheet] = true
		a := checkExample(t, filepath.Join(exampleFolder, "bench", tt.sheet+".motion"))
		if least, greatest := a.measure(t, tt.measure); math.Abs(least-tt.want) > tt.tolerance || least != greatest {
			t.Errorf("%s: %s is %.9f, want %.9f: %s", tt.sheet, tt.measure, least, tt.want, tt.how)
		}
		for _, c := range a.Checks {
			if len(c.Fouls) > 0 || c.Sure != "proved" {
				t.Errorf("%s: %s does not hold, or is not proved", tt.sheet, c.A)
			}
		}
	}
	files, err := filepath.Glob(filepath.Join(exampleFolder, "bench", "*.motion"))
	if err != nil || len(files) != len(sheets) {
		t.Errorf("%d bench sheets, %d have a check value: %v", len(files), len(sheets), err)
	}
}
