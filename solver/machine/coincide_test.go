package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/trial/draws"
)

// passing is a pin that goes round a shaft, and a place on its circle that a range carries across it; they meet at one turn and one
// value of the range, or miss one another by so much across.
func passing(rng *rand.Rand, ranged bool, miss float64) (d *draft, turn, travel float64) {
	d = newDraft(0, 360, 5)
	r, turn := 3+40*rng.Float64(), 2*math.Pi*rng.Float64()
	sin, cos := math.Sincos(turn)
	aside := d.num(0)
	if ranged {
		travel = 5*rng.Float64() - 2
		aside = d.g.Sub(d.travel("aside", 0, true, -3, -2, -1, 0, 1, 2, 4), d.num(travel))
	}
	turning := func(op expr.Op) expr.ID { return d.g.Mul(d.num(r), d.g.Unary(op, d.g.Turn())) }
	pin := d.at("pin", turning(expr.Cos), turning(expr.Sin))
	place := d.at("place", d.g.Add(d.num((r+miss)*cos), d.g.Mul(d.num(cos), aside)), d.g.Add(d.num((r+miss)*sin), d.g.Mul(d.num(sin), aside)))
	wide := d.num(2000)
	d.keep(d.heading(place, pin), d.g.Unary(expr.Neg, wide), wide)
	d.keep(d.g.Unary(expr.Sin, d.heading(place, pin)), d.num(-2), expr.None)
	d.keep(d.dist(place, pin), d.num(-1), expr.None)
	return d, turn, travel
}

// Where two points meet between the positions of the turn and the steps of a range neither has a heading: no line that takes one
// holds there, and the place is told.
func TestHeadingWherePointsMeet(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 31))
	for i := range draws.Of(20) {
		ranged := i%2 == 1
		d, turn, travel := passing(rng, ranged, 0)
		m, err := New(d.p, d.drawn())
		if err != nil {
			t.Fatal(err)
		}
		res, err := m.Study(t.Context(), Options{})
		if err != nil {
			t.Fatal(err)
		}
		for k, f := range res.Findings[:2] {
			if f.OK || f.Sure == solver.Proved || math.Abs(f.At.Turn-turn) > 1e-6 || ranged && math.Abs(f.At.Travel[0]-travel) > 1e-6 {
				t.Errorf("%d, line %d: ok %v, %v at %v; they meet at %v, %v", i, k, f.OK, f.Sure, f.At, turn, travel)
			}
		}
		if f := res.Findings[2]; !f.OK || f.Sure != solver.Proved {
			t.Errorf("%d: the distance has a value everywhere: %+v", i, f)
		}
		lacks, err := m.Lacking(t.Context(), []expr.ID{d.p.Checks[0].Sum})
		if err != nil || len(lacks) != 1 || math.Abs(lacks[0].At.Turn-turn) > 1e-6 || d.g.Nodes[lacks[0].Node].Op != expr.Heading {
			t.Errorf("%d: lacks %+v, %v; they meet at %v", i, lacks, err, turn)
		}
	}
}

// Where a small range carries a place nearly along the circle of a pin, they still meet at one turn and one value of the range, and that is
// found.
func TestHeadingWherePointsMeetAlongTheirPath(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 37))
	for i := range draws.Of(20) {
		d := newDraft(0, 360, 5)
		r, turn, travel := 30+10*rng.Float64(), 2*math.Pi*rng.Float64(), 0.016*rng.Float64()-0.008
		sin, cos := math.Sincos(turn)
		along := d.g.Sub(d.travel("along", -0.009, true, -0.01, -0.003, 0.004, 0.01), d.num(travel))
		awaySin, awayCos := math.Sincos(turn + math.Pi/2 + 0.002 + 0.006*rng.Float64())
		turning := func(op expr.Op) expr.ID { return d.g.Mul(d.num(r), d.g.Unary(op, d.g.Turn())) }
		pin := d.at("pin", turning(expr.Cos), turning(expr.Sin))
		place := d.at("place", d.g.Add(d.num(r*cos), d.g.Mul(d.num(awayCos), along)), d.g.Add(d.num(r*sin), d.g.Mul(d.num(awaySin), along)))
		d.keep(d.heading(place, pin), d.num(-2000), d.num(2000))
		if f := d.study(t, d.drawn()).Findings[0]; f.OK || f.Sure == solver.Proved || math.Abs(f.At.Turn-turn) > 1e-4 {
			t.Errorf("%d: ok %v, %v at %v; they meet at %v, %v", i, f.OK, f.Sure, f.At, turn, travel)
		}
	}
}

