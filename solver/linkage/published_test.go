package linkage

import (
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
)

// fourBar is a crank a, coupler b and rocker c over a ground d on +x, with the rocker pin looked for near a place.
func fourBar(a, b, c, d, u, v float64) (*draft, int, int) {
	s := newDraft()
	o := s.fixed("o", 0, 0)
	r := s.fixed("r", d, 0)
	p := s.found("crankpin")
	q := s.near("rockerpin", u, v)
	s.crank(o, p, a)
	s.length(p, q, s.num(b))
	s.length(r, q, s.num(c))
	s.rod("coupler", p, q)
	s.rod("rocker", r, q)
	return s, p, q
}

func degrees(d plane.Vec) float64 { return math.Atan2(d.Y, d.X) / deg }

// R. L. Norton, Design of Machinery, worked example of a four-bar, quoted from memory: it prints 20.30, 57.33, -60.98 and
// -98.01, with a slip in the last digit. Both circuits, recomputed to 30 digits.
func TestFourBarBothCircuits(t *testing.T) {
	for _, c := range []struct {
		name       string
		u, v       float64
		th3, th4   float64
		coupler, r int
	}{
		{"open", 140, 60, 20.29788278, 57.32488007, 1, 2},
		{"crossed", 90, -80, -60.97796680, -98.00496408, 1, 2},
	} {
		s, _, _ := fourBar(40, 120, 80, 100, c.u, c.v)
		mo := s.motion(t, 40, 400, 1)
		p := pose(t, mo, 40)
		wantNumber(t, c.name+" θ3", degrees(p.Part[c.coupler].Dir), c.th3, 1e-7)
		wantNumber(t, c.name+" θ4", degrees(p.Part[c.r].Dir), c.th4, 1e-7)
		p = pose(t, mo, 400)
		wantNumber(t, c.name+" θ3 after a turn", degrees(p.Part[c.coupler].Dir), c.th3, 1e-7)
		if b := mo.Broken(); len(b) > 0 {
			t.Errorf("%s: broken %v", c.name, b)
		}
	}
}

// offsetCrank is a slider-crank whose slide lies at height c.
func offsetCrank(a, b, c, near float64) (*draft, int, int) {
	s := newDraft()
	o := s.fixed("o", 0, 0)
	p := s.found("crankpin")
	x := s.near("crosspin", near, c)
	q := s.fixed("", 0, c)
	s.crank(o, p, a)
	s.length(p, x, s.num(b))
	s.slide(x, s.line("bore", q, expr.None))
	return s, p, x
}

// R. L. Norton, Design of Machinery, worked example of an offset slider-crank, quoted from memory: it prints 152.91 and
// 126.84. Both circuits, recomputed to 30 digits. Then the numbers of an examination problem on Newton's method, which
// prints no answer, by closed form.
func TestOffsetSliderCrank(t *testing.T) {
	s, c, x := offsetCrank(40, 120, -20, 126)
	p := pose(t, s.motion(t, 0, 360, 1), 60)
	wantNumber(t, "offset open d", p.Point[x].X, 126.83800519, 1e-7)
	wantNumber(t, "offset open θ3", degrees(p.Point[c].Sub(p.Point[x])), 152.91307152, 1e-7)
	s, c, x = offsetCrank(40, 120, -20, -90)
	p = pose(t, s.motion(t, 0, 360, 1), 60)
	wantNumber(t, "offset crossed d", p.Point[x].X, -86.83800519, 1e-7)
	wantNumber(t, "offset crossed θ3", degrees(p.Point[c].Sub(p.Point[x])), 27.08692848, 1e-7)
	s, _, x = offsetCrank(2, 11, 1, 10)
	wantNumber(t, "slide line above", pose(t, s.motion(t, 0, 360, 1), 120).Point[x].X, 9.975613952, 1e-8)
	s, _, x = offsetCrank(2, 11, -1, 10)
	wantNumber(t, "slide line below", pose(t, s.motion(t, 0, 360, 1), 120).Point[x].X, 9.655322538, 1e-8)
}

// A course worksheet prints 0.378 and 9.744 for rod and slider speed at 45°.
func TestSliderCrankSpeeds(t *testing.T) {
	s, c, x := offsetCrank(10, 20, 0, 25)
	mo := s.motion(t, 0, 360, 1)
	p := pose(t, mo, 45)
	var r expr.Context
	mo.Rates(p, &r)
	d := p.Point[c].Sub(p.Point[x])
	wantNumber(t, "pin", p.Point[x].X, 25.779355, 1e-6)
	wantNumber(t, "slider speed", -r.DX[x], 9.743680, 1e-6)
	v := plane.Vec{X: r.DX[c] - r.DX[x], Y: r.DY[c] - r.DY[x]}
	wantNumber(t, "rod speed", math.Abs(d.Cross(v)/d.Dot(d)), math.Sqrt(1.0/7), 1e-9)
}

