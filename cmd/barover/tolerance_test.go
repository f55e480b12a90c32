package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// spoken is what a verb says as JSON of a sketch written for the test, and the status it ends with.
func spoken(t *testing.T, text string, into any, verb string, flags ...string) int {
	t.Helper()
	path := filepath.Join(t.TempDir(), "sketch.motion")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return said(t, into, append([]string{verb, path, "--json"}, flags...)...)
}

func said(t testing.TB, into any, args ...string) int {
	t.Helper()
	var out, errs bytes.Buffer
	status := run(t.Context(), args, &console{out: &out, err: &errs})
	if status == unusable {
		t.Fatalf("%v: %s", args, errs.String())
	}
	if err := json.Unmarshal(out.Bytes(), into); err != nil {
		t.Fatalf("%v: %v in %s", args, err, out.String())
	}
	return status
}

// spreadJSON is what tests look at of `spread --json`.
type spreadJSON struct {
	Checks []struct {
		Least, Worst, RSS, Scale float64
		ScaledRSS                float64 `json:"scale_rss"`
		Matters                  []struct {
			Dim     string
			PerUnit float64 `json:"per_unit"`
		}
	}
}

// Stacks of dimensions whose tolerances were computed in print.
const (
	chaseStack = `
dim a = -0.0505 ± 0.0015
dim b = 8.000 ± 0.008
dim c = -0.5093 ± 0.0025
dim d = 0.400 ± 0.002
dim e = -7.711 ± 0.006
dim f = 0.400 ± 0.002
dim g = -0.5093 ± 0.0025
keep a + b + c + d + e + f + g above -1
keep a + b + c + d + e + f + g below 1
`
	boughtStack = `
dim a = -0.0505
dim b = 8.000 ± 0.008
dim c = -0.5093
dim d = 0.400 ± 0.002
dim e = -7.711 ± 0.006
dim f = 0.400 ± 0.002
dim g = -0.5093
made a = -0.0505 ± 0.0015 "ring"
made c = -0.5093 ± 0.0025 "bearing"
made g = -0.5093 ± 0.0025 "bearing"
keep a + b + c + d + e + f + g above 0.0199 - 0.015
keep a + b + c + d + e + f + g below 0.0199 + 0.015
`
	equalStack = `
dim a = 1 ± 0.1
dim b = 1 ± 0.1
dim c = 1 ± 0.1
dim d = 1 ± 0.1
dim e = 1 ± 0.1
keep a + b + c + d + e above 0
keep a + b + c + d + e below 9
`
	housingStack = `
dim housing  = 40 ± 0.10
dim spacer   = 25 ± 0.05
dim ring     = 2 ± 0.03
dim shoulder = 10 ± 0.05
keep housing - spacer - ring - shoulder above 0.5
keep housing - spacer - ring - shoulder below 4
`
	fit10Stack = `
dim bore  = 10 fit H7
dim shaft = 10 fit g6
keep bore - shaft above 0
keep bore - shaft below 0.1
`
	fit18Stack = `
dim bore  = 18 fit H7
dim shaft = 18 fit f7
keep bore - shaft above 0
keep bore - shaft below 0.1
`
)

