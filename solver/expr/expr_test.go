package expr

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"
)

var seed = flag.Uint64("seed", 11, "seed of the random tests")

// motion is points that go round the turn in closed form, with their rates, and travels, headings and wholes of any size.
func motion(turn float64) *Context {
	s, c := math.Sincos(turn)
	return &Context{Turn: turn, Travel: []float64{1.5, -0.4}, X: []float64{3 + c, 2 * s}, Y: []float64{s, 4 - 2*c},
		DX: []float64{-s, 2 * c}, DY: []float64{c, 2 * s}, DDX: []float64{-c, -2 * s}, DDY: []float64{-s, 2 * c},
		Whole: []float64{0.7, 1.3, 0.6, 2.1, 0.4, 3.3, 1.9, 0.8}}
}

// sample is a graph with one sum for each operation, over dimensions, turn, travels and points.
func sample() (g *Graph, sums map[Op]ID) {
	g = new(Graph)
	a := g.Dim(g.Const(1.3))
	b := g.Dim(g.Add(a, g.Const(0.9)))
	x, y := g.Add(g.X(0), a), g.Sub(g.Y(1), b) // 2 to 4 or so, and -0.2 to 3.8
	part := g.Div(g.X(1), g.Const(7))          // within ±0.3
	sums = map[Op]ID{
		Turn: g.Turn(), Travel: g.Mul(g.Travel(1), x), X: g.X(0), Y: g.Y(1), Dim: b,
		Add: g.Add(x, y), Sub: g.Sub(x, y), Mul: g.Mul(x, y), Div: g.Div(y, x), Neg: g.Unary(Neg, g.Mul(x, b)),
		Pow: g.Binary(Pow, x, b), Sqrt: g.Unary(Sqrt, x), Abs: g.Unary(Abs, g.Sub(part, g.Const(1))),
		Min: g.Binary(Min, x, g.Mul(y, y)), Max: g.Binary(Max, x, g.Mul(y, y)), Hypot: g.Binary(Hypot, x, y),
		Sin: g.Unary(Sin, x), Cos: g.Unary(Cos, y), Tan: g.Unary(Tan, part), Asin: g.Unary(Asin, part), Acos: g.Unary(Acos, part),
		Atan: g.Unary(Atan, y), Atan2: g.Binary(Atan2, x, y), Heading: g.Binary(Heading, y, x),
		Round:    g.Binary(Round, x, g.Add(g.Mul(a, g.Const(0)), g.Const(0.25))),
		Rate:     g.Unary(Rate, g.Mul(x, y)),
		Least:    g.Add(g.Unary(Least, x), x),
		Greatest: g.Mul(g.Unary(Greatest, y), x),
		Span:     g.Div(x, g.Unary(Span, x)),
		Rises:    g.Mul(g.Place(Rises, x), y),
		Falls:    g.Add(g.Place(Falls, x), y),
		Lowest:   g.Sub(x, g.Place(Lowest, y)),
		Highest:  g.Mul(y, g.Place(Highest, y)),
		AtPlace:  g.Div(g.AtPlace(y, g.Place(Falls, x)), x),
		Const:    g.Mul(g.Const(2.5), x),
	}
	return g, sums
}

// Every operation's slope by the turn against central differences of its value.
func TestSlopes(t *testing.T) {
	g, sums := sample()
	v := Resolve(g, nil)
	if len(sums) != int(opCount) {
		t.Fatalf("%d operations tried, there are %d", len(sums), opCount)
	}
	for op, id := range sums {
		e := NewEval(v)
		for turn := 0.1; turn < 6; turn += 0.37 {
			const h = 1e-5
			value, slope, ok := e.Slope(id, motion(turn))
			want := (e.At(id, motion(turn+h)) - e.At(id, motion(turn-h))) / (2 * h)
			if !ok || value != e.At(id, motion(turn)) {
				t.Fatalf("%v at %v: value %v, ok %v", op, turn, value, ok)
			}
			if op == Round || op == Min || op == Max {
				if math.Abs(want-slope) > 1 { // a difference across a jump or a kink
					continue
				}
			}
			if !(math.Abs(slope-want) <= 1e-7*math.Max(1, math.Abs(want))) {
				t.Errorf("%v at %v: slope %v, differences give %v", op, turn, slope, want)
			}
		}
	}
}

