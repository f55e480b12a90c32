package sketch

import (
	"math"
	"testing"

	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/plane"
)

// TestOutlinesInSums: how far an outline that turns reaches along a line agrees with the outline that is built, at every place
// of the turn, and its extremes are proved.
func TestOutlinesInSums(t *testing.T) {
	shapes := map[string]string{
		"disc":          "disc 3, 1 dia 4",
		"strip":         "strip 0, 0 to 9, 2 wide 3 to 1",
		"round strip":   "strip 0, 1 to 7, 2 wide 1 to 6 round",
		"box":           "box 5, 4 to -2, -1",
		"bent strip":    "strip -4, 0 to 4, 0 wide 2 to 1 radius 5 left round",
		"half circle":   "path -3, 0 to 3, 0 arc -3, 0 radius 3 left",
		"hollow":        "path -3, 0 to 3, 0 to 3, 4 arc -3, 4 radius 4 left",
		"long arc":      "path -1, 0 to 1, 0 arc -1, 0 radius 2 left long",
		"long, right":   "path -1, 0 arc 1, 0 radius 2 right long",
		"with holes":    "disc 0, 0 dia 10\n   hole box -1, -1 to 2, 1\n   box 0, 0 to 1, 8",
		"several":       "disc 0, 0 dia 6\n   strip 0, 0 to 8, 0 wide 2\n   disc 8, 0 dia 3",
		"round, a slot": "strip 0, 0 to 20, 0 wide 8 round\n   hole groove",
	}
	for name, shape := range shapes {
		text := `turn crank = 0 to 360 step 7
point o at 1, 2
part arm at o heading crank
slot groove on arm from 4, 0 to 9, 1 wide 2 radius 20 left
line level through 3, 1 heading 20
line joined from 0, 1 to o
profile arm.plate across 0 to 1
   ` + shape + `
measure high_level = high(arm.plate, level)
measure low_joined = low(arm.plate, joined)
`
		s, r := answered(t, text)
		m, err := machine.New(s.Problem, s.Values)
		if err != nil {
			t.Fatal(name, err)
		}
		region := m.Regions[0]
		eval := expr.NewEval(s.Values)
		most := math.Inf(-1)
		for k := range 3600 {
			turn := 2 * math.Pi * float64(k) / 3600
			c := &expr.Context{Turn: turn}
			for _, p := range s.Problem.Linkage.Points {
				c.X, c.Y = append(c.X, s.Values.At(p.U)), append(c.Y, s.Values.At(p.V))
			}
			along := func(line plane.Placement, sign float64) float64 {
				u := line.Dir.Scale(sign)
				o := plane.Vec{X: 1, Y: 2}.Sub(line.Origin)
				return sign * (o.Dot(u) + region.Reaches(u.Times(plane.Polar(-turn))))
			}
			level := along(plane.Placement{Origin: plane.Vec{X: 3, Y: 1}, Dir: plane.Polar(20 * quantity.Degree)}, 1)
			joined := along(plane.Placement{Origin: plane.Vec{X: 0, Y: 1}, Dir: plane.Polar(45 * quantity.Degree)}, -1)
			most = math.Max(most, level)
			if got := eval.At(s.Problem.Measures[0].Sum, c); math.Abs(got-level) > 1e-9 {
				t.Fatalf("%s at %.1f°: high is %.12f, want %.12f", name, turn/quantity.Degree, got, level)
			}
			if got := eval.At(s.Problem.Measures[1].Sum, c); math.Abs(got-joined) > 1e-9 {
				t.Fatalf("%s at %.1f°: low is %.12f, want %.12f", name, turn/quantity.Degree, got, joined)
			}
		}
		if e := r.Extremes[0]; e.Sure != solver.Proved || e.Greatest < most-1e-6 || e.Greatest > most+1e-4 {
			t.Errorf("%s: high goes to %.7f, %v; want %.7f, proved", name, e.Greatest, e.Sure, most)
		}
	}
}
