package taylor

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"barover/solver/expr"
)

func drawPoly(t *rapid.T, s *Space, name string) []float64 {
	c := make([]float64, s.N)
	ratio := rapid.Float64Range(0.01, 2).Draw(t, name+" ratio")
	for i := range c {
		m := 0
		for _, p := range s.Powers[i] {
			m += int(p)
		}
		c[i] = rapid.Float64Range(-10, 10).Draw(t, name) * math.Pow(ratio, float64(m))
	}
	return c
}

func drawSpace(t *rapid.T) *Space {
	return For(rapid.IntRange(1, 5).Draw(t, "vars"), rapid.IntRange(1, 5).Draw(t, "order"))
}

func drawTau(t *rapid.T, s *Space) (tau [MaxVars]float64) {
	for k := range s.Vars {
		tau[k] = rapid.Float64Range(-1, 1).Draw(t, "tau")
	}
	return tau
}

func sizeOf(c []float64) (sum float64) {
	for _, v := range c {
		sum += math.Abs(v)
	}
	return sum
}

// TestLeastIsBelow samples polynomials: none goes below its least value.
func TestLeastIsBelow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpace(t)
		c := drawPoly(t, s, "c")
		lo, at := s.Least(c)
		hi, _ := s.Greatest(c)
		room := 1e-14 * sizeOf(c)
		for range 20 {
			tau := drawTau(t, s)
			if v := s.Value(c, &tau); v < lo-room || v > hi+room {
				t.Fatalf("%v at %v: outside [%v, %v]", v, tau, lo, hi)
			}
		}
		for k := range at {
			if !(math.Abs(at[k]) <= 1) {
				t.Fatalf("least at %v", at)
			}
		}
	})
}

// flatHollow is where least2 bounds from below alone.
func flatHollow(c []float64) bool {
	d := 4*c[3]*c[5] - c[4]*c[4]
	return c[3] > 0 && c[5] > 0 && d > 0 && d < 1e-4*4*c[3]*c[5]
}

// TestLeastOfSquares checks the closeness that the tolerance of distances stands on: up to degree two in one and two
// coordinates next to nothing is given away, here against a fine grid.
func TestLeastOfSquares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := For(rapid.IntRange(1, 2).Draw(t, "vars"), 3)
		c := drawPoly(t, s, "c")
		clear(c[s.At[3]:])
		lo, at := s.Least(c)
		const n = 60
		best := math.Inf(1)
		for i := range n + 1 {
			for j := range n + 1 {
				tau := [MaxVars]float64{2*float64(i)/n - 1, 2*float64(j)/n - 1}
				best = min(best, s.Value(c, &tau))
			}
		}
		if s.two && flatHollow(c) {
			if lost := 2*math.Abs(c[4]) + sizeOf(c)*2/(n*n); lo > best+1e-12*sizeOf(c) || lo < best-lost-1e-9 {
				t.Fatalf("bound %v, least on the grid %v, and no more than %v may be lost", lo, best, lost)
			}
			return
		}
		if v := s.Value(c, &at); v > best+1e-9*sizeOf(c) {
			t.Fatalf("%v at %v, but the grid has %v", v, at, best)
		}
		if lo < best-sizeOf(c)*2/(n*n)-1e-9 {
			t.Fatalf("bound %v, least on the grid %v", lo, best)
		}
	})
}

// TestShift compares a polynomial over a part of its box with the polynomial itself.
func TestShift(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpace(t)
		c := drawPoly(t, s, "c")
		var mid, half, in [MaxVars]float64
		for k := range s.Vars {
			mid[k] = rapid.Float64Range(-1, 1).Draw(t, "mid")
			half[k] = rapid.Float64Range(0, 1-math.Abs(mid[k])).Draw(t, "half")
		}
		d := make([]float64, s.N)
		lost := s.Shift(d, c, &mid, &half)
		tau := drawTau(t, s)
		for k := range in {
			in[k] = mid[k] + half[k]*tau[k]
		}
		got, want := s.Value(d, &tau), s.Value(c, &in)
		if math.Abs(got-want) > lost+1e-14*sizeOf(c) {
			t.Fatalf("got %v want %v", got, want)
		}
		if lost > 1e-12*(1+sizeOf(c)) {
			t.Fatalf("gives away %v", lost)
		}
	})
}

