package machine

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
)

// figured is a published figure and what was found for it.
type figured struct {
	what      string
	got, want float64
	within    float64
}

func compareFigures(t *testing.T, rows []figured) {
	t.Helper()
	for _, r := range rows {
		if !(math.Abs(r.got-r.want) <= r.within) {
			t.Errorf("%s: got %.12g, want %.12g within %g", r.what, r.got, r.want, r.within)
		}
	}
}

// only is the one event of a mark, or a position of NaN.
func only(t *testing.T, res *solver.Result, mark int) solver.Event {
	t.Helper()
	var found []solver.Event
	for _, e := range res.Events {
		if e.Mark == mark {
			found = append(found, e)
		}
	}
	if len(found) != 1 {
		t.Errorf("mark %d happens %d times: %v", mark, len(found), found)
		return solver.Event{At: solver.Position{Turn: math.NaN()}, Shows: make([]float64, 8)}
	}
	return found[0]
}

// Rocker dead centres of the four-bar that R. L. Norton's Design of Machinery works as its example (ground 100, crank 40,
// coupler 120, rocker 80): the dead-centre construction, triangles with sides b+a and b−a. Transmission angle: law of
// cosines with d−a and d+a.
func TestFourBarExtremes(t *testing.T) {
	d := newDraft(0, 360, 5)
	f := d.fourBar(d.num(100), d.dim("crank", 40), d.num(120), d.num(80), 130, 60)
	rocker := d.measure("rocker", d.heading(f.d, f.c))
	d.mark("first", d.heading(f.d, f.c), solver.IsLeast, expr.None, rocker)
	d.mark("second", d.heading(f.d, f.c), solver.IsGreatest, expr.None, rocker)
	d.measure("transmission", d.g.Unary(expr.Abs, d.angle(f.b, f.c, f.d)))
	res := d.study(t, d.drawn())
	first, second := only(t, res, 0), only(t, res, 1)
	swing := res.Extremes[0].Greatest - res.Extremes[0].Least
	ratio := (second.At.Turn - first.At.Turn) / (2*math.Pi - second.At.Turn + first.At.Turn)
	mu := res.Extremes[1]
	compareFigures(t, []figured{
		{"first dead centre", first.At.Turn / deg, 24.14684800, 1e-7},
		{"rocker there", first.Shows[0] / deg, 54.90036780, 1e-7},
		{"second dead centre", second.At.Turn / deg, 231.3178125, 1e-7},
		{"rocker there", second.Shows[0] / deg, 128.6821875, 1e-7},
		{"swing", swing / deg, 73.78181965, 1e-7},
		{"time ratio", math.Max(ratio, 1/ratio), 1.355573330, 1e-8},
		{"least transmission angle", mu.Least / deg, 26.38432975, 1e-7},
		{"at crank", mu.LeastAt.Turn / deg, 0, 1e-7},
		{"greatest transmission angle", mu.Greatest / deg, 86.41667830, 1e-7},
		{"at crank", mu.GreatestAt.Turn / deg, 180, 1e-7},
	})
}

// Stroke and dead centres of an offset slider-crank, r 25, l 75, e 20: √((l±r)² − e²).
func TestOffsetSliderCrank(t *testing.T) {
	d := newDraft(0, 360, 5)
	o, pin := d.fixed("shaft", 0, 0), d.found("crankpin")
	slider := d.near("slider", 90, 20)
	way := d.line("way", d.fixed("", 0, 20), 0)
	d.crank(o, pin, d.num(25))
	d.length(pin, slider, d.num(75))
	d.slide(slider, way)
	x := d.measure("x", d.g.X(slider))
	d.mark("outer", d.g.X(slider), solver.IsGreatest, expr.None, x)
	d.mark("inner", d.g.X(slider), solver.IsLeast, expr.None, x)
	d.measure("stroke", d.g.Unary(expr.Span, d.g.X(slider)))
	res := d.study(t, d.drawn())
	outer, inner := only(t, res, 0), only(t, res, 1)
	compareFigures(t, []figured{
		{"outer dead centre", outer.At.Turn / deg, 11.53695903, 1e-7},
		{"x there", outer.Shows[0], 97.97958971, 1e-8},
		{"inner dead centre", inner.At.Turn / deg, 203.5781785, 1e-7},
		{"x there", inner.Shows[0], 45.82575695, 1e-8},
		{"stroke", res.Extremes[1].Least, 52.15383276, 1e-8},
		{"stroke", res.Extremes[1].Greatest, 52.15383276, 1e-8},
	})
}

// engine is an in-line engine with a crank of 1: the fraction of the stroke from the head end, and the rod's heading.
func driven(n float64) (d *draft, s sliderCrank, piston int) {
	d = newDraft(0, 360, 5)
	s = d.sliderCrank(d.num(1), d.num(n), n+1)
	x := d.g.X(s.crosspin)
	p := d.g.Div(d.g.Sub(d.g.Unary(expr.Greatest, x), x), d.g.Unary(expr.Span, x))
	return d, s, d.measure("piston", p)
}