// Every operation's derivative by dimensions and by points, going backward, against central differences.
func TestBackward(t *testing.T) {
	g, sums := sample()
	rng := rand.New(rand.NewPCG(*seed, 2))
	t.Logf("seed %d", *seed)
	for op, id := range sums {
		at := motion(0.3 + 5*rng.Float64())
		grad := NewGradient(g, 2, 2)
		grad.Whole = make([]float64, len(g.Wholes))
		if ok := NewEval(Resolve(g, nil)).Backward([]Seed{{id, 2}, {None, 1}}, at, grad); ok != (op != Rate) {
			t.Fatalf("%v: goes backward: %v", op, ok)
		}
		if op == Rate {
			continue
		}
		differ := func(what string, got float64, value func(h float64) float64) {
			const h = 1e-6
			want := 2 * (value(h) - value(-h)) / (2 * h)
			if !(math.Abs(got-want) <= 1e-7*math.Max(1, math.Abs(want))) {
				t.Errorf("%v by %s: got %v, differences give %v", op, what, got, want)
			}
		}
		for d, node := range g.Dims {
			differ("dimension", grad.Dim[d], func(h float64) float64 {
				v := Resolve(g, map[int]float64{d: Resolve(g, nil).At(node) + h})
				return NewEval(v).At(id, at)
			})
		}
		e := NewEval(Resolve(g, nil))
		by := func(p *float64) func(float64) float64 {
			return func(h float64) float64 {
				was := *p
				defer func() { *p = was }()
				*p += h
				return e.At(id, at)
			}
		}
		for p := range at.X {
			differ("x", grad.X[p], by(&at.X[p]))
			differ("y", grad.Y[p], by(&at.Y[p]))
		}
		for k := range at.Travel {
			differ("travel", grad.Travel[k], by(&at.Travel[k]))
		}
		for k := range at.Whole {
			differ("whole", grad.Whole[k], by(&at.Whole[k]))
		}
		differ("turn", grad.Turn, by(&at.Turn))
	}
}

// A dimension that is fixed passes nothing on to the sum that would give it.
func TestFixedDimension(t *testing.T) {
	g := new(Graph)
	a := g.Dim(g.Const(2))
	b := g.Dim(g.Mul(a, g.Const(3)))
	sum := g.Mul(a, b)
	for _, c := range []struct {
		fixed map[int]float64
		v     float64
		dims  [2]float64
	}{
		{nil, 12, [2]float64{12, 2}},
		{map[int]float64{1: 5}, 10, [2]float64{5, 2}},
		{map[int]float64{0: 1}, 3, [2]float64{6, 1}},
	} {
		v := Resolve(g, c.fixed)
		grad := NewGradient(g, 0, 0)
		NewEval(v).Backward([]Seed{{sum, 1}}, &Context{}, grad)
		if v.At(sum) != c.v || grad.Dim[0] != c.dims[0] || grad.Dim[1] != c.dims[1] {
			t.Errorf("fixed %v: got %v, %v; want %v, %v", c.fixed, v.At(sum), grad.Dim, c.v, c.dims)
		}
	}
}

// Rates nest as deep as Order; beyond it there is no value, and no slope at it.
func TestNestedRates(t *testing.T) {
	g := new(Graph)
	id := g.X(1) // 2 sin turn
	for depth, want := range []float64{2 * math.Sin(0.4), 2 * math.Cos(0.4), -2 * math.Sin(0.4)} {
		if got := NewEval(Resolve(g, nil)).At(id, motion(0.4)); !(math.Abs(got-want) <= 1e-15) {
			t.Errorf("depth %d: got %v, want %v", depth, got, want)
		}
		if _, _, ok := NewEval(Resolve(g, nil)).Slope(id, motion(0.4)); ok != (depth < Order) {
			t.Errorf("depth %d: has a slope: %v", depth, ok)
		}
		id = g.Unary(Rate, id)
	}
	if got := NewEval(Resolve(g, nil)).At(id, motion(0.4)); got == got {
		t.Errorf("too deep: got %v, want no number", got)
	}
}

