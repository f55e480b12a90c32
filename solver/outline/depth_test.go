package outline

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/plane"
	"barover/solver/trial/draws"
)

// bulged draws a random convex outline: a polygon round a circle whose sides may be arcs, or a simple shape.
func bulged(d *draft, rnd *rand.Rand) []Shape {
	s := sketcher{rnd, false}
	switch rnd.IntN(4) {
	case 0:
		return []Shape{d.disc(s.between(-3, 3), 0, s.between(2, 20))}
	case 1:
		w := s.between(2, 12)
		return []Shape{d.strip(s.between(-9, 0), 0, s.between(1, 20), 5, w, w, true)}
	}
	n := 3 + rnd.IntN(8)
	at := make([]plane.Vec, n)
	for i := range at {
		at[i] = plane.Polar((float64(i) + 0.6*rnd.Float64()) * 2 * math.Pi / float64(n)).Scale(10)
	}
	var legs []leg
	for i := range at {
		p := at[(i+1)%n]
		l := leg{x: p.X, y: p.Y}
		if rnd.IntN(2) == 0 {
			l.r = 10 + 10*rnd.Float64() // flatter than the circle, so that corners stay corners
		}
		legs = append(legs, l)
	}
	return []Shape{d.path(at[0].X, at[0].Y, legs...)}
}

// reachIn returns how far an outline reaches in the direction n, from the places of its boundary alone.
func reachIn(r *Region, at plane.Placement, n plane.Vec) float64 {
	n = n.Against(at.Dir)
	best := math.Inf(-1)
	for i := range r.edges {
		e := &r.edges[i]
		best = math.Max(best, math.Max(e.A.Dot(n), e.B.Dot(n)))
		if e.R == 0 {
			continue
		}
		// The farthest place of the circle counts if it lies on the arc, by headings.
		c := e.C.Add(n.Scale(e.R))
		h := math.Mod(math.Atan2(c.Y-e.C.Y, c.X-e.C.X)-math.Atan2(e.A.Y-e.C.Y, e.A.X-e.C.X)+4*math.Pi, 2*math.Pi)
		if h <= e.Turn {
			best = math.Max(best, c.Dot(n))
		}
	}
	return best + at.Origin.Dot(n.Times(at.Dir))
}

// shiftOver returns the shortest shift that parts two convex outlines by trying directions, then narrowing the best.
func shiftOver(a *Region, pa plane.Placement, b *Region, pb plane.Placement) float64 {
	shift := func(h float64) float64 {
		n := plane.Polar(h)
		return reachIn(a, pa, n) + reachIn(b, pb, n.Scale(-1))
	}
	const tries = 1000
	const step = 2 * math.Pi / tries
	best := math.Inf(1)
	for k := range tries {
		h := float64(k) * step
		if s := shift(h); s < best+0.2 {
			lo, hi := h-step, h+step
			for range 60 {
				x, y := lo+(hi-lo)/3, hi-(hi-lo)/3
				if shift(x) < shift(y) {
					hi = y
				} else {
					lo = x
				}
			}
			best = math.Min(best, math.Min(s, shift(lo)))
		}
	}
	return best
}

// TestDepthOfConvex compares the depth of random convex outlines with the shortest shift found by trying all directions.
func TestDepthOfConvex(t *testing.T) {
	t.Logf("seed %d", *seed)
	rnd := rand.New(rand.NewPCG(*seed, 3))
	worst, n := 0.0, 0
	for n < draws.Of(40) {
		d := &draft{}
		a, b := d.build(t, bulged(d, rnd)...), d.build(t, bulged(d, rnd)...)
		if !a.Convex() || !b.Convex() {
			t.Fatalf("a convex outline in %d and %d pieces", len(a.Pieces), len(b.Pieces))
		}
		pa, pb := placed(0, 0, rnd.Float64()*6), placed(rnd.Float64()*20-10, rnd.Float64()*20-10, rnd.Float64()*6)
		near := Distance(a, pa, b, pb)
		if near.D >= 0 {
			continue
		}
		n++
		checkNear(t, "convex pair", near)
		for range 20 {
			u := plane.Polar(rnd.Float64() * 7)
			if got, want := a.Pieces[0].Support(u), reachIn(a, plane.Fixed, u); math.Abs(got-want) > 1e-12 {
				t.Errorf("reaches %.15g in the direction %v, by its places %.15g", got, u, want)
			}
		}
		e := math.Abs(near.D + shiftOver(a, pa, b, pb))
		if worst = math.Max(worst, e); e > 1e-9 {
			t.Errorf("depth %.12g, by trying directions %.12g", -near.D, shiftOver(a, pa, b, pb))
		}
		// Shifted by the depth they touch; the boundaries say so on their own.
		pb.Origin = pb.Origin.Add(near.Normal.Scale(-near.D))
		if g := boundaries(a, b, pa.Seen(pb)); !g.cross && g.d > 1e-7 {
			t.Errorf("shifted by its depth %g they are %g apart", -near.D, g.d)
		}
		pb.Origin = pb.Origin.Add(near.Normal.Scale(1e-6))
		if g := boundaries(a, b, pa.Seen(pb)); g.cross || math.Abs(g.d-1e-6) > 1e-9 {
			t.Errorf("shifted a millionth farther they are %g apart, crossing %v", g.d, g.cross)
		}
	}
	t.Logf("greatest difference %.2g mm in %d pairs", worst, n)
}

