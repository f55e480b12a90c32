package linkage

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/trial/draws"
)

// crossing is a linkage with change points, and where its points truly stand.
type crossing struct {
	family            string
	s                 *draft
	points            []int
	start, step, size float64 // degrees, mm
	rest, travel      []float64
	miss              float64 // by how much the rod is too long
	phase             float64 // heading of the axles, rad
	truth             func(turn float64, i int) plane.Vec
	flat              func(turn float64) float64 // rad from the nearest change point
}

// mirrored is p on the other side of the line through a and b.
func mirrored(p, a, b plane.Vec) plane.Vec {
	u := b.Sub(a).Unit()
	q := p.Sub(a)
	return a.Add(u.Scale(2 * q.Dot(u))).Sub(q)
}

// nastily is a start as people write them, or one that puts a position on a change point, or just before it.
func nastily(rnd *rand.Rand, flat, step float64) float64 {
	switch rnd.IntN(4) {
	case 0:
		return math.Round(rnd.Float64() * 360)
	case 1:
		return flat/deg - step*float64(3+rnd.IntN(9))
	case 2:
		return flat/deg - step*float64(3+rnd.IntN(9)) - math.Pow(10, -5+4*rnd.Float64())
	}
	return flat/deg - math.Pow(10, -4+4*rnd.Float64())
}

var steps = []float64{0.25, 0.5, 1, 2, 5, 7.2, 11.25, 15}

// phase is the heading from one axle to the next: level, a hair off, or any.
func phase(rnd *rand.Rand) float64 {
	switch rnd.IntN(4) {
	case 0:
		return 0
	case 1:
		return (rnd.Float64() - 0.5) * 2e-3
	}
	return rnd.Float64() * 2 * math.Pi
}

func someSize(rnd *rand.Rand) float64 { return math.Exp(rnd.Float64()*3 + 2) }

// fourBarCrossing is a four-bar of a family: crank from A, rocker about B.
func fourBarCrossing(rnd *rand.Rand, family string) *crossing {
	ph := phase(rnd)
	throw, ground := someSize(rnd), someSize(rnd)
	if family != "kite" && throw > 0.95*ground {
		throw, ground = 0.6*min(throw, ground), max(throw, ground)
	}
	a := plane.Vec{X: math.Round(rnd.Float64()*100) / 10, Y: math.Round(rnd.Float64()*100) / 10}
	rod, rocker := ground, throw
	switch family {
	case "kite":
		rod, rocker = throw, ground
	case "another":
		b, c := someSize(rnd), someSize(rnd)
		for math.Abs(b-c) < 1 {
			c = someSize(rnd)
		}
		throw = math.Abs(b-c) * (0.2 + 0.6*rnd.Float64())
		ground = throw + math.Abs(b-c)
		rod, rocker = b, b+(ground-throw)
	case "rhombus":
		ground, rod, rocker = throw, throw, throw
	}
	b := a.Add(plane.Polar(ph).Scale(ground))
	d := b.Sub(a)
	if exact := d.Len(); family == "another" {
		rocker += exact - ground // as computed
	} else if rod == ground {
		rod = exact
	} else {
		rocker = exact
	}
	ph = math.Atan2(d.Y, d.X)
	c := &crossing{family: family, phase: ph, size: max(throw, ground, rod, rocker), step: steps[rnd.IntN(len(steps))]}
	c.start = nastily(rnd, ph, c.step)
	c.flat = func(turn float64) float64 { return math.Abs(math.Remainder(turn-ph, math.Pi)) }
	crank := func(turn float64) plane.Vec { return a.Add(plane.Polar(turn).Scale(throw)) }
	parallel := func(turn float64) plane.Vec { return crank(turn).Add(d) }
	truth := parallel
	side := float64(rnd.IntN(2)*2 - 1)
	switch family {
	case "antiparallelogram":
		truth = func(turn float64) plane.Vec { return mirrored(parallel(turn), crank(turn), b) }
	case "kite":
		truth = func(turn float64) plane.Vec { return mirrored(a, crank(turn), b) }
	case "another": // its ways cross once in a turn, and it takes two to come round
		truth = func(turn float64) plane.Vec {
			sign := side
			if math.Mod(math.Floor((turn-ph)/(2*math.Pi))+100, 2) == 1 {
				sign = -sign
			}
			return circles(crank(turn), rod, b, rocker, sign)
		}
	case "missed":
		rod += math.Pow(10, -12+11*rnd.Float64()) * ground * side
		c.miss = rod - d.Len()
		from := crank(c.start * deg)
		sign := 1.0
		if near := parallel(c.start * deg); !(circles(from, rod, b, rocker, 1).Sub(near).Len() < circles(from, rod, b, rocker, -1).Sub(near).Len()) {
			sign = -1
		}
		near := parallel(c.start * deg)
		if math.Abs(c.miss) > 1e-9*max(c.size, math.Abs(b.X), math.Abs(b.Y), math.Abs(near.X), math.Abs(near.Y)) { // what agrees goes straight on
			truth = func(turn float64) plane.Vec { return circles(crank(turn), rod, b, rocker, sign) }
		}
	}
	c.truth = func(turn float64, _ int) plane.Vec { return truth(turn) }
	s := newDraft()
	o, e := s.fixed("A", a.X, a.Y), s.fixed("B", b.X, b.Y)
	p := s.found("P")
	s.crank(o, p, throw)
	at := truth(c.start * deg)
	q := s.near("Q", at.X, at.Y)
	s.length(p, q, s.num(rod))
	s.length(e, q, s.num(rocker))
	c.s, c.points = s, []int{q}
	return c
}