// A pin goes round a shaft past a place near its circle, from opposite the place on. Seen from a place inside the circle it goes all
// the way round; from one outside it turns back and forth by asin(r/(r + miss)), where the line of sight touches the circle. Through
// the place itself it has no heading from there on.
func TestHeadingWherePointsPass(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 32))
	for _, miss := range []float64{0.1, 1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 0} {
		for _, side := range []float64{-1, 1, -1, 1} {
			r, turn, share := 3+40*rng.Float64(), 2*math.Pi*rng.Float64(), 1-0.4*rng.Float64()
			if miss == 1e-9 {
				r = 1 + rng.Float64() // its places are known to 4e-12 of it
			}
			sin, cos := math.Sincos(turn)
			d := newDraft(0, 360, 5)
			d.p.Turn.From, d.p.Turn.To = turn-math.Pi, turn-math.Pi+2*math.Pi*share
			pin := d.at("pin", d.g.Mul(d.num(r), d.g.Unary(expr.Cos, d.g.Turn())), d.g.Mul(d.num(r), d.g.Unary(expr.Sin, d.g.Turn())))
			c := r + side*miss
			d.keep(d.heading(d.fixed("place", c*cos, c*sin), pin), d.num(-2000), d.num(2000))
			f := d.study(t, d.drawn()).Findings[0]
			if miss == 0 {
				if f.OK || f.Sure == solver.Proved || math.Abs(f.At.Turn-turn) > 1e-6 || len(f.Fouls) != 1 || math.Abs(f.Fouls[0].To-d.p.Turn.To) > 1e-6 {
					t.Errorf("through the place at %v: %+v", turn, f)
				}
				continue
			}
			start := turn - math.Pi - 2*math.Pi*math.Round((turn-math.Pi)/(2*math.Pi))
			end := math.Pi * (2*share - 1)
			least, greatest := start, start+math.Pi+math.Atan2(r*math.Sin(end), r*math.Cos(end)-c)
			if side > 0 {
				least, greatest = start-math.Asin(r/c), start+math.Asin(r/c)
			}
			if !f.OK || math.Abs(f.Least-least) > 1e-5 || math.Abs(f.Greatest-greatest) > 1e-5 {
				t.Errorf("%v off: from %v to %v, want %v to %v", side*miss, f.Least, f.Greatest, least, greatest)
			}
		}
	}
}

// The same of the angle of three points, whose operands are products: the longer the other arm, the less exact they are. The vertex goes
// round backwards on a crank of its own and meets the pin once. From there on the angle is lost in engines of any size.
func TestAngleWhereItsVertexIsMet(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 33))
	for i := range draws.Of(32) {
		r, turn, phase := []float64{20, 400, 4000, 20_000}[i%4]*(1+rng.Float64()), 2*math.Pi*rng.Float64(), 6*rng.Float64()
		away := r * (1.5 + rng.Float64())
		d := newDraft(0, 360, 5)
		d.p.Turn.From, d.p.Turn.To = turn-3, turn+3
		o, pin, vertex := d.fixed("o", 0, 0), d.found("pin"), d.found("vertex")
		d.crank(o, pin, d.num(r))
		at := phase - turn
		hub := d.fixed("hub", r*math.Cos(turn)-away*math.Cos(at), r*math.Sin(turn)-away*math.Sin(at))
		d.arm(hub, vertex, d.num(away), d.g.Sub(d.num(phase), d.g.Turn()))
		d.keep(d.angle(pin, vertex, o), d.num(-2000), d.num(2000))
		f := d.study(t, d.drawn()).Findings[0]
		if f.OK || f.Sure == solver.Proved || len(f.Fouls) != 1 || math.Abs(f.Fouls[0].To-d.p.Turn.To) > 1e-6 {
			t.Errorf("%d: cranks of %v and %v that meet at %v: %+v", i, r, away, turn, f)
		}
	}
}

// A heading is carried over a range without a jump, also where two points pass close by one another between two of its steps, and
// where they meet within a range alone the place is found. A pin goes round a shaft by a range, past a place near its circle.
func TestHeadingOverRangeAlone(t *testing.T) {
	const r, from, to, by = 14.0, 0.4, 2.2, 0.1
	for _, miss := range []float64{-0.03, 0.05, 0} {
		d := newDraft(0, 360, 90)
		var steps []float64
		for v := from; v < to+by/2; v += by {
			steps = append(steps, v)
		}
		rev := d.travel("rev", 0.7, true, steps...)
		pin := d.at("pin", d.g.Mul(d.num(r), d.g.Unary(expr.Cos, rev)), d.g.Mul(d.num(r), d.g.Unary(expr.Sin, rev)))
		sin, cos := math.Sincos(1.9737)
		place := d.fixed("place", (r+miss)*cos, (r+miss)*sin)
		d.keep(d.heading(place, pin), d.num(-20), d.num(20))
		f := d.study(t, d.drawn()).Findings[0]
		if miss == 0 {
			if f.OK || f.Sure == solver.Proved || math.Abs(f.At.Travel[0]-1.9737) > 1e-6 {
				t.Errorf("they meet at 1.9737: ok %v, %v at %v", f.OK, f.Sure, f.At)
			}
			continue
		}
		least, greatest := math.Inf(1), math.Inf(-1)
		start := math.Atan2(r*math.Sin(0.7)-(r+miss)*sin, r*math.Cos(0.7)-(r+miss)*cos)
		for _, end := range []float64{from, steps[len(steps)-1]} {
			was := start
			for k := range 200001 {
				a := 0.7 + (end-0.7)*float64(k)/200000
				v := math.Atan2(r*math.Sin(a)-(r+miss)*sin, r*math.Cos(a)-(r+miss)*cos)
				was = v + 2*math.Pi*math.Round((was-v)/(2*math.Pi))
				least, greatest = min(least, was), max(greatest, was)
			}
		}
		if f.Sure != solver.Proved || math.Abs(f.Least-least) > 1e-5 || math.Abs(f.Greatest-greatest) > 1e-5 {
			t.Errorf("miss %v: %v, from %v to %v, want %v to %v", miss, f.Sure, f.Least, f.Greatest, least, greatest)
		}
	}
}
