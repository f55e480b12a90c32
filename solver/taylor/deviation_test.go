package taylor

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// sizedSpace is a space with the deviations of random sums: of every order from one that keeps their first power alone to one
// that keeps their squares and some of what those do with the turn.
func sizedSpace(vars, order int) *Space {
	return ForSizes(min(vars, 3), Weight-1+order, len(drawnSizes))
}

// TestNoSizeOutside draws sums of sizes too, runs them over boxes of every width, and samples: no value lies outside its
// enclosure.
func TestNoSizeOutside(t *testing.T) {
	tried, enclosed := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		tried++
		miss, ok := tryOne(t, sizedSpace)
		if ok {
			enclosed++
		}
		if miss != "" {
			t.Fatal(miss)
		}
	})
	if enclosed*5 < tried {
		t.Errorf("only %d of %d sums could be enclosed", enclosed, tried)
	}
}

// TestThirdOfOverflowIsNoticed leaves out a third of what overflows in products: samples must then be found outside.
func TestThirdOfOverflowIsNoticed(t *testing.T) {
	lossy := func(vars, order int) *Space {
		s := *sizedSpace(vars, order)
		s.kept = 2.0 / 3
		return &s
	}
	if !missed(t, lossy) {
		t.Error("sums without a third of what overflows passed")
	}
}

func drawSized(t *rapid.T) *Space {
	return ForSizes(rapid.IntRange(1, 3).Draw(t, "vars"), rapid.IntRange(Weight, MaxOrder).Draw(t, "order"), rapid.IntRange(1, 6).Draw(t, "devs"))
}

// drawPlace draws a place and deviations; those of a disc lie within it.
func drawPlace(t *rapid.T, s *Space, disc []bool) (tau [MaxVars]float64, dev []float64) {
	tau, dev = drawTau(t, s), make([]float64, s.Devs)
	for i := range dev {
		dev[i] = rapid.OneOf(rapid.Float64Range(-1, 1), rapid.SampledFrom([]float64{-1, 1})).Draw(t, "dev")
	}
	for i, d := range disc {
		if d {
			l := max(1, math.Hypot(dev[i], dev[i+1])*(1+1e-15))
			dev[i], dev[i+1] = dev[i]/l, dev[i+1]/l
		}
	}
	return tau, dev
}

// TestLeastOfIsBelow samples polynomials with deviations, in squares and in discs: none goes below its least value.
func TestLeastOfIsBelow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSized(t)
		c := drawPoly(t, s, "c")
		disc := make([]bool, s.Devs)
		for i := 0; i+1 < s.Devs; i++ {
			if disc[i] = rapid.Bool().Draw(t, "disc"); disc[i] {
				i++
			}
		}
		lo, _, dev := s.LeastOf(c, disc)
		for range 20 {
			tau, d := drawPlace(t, s, disc)
			if v := s.ValueOf(c, &tau, d); v < lo-1e-14*sizeOf(c) {
				t.Fatalf("%v at %v, %v: below %v", v, tau, d, lo)
			}
		}
		for i, d := range dev {
			if !(math.Abs(d) <= 1) || disc[i] && !(math.Hypot(d, dev[i+1]) <= 1+1e-12) {
				t.Fatalf("least with %v", dev)
			}
		}
	})
}

// TestLeastOfBesideDiscs: a deviation that is set after the discs adds what it does together with a disc that is at no rim. With
// 10 x1 + d + 3 d x1 + 1.5 d x3, x1 and x3 in discs, -13.5 is had at d = 1, x1 = x3 = -1. Random
// polynomials seldom come to it.
func TestLeastOfBesideDiscs(t *testing.T) {
	s := ForSizes(1, MaxOrder, 5)
	c := make([]float64, s.N)
	set := func(a, b int16, v float64) {
		for i, p := range s.Powers {
			if p == [MaxVars]uint8{} && s.Dev[i] == [2]int16{a, b} {
				c[i] = v
			}
		}
	}
	set(-1, 1, 10)
	set(-1, 0, 1)
	set(0, 1, 3)
	set(0, 3, 1.5)
	lo, _, _ := s.LeastOf(c, []bool{false, true, false, true, false})
	var tau [MaxVars]float64
	if v := s.ValueOf(c, &tau, []float64{1, -1, 0, -1, 0}); v != -13.5 || !(lo <= v) {
		t.Errorf("least %v, and %v is had", lo, v)
	}
}

// TestLeastOfIsExact holds the bound against the closed form where the polynomial is a straight line in each deviation: the
// middle less the sizes of the slopes, and for a disc less the length of the two.
func TestLeastOfIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSized(t)
		c, disc := make([]float64, s.N), make([]bool, s.Devs)
		c[0] = rapid.Float64Range(-10, 10).Draw(t, "middle")
		want, slopes := c[0], make([]float64, s.Devs)
		for i := range slopes {
			slopes[i] = rapid.Float64Range(-3, 3).Draw(t, "slope")
			c[s.Deviation(i)] = slopes[i]
		}
		if disc[0] = s.Devs > 1; disc[0] {
			want -= math.Hypot(slopes[0], slopes[1])
			slopes = slopes[2:]
		}
		for _, v := range slopes {
			want -= math.Abs(v)
		}
		if lo, at, dev := s.LeastOf(c, disc); math.Abs(lo-want) > 1e-11 || math.Abs(s.ValueOf(c, &at, dev)-want) > 1e-11 {
			t.Fatalf("%v with %v, want %v", lo, dev, want)
		}
	})
}