// Kennedy and Aronhold's theorem of three centres, for Norton's four-bar,
// recomputed to 18 digits.
func TestFourBarSpeeds(t *testing.T) {
	for _, c := range []struct {
		name   string
		u, v   float64
		w3, w4 float64
	}{
		{"open", 140, 60, -0.1648365766, 0.2799194097},
		{"crossed", 90, -80, -0.3703508920, -0.8151068783},
	} {
		s, b, q := fourBar(40, 120, 80, 100, c.u, c.v)
		mo := s.motion(t, 40, 400, 1)
		p := pose(t, mo, 40)
		var r expr.Context
		mo.Rates(p, &r)
		d, v := p.Point[q].Sub(p.Point[b]), plane.Vec{X: r.DX[q] - r.DX[b], Y: r.DY[q] - r.DY[b]}
		wantNumber(t, c.name+" ω3", d.Cross(v)/d.Dot(d), c.w3, 1e-9)
		d, v = p.Point[q].Sub(plane.Vec{X: 100}), plane.Vec{X: r.DX[q], Y: r.DY[q]}
		wantNumber(t, c.name+" ω4", d.Cross(v)/d.Dot(d), c.w4, 1e-9)
	}
}

// The oscillating cylinder, crank 10 and trunnion at 40, closed form by complex arithmetic.
func TestOscillatingCylinder(t *testing.T) {
	s := newDraft()
	o, tr := s.fixed("o", 0, 0), s.fixed("trunnion", 40, 0)
	c := s.found("crankpin")
	s.crank(o, c, 10)
	cyl := s.rod("cylinder", tr, c)
	s.onPart("cover", cyl, s.num(5), s.num(3))
	mo := s.motion(t, 0, 360, 1)
	for _, w := range []struct{ crank, swing, length float64 }{
		{75.52248781, 14.47751219, 38.72983346}, {90, 14.03624347, 41.23105626}, {30, 9.064678389, 31.73609423},
		{120, 10.89339465, 45.82575695},
	} {
		p := pose(t, mo, w.crank)
		wantNumber(t, "swing", degrees(p.Part[cyl].Dir.Scale(-1)), -w.swing, 1e-7)
		wantNumber(t, "length", p.Point[c].Sub(p.Point[tr]).Len(), w.length, 1e-7)
	}
}

// Peaucellier and Lipkin's exact straight line: a theorem in A. B. Kempe, How to Draw a Straight Line, 1877, quoted from
// memory.
func TestPeaucellier(t *testing.T) {
	s := newDraft()
	o, c := s.fixed("o", 0, 0), s.fixed("c", 40, 0)
	p := s.found("p")
	s.crank(c, p, 40)
	a, b, q := s.near("a", 85, 50), s.near("b", 85, -50), s.near("q", 94, 0)
	for _, x := range []int{a, b} {
		s.length(o, x, s.num(100))
		s.length(p, x, s.num(50))
		s.length(q, x, s.num(50))
	}
	mo := s.motion(t, 0, 100, 1)
	for turn := 0.0; turn <= 100; turn += 2.5 {
		z := pose(t, mo, turn)
		wantNumber(t, "Q.x", z.Point[q].X, 93.75, 1e-8)
		wantNumber(t, "OP·OQ", z.Point[p].Len()*z.Point[q].Len(), 7500, 1e-6)
	}
	wantPlace(t, "Q at 0", pose(t, mo, 0).Point[q], 93.75, 0, 1e-8)
	wantNumber(t, "Q.y at 100°", pose(t, mo, 100).Point[q].Y, 111.7268993, 1e-7)
}