// Published stacks and fits, each as the sketch that somebody would write of it. The first keep line asks from below, the
// second from above.
func TestPublishedTolerances(t *testing.T) {
	nan := math.NaN()
	tests := []struct {
		row, source      string
		sketch           string
		flags            []string
		least, greatest  float64 // worst cases
		rssLow, rssHigh  float64
		scale, scaledRSS float64
		tolerance        float64
	}{
		{"stack", "K. W. Chase, Basic Tools for Tolerance Analysis; numbers from memory", chaseStack, nil,
			0.0199 - 0.0245, 0.0199 + 0.0245, 0.0199 - 0.01107925990, 0.0199 + 0.01107925990, nan, nan, 1e-9},
		{"bought parts", "the same, which prints 0.47222 and 1.39526; from memory", boughtStack, nil,
			nan, nan, nan, nan, 0.4722222, 1.3952632, 1e-6},
		{"five equal", "published worked figures, five parts of 0.1", equalStack, nil, 4.5, 5.5, 5 - 0.2236067977, 5 + 0.2236067977, nan, nan, 1e-9},
		{"housing", "published worked example of 2026", housingStack, nil, 2.77, 3.23, 3 - 0.1260952021, 3 + 0.1260952021, nan, nan, 1e-9},
		{"five equal, inflated", "A. Bender 1962, factor 1.5; from memory", equalStack, []string{"--inflate", "1.5"}, 4.5, 5.5, 5 - 0.3354101966, 5 + 0.3354101966, nan, nan, 1e-9},
		{"fit of 10", "ISO 286, 10 mm H7/g6", fit10Stack, nil, 0.005, 0.029, nan, nan, nan, nan, 1e-9},
		{"fit of 18", "ISO 286, 18 mm H7/f7: a size on the boundary belongs to the lower row", fit18Stack, nil, 0.016, 0.052, nan, nan, nan, nan, 1e-9},
	}
	for _, c := range tests {
		var s spreadJSON
		spoken(t, c.sketch, &s, "spread", append([]string{"--samples", "200"}, c.flags...)...)
		low, high := s.Checks[0], s.Checks[1]
		for _, v := range []struct {
			name      string
			got, want float64
		}{{"worst case below", low.Worst, c.least}, {"worst case above", high.Worst, c.greatest}, {"rss below", low.RSS, c.rssLow},
			{"rss above", high.RSS, c.rssHigh}, {"scale", low.Scale, c.scale}, {"scale by rss", high.ScaledRSS, c.scaledRSS}} {
			if !math.IsNaN(v.want) && !(math.Abs(v.got-v.want) <= c.tolerance) {
				t.Errorf("%s (%s) %s: got %v, want %v", c.row, c.source, v.name, v.got, v.want)
			}
		}
	}
}

// The angle of a rocker by each length of its four-bar, degrees a millimetre, and what ± 0.1 on all four come to
// (implicit function theorem, computed with a 2×2 solution and by central differences, which agree to 12 digits).
func TestRockerSensitivity(t *testing.T) {
	const sketch = `
dim crank   = 40 ± 0.1
dim coupler = 120 ± 0.1
dim rocker  = 80 ± 0.1
dim ground  = 100 ± 0.1
case crossed : near_y = -90
dim near_y  = 90
turn t = 0 to 1 step 1
point o at 0, 0
point q at ground, 0
point a
point b near 140, near_y
length o a = crank
angle  o a = 40
length a b = coupler
length q b = rocker
keep heading(q, b) above -170
`
	const tolerance = 1e-7
	tests := []struct {
		flags       []string
		sensitivity map[string]float64
		worst, rss  float64
	}{
		{nil, map[string]float64{"crank": -1.119693568, "coupler": -1.189318550, "rocker": 0.949494666, "ground": 1.115463954}, 0.437397, 0.219408},
		{[]string{"--case", "crossed"}, map[string]float64{"crank": -0.226483709, "coupler": 1.189318550, "rocker": -0.949494666, "ground": -0.576993043}, math.NaN(), math.NaN()},
	}
	for _, c := range tests {
		var s spreadJSON
		spoken(t, sketch, &s, "spread", append([]string{"--samples", "50"}, c.flags...)...)
		k := s.Checks[0]
		for _, m := range k.Matters {
			if want := c.sensitivity[m.Dim]; !(math.Abs(m.PerUnit-want) <= tolerance) {
				t.Errorf("%v %s: got %v, want %v", c.flags, m.Dim, m.PerUnit, want)
			}
		}
		if len(k.Matters) != 4 {
			t.Errorf("%v: %d dimensions matter, want 4", c.flags, len(k.Matters))
		}
		if !math.IsNaN(c.rss) && !(math.Abs(k.Least-k.RSS-c.rss) <= 1e-6) {
			t.Errorf("rss: got %v, want %v", k.Least-k.RSS, c.rss)
		}
		// The published worst case goes by the tangent; that of an engine is a little off it.
		if !math.IsNaN(c.worst) && !(math.Abs(k.Least-k.Worst-c.worst) <= 2e-3) {
			t.Errorf("worst case: got %v, want about %v", k.Least-k.Worst, c.worst)
		}
	}
}