// TestShiftSized compares a polynomial with deviations over a part of its box with the polynomial itself.
func TestShiftSized(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSized(t)
		c := drawPoly(t, s, "c")
		var mid, half, in [MaxVars]float64
		for k := range s.Vars {
			mid[k] = rapid.Float64Range(-1, 1).Draw(t, "mid")
			half[k] = rapid.Float64Range(0, 1-math.Abs(mid[k])).Draw(t, "half")
		}
		d := make([]float64, s.N)
		lost := s.Shift(d, c, &mid, &half)
		tau, dev := drawPlace(t, s, nil)
		for k := range in {
			in[k] = mid[k] + half[k]*tau[k]
		}
		if got, want := s.ValueOf(d, &tau, dev), s.ValueOf(c, &in, dev); math.Abs(got-want) > lost+1e-13*sizeOf(c) {
			t.Fatalf("got %v want %v", got, want)
		}
	})
}

// TestAddTimesSized multiplies two polynomials with deviations and radii, and samples the product.
func TestAddTimesSized(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSized(t)
		a, b := drawPoly(t, s, "a"), drawPoly(t, s, "b")
		c := make([]float64, s.N)
		rad := s.AddTimes(c, a, b, 0.01, 0.02, 1)
		tau, dev := drawPlace(t, s, nil)
		x := s.ValueOf(a, &tau, dev) + 0.01*rapid.Float64Range(-1, 1).Draw(t, "x")
		y := s.ValueOf(b, &tau, dev) + 0.02*rapid.Float64Range(-1, 1).Draw(t, "y")
		if off := math.Abs(x*y - s.ValueOf(c, &tau, dev)); off > rad+1e-13*sizeOf(a)*sizeOf(b) {
			t.Fatalf("off by %v, radius %v", off, rad)
		}
	})
}

// TestLeastWithGiven samples polynomials whose deviations are given but for those in discs: none goes below its least value with these
// sizes, nor below the straight line under it, and without discs the least is that of the polynomial with the sizes put in.
func TestLeastWithGiven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSized(t)
		c := drawPoly(t, s, "c")
		disc := make([]bool, s.Devs)
		if s.Devs > 1 {
			disc[0] = rapid.Bool().Draw(t, "disc")
		}
		_, given := drawPlace(t, s, disc)
		lo, _, with := s.LeastWith(c, given, disc)
		line := s.LineBelow(c, disc)
		below := line.Lo
		for i, x := range given {
			below += line.Slope[i] * x
		}
		// Of several coordinates the least is not exact, and may lie lower.
		if below > lo+1e-13*sizeOf(c) && !disc[0] && s.Vars == 1 {
			t.Fatalf("the line is at %v, and the least at %v", below, lo)
		}
		for range 20 {
			tau, d := drawPlace(t, s, disc)
			for i := range d {
				if !disc[i] && (i == 0 || !disc[i-1]) {
					if d[i] = given[i]; with[i] != given[i] {
						t.Fatalf("with %v, given %v", with, given)
					}
				}
			}
			if v := s.ValueOf(c, &tau, d); v < lo-1e-14*sizeOf(c) || v < below-1e-14*sizeOf(c) {
				t.Fatalf("%v at %v, %v: below %v or %v", v, tau, d, lo, below)
			}
		}
	})
}

