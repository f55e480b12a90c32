package main

import (
	"encoding/json"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver/expr"
	"barover/solver/machine"
)

// TestSlopesOver: what each dimension of the beam engine does to the stray of its piston pin over the stroke agrees with
// central differences, and with what was computed by hand, from 720 positions, when the engine was invented.
func TestSlopesOver(t *testing.T) {
	const file = exampleFolder + "/harrow-mere.motion"
	e, err := assembled.Assemble(file, sketch.Options{})
	if err != nil {
		t.Fatal(err)
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

// wattSide and its up are where the tracing point of a Watt linkage stands, made apart: x and y at each crank angle, by where
// circles meet. Dimensions: both arms, the coupler, x of both pivots, y of the far one, the share of the coupler.
func wattSide(d [7]float64) (side, up []float64) {
	for c := -20.0; c <= 20; c++ {
		p := complex(d[3], 0) + polar(d[0], c)
		q := meet(p, d[2], complex(d[4], d[5]), d[1])
		if low := p + cmplx.Conj((q-p)/(complex(d[4], d[5])-p))*(complex(d[4], d[5])-p); imag(low) > imag(q) {
			q = low
		}
		m := p + complex(d[6], 0)*(q-p)
		side, up = append(side, real(m)), append(up, imag(m))
	}
	return side, up
}

// bestLine is the line with the least greatest distance from some points, over -1/2 to 1/2 of their extent: of all lines through
// two of them one has its slope.
func bestLine(u, v []float64) (shift, tilt, bend float64) {
	lo, hi := slices.Min(u), slices.Max(u)
	at := func(i int) float64 { return (u[i]-lo)/(hi-lo) - 0.5 }
	bend = math.Inf(1)
	for i := range u {
		for k := range i {
			slope := (v[i] - v[k]) / (at(i) - at(k))
			below, above := math.Inf(1), math.Inf(-1)
			for j := range u {
				below, above = math.Min(below, v[j]-slope*at(j)), math.Max(above, v[j]-slope*at(j))
			}
			if half := (above - below) / 2; half < bend {
				shift, tilt, bend = (above+below)/2, slope, half
			}
		}
	}
	return shift, tilt, bend
}

// TestSlopesDifferences: shift, tilt and bend of a Watt linkage agree with those of central differences of the linkage made apart.
func TestSlopesDifferences(t *testing.T) {
	const watt = `units in
dim arm1 = 5
dim arm2 = 5
dim cpl = 2
dim ax = -5
dim bx = 5
dim bq = 2
dim share = 0.5
turn c = -20 to 20 step 1
point a at ax, 0
point b at bx, bq
point p near 0, 0
point q near 0, 2
length a p = arm1
angle  a p = c
length b q = arm2
length p q = cpl
part coupler from p to q
point m on coupler at cpl*share, 0
measure side = x(m)
measure up = y(m)
`
	path := filepath.Join(t.TempDir(), "watt.motion")
	if err := os.WriteFile(path, []byte(watt), 0o644); err != nil {
		t.Fatal(err)
	}
	out, _ := barover(t, "slopes", path, "side", "--over", "up", "--json")
	var got struct {
		Slopes []struct {
			Dim                   string
			By, Shift, Tilt, Bend float64
		}
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || len(got.Slopes) != 7 {
		t.Fatalf("%v: %s", err, out)
	}
	dims := [7]float64{5, 5, 2, -5, 5, 2, 0.5}
	_, up := wattSide(dims)
	for _, s := range got.Slopes {
		k := slices.Index([]string{"arm1", "arm2", "cpl", "ax", "bx", "bq", "share"}, s.Dim)
		const h = 1e-5
		less, more := dims, dims
		less[k], more[k] = less[k]-h, more[k]+h
		a, _ := wattSide(less)
		b, _ := wattSide(more)
		for i := range a {
			b[i] = (b[i] - a[i]) / (2 * h) * s.By
		}
		shift, tilt, bend := bestLine(up, b)
		if math.Abs(s.Shift-shift) > 1e-7 || math.Abs(s.Tilt-tilt) > 1e-6 || math.Abs(s.Bend-bend) > 1e-7 {
			t.Errorf("%s +%g shifts %.7f, tilts %.7f, bends %.7f; by differences %.7f, %.7f, %.7f", s.Dim, s.By, s.Shift, s.Tilt, s.Bend, shift, tilt, bend)
		}
	}
}

// TestSlopesOverAnAngle: a chart of slopes against a measure that is an angle has its axis in degrees, from the least to the greatest of it.
func TestSlopesOverAnAngle(t *testing.T) {
	const text = `turn crank = 0 to 360 step 5
dim throw = 20
point shaft at 0, 0
point pin
length shaft pin = throw
angle shaft pin = crank
point cross near 120, 0
line bore through shaft heading 0
length pin cross = 100
slide cross on bore
measure lean = heading(pin, cross)
measure stroke = x(cross)
`
	path := filepath.Join(t.TempDir(), "lean.motion")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	drawn := filepath.Join(t.TempDir(), "lean.svg")
	if out, status := barover(t, "slopes", path, "stroke", "--over", "lean", "-o", drawn); status != 0 {
		t.Fatal(out)
	}
	svg, err := os.ReadFile(drawn)
	if err != nil {
		t.Fatal(err)
	}
	// asin(20/100) is 11.54 degrees, or 0.2 rad: of the figures along the axis only those of degrees reach 10.
	for _, want := range []string{">lean, °<", ">-10<", ">10<", ">change of stroke, mm<", "licensed inspector"} {
		if !strings.Contains(string(svg), want) {
			t.Errorf("the chart does not say %q", want)
		}
	}
}