// Piston at quarter crank and greatest rod angle, (1+n−√(n²−1))/2 and asin(1/n): the formula of the steam handbooks;
// n = 6 is the ordinary length in J. Rose, Modern Machine-Shop Practice. Mid stroke comes at acos(1/2n).
// The rod's shortfall at quarter crank: A. Sinclair, Locomotive Engine Running and Management, 1888, rod of 7 1/2 cranks.
func TestPistonAtQuarters(t *testing.T) {
	rows := []struct{ n, quarter, rod, mid float64 }{
		{3, 0.5857864376, 19.47122063, math.NaN()},
		{4, 0.5635083269, 14.47751219, 82.81924422},
		{5, 0.5505102572, 11.53695903, 84.26082952},
		{6, 0.5419601085, 9.594068227, 85.21980815},
		{7.5, 0.5334828132, 7.662255661, 86.17744627},
		{8, 0.5313730334, 7.180755781, math.NaN()},
	}
	for _, r := range rows {
		d, s, piston := driven(r.n)
		d.mark("quarter", d.g.Turn(), solver.RisesPast, d.num(90*deg), piston)
		d.mark("mid", d.p.Measures[piston].Sum, solver.RisesPast, d.num(0.5))
		d.measure("rod", d.heading(s.crosspin, s.crankpin))
		res := d.study(t, d.drawn())
		quarter := only(t, res, 0)
		rod := res.Extremes[1]
		compareFigures(t, []figured{
			{"piston at 90°", quarter.Shows[0], r.quarter, 1e-9},
			{"least of the piston", res.Extremes[0].Least, 0, 1e-12},
			{"greatest of the piston", res.Extremes[0].Greatest, 1, 1e-12},
			// The rod's heading from the crosshead is 180° less its angle at 90°, and runs on through 180°.
			{"rod angle", 180 - rod.Least/deg, r.rod, 1e-8},
			{"rod angle", rod.Greatest/deg - 180, r.rod, 1e-8},
			{"proved", float64(rod.Sure), float64(solver.Proved), 0},
		})
		if !math.IsNaN(r.mid) {
			compareFigures(t, []figured{{"mid stroke", only(t, res, 1).At.Turn / deg, r.mid, 1e-7}})
		}
		if r.n == 7.5 {
			compareFigures(t, []figured{{"shortfall of a 24 in stroke", (quarter.Shows[0] - 0.5) * 24, 0.8035875161, 1e-8}})
		}
	}
}

// Events of a simple slide valve, travel 4, steam lap 1, lead 1/8, no exhaust lap: G. Zeuner, Treatise on Valve Gears, and
// C. H. Fessenden, Valve Gears, 1915 (method), and the fractions of the stroke that go with them.
func TestSlideValve(t *testing.T) {
	d, s, piston5 := driven(5)
	fraction := func(n float64, crankEnd bool) int {
		sin := d.g.Unary(expr.Sin, d.g.Turn())
		way := d.g.Sub(d.num(1), d.g.Unary(expr.Cos, d.g.Turn())) // for a rod without end, the crank from this end's dead centre
		if n > 0 {
			rod := d.g.Sub(d.num(n), d.g.Unary(expr.Sqrt, d.g.Sub(d.num(n*n), d.g.Mul(sin, sin))))
			if crankEnd {
				rod = d.g.Unary(expr.Neg, rod)
			}
			way = d.g.Add(way, rod)
		}
		return d.measure("fraction", d.g.Div(way, d.num(2)))
	}
	infinite, crank5, head6 := fraction(0, false), fraction(5, true), fraction(6, false)
	advance := math.Asin(1.125 / 2)
	eccentric := d.found("eccentric")
	d.arm(s.shaft, eccentric, d.num(2), d.g.Add(d.g.Turn(), d.num(math.Pi/2+advance)))
	valve := d.g.Unary(expr.Neg, d.g.X(eccentric)) // 2 sin(crank + advance)
	shows := []int{infinite, piston5, crank5, head6}
	d.mark("admission", valve, solver.RisesPast, d.num(1))
	d.mark("cut off", valve, solver.FallsPast, d.num(1), shows...)
	d.mark("release", valve, solver.FallsPast, d.num(0), shows...)
	d.mark("compression", valve, solver.RisesPast, d.num(0), shows...)
	d.mark("widest", valve, solver.IsGreatest, expr.None)
	res := d.study(t, d.drawn())
	at := func(mark int) float64 { return only(t, res, mark).At.Turn / deg }
	compareFigures(t, []figured{
		{"admission", at(0), 360 - 4.228866328, 1e-7},
		{"cut-off", at(1), 115.7711337, 1e-7},
		{"release", at(2), 145.7711337, 1e-7},
		{"compression", at(3), 325.7711337, 1e-7},
		{"greatest opening", at(4), 55.77113367, 1e-7},
	})
	for k, want := range []float64{0.7173887262, 0.7582714337, 0.6765060187, 0.7513715552} {
		compareFigures(t, []figured{{"cut-off", only(t, res, 1).Shows[k], want, 1e-8}})
	}
	for k, want := range []float64{0.9133986424, 0.9292693306, 0.8975279541, 0.9266113320} {
		compareFigures(t, []figured{{"release", only(t, res, 2).Shows[k], want, 1e-8}})
	}
	for k, want := range []float64{0.0866013576, 0.1024720459, 0.0707306694, 0.0998140473} {
		compareFigures(t, []figured{{"compression", only(t, res, 3).Shows[k], want, 1e-8}})
	}
}

// Greatest side throw of a connecting rod's axis at a station, r 20, l 80, station 50: 8.470176696 at 62.98175784°, by the
// root of the derivative and by ternary search.
func TestSideThrow(t *testing.T) {
	d := newDraft(0, 360, 5)
	s := d.sliderCrank(d.num(20), d.num(80), 100)
	g := d.g
	y := g.Mul(g.Y(s.crankpin), g.Div(g.Sub(g.X(s.crosspin), d.num(50)), g.Sub(g.X(s.crosspin), g.X(s.crankpin))))
	d.measure("side throw", y)
	e := d.study(t, d.drawn()).Extremes[0]
	compareFigures(t, []figured{
		{"greatest", e.Greatest, 8.470176696, 1e-8},
		{"at", e.GreatestAt.Turn / deg, 62.98175784, 1e-7},
		{"least", e.Least, -8.470176696, 1e-8},
		{"at", e.LeastAt.Turn / deg, 360 - 62.98175784, 1e-7},
	})
}