// trainCrossing is three to five axles in line, each coupled to one before it.
func trainCrossing(rnd *rand.Rand) *crossing {
	ph := phase(rnd)
	throw := 5 + 20*rnd.Float64()
	c := &crossing{family: "train", step: steps[rnd.IntN(len(steps))]}
	c.start = nastily(rnd, ph, c.step)
	c.flat = func(turn float64) float64 { return math.Abs(math.Remainder(turn-ph, math.Pi)) }
	s := newDraft()
	p := s.found("P")
	s.crank(s.fixed("A", 0, 0), p, throw)
	at, pins := []plane.Vec{{}}, []int{p}
	for k := 1; k < 3+rnd.IntN(3); k++ {
		to := rnd.IntN(k)
		if rnd.IntN(2) == 0 {
			to = k - 1
		}
		z := plane.Polar(ph).Scale(at[k-1].Len() + throw + 10 + 60*rnd.Float64())
		pin := z.Add(plane.Polar(c.start * deg).Scale(throw))
		q := s.near(fmt.Sprint("P", k), pin.X, pin.Y)
		s.length(s.fixed(fmt.Sprint("A", k), z.X, z.Y), q, s.num(throw))
		s.length(pins[to], q, s.num(z.Sub(at[to]).Len()))
		at, pins = append(at, z), append(pins, q)
		c.points = append(c.points, q)
		c.size = z.Len()
	}
	c.s = s
	c.truth = func(turn float64, i int) plane.Vec { return at[i+1].Add(plane.Polar(turn).Scale(throw)) }
	return c
}

// liftedCrossing is a parallelogram of which the second axle stands as high as a travel says, from rest through zero to a
// setting; the rod fits at every height. Its change points move with the travel.
func liftedCrossing(rnd *rand.Rand) *crossing {
	ground := 40 + 60*rnd.Float64()
	throw := ground * (0.1 + 0.7*rnd.Float64())
	rest := -5 + 4*rnd.Float64()
	up := []float64{0, 1e-3, 0.01, 0.037, 0.2, 3 * rnd.Float64(), -rest}[rnd.IntN(7)]
	at := plane.Vec{X: ground, Y: up}
	ph := math.Atan2(up, ground)
	c := &crossing{family: "lifted", size: ground, phase: ph, step: steps[rnd.IntN(len(steps))], rest: []float64{rest}, travel: []float64{up}}
	for c.start = nastily(rnd, ph, c.step); math.Abs(math.Remainder(c.start*deg-math.Atan2(rest, ground)/2, math.Pi)) < 0.3; {
		c.start = math.Round(rnd.Float64() * 360) // so that the travel does not lead over a change point, which it cannot be told to
	}
	c.flat = func(turn float64) float64 { return math.Abs(math.Remainder(turn-ph, math.Pi)) }
	c.truth = func(turn float64, _ int) plane.Vec { return at.Add(plane.Polar(turn).Scale(throw)) }
	s := newDraft()
	height := s.travel()
	o, b := s.fixed("A", 0, 0), s.at("B", s.num(ground), height)
	p := s.found("P")
	s.crank(o, p, throw)
	near := plane.Vec{X: ground, Y: rest}.Add(plane.Polar(c.start * deg).Scale(throw))
	q := s.near("Q", near.X, near.Y)
	s.length(b, q, s.num(throw))
	s.length(p, q, s.g.Unary(expr.Sqrt, s.g.Add(s.num(ground*ground), s.g.Mul(height, height))))
	c.s, c.points = s, []int{q}
	return c
}

