package machine

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/plane"
)

// Contact of a lever of half width 4, turning about the origin, with a fixed pin of radius 5 at (50, 20): closed form,
// asin(9/√2900) either side of the heading of the pin. At 0° the clearance is 11.
func TestLeverAgainstPin(t *testing.T) {
	d := newDraft(0, 360, 10)
	o, end := d.fixed("pivot", 0, 0), d.found("end")
	d.crank(o, end, d.num(80))
	lever := d.profile(d.part("lever", o, end), "arm", d.num(0), d.num(5), d.strip(d.num(80), d.num(8), d.num(8), false))
	pin := d.profile(0, "pin", d.num(0), d.num(5), d.disc(d.num(50), d.num(20), d.num(10)))
	d.clear(lever, pin, d.num(0))
	d.clear(pin, lever, d.num(11))
	res := d.study(t, d.drawn())
	f := res.Findings[0]
	if f.OK || len(f.Fouls) != 1 {
		t.Fatalf("got %+v, want one foul", f)
	}
	middle := math.Atan2(20, 50) / deg
	compareFigures(t, []figured{
		{"contact from", f.Fouls[0].From / deg, 12.18066039, 1e-7},
		{"contact to", f.Fouls[0].To / deg, 31.42215858, 1e-7},
		{"depth", f.Least, -9, 1e-7},
		{"deepest at", f.At.Turn / deg, middle, 1e-5},
	})
	g := res.Findings[1]
	if g.OK || len(g.Fouls) != 1 || math.Abs(g.Fouls[0].From) > 1e-9 || math.Abs(g.Fouls[0].To/deg-2*middle) > 1e-6 {
		t.Errorf("by 11: got %+v, want short from 0° to %v°", g, 2*middle)
	}
	if got := f.Near[0].Sub(f.Near[1]).Len(); !(math.Abs(got-9) <= 1e-6) {
		t.Errorf("nearest places %v are %v apart", f.Near, got)
	}
}

// trunkEngine is a small horizontal engine with a bored trunk guide, in inches made mm: crank 1, rod 5 centres.
type trunkEngine struct {
	*draft
	lip, bed, pit int
}

func newTrunkEngine() trunkEngine {
	d := newDraft(0, 360, 5)
	n := func(v float64) expr.ID { return d.num(v * in) }
	rod := d.dim("rod", 5*in)
	half := d.dim("half_bore", 0.625*in)
	bedTop := d.dim("bed_top", -1*in)
	s := d.sliderCrank(d.dim("throw", 1*in), rod, 6*in)
	g := d.g
	shank := d.profile(s.rod, "shank", n(0), n(0.25), d.strip(rod, n(0.5), n(0.375), false))
	big := d.profile(s.rod, "big_end", n(-0.1), n(0.35), d.disc(d.num(0), d.num(0), n(0.875)))
	trunk := d.profile(0, "trunk", n(0), n(0.25), d.box(n(3.5), half, n(6.5), g.Add(half, n(0.5))),
		d.box(n(3.5), g.Unary(expr.Neg, half), n(6.5), g.Sub(n(-0.5), half)))
	bed := d.profile(0, "bed", n(0), n(0.25), d.box(n(1.75), n(-1.5), n(3.5), bedTop))
	pit := d.profile(0, "pit", n(0), n(0.25), d.box(n(-3), n(-1.75), n(1.7), n(-1.5)))
	e := trunkEngine{draft: d}
	e.lip = d.clear(shank, trunk, n(0.05))
	e.bed = d.clear(shank, bed, n(0.05))
	e.pit = d.clear(big, pit, n(0.05))
	return e
}

// lipGap is the least distance of the lip's corner from the lower edge of the rod over the turn, mm, and where: closed
// form, 0.001° by 0.001°.
func lipGap(rod, x, y float64) (least, at float64) {
	least = math.Inf(1)
	for k := range 180000 {
		th := float64(k) * 1e-3 * deg
		pin := plane.Polar(th).Scale(1 * in)
		cross := plane.Vec{X: pin.X + math.Sqrt(rod*rod-pin.Y*pin.Y)}
		u := cross.Sub(pin).Unit()
		a, b := pin.Add(u.Turned().Scale(0.25*in)), cross.Add(u.Turned().Scale(0.1875*in))
		edge := b.Sub(a)
		c := plane.Vec{X: x, Y: y}.Sub(a)
		if s := c.Dot(edge) / edge.Dot(edge); s < 0 || s > 1 {
			continue
		}
		if d := edge.Unit().Cross(c); d < least {
			least, at = d, th
		}
	}
	return least, at
}

