package machine

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver"
	"barover/solver/engine"
)

var anywhereSeed = flag.Uint64("anywhere.seed", 4, "seed of TestEndsAnywhere")

// swung is a disc on a crank about a shaft at (x, y) that passes a disc of the frame: throw mm, the frame's disc far mm from the
// shaft at a heading, both discs of radii a and b.
type swung struct{ x, y, throw, far, heading, a, b float64 }

func (s swung) draft(asks float64) *draft {
	d := newDraft(0, 360, 1)
	o, p := d.fixed("o", s.x, s.y), d.found("p")
	d.crank(o, p, d.num(s.throw))
	arm := d.part("arm", o, p)
	on := d.profile(arm, "arm.disc", d.num(0), d.num(1), d.disc(d.num(s.throw), d.num(0), d.num(2*s.a)))
	sin, cos := math.Sincos(s.heading)
	frame := d.profile(0, "frame.disc", d.num(0), d.num(1), d.disc(d.num(s.x+s.far*cos), d.num(s.y+s.far*sin), d.num(2*s.b)))
	d.clear(on, frame, d.num(asks))
	return d
}

// ends is where the two come within asks about one another, by the law of cosines: as far either way of the heading.
func (s swung) ends(asks float64) float64 {
	l := asks + s.a + s.b
	return math.Acos((s.throw*s.throw + s.far*s.far - l*l) / (2 * s.throw * s.far))
}

// TestEndsAnywhere: of pairs up to 100 m from the origin the ends of what is not met are right to 0.001°, the least to
// 0.001 mm, and both are proved: what the sketch is measured from is no business of the pair's.
func TestEndsAnywhere(t *testing.T) {
	t.Logf("seed %d", *anywhereSeed)
	rng := rand.New(rand.NewPCG(*anywhereSeed, 9))
	for i := range 60 {
		out := math.Pow(10, 1+4*rng.Float64())
		if i == 0 {
			out = 1e5
		}
		at := rng.Float64() * 2 * math.Pi
		size := math.Pow(10, 2.3*rng.Float64())
		s := swung{x: out * math.Cos(at), y: out * math.Sin(at), throw: size, far: size * (1.5 + rng.Float64()),
			heading: rng.Float64() * 2 * math.Pi, a: size * 0.1, b: size * (0.05 + 0.2*rng.Float64())}
		least := s.far - s.throw - s.a - s.b
		asks := math.Max(least, 0) + size*(0.1+rng.Float64())
		d := s.draft(asks)
		f := d.study(t, d.drawn()).Findings[0]
		w := s.ends(asks)
		if f.Sure != solver.Proved || len(f.Unproved) > 0 || !(math.Abs(f.Least-least) <= 1e-5) {
			t.Errorf("%+v: %v, least %v; want it proved, %v", s, f.Sure, f.Least, least)
		}
		if len(f.Fouls) != 1 {
			t.Errorf("%+v asked %v: not met over %v; want one stretch", s, asks, f.Fouls)
			continue
		}
		got := f.Fouls[0]
		for _, e := range [2][2]float64{{got.From, s.heading - w}, {got.To, s.heading + w}} {
			if off := math.Remainder(e[0]-e[1], 2*math.Pi); !(math.Abs(off) <= fine) {
				t.Errorf("%+v asked %v: an end at %v°, want %v°", s, asks, e[0]/engine.Coarsest, e[1]/engine.Coarsest)
			}
		}
	}
}

// TestCrankAndBoxFarOff: a crank of 10 whose round end swings past the corner of a box, near the origin and 3 m from it: the
// same answer.
func TestCrankAndBoxFarOff(t *testing.T) {
	var near solver.Finding
	for _, x := range []float64{0, 3000, 1e5} {
		d := newDraft(-180, 180, 1)
		o, p := d.fixed("o", x, 0), d.found("p")
		d.crank(o, p, d.num(10))
		arm := d.profile(d.part("arm", o, p), "arm.bar", d.num(0), d.num(1), d.strip(d.num(10), d.num(4), d.num(4), true))
		stop := d.profile(0, "frame.stop", d.num(0), d.num(1), d.box(d.num(x+25), d.num(-30), d.num(x+40), d.num(-20)))
		d.clear(arm, stop, d.num(17.1))
		f := d.study(t, d.drawn()).Findings[0]
		if x == 0 {
			near = f
			continue
		}
		if len(f.Fouls) != len(near.Fouls) || f.Sure != solver.Proved {
			t.Fatalf("at %v: not met over %v (%v), at the origin over %v", x, f.Fouls, f.Sure, near.Fouls)
		}
		for i := range f.Fouls {
			if math.Abs(f.Fouls[i].From-near.Fouls[i].From) > fine || math.Abs(f.Fouls[i].To-near.Fouls[i].To) > fine {
				t.Errorf("at %v: not met over %v, at the origin over %v", x, f.Fouls[i], near.Fouls[i])
			}
		}
		if math.Abs(f.Least-near.Least) > 1e-6 {
			t.Errorf("at %v the least is %v, at the origin %v", x, f.Least, near.Least)
		}
	}
}

// TestShallowEnds: the less the distance changes with the turn, the farther apart lie the turns at which the bounds can tell. The
// ends are right to 0.001° even so or, where next to nothing moves, within what they say they may be out by.
func TestShallowEnds(t *testing.T) {
	rng := rand.New(rand.NewPCG(*anywhereSeed, 10))
	told := 0
	for i := range 40 {
		s := swung{x: 3, y: -2, throw: math.Pow(10, 1-float64(i)/8), far: 100, heading: 1 + rng.Float64()*4, a: 10, b: 15}
		asks := 100 - 25 + s.throw*(1.8*rng.Float64()-0.9)
		d := s.draft(asks)
		f := d.study(t, d.drawn()).Findings[0]
		if f.Least >= asks-solver.MeetsLength { // so little that it counts as met
			continue
		}
		w := s.ends(asks)
		if f.Sure != solver.Proved || len(f.Fouls) != 1 {
			t.Fatalf("throw %g: %v, not met over %v", s.throw, f.Sure, f.Fouls)
		}
		got := f.Fouls[0]
		if got.Out > 0 {
			told++
		}
		for _, e := range [2][2]float64{{got.From, s.heading - w}, {got.To, s.heading + w}} {
			if off := math.Abs(math.Remainder(e[0]-e[1], 2*math.Pi)); !(off <= math.Max(fine/10, got.Out)) {
				t.Errorf("throw %g asked %v: an end at %v°, want %v°, may be out by %g°", s.throw, asks, e[0]/engine.Coarsest, e[1]/engine.Coarsest, got.Out/engine.Coarsest)
			}
		}
		if s.throw > 0.05 && got.Out > 0 {
			t.Errorf("throw %g: the ends may be out by %g°", s.throw, got.Out/engine.Coarsest)
		}
	}
	if told == 0 {
		t.Error("nowhere was it told what the ends may be out by")
	}
}