// TestConvexApart compares the two ways in which the distance of convex outlines can be had: by directions and by edges.
func TestConvexApart(t *testing.T) {
	rnd := rand.New(rand.NewPCG(*seed, 4))
	for range draws.Of(2000) {
		d := &draft{}
		a, b := d.build(t, bulged(d, rnd)...), d.build(t, bulged(d, rnd)...)
		at := placed(rnd.Float64()*60-30, rnd.Float64()*60-30, rnd.Float64()*6)
		n, g := Distance(a, plane.Fixed, b, at), boundaries(a, b, at)
		if g.cross != (n.D < 0 && !nested(a, b, at) || g.cross) || n.D > 0 && math.Abs(n.D-g.d) > 1e-10 {
			t.Errorf("by directions %.14g, by edges %.14g, crossing %v", n.D, g.d, g.cross)
		}
	}
}

// TestDepthOfHoles holds depths of outlines with holes that can be told by hand.
func TestDepthOfHoles(t *testing.T) {
	tests := []struct {
		name string
		a, b func(d *draft) []Shape
		want float64
	}{
		{"pin running into its eye", eye(0), one(disc(0.3, 0, 12)), 6.05 - 6 - 0.3},
		{"pin running far into its eye", eye(0), one(disc(3, 0, 12)), 6.05 - 6 - 3},
		{"pin running into its eye on the open side", eye(0), one(disc(-0.6, 0.8, 12)), 6.05 - 6 - 1},
		{"the eye's rim in a block from outside", eye(0), one(box(-30, -30, -11.5, 30)), -0.5},
		{"pin bigger than the hole", eye(0), one(disc(0, 0, 13)), -0.45},
		{"block across a window's edge", func(d *draft) []Shape {
			return []Shape{d.box(0, 0, 40, 30), hole(d.box(10, 10, 30, 20))}
		}, one(box(12, 12, 31, 18)), -1},
		{"die in a slot, its round end touching by 0.1", func(d *draft) []Shape {
			return []Shape{d.box(0, 0, 60, 20), hole(d.strip(15, 10, 45, 10, 8, 8, true))}
		}, one(strip(30, 10, 45.1, 10, 8)), -0.1},
		{"ring in a ring, running into it", func(d *draft) []Shape { return []Shape{d.disc(0, 0, 40), hole(d.disc(0, 0, 30))} },
			func(d *draft) []Shape { return []Shape{d.disc(6, 0, 20), hole(d.disc(6, 0, 10))} }, 15 - 10 - 6},
	}
	for _, c := range tests {
		d := &draft{}
		a, b := d.build(t, c.a(d)...), d.build(t, c.b(d)...)
		n, m := between(a, b), between(b, a)
		if math.Abs(n.D-c.want) > 1e-9 || math.Abs(m.D-c.want) > 1e-9 {
			t.Errorf("%s: %.12g, swapped %.12g, want %.12g", c.name, n.D, m.D, c.want)
		}
		checkNear(t, c.name, n)
	}
}

// TestContinuity moves random outlines through one another and looks for jumps: where a step changes the distance by more
// than the motion, it is halved until the change is too small to be a jump.
func TestContinuity(t *testing.T) {
	t.Logf("seed %d", *seed)
	rnd := rand.New(rand.NewPCG(*seed, 5))
	touches := 0
	for _, grid := range []bool{false, true} {
		set := profiles(40, grid)
		for range draws.Of(200) {
			a, b := set[rnd.IntN(len(set))], set[rnd.IntN(len(set))]
			if a.err != nil || b.err != nil {
				t.Fatalf("cannot be made: %v %v", a.err, b.err)
			}
			from := plane.Vec{X: rnd.Float64()*80 - 40, Y: rnd.Float64()*80 - 40}
			h0, dh := rnd.Float64()*6, rnd.Float64()*2-1
			at := func(k float64) float64 {
				return Distance(a.Region, plane.Fixed, b.Region, plane.Placement{Origin: from.Scale(1 - 2*k), Dir: plane.Polar(h0 + k*dh)}).D
			}
			const steps = 120
			last := at(0)
			for i := 1; i <= steps; i++ {
				d := at(float64(i) / steps)
				if (d < 0) != (last < 0) {
					touches++
				}
				if x, y, jump := jumps(at, float64(i-1)/steps, float64(i)/steps); jump {
					t.Fatalf("from %.9g to %.9g at once%s\nand%s", x, y, a.describe(), b.describe())
				}
				last = d
			}
		}
	}
	t.Logf("%d touches", touches)
	if touches < draws.Of(100) {
		t.Errorf("only %d touches on the way", touches)
	}
}

// jumps reports whether at changes by a jump between lo and hi. A continuous figure changes little over 1e-10 of the way,
// even where it grows like a root.
func jumps(at func(float64) float64, lo, hi float64) (x, y float64, jump bool) {
	x, y = at(lo), at(hi)
	for hi-lo > 1e-10 {
		m := (lo + hi) / 2
		z := at(m)
		if math.Abs(x-z) >= math.Abs(y-z) {
			hi, y = m, z
		} else {
			lo, x = m, z
		}
		if math.Abs(x-y) < 200*(hi-lo) {
			return x, y, false
		}
	}
	return x, y, math.Abs(x-y) > 1e-3
}