// TestAddTimes multiplies two polynomials with radii and samples the product.
func TestAddTimes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpace(t)
		a, b := drawPoly(t, s, "a"), drawPoly(t, s, "b")
		ra, rb := rapid.Float64Range(0, 0.1).Draw(t, "ra"), rapid.Float64Range(0, 0.1).Draw(t, "rb")
		k := rapid.Float64Range(-2, 2).Draw(t, "k")
		c := make([]float64, s.N)
		rad := s.AddTimes(c, a, b, ra, rb, k)
		tau := drawTau(t, s)
		x := s.Value(a, &tau) + ra*rapid.SampledFrom([]float64{-1, 0, 1}).Draw(t, "x")
		y := s.Value(b, &tau) + rb*rapid.SampledFrom([]float64{-1, 0, 1}).Draw(t, "y")
		if off := math.Abs(k*x*y - s.Value(c, &tau)); off > rad+1e-13*sizeOf(a)*sizeOf(b) {
			t.Fatalf("off by %v, radius %v", off, rad)
		}
	})
}

// TestAgreesWithExpr compares sums at the centre of a box with the graph's own evaluation, rates included.
func TestAgreesWithExpr(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := &expr.Graph{}
		sum := drawSum(t, g, 1)
		rate := g.Unary(expr.Rate, sum)
		again := g.Unary(expr.Rate, rate)
		v := expr.Resolve(g, nil)
		b := NewBuilder()
		in := [6]Slot{b.Input(), b.Input(), b.Input(), b.Input(), b.Input(), b.Input()}
		c := Compiler{Builder: b, Values: v, Point: func(int) (Slot, Slot, bool) { return in[0], in[1], true },
			Rate: func(_, order int) (Slot, Slot, bool) { return in[2*order], in[2*order+1], true }}
		f, err := c.Sum(sum)
		if err != nil {
			refused(t, v, err)
			return
		}
		df, err := c.Sum(rate)
		if err != nil {
			t.Fatal(err)
		}
		ddf, err := c.Sum(again)
		if err != nil {
			t.Fatal(err)
		}
		st := NewState(&b.Tape, For(1, 2))
		// The graph's own rates are sums of products that may cancel: at 1e-8, say, they are right to 1e-8 only, and at zero, where
		// some parts have none, they have none.
		rated := true
		drawn := func(most float64, name string) float64 {
			v := rapid.Float64Range(-most, most).Draw(t, name)
			rated = rated && math.Abs(v) >= 1e-6
			return v
		}
		at := expr.Context{Turn: drawn(4, "turn"), Travel: []float64{1.25, -0.5}}
		val := func(name string) []float64 { return []float64{drawn(5, name)} }
		at.X, at.Y, at.DX, at.DY = val("x"), val("y"), val("dx"), val("dy")
		at.DDX, at.DDY = val("ddx"), val("ddy")
		at.Heading = make([]float64, len(g.Headings)) // near zero
		for _, h := range c.Headings() {
			st.Near(h.Slot, 0)
		}
		for i, x := range [][]float64{at.X, at.Y, at.DX, at.DY, at.DDX, at.DDY} {
			st.Poly(in[i])[0] = x[0]
		}
		st.Place(&Box{Mid: []float64{at.Turn, 1.25, -0.5}, Half: make([][MaxVars]float64, 3)}, 0, Slot(b.Len()))
		if !st.Fill(0, Slot(b.Len())) {
			return
		}
		e := expr.NewEval(v)
		near := func(s Slot, want float64) {
			if got := st.Poly(s)[0]; !(math.Abs(got-want) <= st.Rad(s)+1e-9*(1+math.Abs(want))) {
				t.Fatalf("got %v ± %v want %v", got, st.Rad(s), want)
			}
		}
		near(f, e.At(sum, &at))
		if rated && st.Rad(df) < 1e-6 { // not on a kink
			near(df, e.At(rate, &at))
		}
		if rated && st.Rad(df) < 1e-6 && st.Rad(ddf) < 1e-6 {
			near(ddf, e.At(again, &at))
		}
	})
}

