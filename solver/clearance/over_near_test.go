package clearance

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"barover/solver/linkage"
	"barover/solver/plane"
	"barover/solver/schedule"
	"barover/solver/taylor"
	"barover/solver/trial"
	"barover/solver/tube"
)

// sought looks for the engine in which two bodies come nearest, without the bounds: from corner to corner, each the nearest of those that differ
// from the last in one size, and in each along the turn and the travel from where the last one was nearest.
type sought struct {
	*engines
	a, b *trial.Body
	at   [2]float64 // turn and travel
	d    float64
	dev  []float64
}

// least descends along the turn and the travel from a place to where the bodies of one engine are nearest; +Inf where it cannot be made.
func (s *sought) least(dev []float64, at [2]float64) (float64, [2]float64) {
	l, v, ok := s.engine(dev)
	if !ok {
		return math.Inf(1), at
	}
	two, ok := made(v, s.a, s.b)
	if !ok {
		return math.Inf(1), at
	}
	motions := map[float64]*linkage.Motion{}
	value := func(q [2]float64) float64 {
		m := motions[q[1]]
		if m == nil {
			var err error
			if m, err = s.round(l, q[1]); err != nil {
				return math.Inf(1)
			}
			motions[q[1]] = m
		}
		if d, ok := two.distance(m, q[0]); ok {
			return d
		}
		return math.Inf(1)
	}
	best := value(at)
	for _, step := range []float64{0.1, 0.03, 0.01, 3e-3, 1e-3, 3e-4, 1e-4} {
		for again := true; again; {
			again = false
			for _, to := range [4][2]float64{{at[0] - step, at[1]}, {at[0] + step, at[1]}, {at[0], at[1] - 10*step*s.e0().Rise}, {at[0], at[1] + 10*step*s.e0().Rise}} {
				to[0] = min(max(to[0], s.e0().From), s.e0().From+2*math.Pi)
				to[1] = min(max(to[1], -s.e0().Rise), s.e0().Rise)
				if to == at {
					continue
				}
				if d := value(to); d < best-1e-12 {
					best, at, again = d, to, true
				}
			}
		}
	}
	return best, at
}

func (s *sought) e0() *trial.Drawn { return s.engines.d }

// drawn is the least with every size in the middle: from the best of a grid.
func (s *sought) drawn() float64 {
	zero, best := make([]float64, len(s.sizes)), math.Inf(1)
	l, v, ok := s.engine(zero)
	if !ok {
		return best
	}
	two, ok := made(v, s.a, s.b)
	if !ok {
		return best
	}
	at := [2]float64{}
	for _, travel := range slices.Compact([]float64{-s.e0().Rise, 0, s.e0().Rise}) {
		m, err := s.round(l, travel)
		if err != nil {
			return math.Inf(1)
		}
		for k := range 361 {
			turn := s.e0().From + 2*math.Pi*float64(k)/360
			if d, ok := two.distance(m, turn); ok && d < best {
				best, at = d, [2]float64{turn, travel}
			}
		}
	}
	best, at = s.least(zero, at)
	s.d, s.at, s.dev = best, at, zero
	return best
}

// descend goes on while a neighbouring corner is worse.
func (s *sought) descend(dev []float64, at [2]float64) {
	here, place := s.least(dev, at)
	dev = slices.Clone(dev)
	for better := true; better; {
		better = false
		for i := range dev {
			if s.disc[i] || i > 0 && s.disc[i-1] {
				continue
			}
			for _, to := range [2]float64{-1, 1} {
				was := dev[i]
				if to == was {
					continue
				}
				dev[i] = to
				if d, p := s.least(dev, place); d < here-1e-9 {
					here, place, better = d, p, true
				} else {
					dev[i] = was
				}
			}
		}
	}
	if here < s.d {
		s.d, s.at, s.dev = here, place, dev
	}
}

