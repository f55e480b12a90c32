package main

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver/machine"
)

// A crank that a range turns, its shaft on a second range and its slide on a third: the crosshead is farthest out on a ridge, where
// the two are level with one another, at throw + rod. Looked at setting by setting, too, it is found.
func TestRidgeAcrossRanges(t *testing.T) {
	file := filepath.Join(t.TempDir(), "ridge.motion")
	text := `units mm
travel rev = -98.2deg to 177.6deg step 30deg rest 9.6deg
travel up = -4.748726 to 4.028914 step 4 rest 0
travel shift = -4.01843 to 4.423486 step 4 rest 0
point shaft at 0, up
point pin near 26.3, 4.1
length shaft pin = 26.429872
angle shaft pin = rev
point guide at 0, shift
line bore through guide heading 0
point block near 63, 0
length pin block = 36.762348
slide block on bore
measure out = x(block)
`
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	e, err := assembled.Assemble(file, sketch.Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := 26.429872 + 36.762348
	for _, o := range []machine.Options{{Sampled: true}, {}} {
		res, err := e.Machine.Study(t.Context(), o)
		if err != nil {
			t.Fatal(err)
		}
		if got := res.Extremes[0].Greatest; math.Abs(got-want) > 2e-4 {
			t.Errorf("sampled %v: greatest %v, want %v", o.Sampled, got, want)
		}
	}
}
