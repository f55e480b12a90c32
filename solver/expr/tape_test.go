package expr

import (
	"math"
	"testing"
)

// driven is a graph with one sum of turn and travels for each operation that a tape can do.
func driven() (g *Graph, sums map[Op]ID) {
	g = new(Graph)
	a := g.Dim(g.Const(1.3))
	x := g.Add(g.Unary(Sin, g.Turn()), g.Const(2.5))                    // 1.5 to 3.5
	y := g.Add(g.Mul(g.Travel(0), g.Travel(1)), g.Unary(Neg, g.Turn())) // falls
	part := g.Div(g.Unary(Cos, g.Turn()), g.Const(3))
	return g, map[Op]ID{
		Const: g.Const(4), Dim: a, Turn: g.Turn(), Travel: g.Travel(1),
		Add: g.Add(x, y), Sub: g.Sub(x, y), Mul: g.Mul(x, y), Div: g.Div(y, x), Neg: g.Unary(Neg, x),
		Pow: g.Binary(Pow, x, y), Sqrt: g.Unary(Sqrt, x), Abs: g.Unary(Abs, g.Sub(part, g.Const(1))),
		Min: g.Binary(Min, x, g.Const(9)), Max: g.Binary(Max, y, g.Const(-99)), Hypot: g.Binary(Hypot, x, y),
		Sin: g.Unary(Sin, y), Cos: g.Unary(Cos, y), Tan: g.Unary(Tan, part), Asin: g.Unary(Asin, part),
		Acos: g.Unary(Acos, part), Atan: g.Unary(Atan, y), Atan2: g.Binary(Atan2, x, part),
		Round: g.Binary(Round, g.Mul(x, g.Const(3)), g.Const(5)),
	}
}

// A tape gives what an Eval gives, to the last bit, and its derivatives along a line are those of differences.
func TestTape(t *testing.T) {
	g, sums := driven()
	if want := int(opCount) - 12; len(sums) != want { // all but x, y, heading, rate and what is taken over all of the turn
		t.Fatalf("%d operations tried, there are %d", len(sums), want)
	}
	v := Resolve(g, nil)
	for op, id := range sums {
		tape := NewTape(v, []ID{id, g.Turn()}, 2)
		if tape == nil {
			t.Fatalf("%v: no tape", op)
		}
		node := make([]float64, len(g.Nodes))
		at := func(turn float64, travel ...float64) float64 {
			tape.Clone().Run(turn, travel, node)
			if w := NewEval(v).At(id, &Context{Turn: turn, Travel: travel}); w != node[id] {
				t.Errorf("%v at %g: tape %g, sum %g", op, turn, node[id], w)
			}
			return node[id]
		}
		for turn := 0.21; turn < 6; turn += 0.37 {
			// Along a line: the turn by k, the travels by 2 and -3.
			line := func(d float64) float64 { return at(turn+0.5*d, 0.7+2*d, 1.9-3*d) }
			jet := make([][Order + 1]float64, 2)
			tape.Along(turn, 0.5, []float64{0.7, 1.9}, []float64{2, -3}, jet)
			const h = 1e-4
			first := (line(h) - line(-h)) / (2 * h)
			second := (line(h) - 2*line(0) + line(-h)) / (h * h)
			if jet[0][0] != line(0) || !(math.Abs(jet[0][1]-first) <= 1e-5*(1+math.Abs(first))) ||
				!(math.Abs(jet[0][2]-second) <= 1e-4*(1+math.Abs(second))) {
				t.Errorf("%v at %g: got %v, want %v, %v, %v", op, turn, jet[0], line(0), first, second)
			}
		}
	}
}

// What depends on points, or is no sum at all, is for no tape.
func TestTapeRefuses(t *testing.T) {
	g := new(Graph)
	for name, id := range map[string]ID{"none": None, "x": g.X(0), "heading": g.Binary(Heading, g.X(0), g.Y(0)),
		"rate": g.Unary(Rate, g.Turn()), "least": g.Unary(Least, g.Turn()), "a travel too many": g.Travel(1)} {
		if NewTape(Resolve(g, nil), []ID{id}, 1) != nil {
			t.Errorf("%s: taken", name)
		}
	}
}