// The figures of the trunk engine as its builder worked them out on paper, to the thou, and the lip's in closed form.
func TestTrunkEngine(t *testing.T) {
	tests := []struct {
		name     string
		dim      string
		value    float64
		lip      float64 // in
		bed, pit float64 // in; NaN where not computed
	}{
		{"as drawn", "throw", 1, 0.069, 0.089, 0.0625},
		{"trunk bore 1 1/8", "half_bore", 0.5625, 0.008, math.NaN(), math.NaN()},
		{"trunk bore 1", "half_bore", 0.5, -0.054, math.NaN(), math.NaN()},
		{"bed lip left high", "bed_top", -0.8125, 0.069, -0.094, math.NaN()},
	}
	for _, c := range tests {
		e := newTrunkEngine()
		res := e.study(t, e.with(c.dim, c.value*in))
		lip, bed, pit := res.Findings[e.lip], res.Findings[e.bed], res.Findings[e.pit]
		rows := []figured{{c.name + ": lip", lip.Least / in, c.lip, 0.0006}, {c.name + ": at", lip.At.Turn / deg, 62.5, 0.6}}
		if !math.IsNaN(c.bed) {
			rows = append(rows, figured{c.name + ": bed", bed.Least / in, c.bed, 0.0006},
				figured{c.name + ": at", bed.At.Turn / deg, 286.5, 1})
		}
		if !math.IsNaN(c.pit) {
			rows = append(rows, figured{c.name + ": pit", pit.Least / in, c.pit, 1e-9},
				figured{c.name + ": at", pit.At.Turn / deg, 270, 1e-5})
		}
		half := 0.625 * in
		if c.dim == "half_bore" {
			half = c.value * in
		}
		if least, at := lipGap(5*in, 3.5*in, half); least > 0 {
			rows = append(rows, figured{c.name + ": lip in closed form", lip.Least, least, 1e-6},
				figured{c.name + ": at", lip.At.Turn / deg, at / deg, 0.01})
		}
		compareFigures(t, rows)
		if lip.OK != (c.lip >= 0.05) || len(lip.Fouls) != map[bool]int{true: 0, false: 2}[lip.OK] {
			t.Errorf("%s: lip: ok %v, fouls %v", c.name, lip.OK, lip.Fouls)
		}
		if res.OK() != (lip.OK && bed.OK && pit.OK) {
			t.Errorf("%s: the whole is ok %v", c.name, res.OK())
		}
	}
}

// Clear at the quarters says nothing of what lies between: bore 1 is clear by 0.004 in at 90° and 270°.
func TestQuartersMislead(t *testing.T) {
	e := newTrunkEngine()
	f := e.study(t, e.with("half_bore", 0.5*in)).Findings[e.lip]
	for _, foul := range f.Fouls {
		for _, quarter := range []float64{0, 90, 180, 270, 360} {
			d := e.distanceAt(t, f, quarter*deg)
			if d < 0 {
				t.Errorf("fouls at %v°", quarter)
			}
		}
		if at := foul.From; math.Abs(e.distanceAt(t, f, at)-0.05*in) > 1e-6 {
			t.Errorf("the interval begins at %v°, where the distance is %v", at/deg, e.distanceAt(t, f, at))
		}
	}
	if got := e.distanceAt(t, f, 90*deg) / in; !(math.Abs(got-0.004) <= 0.0006) {
		t.Errorf("at 90°: got %v, want 0.004", got)
	}
}

func (e trunkEngine) distanceAt(t *testing.T, f solver.Finding, turn float64) float64 {
	t.Helper()
	m, err := New(e.p, e.with("half_bore", 0.5*in))
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.RunWith(t.Context(), nil, nil, m.EverySum())
	if err != nil {
		t.Fatal(err)
	}
	c := e.p.Checks[f.Check]
	s := m.NewStation()
	if !r.Stand(turn, s) {
		t.Fatalf("not assembled at %v°", turn/deg)
	}
	return m.PairFigure(c.A, c.B).Near(s).D
}