// rows lists, for each point that two rows hold, the directions in which they hold it: along a link, or square to a line.
func (e *engines) rows(p *linkage.Pose) map[int][]plane.Vec {
	out := map[int][]plane.Vec{}
	turned := map[int]bool{} // by the crank
	for _, q := range e.d.Equations {
		switch q.Kind {
		case schedule.Length:
			u := p.Point[q.P].Sub(p.Point[q.Q]).Unit()
			out[q.P], out[q.Q] = append(out[q.P], u), append(out[q.Q], u)
		case schedule.OnLine:
			out[q.P] = append(out[q.P], p.Line[q.On].Dir.Turned())
		case schedule.Heading:
			turned[q.Q] = true
		}
	}
	for i := range out {
		if e.d.Points[i].Kind != schedule.Found || turned[i] || len(out[i]) != 2 {
			delete(out, i)
		}
	}
	return out
}

// fromToggle is how far, rad, an engine with these deviations stays from where the two rows of a point lie in one line: zero where it cannot
// be assembled all the way round.
func (e *engines) fromToggle(dev []float64) float64 {
	l, _, ok := e.engine(dev)
	if !ok {
		return 0
	}
	least := 1.0
	for _, travel := range slices.Compact([]float64{-e.d.Rise, e.d.Rise}) {
		m, err := l.Follow(context.Background(), []float64{travel}, e.d.From, e.d.From+2*math.Pi, 2*math.Pi/180)
		if err != nil {
			return 0
		}
		for k := range 721 {
			var p linkage.Pose
			if m.At(e.d.From+2*math.Pi*float64(k)/720, &p) != linkage.Solved {
				return 0
			}
			for _, u := range e.rows(&p) {
				least = min(least, math.Abs(u[0].X*u[1].Y-u[0].Y*u[1].X))
			}
		}
	}
	return math.Asin(least)
}

// farFromToggle reports whether the engine in the middle, that with the sizes given, and many corners stay this far, rad, from a toggle.
func (e *engines) farFromToggle(rng *rand.Rand, by float64, given ...[]float64) bool {
	list := append(given, make([]float64, len(e.sizes)))
	for range 24 {
		dev := make([]float64, len(e.sizes))
		for i := range dev {
			dev[i] = float64(2*rng.IntN(2) - 1)
		}
		list = append(list, dev)
	}
	return !slices.ContainsFunc(list, func(dev []float64) bool { return e.fromToggle(dev) < by })
}

// toggle is how far from a dead centre bounds are near, rad.
const toggle = 5 * math.Pi / 180

// TestBoundIsNear compares the bounds of random sketches with tolerances to the worst engine that a search without bounds finds. The
// error is a share of the effect of the tolerances. Its median must be below half a per cent. Its greatest must be below five per
// cent; where some engine comes near a toggle, nine in ten must be.
func TestBoundIsNear(t *testing.T) {
	n := linkages(60, 1000)
	rng := rand.New(rand.NewPCG(*seed, 14))
	var share, far []float64
	finer := 0
	for range n {
		e, ok := toleranced(t, rng)
		if e == nil || !ok {
			continue
		}
		for _, q := range trial.Pairs(e.d.Bodies, 2) {
			s := &sought{engines: e, a: &e.d.Bodies[q[0]], b: &e.d.Bodies[q[1]]}
			fa, oka := e.over.Form(s.a.Part, s.a.Region, s.a.Shapes)
			fb, okb := e.over.Form(s.b.Part, s.b.Region, s.b.Shapes)
			if !oka || !okb {
				continue
			}
			w, ok := e.over.Least(context.Background(), fa, fb)
			now := s.drawn()
			if !ok || w.Dev == nil || math.IsInf(now, 1) || now < 0.1 || w.Lo < 0 {
				continue
			}
			s.descend(s.dev, s.at)
			s.descend(w.Dev, [2]float64{w.At.Turn, w.At.Travel[0]})
			if now-s.d < 1e-3 {
				continue
			}
			if s.d < w.Lo-1e-8 {
				t.Errorf("%s: an engine has %v, below %v", e.d.Kind, s.d, w.Lo)
			}
			share = append(share, (s.d-w.Lo)/(now-s.d))
			clear := e.farFromToggle(rng, toggle, s.dev, w.Dev)
			if clear {
				far = append(far, share[len(share)-1])
			}
			if share[len(share)-1] > 0.05 || clear && share[len(share)-1] > 0.02 {
				t.Logf("%s (far %v): drawn %.5f, worst %.5f, proved %.5f (near %.5f, %d parts): %.3g, in %d boxes", e.d.Kind, clear, now, s.d, w.Lo, w.Near, w.Boxes, share[len(share)-1], len(e.tube.Boxes))
			}
		}
		for _, list := range e.over.cells {
			for _, c := range list {
				if c.half[0] != nil {
					finer++
				}
			}
		}
	}
	slices.Sort(share)
	slices.Sort(far)
	if len(share) < n/6 || len(far) < n/10 {
		t.Fatalf("only %d pairs, %d far from a toggle", len(share), len(far))
	}
	t.Logf("%d pairs far from a toggle: too low by %.4f in the middle, %.4f at most", len(far), far[len(far)/2], far[len(far)-1])
	t.Logf("%d pairs: too low by %.4f in the middle, %.4f at nine in ten, %.4f at most; %d boxes were enclosed anew", len(share), share[len(share)/2],
		share[len(share)*9/10], share[len(share)-1], finer)
	if share[len(share)/2] > 0.005 || share[len(share)*9/10] > 0.05 || far[len(far)-1] > 0.05 {
		t.Error("that is too much")
	}
}

