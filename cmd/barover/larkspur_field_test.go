package main

import (
	"encoding/json"
	"math"
	"path/filepath"
	"testing"
	"time"
)

// fieldOf is what `seek FILE DIM DIM --json` prints.
type fieldOf struct {
	Sought [2]struct{ From, To float64 }
	Holds  []struct{ From, To [2]float64 }
	Open   []struct{ From, To [2]float64 }
	Best   *[2]float64
}

func (f *fieldOf) in(cells []struct{ From, To [2]float64 }, at [2]float64) bool {
	for _, c := range cells {
		if at[0] >= c.From[0] && at[0] <= c.To[0] && at[1] >= c.From[1] && at[1] <= c.To[1] {
			return true
		}
	}
	return false
}

// TestLarkspurField: where the leads are equal, in the field of the return crank's throw and angle, is proved over cells, and the
// gear that is solved apart says the same at their corners and in their middles. The figure is taken at marks, which no cell
// could be proved of before. Nobody says how far to look.
func TestLarkspurField(t *testing.T) {
	defer func(most time.Duration) { mostLooked = most }(mostLooked)
	mostLooked = time.Hour
	out, _ := barover(t, "seek", filepath.Join(exampleFolder, "larkspur.motion"), "return_throw", "return_angle", "--case", "running", "--for", "equal leads", "--json")
	var f fieldOf
	if err := json.Unmarshal([]byte(out), &f); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if len(f.Holds) == 0 || f.Best == nil {
		t.Fatalf("nothing is proved to hold: %s", out)
	}
	const limit, meets, cells = 0.0005, 5e-6, 16 // a limit is met to 1e-4 mm
	apart := func(at [2]float64) (worst float64) {
		for _, reverser := range []float64{-22, -11, 0, 11, 22} {
			g := gearOf(6.01725, reverser)
			g.returnThrow, g.returnAngle = at[0], at[1]
			worst = math.Max(worst, math.Abs(2*10.12663-g.valve(t, 0)-g.valve(t, 180)))
		}
		return worst
	}
	for _, c := range f.Holds {
		for i := range 9 {
			at := [2]float64{c.From[0] + float64(i%3)/2*(c.To[0]-c.From[0]), c.From[1] + float64(i/3)/2*(c.To[1]-c.From[1])}
			if worst := apart(at); worst > limit+meets {
				t.Errorf("%.5f lies in a cell that holds; apart, the leads differ by %.6f", at, worst)
			}
		}
	}
	short, open := 0, 0
	for i := range cells * cells {
		var at [2]float64
		for k, n := range [2]int{i % cells, i / cells} {
			at[k] = f.Sought[k].From + (float64(n)+0.5)/cells*(f.Sought[k].To-f.Sought[k].From)
		}
		switch {
		case f.in(f.Holds, at):
		case f.in(f.Open, at):
			open++
		default:
			if short++; apart(at) < limit-meets {
				t.Errorf("%.5f lies in a cell that falls short; apart, the leads differ by %.6f", at, apart(at))
			}
		}
	}
	t.Logf("%d cells hold, %d fall short, %d are open", len(f.Holds), short, open)
	if short == 0 || open > cells*cells/2 {
		t.Errorf("%d of %d cells are open, %d fall short", open, cells*cells, short)
	}
}
