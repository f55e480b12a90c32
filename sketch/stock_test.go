package sketch

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/sketch/quantity"
)

// TestStock reads the sizes available, those of a file taken in under a name as well.
func TestStock(t *testing.T) {
	s := good(t, `
dim bar = 3
dim lean = 5°
dim free = 1
stock bar = 6, 3, 1/4in, 3
stock lean = 4, 6°
`, Options{})
	want := map[string][]float64{"bar": {3, 6, 6.35}, "lean": {4 * quantity.Degree, 6 * quantity.Degree}, "free": nil}
	for name, sizes := range want {
		d, _, _ := s.Dim(name)
		if diff := cmp.Diff(sizes, d.Stock); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
	two, messages := Read(readerOf(map[string]string{
		"main.motion": "use \"one.motion\" as rear : bar = 4\nstock rear.pin = 1, 2",
		"one.motion":  "dim bar = 3mm\nstock bar = 3, 4\ndim pin = 2mm",
	}), "main.motion", Options{})
	if len(messages) > 0 {
		t.Fatal(printed(messages))
	}
	for name, sizes := range map[string][]float64{"rear.bar": {3, 4}, "rear.pin": {1, 2}} {
		if d, _, ok := two.Dim(name); !ok || !cmp.Equal(sizes, d.Stock) {
			t.Errorf("%s: %v", name, d)
		}
	}
}

// Steps go by how a dimension is written: one of 6 thou is worked to in thou, one of 5 1/4 in 64ths.
func TestSteps(t *testing.T) {
	const in = 25.4
	s := good(t, `
units in
dim rod = 5 1/4in
dim bush = 0.006in
dim plate = round(rod/28, 1/32in)
dim lean = 3deg
dim ratio = 0.5
measure m = ratio*rod + bush + plate
measure n = lean
`, Options{})
	for name, want := range map[string]float64{"rod": in / 64, "bush": in / 1000, "plate": in / 32, "lean": quantity.Degree / 10, "ratio": 1e-3} {
		_, n, _ := s.Dim(name)
		if got := s.Steps(n); math.Abs(got[0]-want) > 1e-12 {
			t.Errorf("%s: %v, want %g first", name, got, want)
		}
	}
}