// Hart's contraparallelogram inversor: H. Hart 1874, a theorem in Kempe's book of 1877, quoted from memory.
func TestHart(t *testing.T) {
	s := newDraft()
	a, b := s.fixed("a", -40, 0), s.fixed("b", 60, 0)
	d := s.found("d")
	s.crank(a, d, 60)
	// C is the mirror image of A about the bisector of BD: found here from the theorem, to 0.1 mm.
	c := s.near("c", 18.9, -43.8)
	s.length(b, c, s.num(60))
	s.length(d, c, s.num(100))
	p := s.onPart("p", s.rod("ad", a, d), s.num(24), s.num(0))
	q := s.onPart("q", s.rod("bc", b, c), s.num(36), s.num(0))
	mo := s.motion(t, 60, 150, 1)
	for turn := 60.0; turn <= 150; turn += 7.5 {
		z := pose(t, mo, turn)
		wantNumber(t, "OP·OQ", z.Point[p].Len()*z.Point[q].Len(), 1536, 1e-7)
		wantNumber(t, "O, P, Q in line", z.Point[p].Cross(z.Point[q]), 0, 1e-7)
	}
}

// Watt's curve, against its polar equation in any reference on plane curves, and his straight line of 1784, of which no
// published figure is known: circle intersection and a root agree.
func TestWatt(t *testing.T) {
	watt := func(x, y, lever, coupler, u, v float64) (*draft, int) {
		s := newDraft()
		l, r := s.fixed("left", -x, y), s.fixed("right", x, -y)
		a := s.found("a")
		b := s.near("b", u, v)
		s.crank(l, a, lever)
		s.length(a, b, s.num(coupler))
		s.length(r, b, s.num(lever))
		return s, s.onPart("m", s.rod("coupler", a, b), s.num(coupler/2), s.num(0))
	}
	s, m := watt(100, 0, 80, 80, 45, 58)
	wantPlace(t, "Watt's curve, upper", pose(t, s.motion(t, 10, 11, 1), 10).Point[m], 12.03479760, 36.12753962, 1e-7)
	s, m = watt(100, 0, 80, 80, 33, -44)
	wantPlace(t, "Watt's curve, lower", pose(t, s.motion(t, 10, 11, 1), 10).Point[m], 6.142132760, -15.28975830, 1e-7)
	s, m = watt(100, 20, 100, 40, 0, -20)
	mo := s.motion(t, 0, 25, 0.5)
	for _, w := range []struct{ lever, x, y float64 }{
		{10, 0.01036461491, 17.42339463}, {15, 0.08330368172, 26.18888883}, {20, 0.4003070660, 35.26417759},
	} {
		wantPlace(t, "Watt's line", pose(t, mo, w.lever).Point[m], w.x, w.y, 1e-7)
	}
}

// Chebyshev's 4:5:5:2, the proportions read as an excerpt of a general reference, and Hoecken's cognate of it of 1926 (Norton,
// chapter 3, from memory): the same height and the same deviation, by a root to 25 digits.
func TestChebyshevAndHoecken(t *testing.T) {
	s := newDraft()
	l, r := s.fixed("l", -2, 0), s.fixed("r", 2, 0)
	a, b := s.found("a"), s.near("b", -1, 4)
	s.crank(l, a, 5)
	s.length(a, b, s.num(2))
	s.length(r, b, s.num(5))
	m := s.onPart("m", s.rod("coupler", a, b), s.num(1), s.num(0))
	mid := math.Atan2(4, 3) / deg
	mo := s.motion(t, mid, mid+36, 0.25)
	wantPlace(t, "Chebyshev mid", pose(t, mo, mid).Point[m], 0, 4, 1e-9)
	top, at := 0.0, 0.0
	for turn := mid; turn <= mid+36; turn += 0.002 {
		if q := pose(t, mo, turn).Point[m]; math.Abs(q.X) <= 2 && q.Y > top {
			top, at = q.Y, math.Abs(q.X)
		}
	}
	wantNumber(t, "Chebyshev greatest rise", top-4, 0.009753733086, 1e-8)
	wantNumber(t, "Chebyshev where", at, 1.192424002, 1e-3)

	s = newDraft()
	o, d := s.fixed("o", 0, 0), s.fixed("d", 2, 0)
	c, q := s.found("c"), s.near("q", 1.5, 2.4)
	s.crank(o, c, 1)
	s.length(c, q, s.num(2.5))
	s.length(d, q, s.num(2.5))
	e := s.onPart("tracer", s.rod("coupler", c, q), s.num(5), s.num(0))
	mo = s.motion(t, 0, 360, 1)
	for _, w := range []struct{ crank, x, y float64 }{
		{0, 2, 4.898979486}, {90, 4, 4}, {180, 2, 4}, {270, 0, 4}, {135, 3.047255824, 4.009342604},
	} {
		wantPlace(t, "Hoecken", pose(t, mo, w.crank).Point[e], w.x, w.y, 1e-9)
	}
	// Both trace one curve, 2 apart (theorem of Roberts and Chebyshev): heights from both linkages, 15 digits.
	for _, w := range []struct{ crank, y float64 }{{150, 4.005931315}, {170, 4.000824043}, {200, 4.003038813}} {
		wantNumber(t, "both", pose(t, mo, w.crank).Point[e].Y, w.y, 1e-9)
	}
}