// TestBelowLeavesNothingOut samples polynomials with deviations: wherever one is below a limit, its deviations lie in the cut that
// Below gives. Cuts of half the length must be noticed.
func TestBelowLeavesNothingOut(t *testing.T) {
	cuts, noticed := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		s := drawSized(t)
		c := drawPoly(t, s, "c")
		for i := range s.Devs {
			c[s.Deviation(i)] *= rapid.SampledFrom([]float64{1, 30, 1000}).Draw(t, "more")
		}
		disc := make([]bool, s.Devs)
		if s.Devs > 1 {
			disc[0] = rapid.Bool().Draw(t, "disc")
		}
		lo, at, dev := s.LeastOf(c, disc)
		limit := lo + rapid.SampledFrom([]float64{0, 0.1, 0.3, 0.6, 1, 2}).Draw(t, "above")*sizeOf(c)/4
		cut, ok := s.Below(c, disc, lo, limit)
		for range 20 {
			tau, d := drawPlace(t, s, disc)
			only := rapid.IntRange(-1, s.Devs-1).Draw(t, "only") // is off from where the least is, and nothing else; all are for -1
			if only >= 0 {
				tau = at
			}
			for i := range d { // near the least more often than anywhere
				switch {
				case disc[i] || i > 0 && disc[i-1]:
				case only >= 0 && i != only:
					d[i] = dev[i]
				case only >= 0:
					share := rapid.SampledFrom([]float64{0, 0.3, 0.6, 0.8, 0.95}).Draw(t, "share") // of the cut
					d[i] = dev[i] - math.Copysign(2*share*cut.Half[i], cut.Mid[i])
				case rapid.Bool().Draw(t, "near"):
					d[i] = dev[i] + d[i]*cut.Half[i]*2
				}
				if !disc[i] && (i == 0 || !disc[i-1]) {
					d[i] = max(-1, min(1, d[i]))
				}
			}
			if s.ValueOf(c, &tau, d) >= limit-1e-13*sizeOf(c) {
				continue
			}
			if !ok {
				t.Fatalf("below %v at %v, %v", limit, tau, d)
			}
			for i, x := range d {
				off := math.Abs(x - cut.Mid[i])
				if off > cut.Half[i] {
					t.Fatalf("below %v at %v with %v, outside of %v ± %v", limit, tau, d, cut.Mid[i], cut.Half[i])
				}
				if cut.Half[i] < 0.999 {
					if cuts++; math.Signbit(x-cut.Mid[i]) == math.Signbit(-cut.Mid[i]) {
						noticed++
					}
				}
			}
		}
	})
	if cuts == 0 || noticed == 0 {
		t.Errorf("%d places in cuts, %d that a shorter cut leaves out", cuts, noticed)
	}
}

// TestNarrow compares a polynomial over a stretch of each deviation with the polynomial itself.
func TestNarrow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSized(t)
		c := drawPoly(t, s, "c")
		cut := Cut{Mid: make([]float64, s.Devs), Half: make([]float64, s.Devs)}
		for i := range cut.Mid {
			cut.Mid[i] = rapid.Float64Range(-1, 1).Draw(t, "mid")
			cut.Half[i] = rapid.Float64Range(0, 1-math.Abs(cut.Mid[i])).Draw(t, "half")
		}
		d := make([]float64, s.N)
		lost := s.Narrow(d, c, &cut)
		tau, dev := drawPlace(t, s, nil)
		in := make([]float64, s.Devs)
		for i := range in {
			in[i] = cut.Mid[i] + cut.Half[i]*dev[i]
		}
		if got, want := s.ValueOf(d, &tau, dev), s.ValueOf(c, &tau, in); math.Abs(got-want) > lost+1e-13*sizeOf(c) {
			t.Fatalf("got %v want %v", got, want)
		}
	})
}

// TestProducts compares products with those of all pairs of monomials, and a product at a place with that of the
// values there, which is off by no more than the radius.
func TestProducts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSized(t)
		a, b := drawPoly(t, s, "a"), drawPoly(t, s, "b")
		if rapid.Bool().Draw(t, "still") {
			clear(b[1:])
		}
		k := rapid.SampledFrom([]float64{1, -1, 0.5}).Draw(t, "k")
		got, want := make([]float64, s.N), make([]float64, s.N)
		off := s.AddTimes(got, a, b, 0, 0, k)
		for i, x := range a {
			for j, y := range b {
				if at, ok := s.place[s.at(i).times(s.at(j))]; ok && (s.Dev[i][0] < 0 && s.Dev[j][0] < 0 || s.Dev[i][1] < 0 || s.Dev[j][1] < 0) {
					want[at] += k * x * y
				}
			}
		}
		for i := range want {
			if math.Abs(got[i]-want[i]) > 1e-13*sizeOf(a)*sizeOf(b) {
				t.Fatalf("coefficient %d is %v, not %v", i, got[i], want[i])
			}
		}
		tau, dev := drawPlace(t, s, nil)
		if d := s.ValueOf(got, &tau, dev) - k*s.ValueOf(a, &tau, dev)*s.ValueOf(b, &tau, dev); math.Abs(d) > off*(1+1e-12)+1e-13*sizeOf(a)*sizeOf(b) {
			t.Fatalf("off by %v, radius %v", d, off)
		}
	})
}

// TestFew takes some of the deviations of a polynomial that has no others: its values are the same.
func TestFew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSized(t)
		f := s.Few(rapid.Uint64Range(0, 1<<s.Devs-1).Draw(t, "set"))
		c := drawPoly(t, s, "c")
		in := make([]bool, s.Devs)
		for _, d := range f.Devs {
			in[d] = true
		}
		for i := range c {
			for _, d := range s.Dev[i] {
				if d >= 0 && !in[d] {
					c[i] = 0
				}
			}
		}
		tau, dev := drawPlace(t, s, nil)
		some := f.Of(dev)
		if got, want := f.Space.ValueOf(f.Less(c), &tau, some), s.ValueOf(c, &tau, f.Among(some)); math.Abs(got-want) > 1e-13*sizeOf(c) {
			t.Fatalf("got %v want %v", got, want)
		}
	})
}