// beamCrossing is the parallel motion of a beam engine: a beam on a rocking arm, and from it a parallelogram that lies flat at two
// places of the swing. The beam is turned straight by a wave of the crank, so that it swings through both and back.
func beamCrossing(rnd *rand.Rand) *crossing {
	long, part := 60+40*rnd.Float64(), 15+15*rnd.Float64()
	link := part * (0.5 + 0.4*rnd.Float64())
	swing, lean := 0.3+0.4*rnd.Float64(), []float64{0, 0.01 * rnd.Float64(), 0.1 * rnd.Float64()}[rnd.IntN(3)]
	c := &crossing{family: "beam", size: long, step: steps[rnd.IntN(len(steps))]}
	down := lean + (rnd.Float64()-0.5)*0.1 // heading of the links, which the swing passes
	c.start = math.Round(rnd.Float64() * 360)
	angle := func(turn float64) float64 { return swing * math.Sin(turn) }
	c.flat = func(turn float64) float64 { return math.Abs(math.Remainder(angle(turn)-down, math.Pi)) }
	s := newDraft()
	o := s.fixed("O", 0, 0)
	end := s.found("E")
	s.length(o, end, s.num(long))
	s.heading(o, end, s.g.Mul(s.num(swing), s.g.Unary(expr.Sin, s.turn())))
	beam := s.rod("beam", o, end)
	inner := s.onPart("F", beam, s.num(long-part), s.num(0))
	// The inner link hangs by its own heading, so that the far corner is known: end + link.
	low := s.found("G")
	s.length(inner, low, s.num(link))
	s.heading(inner, low, s.num(down))
	hang := plane.Polar(down).Scale(link)
	c.truth = func(turn float64, _ int) plane.Vec { return plane.Polar(angle(turn)).Scale(long).Add(hang) }
	at := c.truth(c.start*deg, 0)
	far := s.near("H", at.X, at.Y)
	s.length(end, far, s.num(link))
	s.length(low, far, s.num(part))
	c.s, c.points = s, []int{far}
	return c
}

// judge follows a crossing and says how it came out: right, wrong, told (it says that it cannot tell), or refused.
func (c *crossing) judge(t *testing.T) (verdict, note string) {
	l, err := New(c.s.Model, c.s.values(), c.start*deg, c.start*deg+2*math.Pi, c.rest)
	if err != nil {
		return "refused", err.Error()
	}
	mo, err := l.Follow(context.Background(), c.travel, c.start*deg, (c.start+360)*deg, c.step*deg)
	if err != nil {
		t.Fatal(err)
	}
	if note := c.told(mo); note != "" {
		return "wrong", note
	}
	verdict = "right"
	var p Pose
	for k := 0; float64(k)*c.step*0.37 <= 360; k++ {
		turn := c.start + float64(k)*c.step*0.37
		if !(c.flat(turn*deg) > 1e-6) {
			continue
		}
		status := mo.At(turn*deg, &p)
		for i, q := range c.points {
			want := c.truth(turn*deg, i)
			if math.IsNaN(want.X) {
				continue
			}
			if status != Solved && status != DeadCentre {
				verdict, note = "told", fmt.Sprint(turn, status, mo.Broken())
				if len(mo.Broken()) == 0 {
					return "wrong", "not assembled and not said " + note
				}
				continue
			}
			// What agrees within tolerance goes straight on, and is off the closed form by so much.
			allow := 1e-7*c.size + 2*math.Abs(c.miss)/c.flat(turn*deg)
			if off := p.Point[q].Sub(want).Len(); off > allow {
				note = fmt.Sprintf("at %.6f° off by %.3g", turn, off)
				if len(mo.Broken()) > 0 {
					return "told", note
				}
				return "wrong", note
			}
		}
	}
	return verdict, note
}

