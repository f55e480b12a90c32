package sketch

import (
	"math"
	"strings"
	"testing"

	"barover/solver"
	"barover/solver/machine"
)

// slider is an engine with throw 1 and a rod of 4, both in millimetres times ten, whose cylinder line goes up and down.
const slider = `dim throw = 10
dim rod = 40
turn crank = 0 to 360 step 5
travel up = -2 to 3 step 1 rest 0
point shaft at 0, 0
point pin
point cross near 50, 0
line bore through 0, up heading 0
length shaft pin = throw
angle shaft pin = crank
length pin cross = rod
slide cross on bore
part conrod from pin to cross
part slipper at cross along bore
profile conrod.shank across 0 to 5
   strip pin to cross wide 4 to 3 round
   hole disc 20, 0 dia 1
profile slipper.shoe across 5 to 8
   box -6, -4 to 7, 4
`

// answered is the sketch with more lines, studied.
func answered(t *testing.T, text string) (*Sketch, *solver.Result) {
	t.Helper()
	s := good(t, text, Options{})
	m, err := machine.New(s.Problem, s.Values)
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.Study(t.Context(), machine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s, r
}

// across is x of the crosshead pin with the cylinder line at height up.
func across(crank, up float64) float64 {
	s := 10*math.Sin(crank) - up
	return 10*math.Cos(crank) + math.Sqrt(40*40-s*s)
}

// widest goes through the range in small steps and gives the least and greatest of a figure of it.
func widest(f func(up float64) float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for k := range 5001 {
		v := f(-2 + 5*float64(k)/5000)
		lo, hi = math.Min(lo, v), math.Max(hi, v)
	}
	return lo, hi
}

// passes is where a figure passes zero between two turns, by halving.
func passes(f func(float64) float64, a, b float64) float64 {
	for range 200 {
		if m := (a + b) / 2; f(m)*f(a) > 0 {
			a = m
		} else {
			b = m
		}
	}
	return a
}

// TestPlacesOfTheTurn: sums at places of the turn and marks as angles are proved over a running range, and come to what the closed form
// of the crank drive gives.
func TestPlacesOfTheTurn(t *testing.T) {
	front := func(up float64) float64 { return math.Asin(up / 50) }
	half := func(up float64) float64 { // x comes down through 45
		return passes(func(c float64) float64 { return across(c, up) - 45 }, front(up), math.Pi)
	}
	tests := []struct {
		sum string
		of  func(up float64) float64
	}{
		{"at(x(cross), 90)", func(up float64) float64 { return across(math.Pi/2, up) }},
		{"at(x(cross), 450)", func(up float64) float64 { return across(math.Pi/2, up) }},
		{"at(x(cross), crank - crank + 90 + up/1mm*1deg)", nil},
		{"at(x(cross), 90 + up/1mm*1deg)", func(up float64) float64 { return across((90+up)*math.Pi/180, up) }},
		{"down", half},
		{"up_again", func(up float64) float64 {
			return passes(func(c float64) float64 { return across(c, up) - 45 }, math.Pi, 2*math.Pi)
		}},
		{"at(y(pin), down)", func(up float64) float64 { return 10 * math.Sin(half(up)) }},
		{"at(x(cross), down)", func(up float64) float64 { return 45 }},
		{"at(y(pin), foremost)", func(up float64) float64 { return 10 * math.Sin(front(up)) }},
		{"at(x(cross), foremost + 180)", func(up float64) float64 { return across(front(up)+math.Pi, up) }},
		{"rearmost", func(up float64) float64 { return math.Pi + math.Asin(up/30) }},
		{"at(x(pin), top)", func(up float64) float64 { return 0 }},
		{"at(x(cross), 0) - at(x(cross), 180)", func(up float64) float64 { return across(0, up) - across(math.Pi, up) }},
		{"at(piston, down)", func(up float64) float64 {
			return (50*math.Sqrt(1-up*up/2500) - 45) / (50*math.Sqrt(1-up*up/2500) - 30*math.Sqrt(1-up*up/900))
		}},
		{"low(slipper.shoe, bore)", nil},
		{"at(low(slipper.shoe, bore), 90)", func(up float64) float64 { return across(math.Pi/2, up) - 6 }},
		{"greatest(high(slipper.shoe, bore))", func(up float64) float64 { return 50*math.Sqrt(1-up*up/2500) + 7 }},
		{"middle(slipper.shoe) - inner(conrod.shank) + outer(conrod.shank)", func(float64) float64 { return 6.5 - 0 + 5 }},
	}
	const marks = `mark down when x(cross) falls past 45
mark up_again when x(cross) rises past 45
mark foremost when x(cross) is greatest
mark rearmost when x(cross) is least
mark top when y(pin) is greatest
measure piston = (greatest(x(cross)) - x(cross)) / span(x(cross))
`
	for _, tt := range tests {
		if tt.of == nil {
			continue
		}
		s, r := answered(t, slider+marks+"measure m = "+tt.sum+"\n")
		lo, hi := widest(tt.of)
		e := r.Extremes[len(r.Extremes)-1]
		if math.Abs(e.Least-lo) > 2e-5 || math.Abs(e.Greatest-hi) > 2e-5 || e.Sure != solver.Proved {
			t.Errorf("%s goes from %.7f to %.7f, %v; want %.7f to %.7f, proved", tt.sum, e.Least, e.Greatest, e.Sure, lo, hi)
		}
		_ = s
	}
}

// TestSlopesAtPlaces: how a dimension moves a sum at a place, or the place of a mark, agrees with the sum computed again with a
// little more and a little less of it.
func TestSlopesAtPlaces(t *testing.T) {
	const lines = `mark down when x(cross) falls past 45
mark foremost when x(cross) is greatest
`
	still := strings.Replace(slider, "-2 to 3 step 1 rest 0", "1 rest 1", 1)
	for _, sum := range []string{"at(x(cross), 90)", "down", "at(y(pin), down)", "at(y(pin), foremost)", "at(x(cross), foremost + 100)", "at(piston, down + 5)",
		"greatest(high(conrod.shank, bore))", "at(low(conrod.shank, bore), 40)", "middle(slipper.shoe) + rod"} {
		text := still + lines + "measure piston = (greatest(x(cross)) - x(cross)) / span(x(cross))\nmeasure m = " + sum + "\nkeep m above -1000\n"
		s := good(t, text, Options{})
		value := func(dim int, by float64) float64 {
			p, v, messages := s.With(map[int]float64{dim: s.Values.At(s.Problem.Graph.Dims[dim]) + by})
			if len(messages) > 0 {
				t.Fatal(messages)
			}
			m, err := machine.New(p, v)
			if err != nil {
				t.Fatal(err)
			}
			r, err := m.Study(t.Context(), machine.Options{})
			if err != nil {
				t.Fatal(err)
			}
			return r.Findings[0].Least
		}
		m, err := machine.New(s.Problem, s.Values)
		if err != nil {
			t.Fatal(err)
		}
		r, err := m.Study(t.Context(), machine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		slopes, err := m.Slopes(t.Context(), r.Findings)
		if err != nil || slopes[0] == nil {
			t.Errorf("%s has no slopes: %v", sum, err)
			continue
		}
		for d, got := range slopes[0] {
			const h = 1e-3
			if want := (value(d, h) - value(d, -h)) / (2 * h); math.Abs(got-want) > 2e-6*(1+math.Abs(want)) {
				t.Errorf("%s by %s: %.8f, want %.8f", sum, s.Dims[d].Name, got, want)
			}
		}
	}
}