// about is a random stretch of each size, in the deviations of a cell, that holds an engine of it.
func (e *engines) about(rng *rand.Rand, c *cell, dev []float64) *taylor.Cut {
	cut := &taylor.Cut{Mid: make([]float64, len(dev)), Half: make([]float64, len(dev))}
	for i, d := range dev {
		if cut.Half[i] = 1; e.disc[i] || i > 0 && e.disc[i-1] {
			continue
		}
		if c.cut != nil {
			d = (d - c.cut.Mid[i]) / c.cut.Half[i]
		}
		lo, hi := max(-1, d-rng.Float64()), min(1, d+rng.Float64())
		cut.Mid[i], cut.Half[i] = (lo+hi)/2, (hi-lo)/2+1e-12
	}
	return cut
}

// TestHalvesHoldEngines: where parts stand in engines of random sizes lies within what the halves of a box that are enclosed anew say, with
// all sizes or with a stretch of each, and is where an engine that is solved alone stands.
func TestHalvesHoldEngines(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 15))
	looked, closer, cut, stood := 0, 0, 0, 0
	for range 40 {
		e, ok := toleranced(t, rng)
		if e == nil || !ok {
			continue
		}
		dev := e.drawDev(rng)
		l, _, ok := e.engine(dev)
		if !ok {
			continue
		}
		e.over.fill()
		for i, root := range e.over.cells[0] {
			c := root
			for range 3 {
				if !e.over.halves(c) {
					break
				}
				c = c.half[rng.IntN(2)]
			}
			for range rng.IntN(3) {
				if k := c.some(&c.part, e.about(rng, c, dev)); k != nil {
					c = k
					cut++
				}
			}
			if c == root {
				continue
			}
			var tau [taylor.MaxVars]float64
			for k := range tau {
				tau[k] = 2*rng.Float64() - 1
			}
			turn, travel := e.tube.Position(&e.tube.Boxes[i], &c.part, &tau)
			m, err := l.Follow(context.Background(), travel, e.d.From, e.d.From+2*math.Pi, 2*math.Pi/180)
			if err != nil {
				continue
			}
			var p linkage.Pose
			if m.At(turn, &p) != linkage.Solved {
				continue
			}
			in := c.within(&c.part)
			for k := range tau {
				tau[k] = in.Mid[k] + in.Half[k]*tau[k]
			}
			with := slices.Clone(dev)
			for i := range with {
				if c.cut != nil {
					with[i] = (dev[i] - c.cut.Mid[i]) / c.cut.Half[i]
				}
			}
			if back := c.uncut(slices.Clone(with)); !slices.EqualFunc(back, dev, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) {
				t.Fatalf("%v in the box is %v, not %v", with, back, dev)
			}
			alone, ok := e.tube.Stand(c.in(), &tau, with)
			if ok {
				stood++
			}
			for part := range e.d.Parts {
				if ok {
					at, off, _ := alone.Placement(part)
					if off += at.Origin.Sub(p.Part[part].Origin).Len(); off > 1e-6 {
						t.Errorf("%s, part %d at %v: solved alone it stands %v off", e.d.Kind, part, turn, off)
					}
				}
				at, was := e.tube.Placement(c.in(), part), e.tube.Placement(&e.tube.Boxes[i], part)
				if at.X.Rad < was.X.Rad {
					closer++
				}
				looked += 2
				for k, s := range [2]*tube.Series{&at.X, &at.Y} {
					v := [2]float64{p.Part[part].Origin.X, p.Part[part].Origin.Y}[k]
					value := e.over.space.ValueOf(s.Poly, &tau, with)
					if off := math.Abs(value - v); off > s.Rad+1e-8 { // the pose is solved to no more than that
						t.Errorf("%s, part %d at %v: %v off, more than %v", e.d.Kind, part, turn, off, s.Rad)
					}
					if ok {
						at, off, _ := alone.Placement(part)
						if far := math.Abs(value - [2]float64{at.Origin.X, at.Origin.Y}[k]); far > s.Rad+off {
							t.Errorf("%s, part %d at %v: %v off where it is solved alone, more than %v", e.d.Kind, part, turn, far, s.Rad)
						}
					}
				}
			}
		}
	}
	if looked < 500 || closer < looked/10 || cut < 100 || stood < 100 {
		t.Errorf("%d places looked at, %d known more closely; %d boxes of some engines, %d solved alone", looked, closer, cut, stood)
	}
}

