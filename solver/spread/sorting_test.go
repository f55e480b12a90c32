package spread_test

import (
	"math/rand/v2"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/trial/draws"
	"barover/solver/trial/engine"
	"barover/solver/tube"
)

// asked gives an engine checks of every kind that come out either way within the tolerances.
func asked(e *engine.Engine) {
	p := e.Problem
	g, x := p.Graph, p.Graph.X(2)
	keep := func(sum, least, most expr.ID) {
		p.Checks = append(p.Checks, solver.Check{Kind: solver.Keep, Sum: sum, AtLeast: least, AtMost: most})
	}
	keep(g.Unary(expr.Greatest, x), expr.None, g.Const(152.4))
	keep(g.Unary(expr.Span, x), g.Const(50.78), expr.None)
	keep(g.Y(1), g.Const(-25.41), g.Dims[e.Number("throw")]) // a limit that follows from a size
	p.Checks = append(p.Checks, solver.Check{Kind: solver.Gap, A: 1, B: 0, AtLeast: g.Const(3.49), AtMost: g.Const(3.52)})
}

// leastOf is the least figure of a check.
func leastOf(t *testing.T, e *engine.Engine, check int) float64 {
	t.Helper()
	m, err := e.Vary().Machine(nil)
	if err != nil {
		t.Fatal(err)
	}
	res, err := m.Some(t.Context(), machine.Options{}, []int{check})
	if err != nil {
		t.Fatal(err)
	}
	return res.Findings[0].Least
}

// TestSortersAgree sorts engines by every side of every check and solves each of them wholly: what is sure is so.
func TestSortersAgree(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewPCG(*seed, 31))
	e := engine.New()
	e.Set("lip_room", leastOf(t, e, engine.Lip))
	asked(e)
	var sizes []tube.Size
	for _, name := range []string{"throw", "rod", "half_bore", "mouth", "rod_deep", "rod_out", "pin_length"} {
		sizes = append(sizes, tube.Size{Dim: e.Number(name), Mid: e.Value(name), Half: 0.05})
	}
	m, err := e.Vary().Machine(nil)
	if err != nil {
		t.Fatal(err)
	}
	over, err := m.OverSizes(t.Context(), machine.Options{}, machine.Sizes{List: sizes})
	if err != nil {
		t.Fatal(err)
	}
	sides := make([][]*machine.Sorter, len(e.Problem.Checks))
	for i, c := range e.Problem.Checks {
		for _, upper := range []bool{false, true} {
			if s, err := over.Sorter(t.Context(), i, upper); err != nil {
				t.Fatal(err)
			} else if s != nil {
				sides[i] = append(sides[i], s)
			} else if c.AtLeast != expr.None && !upper || c.AtMost != expr.None && upper {
				t.Errorf("check %d, upper %v: not sorted", i, upper)
			}
		}
	}
	holds, short, doubt := make([]int, len(sides)), make([]int, len(sides)), 0
	for range draws.Of(400) {
		at, change := make([]float64, len(sizes)), map[int]float64{}
		for i, z := range sizes {
			at[i] = z.Mid + z.Half*(2*rng.Float64()-1)
			change[z.Dim] = at[i]
		}
		n, err := e.Vary().Machine(change)
		if err != nil {
			t.Fatal(err)
		}
		res, err := n.Study(t.Context(), machine.Options{Workers: 1})
		if err != nil {
			t.Fatal(err)
		}
		for i, list := range sides {
			all := true
			for _, s := range list {
				v, room := s.Of(at)
				all = all && v == machine.Holds
				switch v {
				case machine.FallsShort:
					if short[i]++; res.Findings[i].OK {
						t.Errorf("check %d is surely short and holds with %v", i, at)
					}
					if margin := e.Problem.Judge(&res.Findings[i]).Margin; len(list) == 1 && margin < room-1e-6 {
						t.Errorf("check %d has a room of %v at least, and of %v with %v", i, room, margin, at)
					}
				case machine.Open:
					doubt++
				}
			}
			if all && len(list) > 0 {
				if holds[i]++; !res.Findings[i].OK {
					t.Errorf("check %d surely holds and does not with %v", i, at)
				}
			}
		}
	}
	t.Logf("of 400 engines surely hold %v, are surely short %v; %d in doubt", holds, short, doubt)
	for i := range sides {
		if holds[i] == 0 || i != engine.Beside && i != engine.Pin && i != engine.End && i != engine.Travels && short[i] == 0 {
			t.Errorf("check %d: %d surely hold, %d are surely short", i, holds[i], short[i])
		}
	}
	if doubt > 40 {
		t.Errorf("%d in doubt", doubt)
	}
}
