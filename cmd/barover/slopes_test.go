package main

import (
	"encoding/json"
	"math"
	"testing"

	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver/expr"
	"barover/solver/machine"
)

// TestSlopesOver: what each dimension of the beam engine does to the stray of its piston pin over the stroke agrees with
// central differences, and with what was worked out by hand, from 720 positions, when the engine was invented.
func TestSlopesOver(t *testing.T) {
	const file = exampleFolder + "/harrow-mere.motion"
	e, messages, err := assembled.Assemble(file, sketch.Options{})
	if err != nil || len(messages) > 0 {
		t.Fatal(messages, err)
	}
	stray, err := measureNamed(e, "stray")
	if err != nil {
		t.Fatal(err)
	}
	turns := []float64{0.3, 1.4, 2.9, 4.4, 6}
	over, err := e.Machine.SlopesOver(t.Context(), stray.Sum, expr.None, nil, turns)
	if err != nil {
		t.Fatal(err)
	}
	at := func(dim int, by float64) []float64 {
		p, v, messages := e.With(map[int]float64{dim: e.Values.At(e.Problem.Graph.Dims[dim]) + by})
		if len(messages) > 0 {
			t.Fatal(messages)
		}
		m, err := machine.New(p, v)
		if err != nil {
			t.Fatal(err)
		}
		s, err := m.SlopesOver(t.Context(), stray.Sum, expr.None, nil, turns)
		if err != nil {
			t.Fatal(err)
		}
		return s.Value
	}
	for d := range e.Dims {
		const h = 1e-3
		less, more := at(d, -h), at(d, h)
		for i := range turns {
			if want := (more[i] - less[i]) / (2 * h); math.Abs(over.Slope[i][d]-want) > 1e-6 {
				t.Errorf("%s at %.1f rad moves it %.8f, differences give %.8f", e.Dims[d].Name, turns[i], over.Slope[i][d], want)
			}
		}
	}
	out, _ := barover(t, "slopes", file, "stray", "--over", "down", "--json")
	var got struct {
		Slopes []struct {
			Dim                   string
			By, Shift, Tilt, Bend float64
		}
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	// Thou for 1/64 in: the radius rod shifts, and so do the bracket and the parallel rod; the links lean.
	want := map[string][2]float64{"radius_rod": {16, 0}, "bracket_x": {-15.5, 0}, "parallel_rod": {-16, 0}, "main_link": {0, 8.5}, "back_link": {0, -16}, "bracket_down": {0, 8.5}}
	for _, s := range got.Slopes {
		if w, ok := want[s.Dim]; ok {
			delete(want, s.Dim)
			if math.Abs(1000*s.Shift-w[0]) > 0.5 || math.Abs(1000*s.Tilt-w[1]) > 0.5 || math.Abs(s.Bend) > 0.0005 {
				t.Errorf("%s: shifts %.4f, tilts %.4f, bends %.4f; want %.1f and %.1f thou", s.Dim, s.Shift, s.Tilt, s.Bend, w[0], w[1])
			}
		}
	}
	if len(want) > 0 {
		t.Errorf("nothing is said of %v", want)
	}
}

// TestBend: of a line, a slope that is a shift, a tilt and a bend comes apart into them.
func TestBend(t *testing.T) {
	s := machine.SlopesOver{}
	for k := range 101 {
		u := float64(k)/100 - 0.5
		s.Against = append(s.Against, 40+30*u)
		s.Slope = append(s.Slope, []float64{2 + 3*u + 0.1*(8*u*u-1)}) // the bend is the second Chebyshev polynomial: none fits better
	}
	if b, ok := s.Bend(0); !ok || math.Abs(b.Shift-2) > 1e-3 || math.Abs(b.Tilt-3) > 1e-6 || math.Abs(b.Bend-0.1) > 1e-3 {
		t.Errorf("%+v, want a shift of 2, a tilt of 3 and a bend of 0.1", b)
	}
}