// jansen is the leg of T. Jansen's published numbers, with crank at the origin and leg to the left.
func jansen() (s *draft, foot int) {
	s = newDraft()
	o, y := s.fixed("o", 0, 0), s.fixed("y", -38, -7.8)
	z := s.found("z")
	s.crank(o, z, 15)
	join := func(name string, u, v float64, p int, lp float64, q int, lq float64) int {
		x := s.near(name, u, v)
		s.length(p, x, s.num(lp))
		s.length(q, x, s.num(lq))
		return x
	}
	w := join("w", -22, 32, z, 50, y, 41.5)
	v := join("v", -78, -2, w, 55.8, y, 40.1)
	u := join("u", -35, -46, z, 61.9, y, 39.3)
	k := join("k", -70, -41, v, 39.4, u, 36.7)
	return s, join("foot", -43, -92, k, 65.7, u, 49)
}

// Jansen's leg: its eleven published numbers; where the foot is, by circle intersections to 25 digits.
func TestJansen(t *testing.T) {
	s, foot := jansen()
	mo := s.motion(t, 0, 360, 1)
	for _, w := range []struct{ crank, x, y float64 }{
		{0, -43.16011052, -91.75693293}, {90, -7.689066231, -90.38935137}, {180, -33.72972954, -73.51709741},
		{270, -70.67056318, -89.64283680},
	} {
		wantPlace(t, "foot", pose(t, mo, w.crank).Point[foot], w.x, w.y, 1e-7)
	}
}

// Scott Russell's exact straight line: a theorem of every text.
func TestScottRussell(t *testing.T) {
	s := newDraft()
	o := s.fixed("o", 0, 0)
	c, b := s.found("c"), s.near("b", 98, 0)
	s.crank(o, c, 50)
	s.length(c, b, s.num(50))
	s.slide(b, s.line("axis", o, expr.None))
	a := s.onPart("a", s.rod("rod", c, b), s.num(-50), s.num(0))
	mo := s.motion(t, 10, 80, 1)
	for _, w := range []struct{ crank, y float64 }{{10, 17.36481777}, {45, 70.71067812}, {80, 98.48077530}} {
		wantPlace(t, "A", pose(t, mo, w.crank).Point[a], 0, w.y, 1e-8)
	}
}

// The trammel of Archimedes, a theorem: a rod on two slides, one of them driven.
func TestTrammel(t *testing.T) {
	s := newDraft()
	o := s.fixed("o", 0, 0)
	x := s.at("x", s.g.Mul(s.num(25), s.g.Unary(expr.Cos, s.turn())), s.num(0))
	y := s.near("y", 0, -10)
	s.slide(y, s.line("upright", o, s.num(math.Pi/2)))
	s.length(x, y, s.num(25))
	p := s.onPart("p", s.rod("rod", y, x), s.num(60), s.num(0))
	mo := s.motion(t, 30, 150, 1)
	wantPlace(t, "P", pose(t, mo, 30).Point[p], 51.96152423, 17.5, 1e-8)
	z := pose(t, mo, 77).Point[p]
	wantNumber(t, "ellipse", z.X*z.X/3600+z.Y*z.Y/1225, 1, 1e-10)
}

// The radial valve gear at its five settings of the die: valve travels known from an independent program.
func TestRadialGearValveTravels(t *testing.T) {
	s, valve := radialGear()
	l := s.assemble(t, 0, 0)
	for _, w := range []struct{ die, travel float64 }{{-14, 12.48}, {-7, 8.55}, {0, 7.17}, {7, 9.43}, {14, 13.78}} {
		mo, err := l.Follow(t.Context(), []float64{w.die}, 0, 360*deg, deg)
		if err != nil {
			t.Fatal(err)
		}
		lo, hi := math.Inf(1), math.Inf(-1)
		for turn := 0.0; turn <= 360; turn += 0.25 {
			x := pose(t, mo, turn).Point[valve].X
			lo, hi = min(lo, x), max(hi, x)
		}
		wantNumber(t, "valve travel", hi-lo, w.travel, 0.0051)
	}
}