// TestPlacesFromAPart: where a place of one part stands in the axes of another, in engines of random sizes, lies within what OffIn says of
// it. Some of the engines would lie outside if it were a tenth of that.
func TestPlacesFromAPart(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 31))
	looked, outside, closer := 0, 0, 0
	for range 60 {
		e, ok := toleranced(t, rng)
		if e == nil || !ok {
			continue
		}
		e.over.fill()
		for range 40 {
			c := e.over.cells[0][rng.IntN(len(e.over.cells[0]))]
			var tau [taylor.MaxVars]float64
			for k := range tau {
				tau[k] = 2*rng.Float64() - 1
			}
			dev := e.drawDev(rng)
			alone, ok := e.tube.Stand(c.in(), &tau, dev)
			if !ok {
				continue
			}
			in, of := rng.IntN(len(e.d.Parts)), rng.IntN(len(e.d.Parts))
			if !e.tube.Plan.Encloses(in) || !e.tube.Plan.Encloses(of) {
				continue
			}
			q := plane.Vec{X: 200*rng.Float64() - 100, Y: 40*rng.Float64() - 20}
			pa, pb := e.tube.Placement(c.in(), in), e.tube.Placement(c.in(), of)
			rel := tube.NewRelative(e.over.space, &pa, &pb)
			at := func(k int) float64 { return e.over.space.ValueOf(rel.Poly[k], &tau, dev) }
			said := plane.Vec{X: at(0) + q.X*at(2) - q.Y*at(3), Y: at(1) + q.X*at(3) + q.Y*at(2)}
			sa, offA, turnA := alone.Placement(in)
			sb, offB, turnB := alone.Placement(of)
			stands := sb.Out(q).Sub(sa.Origin).Against(sa.Dir)
			lost := offA + offB + (q.Len()+stands.Len())*(turnA+turnB) + 1e-9
			x, y := tube.OffIn(e.over.space, &pa, &pb, q)
			if math.Abs(said.X-stands.X) > x+lost || math.Abs(said.Y-stands.Y) > y+lost {
				t.Errorf("%s, %v of part %d in part %d: %v, not %v within %v, %v", e.d.Kind, q, of, in, stands, said, x, y)
			}
			looked++
			if math.Abs(said.X-stands.X) > x/10+lost || math.Abs(said.Y-stands.Y) > y/10+lost {
				outside++
			}
			if x < rel.Rad[0]+math.Abs(q.X)*rel.Rad[2]+math.Abs(q.Y)*rel.Rad[3] {
				closer++
			}
		}
	}
	if looked < 300 || outside < looked/100 || closer < looked/8 {
		t.Errorf("%d places, %d outside of a tenth, %d known more closely than by the origin", looked, outside, closer)
	}
}
