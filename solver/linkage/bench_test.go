package linkage

import (
	"context"
	"fmt"
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// The four problems by which speed is measured, each with its closed form, written from the intersections of circles
// and lines, as the reference line. ns/op is for one position.

// sliderCrank is P1: crank 22, rod 133.35, cross pin on the x axis.
func sliderCrank() *draft {
	s := newDraft()
	o := s.fixed("shaft", 0, 0)
	c := s.found("crankpin")
	x := s.near("crosspin", 150, 0)
	bore := s.line("bore", o, expr.None)
	s.crank(o, c, 22)
	s.length(c, x, s.num(133.35))
	s.slide(x, bore)
	return s
}

// fourBarWithPoint is P2: ground 100, crank 40, coupler 120, rocker 80, a point on the coupler.
func fourBarWithPoint() *draft {
	s := newDraft()
	a, d := s.fixed("a", 0, 0), s.fixed("d", 100, 0)
	b := s.found("b")
	c := s.near("c", 140, 60)
	p := s.near("p", 80, 90)
	s.crank(a, b, 40)
	s.length(b, c, s.num(120))
	s.length(d, c, s.num(80))
	s.length(b, p, s.num(72))
	s.length(c, p, s.num(68))
	return s
}

// radialGear is P3, the radial valve gear, with the die block's place as its travel. It returns the valve.
func radialGear() (s *draft, valve int) {
	s = newDraft()
	die := s.travel()
	o, tr := s.fixed("axle", 0, 0), s.fixed("trunnion", 75, 36)
	c := s.found("crankpin")
	x := s.near("crosspin", 155.35, 0)
	f := s.near("f", 75, 6)
	crank := s.rod("crank", o, c)
	e := s.onPart("e", crank, s.num(0), s.num(10))
	bore := s.line("bore", o, expr.None)
	s.crank(o, c, 22)
	s.length(c, x, s.num(133.35))
	s.slide(x, bore)
	s.length(f, tr, s.num(30))
	s.length(f, e, s.num(75.25))
	g := s.g
	alpha := g.Div(die, s.num(85))
	link := s.rod("link", tr, f)
	s.onPart("g", link, s.num(-20), s.num(0))
	// D = T + u(F − T) + v·J(F − T), in axes along T to F at length 30.
	u := g.Unary(expr.Neg, g.Mul(s.num(85), g.Unary(expr.Sin, alpha)))
	v := g.Mul(s.num(85), g.Sub(s.num(1), g.Unary(expr.Cos, alpha)))
	d := s.onPart("d", link, u, v)
	head := s.along("crosshead", x, bore)
	a := s.onPart("a", head, s.num(5), s.num(-10))
	s.onPart("piston", head, s.num(40), s.num(0))
	through := s.fixed("", 0, 43)
	spindle := s.line("spindle", through, expr.None)
	valve = s.near("v", 158, 43)
	s.slide(valve, spindle)
	low := s.near("u", 181, -3)
	s.length(low, valve, s.num(51))
	s.length(low, a, s.num(22))
	lever := s.rod("lever", valve, low)
	r := s.onPart("r", lever, s.num(7), s.num(0))
	s.length(r, d, s.num(85))
	rod := s.along("valverod", valve, spindle)
	s.onPart("valve", rod, s.num(35), s.num(0))
	return s, valve
}

// chain is P4: n four-bars, each driven by the follower of the one before.
func chain(n int) *draft {
	s := newDraft()
	at := plane.Vec{}
	a := s.fixed("a0", 0, 0)
	var b int
	for k := range n {
		if k == 0 {
			b = s.found("b0")
			s.crank(a, b, 100)
		}
		at = at.Add(plane.Vec{X: 40})
		d := s.fixed(fmt.Sprint("d", k), at.X, at.Y)
		c := s.found(fmt.Sprint("c", k))
		s.length(b, c, s.num(110))
		s.length(d, c, s.num(105))
		if k < n-1 {
			follower := s.rod(fmt.Sprint("follower", k), d, c)
			next := plane.Polar(137.507 * deg).Scale(100)
			b = s.onPart(fmt.Sprint("b", k+1), follower, s.num(next.X), s.num(next.Y))
		}
		_ = a
		a = d
	}
	s.hintChain()
	return s
}

// hintChain sets the hints of the free points of a chain by the closed form.
func (d *draft) hintChain() {
	pins := make([]plane.Vec, 0)
	closedChain(0, d.chainLength(), &pins)
	k := 0
	for i, p := range d.Points {
		if p.Kind == schedule.Found && p.Name[0] == 'c' {
			d.Points[i].U, d.Points[i].V = d.num(pins[k].X), d.num(pins[k].Y)
			k++
		}
	}
}

func (d *draft) chainLength() (n int) {
	for _, p := range d.Points {
		if p.Kind == schedule.Found && p.Name[0] == 'c' {
			n++
		}
	}
	return n
}

// circles returns the point at r from a and q from b, left of the way from a to b for side 1, right for -1.
func circles(a plane.Vec, r float64, b plane.Vec, q float64, side float64) plane.Vec {
	dx, dy := b.X-a.X, b.Y-a.Y
	d2 := dx*dx + dy*dy
	k := 0.5 * (d2 + r*r - q*q) / d2
	h := side * math.Sqrt(r*r/d2-k*k)
	return plane.Vec{X: a.X + k*dx - h*dy, Y: a.Y + k*dy + h*dx}
}

func closedSliderCrank(turn float64) float64 {
	s, c := math.Sincos(turn)
	y := 22 * s
	return 22*c + math.Sqrt(133.35*133.35-y*y)
}

func closedFourBar(turn float64) (c, p plane.Vec) {
	s, k := math.Sincos(turn)
	b := plane.Vec{X: 40 * k, Y: 40 * s}
	c = circles(b, 120, plane.Vec{X: 100}, 80, 1)
	return c, circles(b, 72, c, 68, 1)
}

// closedGear is P3. No formula of roots places the valve: lever, valve and lifting link hold one another. A hand would
// take the lever's angle for the one unknown, and start with it on a cubic through the positions before.
func closedGear(turn float64, die *closedDie) (x, valve float64) {
	s, k := math.Sincos(turn)
	c := plane.Vec{X: 22 * k, Y: 22 * s}
	x = c.X + math.Sqrt(133.35*133.35-c.Y*c.Y)
	e := plane.Vec{X: -c.Y * 10 / 22, Y: c.X * 10 / 22}
	t := plane.Vec{X: 75, Y: 36}
	f := circles(t, 30, e, 75.25, 1)
	w := f.Sub(t)
	d := plane.Vec{X: t.X + die.u*w.X - die.v*w.Y, Y: t.Y + die.u*w.Y + die.v*w.X}
	return x, die.lever(plane.Vec{X: x + 5, Y: -10}, d)
}

// closedDie is the die block's place and the lever's angle at the positions before.
type closedDie struct {
	u, v float64
	psi  [4]float64
	n    int // how many of psi there are
}

func newClosedDie(s float64) *closedDie {
	sin, cos := math.Sincos(s / 85)
	return &closedDie{u: -85 * sin / 30, v: 85 * (1 - cos) / 30, psi: [4]float64{math.Atan2(-3-43, 181-158)}}
}

// lever places the valve: U = V + 51·e^{iψ} at 22 from A, V at height 43, V + 7·e^{iψ} at 85 from D. After a step below
// 1e-6 the next would be below 1e-11.
func (q *closedDie) lever(a, d plane.Vec) float64 {
	p := &q.psi
	psi := p[0]
	if q.n++; q.n > 4 {
		psi = 4*(p[0]+p[2]) - 6*p[1] - p[3]
	}
	v := math.NaN()
	for range 20 {
		sin, cos := math.Sincos(psi)
		h := 43 + 51*sin - a.Y
		root := math.Sqrt(22*22 - h*h)
		v = a.X + root - 51*cos
		rx, ry := v+7*cos-d.X, 43+7*sin-d.Y
		dv := 51*sin - h/root*51*cos
		step := (rx*rx + ry*ry - 85*85) / (2 * (rx*(dv-7*sin) + ry*7*cos))
		psi -= step
		v -= step * dv
		if step*step < 1e-12 {
			break
		}
	}
	p[3], p[2], p[1], p[0] = p[2], p[1], p[0], psi
	return v
}

func closedChain(turn float64, n int, pins *[]plane.Vec) {
	s, k := math.Sincos(turn)
	b := plane.Vec{X: 100 * k, Y: 100 * s}
	at := 0.0
	sin, cos := math.Sincos(137.507 * deg)
	sin, cos = sin*100/105, cos*100/105
	*pins = (*pins)[:0]
	for range n {
		at += 40
		c := circles(b, 110, plane.Vec{X: at}, 105, 1)
		*pins = append(*pins, c)
		dx, dy := c.X-at, c.Y
		b = plane.Vec{X: at + cos*dx - sin*dy, Y: sin*dx + cos*dy}
	}
}

var sink plane.Vec

func BenchmarkPosition(b *testing.B) {
	closed := func(name string, position func(turn float64)) {
		b.Run(name+"/closed", func(b *testing.B) {
			turn := 0.0
			for b.Loop() {
				position(turn)
				turn += deg
			}
		})
	}
	newton := func(name string, s *draft, travel ...float64) {
		rest := make([]float64, len(travel))
		l := s.assemble(b, 0, rest...)
		b.Run(name+"/newton", func(b *testing.B) { benchFollow(b, l, false, travel) })
		b.Run(name+"/newton-unchecked", func(b *testing.B) { benchFollow(b, l, true, travel) })
	}
	closed("P1", func(t float64) { sink.X = closedSliderCrank(t) })
	newton("P1", sliderCrank())
	closed("P2", func(t float64) { sink, _ = closedFourBar(t) })
	newton("P2", fourBarWithPoint())
	die := newClosedDie(7)
	closed("P3", func(t float64) { sink.X, sink.Y = closedGear(t, die) })
	gear, _ := radialGear()
	newton("P3", gear, 7)
	var pins []plane.Vec
	for _, n := range []int{10, 100, 1000} {
		name := fmt.Sprint("P4/", n)
		closed(name, func(t float64) { closedChain(t, n, &pins) })
		newton(name, chain(n))
	}
}

// benchFollow goes round and round at 1°, once the motion has been followed for ten positions. The list of positions is
// used again after each lap, so that what is measured is the solver and not the collection of garbage.
func benchFollow(b *testing.B, l *Linkage, unchecked bool, travel []float64) {
	const lap = 360
	e := l.borrow()
	e.Unchecked = unchecked
	f := &follower{ctx: context.Background(), e: e, mo: &Motion{l: l, travel: travel}, to: 1e9, step: deg}
	f.prepare()
	f.mo.reserve(lap + 61)
	if f.lost = !f.journey(0); f.lost {
		b.Fatal("not assembled")
	}
	f.first(0)
	for k := 1; k < 10; k++ {
		f.next(f.turnAt(k))
	}
	k, ahead := 10, 0
	for b.Loop() {
		if ahead--; ahead >= 0 {
			continue
		}
		// It goes on by sixty positions at once.
		if len(f.mo.turn) > lap {
			f.rewind()
		}
		if ahead = f.strides(k, k+59); ahead != 60 {
			b.Fatal("lost")
		}
		k += ahead
		ahead--
	}
	if f.lost || len(f.mo.Broken()) > 0 {
		b.Fatal("not assembled")
	}
}

// rewind moves the last four positions to the front of the list.
func (f *follower) rewind() {
	mo := f.mo
	n, i, k := len(mo.turn), len(f.e.X), len(f.e.Det)
	copy(mo.turn, mo.turn[n-4:])
	copy(mo.x, mo.x[(n-4)*i:])
	copy(mo.det, mo.det[(n-4)*k:])
	mo.turn, mo.x, mo.det = mo.turn[:4], mo.x[:4*i], mo.det[:4*k]
	mo.spans[0] = span{0, 3}
}

func BenchmarkCompile(b *testing.B) {
	for _, n := range []int{10, 100, 1000} {
		s := chain(n)
		b.Run(fmt.Sprint("P4/", n), func(b *testing.B) {
			for b.Loop() {
				if schedule.Compile(s.Model).Steps == nil {
					b.Fatal("not compiled")
				}
			}
		})
	}
}

// The reference lines of the benchmarks come to what the solver comes to.
func TestClosedFormsAgree(t *testing.T) {
	p1 := sliderCrank().motion(t, 0, 360, 1)
	p2 := fourBarWithPoint().motion(t, 0, 360, 1)
	gear, valve := radialGear()
	p3, err := gear.assemble(t, 0, 0).Follow(t.Context(), []float64{7}, 0, 360*deg, deg)
	if err != nil {
		t.Fatal(err)
	}
	p4 := chain(10).motion(t, 0, 360, 1)
	die := newClosedDie(7)
	var pins []plane.Vec
	for k := range 361 {
		turn := float64(k)
		wantNumber(t, "P1", pose(t, p1, turn).Point[2].X, closedSliderCrank(turn*deg), 1e-9)
		c, p := closedFourBar(turn * deg)
		z := pose(t, p2, turn)
		wantPlace(t, "P2 c", z.Point[3], c.X, c.Y, 1e-9)
		wantPlace(t, "P2 p", z.Point[4], p.X, p.Y, 1e-9)
		_, v := closedGear(turn*deg, die)
		wantNumber(t, "P3", pose(t, p3, turn).Point[valve].X, v, 1e-7)
		closedChain(turn*deg, 10, &pins)
		wantPlace(t, "P4", pose(t, p4, turn).Point[len(p4.l.s.Point)-1], pins[9].X, pins[9].Y, 1e-8)
	}
}
