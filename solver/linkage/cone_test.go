package linkage

import (
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/position"
)

// A cone has its parts where the whole linkage has them, to the last bit, and their points as fast: on random machines, for
// every two of their parts, with nothing to hand but what the cone takes in.
func TestConeIsTheWhole(t *testing.T) {
	tried := make(map[string]int)
	randomMachines(t, 41, 120, func(name string, m *machine, l *Linkage) {
		for _, travel := range []float64{0, 4} {
			mo, err := l.Follow(t.Context(), []float64{travel}, m.turn, m.turn+20*deg, deg)
			if err != nil {
				t.Fatal(err)
			}
			sameAsWhole(t, name, l, mo, m.turn, tried)
		}
		countKinds(tried, m.Model, l.s)
	})
	wantAllKinds(t, tried)
	if tried["smaller"] == 0 || tried["all"] == 0 {
		t.Errorf("%d cones smaller than the whole, %d as large; want some of each", tried["smaller"], tried["all"])
	}
}

// The same of parts that loose lines hold, and of others beside them.
func TestConeOfLooseParts(t *testing.T) {
	s, a, b := coupled(60, 60.01, 0.1)
	o, c := s.fixed("o", 200, 0), s.found("c")
	s.length(o, c, s.num(20))
	s.heading(o, c, s.g.Add(s.turn(), s.num(1)))
	s.rod("arm", o, c)
	s.rod("rod", a, b)
	mo := s.motion(t, 10, 50, 1)
	tried := make(map[string]int)
	sameAsWhole(t, "coupled axles", mo.l, mo, 10*deg, tried)
	if tried["compared"] == 0 {
		t.Error("nothing was compared")
	}
}

// sameAsWhole holds the cone of every two parts against the whole linkage over 20° from a turn on.
func sameAsWhole(t *testing.T, name string, l *Linkage, mo *Motion, from float64, tried map[string]int) {
	t.Helper()
	c := &Cone{Cone: position.NewCone(l.s, l.p, l.start.Scale, l.web()), l: l}
	var whole, part Pose
	var speeds, own expr.Context
	mo.At(from, &part)
	for i := range l.s.Model.Parts {
		for j := range i {
			c.Aim([]int{i, j})
			forget(c)
			if len(c.Knots) < len(l.web().Knots) {
				tried["smaller"]++
			} else {
				tried["all"]++
			}
			over := c.On(mo)
			for turn := from; turn < from+20*deg; turn += 2.9 * deg {
				status := mo.At(turn, &whole)
				if got := over.At(turn, &part); status == Solved && got != status {
					t.Errorf("%s, parts %d and %d: %v at %g°, want %v", name, i, j, got, turn/deg, status)
				}
				if status != Solved {
					continue
				}
				if c.from == nil {
					if tried["left to the whole"]++; !leftToWhole(mo, turn) {
						t.Errorf("%s, parts %d and %d: left to the whole at %g°", name, i, j, turn/deg)
					}
					continue
				}
				mo.Speeds(&whole, &speeds)
				over.Speeds(&part, &own)
				tried["compared"]++
				for _, k := range []int{i, j} {
					if part.Part[k] != whole.Part[k] {
						t.Errorf("%s, part %d beside %d at %g°: %v, want %v", name, k, i+j-k, turn/deg, part.Part[k], whole.Part[k])
					}
				}
				for _, p := range c.Points {
					want := plane.Vec{X: speeds.DX[p], Y: speeds.DY[p]}
					off := want.Sub(plane.Vec{X: own.DX[p], Y: own.DY[p]}).Len()
					if part.Point[p] != whole.Point[p] || !(off <= 1e-7*(1+want.Len())) && want.Len() < 1e4 {
						t.Errorf("%s, point %d of parts %d and %d at %g°: %v off by %g, want %v", name, p, i, j, turn/deg, part.Point[p], off, whole.Point[p])
					}
				}
			}
		}
	}
}

// leftToWhole reports whether the whole linkage does not come straight to a turn either.
func leftToWhole(mo *Motion, turn float64) bool {
	i, ok := mo.before(turn)
	if !ok || mo.changeAt(turn) != nil {
		return true
	}
	e := position.NewState(mo.l.s, mo.l.p, mo.l.start.Scale)
	mo.between(i, turn, e.X)
	e.Set(turn, mo.travel)
	_, ok = e.Solve()
	return !ok || !e.SameSide(mo.dets(i))
}

// forget leaves nothing in a cone's state of what moves and is not the cone's own.
func forget(c *Cone) {
	nan := math.NaN()
	for z, k := range c.l.web().Of {
		if k >= 0 {
			c.E.Z[z], c.V.Z[z] = plane.Vec{X: nan, Y: nan}, plane.Vec{X: nan, Y: nan}
		}
	}
	for z := range c.l.web().Turn {
		if z > 0 && c.l.web().Turn[z] >= 0 {
			c.E.Z[z+len(c.l.web().Of)] = plane.Vec{X: nan, Y: nan}
		}
	}
	for _, id := range c.l.p.Driven {
		c.E.C[id], c.V.C[id] = nan, nan
	}
	for i := range c.E.X {
		c.E.X[i] = nan
	}
}