// told says what is wrong with the change points that a motion reports.
func (c *crossing) told(mo *Motion) string {
	misses := 0
	for _, p := range mo.Passes() {
		if p.Way == Straight {
			if !(math.Abs(p.Miss) <= mo.l.start.Scale.Agrees()) {
				return fmt.Sprintf("straight on where it misses: %+v", p)
			}
			continue
		}
		misses++
		// Along the axles the crank takes a rod that is too long no farther; against them it turns back.
		along := math.Abs(math.Remainder(p.Turn-c.phase, 2*math.Pi)) < 1
		locks := along == (p.Miss > 0)
		if c.miss == 0 || !(math.Abs(p.Miss-c.miss) <= 0.2*math.Abs(c.miss)) || locks != (p.Way == Locks) || !(c.flat(p.Turn) < 1e-3+p.Half) {
			return fmt.Sprintf("told of %+v", p)
		}
	}
	if e := math.Abs(c.miss); misses == 0 && e > 1.1*mo.l.start.Scale.Agrees() && e < 0.75*missShare*c.size {
		return fmt.Sprintf("not told that it misses by %g of %g: spans %v, broken %v", c.miss, c.size, mo.Spans(), mo.Broken())
	}
	return ""
}

// No linkage is ever on the crossed way without a word: parallelograms level and a hair off, antiparallelograms, kites,
// others whose links can lie flat, trains of three to five axles, and those that miss a change point by little on either
// side. Truth is a closed form.
func TestChangePointsAreNeverCrossedUnsaid(t *testing.T) {
	const seed = 5
	rnd := rand.New(rand.NewPCG(seed, 1))
	count := draws.Of(1000)
	got := map[string]map[string]int{}
	families := []string{"parallelogram", "antiparallelogram", "kite", "another", "missed", "train", "missed", "rhombus", "lifted", "beam"}
	for i := range count {
		family := families[i%len(families)]
		var c *crossing
		switch family {
		case "train":
			c = trainCrossing(rnd)
		case "lifted":
			c = liftedCrossing(rnd)
		case "beam":
			c = beamCrossing(rnd)
		default:
			c = fourBarCrossing(rnd, family)
		}
		verdict, note := c.judge(t)
		if got[family] == nil {
			got[family] = map[string]int{}
		}
		got[family][verdict]++
		if verdict == "wrong" {
			t.Errorf("seed %d, case %d, %s from %.9g° by %g°, misses by %.3g: %s", seed, i, family, c.start, c.step, c.miss, note)
		} else if verdict == "told" {
			t.Logf("case %d, %s from %.9g° by %g°, misses by %.3g of %.3g: %s", i, family, c.start, c.step, c.miss, c.size, note)
		}
	}
	t.Log(got)
}

// Ways that touch and do not cross, where a parallelogram is swung just up to where it lies flat and back: the linkage is followed
// on its own way, or it is said that it cannot be told.
func TestWaysThatTouch(t *testing.T) {
	told := 0
	for _, from := range []float64{0, 10, 33, 61.5} {
		for _, step := range steps {
			const long, part, link, swing = 80.0, 20.0, 15.0, 0.4
			s := newDraft()
			o := s.fixed("O", 0, 0)
			end := s.found("E")
			s.length(o, end, s.num(long))
			s.heading(o, end, s.g.Mul(s.num(swing), s.g.Unary(expr.Sin, s.turn())))
			inner := s.onPart("F", s.rod("beam", o, end), s.num(long-part), s.num(0))
			low := s.found("G")
			s.length(inner, low, s.num(link))
			s.heading(inner, low, s.num(swing))
			c := &crossing{family: "touching", s: s, size: long, start: from, step: step}
			c.flat = func(turn float64) float64 { return math.Abs(swing * (math.Sin(turn) - 1)) }
			c.truth = func(turn float64, _ int) plane.Vec {
				return plane.Polar(swing * math.Sin(turn)).Scale(long).Add(plane.Polar(swing).Scale(link))
			}
			at := c.truth(from*deg, 0)
			far := s.near("H", at.X, at.Y)
			s.length(end, far, s.num(link))
			s.length(low, far, s.num(part))
			c.points = []int{far}
			switch verdict, note := c.judge(t); verdict {
			case "wrong":
				t.Errorf("from %g° by %g°: %s", from, step, note)
			case "told":
				told++
			}
		}
	}
	t.Logf("told of %d in 32", told)
}
