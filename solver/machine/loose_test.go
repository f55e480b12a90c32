package machine

import (
	"fmt"
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/schedule"
)

// couplings are the figures of two coupled axles: 6 1/2 in apart, throws of 1 in, a quarter turn between the sides.
type couplings struct {
	drive, lead float64 // quartering errors, degrees
	throw       float64 // by how much the leading throws are too great, in
	rods        [2]float64
	up          [2]float64
	play        float64
}

// draft puts them into a sketch of loose lines, the near side's first.
func (c couplings) draft() *draft {
	d := newDraft(0, 360, 5)
	mm := func(v float64) expr.ID { return d.num(v * in) }
	o, q := d.fixed("o", 0, c.up[0]*in), d.fixed("q", 6.5*in, c.up[1]*in)
	p, n := d.found("p"), d.near("n", 7.5*in, 0)
	d.crank(o, p, mm(1))
	d.length(q, n, mm(1+c.throw))
	far := func(name string, part int, throw, quarter float64) int {
		s, k := math.Sincos((90 + quarter) * deg)
		return d.onPart(name, part, mm(throw*k), mm(throw*s))
	}
	p2 := far("p2", d.part("driving", o, p), 1, c.drive)
	n2 := far("n2", d.part("leading", q, n), 1+c.throw, c.lead)
	for i, rod := range [2][2]int{{p, n}, {p2, n2}} {
		play := mm(c.play)
		e := d.hold(schedule.Equation{Kind: schedule.Length, P: rod[0], Q: rod[1], R: -1, On: -1, V: mm(6.5 + c.rods[i]),
			Loose: true, Play: play})
		d.p.Checks = append(d.p.Checks, solver.Check{Kind: solver.Loose, Stmt: d.next(), Equation: e, Sum: expr.None, AtLeast: expr.None,
			AtMost: play})
	}
	return d
}

// What fitters go by of tight spots: how tight, where, whether it binds, what the places read as. Computed, no source: see
// the same figures in the linkage's tests.
func TestLooseFindings(t *testing.T) {
	for _, c := range []struct {
		name  string
		of    couplings
		worst float64   // thou
		spots []float64 // degrees: their middles, of the near rod
		reads solver.Reading
		ok    bool
	}{
		{"quartering out, within the play", couplings{lead: 0.25, play: 0.002}, 1.5427, []float64{45, 135, 225, 315}, solver.Between, true},
		{"the other axle's quartering out", couplings{drive: 0.25, play: 0.001}, 1.5427, []float64{45, 135, 225, 315}, solver.Between, false},
		{"both axles' quartering out alike", couplings{drive: 0.25, lead: 0.25, play: 0.001}, 0, nil, solver.Unread, true},
		{"both rods long", couplings{rods: [2]float64{0.002, 0.002}, play: 0.001}, 2, []float64{135, 315}, solver.OnCentres, false},
		{"near rod long", couplings{rods: [2]float64{0.002, 0}, play: 0.001}, 2, []float64{180, 360}, solver.OnCentres, false},
		{"near rod short", couplings{rods: [2]float64{-0.002, 0}, play: 0.003}, 2, []float64{180, 360}, solver.OnCentres, true},
		{"far rod long", couplings{rods: [2]float64{0, 0.002}, play: 0.001}, 2, []float64{90, 270}, solver.OnCentres, false},
		{"throws out", couplings{throw: 0.002, play: 0.001}, 2, []float64{90, 180, 270, 360}, solver.OnCentres, false},
		{"quartering and rods", couplings{lead: 0.25, rods: [2]float64{0.002, 0.002}, play: 0.002}, 3.544, []float64{315}, solver.Mixed, false},
		{"an axle up", couplings{up: [2]float64{0, 0.125}, play: 0.0012}, 1.2018, []float64{136, 316}, solver.OnCentres, true},
		{"one up, one down", couplings{up: [2]float64{-0.1875, 0.125}, play: 0.002}, 7.508, []float64{138, 318}, solver.OnCentres, false},
	} {
		d := c.of.draft()
		res := d.study(t, d.drawn())
		f := res.Findings[0]
		got := math.Max(-f.Least, f.Greatest) / in * 1000
		compareFigures(t, []figured{{c.name + ": worst", got, c.worst, 0.004}, {c.name + ": play", f.AtMost, c.of.play * in, 1e-12}})
		if f.OK != c.ok || f.Sure != solver.Sampled || (len(f.Fouls) == 0) != c.ok {
			t.Errorf("%s: ok %v, %v, fouls %v", c.name, f.OK, f.Sure, f.Fouls)
		}
		if f.Tight == nil {
			if c.spots != nil {
				t.Errorf("%s: tight nowhere", c.name)
			}
			continue
		}
		if f.Tight.Reads != c.reads || len(f.Tight.Spots) != len(c.spots) {
			t.Errorf("%s: got %v, reading %d; want %v, %d", c.name, f.Tight.Spots, f.Tight.Reads, c.spots, c.reads)
			continue
		}
		for k, want := range c.spots {
			s := f.Tight.Spots[k]
			compareFigures(t, []figured{{fmt.Sprint(c.name, ": spot ", k), (s.From + s.To) / 2 / deg, want, 1.5}})
		}
	}
}