// A heading runs on from where it was.
func TestHeadingNear(t *testing.T) {
	for _, near := range []float64{-20, -3, 0, 2, 9, 100} {
		for h := -3.0; h <= 3; h += 0.5 {
			s, c := math.Sincos(h)
			got := HeadingNear(s, c, near)
			turns := (got - h) / (2 * math.Pi)
			if !(math.Abs(got-near) <= math.Pi+1e-9) || !(math.Abs(turns-math.Round(turns)) <= 1e-9) {
				t.Errorf("%v near %v: got %v", h, near, got)
			}
		}
	}
}

// Equal sums are one node.
func TestShared(t *testing.T) {
	g := new(Graph)
	a, b := g.X(0), g.Y(0)
	var sums, headings, dims [2]ID
	for i := range 2 {
		sums[i], headings[i], dims[i] = g.Add(a, b), g.Binary(Heading, a, b), g.Dim(a)
	}
	if sums[0] != sums[1] || headings[0] != headings[1] || len(g.Headings) != 1 {
		t.Error("equal sums are two nodes")
	}
	if g.Unary(Least, a) == g.Unary(Greatest, a) || dims[0] == dims[1] {
		t.Error("unlike nodes are one")
	}
	for _, c := range []struct{ got, want ID }{
		{g.Add(a, g.Const(0)), a}, {g.Mul(g.Const(1), b), b}, {g.Sub(a, g.Const(0)), a}, {g.Div(b, g.Const(1)), b},
	} {
		if c.got != c.want {
			t.Errorf("got node %d, want %d", c.got, c.want)
		}
	}
}

func TestStaysOverTurn(t *testing.T) {
	g := new(Graph)
	x, dim := g.X(0), g.Dim(g.Const(3))
	least := g.Unary(Least, x)
	for _, tt := range []struct {
		name string
		id   ID
		want bool
	}{
		{"a dimension", dim, true}, {"a travel", g.Travel(0), true}, {"the turn", g.Turn(), false}, {"a point", x, false},
		{"a least", least, true}, {"a span less a dimension and a travel", g.Sub(g.Unary(Span, x), g.Mul(dim, g.Travel(0))), true},
		{"a share of the way", g.Div(g.Sub(x, least), g.Unary(Span, x)), false}, {"a heading", g.Binary(Heading, x, dim), false},
		{"a rate of the turn", g.Unary(Rate, g.Turn()), false},
	} {
		if got := g.StaysOverTurn(tt.id); got != tt.want {
			t.Errorf("%s stays over the turn: %v, want %v", tt.name, got, tt.want)
		}
	}
}

// TestUnclipped: a sum that is clipped passes a value where what is within it does.
func TestUnclipped(t *testing.T) {
	g := new(Graph)
	x, nought, two := g.X(0), g.Const(0), g.Const(2)
	clip := g.Binary(Max, x, nought)
	for name, c := range map[string]struct{ sum, past, want ID }{
		"at the value":                {clip, nought, x},
		"the other way round":         {g.Binary(Min, nought, x), nought, x},
		"clipped beyond as well":      {g.Binary(Min, clip, two), nought, x},
		"past where it cannot go":     {g.Binary(Min, clip, nought), two, g.Binary(Min, clip, nought)},
		"of a value above the clip":   {clip, two, x},
		"of a value below the clip":   {g.Binary(Max, x, two), nought, g.Binary(Max, x, two)},
		"the lesser of two that move": {g.Binary(Min, x, g.Y(0)), nought, g.Binary(Min, x, g.Y(0))},
	} {
		if got := g.Unclipped(c.sum, c.past); got != c.want {
			t.Errorf("%s: node %d, want %d", name, got, c.want)
		}
	}
}