// TestRadiusFallsWithOrder checks that an enclosure is worth having: the radius of a smooth sum falls by about the size of the
// box for each order more.
func TestRadiusFallsWithOrder(t *testing.T) {
	g := &expr.Graph{}
	turn := g.Turn()
	x := g.Add(g.Const(2), g.Unary(expr.Cos, turn))
	sum := g.Div(g.Unary(expr.Sqrt, x), g.Binary(expr.Hypot, x, g.Unary(expr.Sin, turn)))
	sum = g.Add(sum, g.Binary(expr.Heading, g.Unary(expr.Sin, turn), x))
	v := expr.Resolve(g, nil)
	b := NewBuilder()
	c := Compiler{Builder: b, Values: v}
	f, err := c.Sum(sum)
	if err != nil {
		t.Fatal(err)
	}
	last := math.Inf(1)
	for order := 1; order <= MaxOrder; order++ {
		st := NewState(&b.Tape, For(1, order))
		st.Place(&Box{Mid: []float64{1}, Half: [][MaxVars]float64{{0.05}}}, 0, Slot(b.Len()))
		if !st.Fill(0, Slot(b.Len())) {
			t.Fatal("not enclosed")
		}
		if r := st.Rad(f); r > last*0.2 && r > 1e-12 {
			t.Errorf("order %d: radius %g after %g", order, r, last)
		} else {
			last = r
		}
	}
	if last > 1e-9 {
		t.Errorf("radius %g at order %d", last, MaxOrder)
	}
}

// TestSubstitute compares a polynomial with another in the place of its first coordinate with the value at that coordinate. What overflows
// must show where the radius is left out.
func TestSubstitute(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 23))
	beyond := 0
	for range 300 {
		s := ForSizes(1+rng.IntN(3), Weight+rng.IntN(MaxOrder-Weight+1), rng.IntN(4))
		c, x := make([]float64, s.N), make([]float64, s.N)
		for i := range c {
			c[i] = rng.NormFloat64()
			if s.Powers[i][0] == 0 {
				x[i] = rng.NormFloat64() / float64(s.N)
			}
		}
		d := slices.Clone(c)
		rad := s.Substitute(d, x)
		for range 30 {
			var tau [MaxVars]float64
			dev := make([]float64, s.Devs)
			for k := range s.Vars {
				tau[k] = 2*rng.Float64() - 1
			}
			for k := range dev {
				dev[k] = 2*rng.Float64() - 1
			}
			at := tau
			at[0] = s.ValueOf(x, &tau, dev)
			off := math.Abs(s.ValueOf(d, &tau, dev) - s.ValueOf(c, &at, dev))
			if off > rad+1e-13*sizeOf(c) {
				t.Fatalf("order %d with %d deviations: off %v, said to be within %v", s.Order, s.Devs, off, rad)
			}
			if off > 1e-9*sizeOf(c) {
				beyond++
			}
		}
	}
	if beyond == 0 {
		t.Error("nothing overflows: the radius is not tried")
	}
}

// TestSubstitutePlane: along a slanting plane nothing overflows.
func TestSubstitutePlane(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpace(t)
		c := drawPoly(t, s, "c")
		x := make([]float64, s.N)
		left := 1.0
		for k := 1; k < s.Vars; k++ {
			x[1+k] = rapid.Float64Range(-left, left).Draw(t, "x")
			left -= math.Abs(x[1+k])
		}
		d := slices.Clone(c)
		lost := s.Substitute(d, x)
		tau := drawTau(t, s)
		in := tau
		in[0] = s.Value(x, &tau)
		// Coefficients may be so small that what is allowed for underflow is more than rounding.
		most := 1e-11*sizeOf(c) + float64(s.Order+1)*tiny
		if got, want := s.Value(d, &tau), s.Value(c, &in); math.Abs(got-want) > lost+1e-13*sizeOf(c) || lost > most {
			t.Fatalf("got %v to within %v, want %v", got, lost, want)
		}
	})
}

// TestSteepness: the slope along the first coordinate, from differences, is as far from that at the centre as is said.
func TestSteepness(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 24))
	tight := 0
	for range 300 {
		s := For(1+rng.IntN(2), 2+rng.IntN(5))
		c := make([]float64, s.N)
		for i := range c {
			c[i] = rng.NormFloat64()
		}
		reach := 2 * rng.Float64()
		steep, strays := s.Steepness(c, reach)
		for range 50 {
			at := [MaxVars]float64{reach * (2*rng.Float64() - 1), 2*rng.Float64() - 1}
			to := at
			to[0] = reach * (2*rng.Float64() - 1)
			off := math.Abs((s.Value(c, &to)-s.Value(c, &at))/(to[0]-at[0]) - steep)
			if off > strays*(1+1e-9)+1e-12/math.Abs(to[0]-at[0]) {
				t.Fatalf("order %d, to %v: the slope is off by %v, said to be within %v", s.Order, reach, off, strays)
			}
			if off > strays/2 {
				tight++
			}
		}
	}
	if tight == 0 {
		t.Error("the slope is never near what is said")
	}
}