// The miss has one sign all through where one rod is long, and the position named is where it is worst.
func TestLooseSigned(t *testing.T) {
	d := couplings{rods: [2]float64{0.002, 0}, play: 0.001}.draft()
	f := d.study(t, d.drawn()).Findings[0]
	compareFigures(t, []figured{{"least", f.Least / in, -0.002, 1e-7}, {"greatest", f.Greatest / in, 0, 2e-5}})
	if at := math.Mod(f.At.Turn/deg+1, 180); at > 2 {
		t.Errorf("worst at %g°, want a dead centre of the near side", f.At.Turn/deg)
	}
}

// What binds less when a dimension changes: the worst miss of a coupling with an error in its quartering goes by 0.3536 of
// the throw for each rad of it (computed, no source: r·|sin·cos|/(|sin| + |cos|) at 45° is r/2√2).
func TestLooseSlopes(t *testing.T) {
	d := newDraft(0, 360, 5)
	o, q := d.fixed("o", 0, 0), d.fixed("q", 165, 0)
	p, n := d.found("p"), d.near("n", 190, 0)
	throw := d.dim("throw", 25)
	quarter := d.dim("quarter", 90.25*deg)
	d.crank(o, p, throw)
	d.length(q, n, throw)
	p2 := d.onPart("p2", d.part("driving", o, p), d.num(0), throw)
	n2 := d.onPart("n2", d.part("leading", q, n), d.g.Mul(throw, d.g.Unary(expr.Cos, quarter)),
		d.g.Mul(throw, d.g.Unary(expr.Sin, quarter)))
	play := d.dim("play", 0.02)
	for _, rod := range [2][2]int{{p, n}, {p2, n2}} {
		e := d.hold(schedule.Equation{Kind: schedule.Length, P: rod[0], Q: rod[1], R: -1, On: -1, V: d.dim("rod", 165), Loose: true,
			Play: play})
		d.p.Checks = append(d.p.Checks, solver.Check{Kind: solver.Loose, Stmt: d.next(), Equation: e, Sum: expr.None, AtLeast: expr.None,
			AtMost: play})
	}
	m, err := New(d.p, d.drawn())
	if err != nil {
		t.Fatal(err)
	}
	res, err := m.Study(t.Context(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	slopes, err := m.MarginSlopes(t.Context(), res.Findings)
	if err != nil {
		t.Fatal(err)
	}
	for i, g := range slopes {
		if g == nil {
			t.Fatalf("rod %d has no slopes", i)
		}
		compareFigures(t, []figured{{"by the quartering", g[1], -25 / math.Sqrt(8), 0.05}, {"by the play", g[2], 1, 1e-6},
			{"by the throw", g[0], -0.25 * deg / math.Sqrt(8), 1e-4}})
	}
}
