package spread

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/hunt"
	"barover/solver/machine"
	"barover/solver/tube"
)

// A side with a solved engine near its bound needs no search. For any other side the worst engine is searched for: at the
// corner that the slopes point to, and from the worst engine known along one tolerance after the other. Slopes at one engine
// do not tell which limit is the worse where the figure has a kink or is flat, or has an extreme between the value and a
// limit: |d − 10| at d = 10 has no slope at all. So each tolerance is also tried alone at both limits.

const (
	// climbs is the most steps from corner to corner, and passes the most searches along all tolerances.
	climbs, passes = 4, 4
	// looks is the most engines solved between the limits of one tolerance, and fine the accuracy sought there, as a share of
	// the tolerance.
	looks, fine = 12, 1e-4
	// looksExactly and finest are looks and fine for a sum of dimensions alone, which is cheap.
	looksExactly, finest = 60, 1e-8
	// A slope below weakest is rounding. The sign of a slope is not trusted where the tolerance has less than the share slight of
	// the total effect of the tolerances on the side.
	weakest, slight = 1e-9, 1e-5
)

// lone is the result of trying one tolerance alone, the others at their values: the value at which a side has least room, and
// how much room is lost against every dimension at its value. Both in mm, rad or plain.
type lone struct{ at, loss float64 }

// seek searches for the worst engine of each side that is not settled. Where slopes do not explain the bound it also finds the
// effect of each tolerance alone.
func (s *spread) seek(ctx context.Context) error {
	var open, untold []*side
	for i := range s.sides {
		d := &s.sides[i]
		if !s.settled(d) {
			open = append(open, d)
		}
		if !d.bound.Apart && !s.told(d) && !(math.IsInf(d.room, 1) && s.witnessed(d)) { // no tolerance alone has a finite effect on infinite room
			untold = append(untold, d)
		}
	}
	if err := s.singly(ctx, untold); err != nil {
		return err
	}
	open = slices.DeleteFunc(open, s.witnessed)
	if err := s.visitEach(ctx, open, s.together); err != nil {
		return err
	}
	return s.eachAlone(ctx, open, func(d *side) error { return s.descend(ctx, d) })
}

// seekOn continues the search from each engine drawn that is worse than every engine found before.
func (s *spread) seekOn(ctx context.Context) error {
	var open []*side
	for i := range s.sides {
		if d := &s.sides[i]; d.worst.drawn {
			open = append(open, d)
		}
	}
	if err := s.visitEach(ctx, open, func(d *side) []float64 { return d.worst.at }); err != nil {
		return err
	}
	return s.eachAlone(ctx, open, func(d *side) error { return s.descend(ctx, d) })
}

// singly tries each tolerance alone at both limits, for those sides that it reaches. Where the slopes do not all point one way it
// also searches between the limits.
func (s *spread) singly(ctx context.Context, open []*side) error {
	var engines [][]float64
	var of [][]*side
	for i := range s.q.Tolerances {
		for _, x := range s.limits(i) {
			engines, of = append(engines, s.with(s.within(), i, x)), append(of, reached(open, i))
		}
	}
	if err := s.visitAll(ctx, engines, of); err != nil {
		return err
	}
	var doubts []*doubt
	for i := range s.q.Tolerances {
		for _, d := range reached(open, i) {
			if s.inDoubt(d, i) {
				doubts = append(doubts, &doubt{side: d, tolerance: i})
			}
		}
	}
	err := machine.Share(ctx, s.telling(ofTolerances), len(doubts), func(k int) error { return doubts[k].search(ctx, s) })
	for _, b := range doubts {
		b.settle(s)
	}
	return err
}

// reached lists those of some sides that tolerance i may affect.
func reached(sides []*side, i int) (out []*side) {
	for _, d := range sides {
		if slices.Contains(d.reach, i) {
			out = append(out, d)
		}
	}
	return out
}

// doubt is a search along one tolerance for one side, the others at their values. Searches of one side may run at once: each keeps
// what it sees to itself until they are settled, one after the other.
type doubt struct {
	side      *side
	tolerance int
	x, room   float64
	shown     []seen
}

func (b *doubt) search(ctx context.Context, s *spread) (err error) {
	known := map[string]found{}
	b.x, b.room, err = s.along(ctx, b.side, s.within(), b.tolerance, func(at []float64) (found, error) {
		key := engine.SettingKey(at)
		if f, ok := b.side.known[key]; ok {
			return f, ctx.Err()
		}
		if f, ok := known[key]; ok {
			return f, ctx.Err()
		}
		list, err := s.see(ctx, s.alone(), at, b.side)
		if err != nil {
			return found{room: math.NaN()}, err
		}
		b.shown = append(b.shown, list...)
		known[key] = s.found(b.side, &list[0])
		return known[key], nil
	})
	return err
}

// settle takes what a search found.
func (b *doubt) settle(s *spread) {
	for i := range b.shown {
		s.take(b.side, &b.shown[i])
	}
	if b.side.lone == nil {
		b.side.lone = make(map[int]lone)
	}
	b.side.lone[b.tolerance] = lone{b.x, math.Max(0, b.side.room-b.room)}
}

// limits returns the least and the greatest value of a tolerance.
func (s *spread) limits(i int) [2]float64 {
	t := s.q.Tolerances[i]
	return [2]float64{t.Value + t.Lower, t.Value + t.Upper}
}

// with returns an engine with another value of one tolerance.
func (s *spread) with(at []float64, i int, x float64) []float64 {
	out := slices.Clone(at)
	out[i] = x
	return out
}

// inDoubt reports whether the slopes of a side leave the effect of a tolerance open: those at the value and at both limits do
// not all have the same sign.
func (s *spread) inDoubt(d *side, i int) bool {
	slants, blind := [][]float64{}, false
	if d.slopes != nil {
		slants = append(slants, d.slopes)
	}
	for _, x := range s.limits(i) {
		f := d.known[engine.SettingKey(s.with(s.within(), i, x))]
		if f.slopes != nil {
			slants = append(slants, f.slopes)
		}
		blind = blind || f.slopes == nil && !math.IsInf(f.room, 1) // infinite room: the profiles never meet, and nothing is measured
	}
	if len(slants) == 0 {
		return blind
	}
	most := 0.0
	for _, g := range slants {
		sum := 0.0
		for k := range g {
			sum += s.moved(g, k)
		}
		most = math.Max(most, sum)
	}
	up, down := false, false
	for _, g := range slants {
		if math.Abs(g[i]) >= weakest && s.moved(g, i) > slight*most {
			up, down = up || g[i] > 0, down || g[i] < 0
		}
	}
	flat := d.slopes == nil || math.Abs(d.slopes[i]) < weakest
	return up && down || (up || down) && flat
}

// moved returns by how much half the width of a tolerance changes the room of a side, by slopes.
func (s *spread) moved(slopes []float64, i int) float64 {
	t := s.q.Tolerances[i]
	return math.Abs(slopes[i]) * (t.Upper - t.Lower) / 2
}

// together returns the engine with every tolerance at its worst value for a side, by slopes or by what was found for it alone.
func (s *spread) together(d *side) []float64 {
	at := s.pointed(s.within(), d.slopes)
	for i, l := range d.lone {
		at[i] = l.at
	}
	return at
}

// pointed returns the corner that slopes point to. A tolerance without a slope keeps its value.
func (s *spread) pointed(at, slopes []float64) []float64 {
	out := slices.Clone(at)
	for i := range slopes {
		switch limits := s.limits(i); {
		case math.Abs(slopes[i]) < weakest:
		case slopes[i] > 0:
			out[i] = limits[0]
		default:
			out[i] = limits[1]
		}
	}
	return out
}

// descend goes from the worst engine known of a side to worse ones, until it finds none.
func (s *spread) descend(ctx context.Context, d *side) error {
	visit := func(at []float64) (found, error) {
		err := s.visit(ctx, s.alone(), at, d)
		return d.known[engine.SettingKey(at)], err
	}
	for range passes {
		before := d.worst.room
		if err := s.climb(ctx, d); err != nil || !d.mayBeTight() || s.told(d) && !d.tight() {
			return err
		}
		for _, i := range d.reach {
			if _, _, err := s.along(ctx, d, d.worst.at, i, visit); err != nil {
				return err
			}
		}
		if !(d.worst.room < before-rounding) {
			return nil
		}
	}
	return nil
}

// climb goes from the worst engine known of a side to the corner that its slopes point to, and on while the slopes there
// point to another.
func (s *spread) climb(ctx context.Context, d *side) error {
	at := d.worst.at
	for range climbs {
		next := s.pointed(at, d.known[engine.SettingKey(at)].slopes)
		if _, been := d.known[engine.SettingKey(next)]; been {
			return nil
		}
		if err := s.visit(ctx, s.alone(), next, d); err != nil {
			return err
		}
		at = next
	}
	return nil
}

// mayBeTight reports whether a side may fall short: the worst engine found takes half of its room, or would if every tolerance
// took as much as all of them do there. The search for any other side stops.
func (d *side) mayBeTight() bool {
	return d.tight() || float64(len(d.reach))*(d.room-d.worst.room) >= d.room/2
}

// tight reports whether the worst engine found takes more than half of a side's room.
func (d *side) tight() bool { return !d.worst.ok || d.worst.unmade || d.worst.room < d.room/2 }

// along searches for the least room of a side along tolerance i, with the others unchanged. solve solves one engine. It returns the
// value x of the tolerance and the room there. It searches between the limits where an engine between them is worse than both, or
// where the slope at the worse limit points inwards, unless it is proved that no engine there is worse.
func (s *spread) along(ctx context.Context, d *side, at []float64, i int, solve func(at []float64) (found, error)) (x, room float64, err error) {
	limits := s.limits(i)
	slope := math.NaN()
	of := func(v float64) float64 {
		f := found{room: math.NaN()}
		if err == nil {
			f, err = solve(s.with(at, i, v))
		}
		if slope = math.NaN(); f.slopes != nil {
			slope = f.slopes[i]
		}
		return solver.OrGreatest(f.room)
	}
	x, room = at[i], of(at[i])
	there := slope
	for _, v := range [3]float64{s.within()[i], limits[0], limits[1]} {
		if r := of(v); r < room {
			x, room, there = v, r, slope
		}
	}
	if x == limits[0] && !(there < 0) || x == limits[1] && !(there > 0) || err != nil {
		return x, room, err
	}
	if done, fault := s.leastAlong(ctx, d, at, i, room); done || fault != nil {
		return x, room, fault
	}
	times, near := looks, fine
	if s.ofDimensions(d) {
		times, near = looksExactly, finest
	}
	x, room = hunt.LeastWithin(of, limits[0], x, limits[1], room, near*(limits[1]-limits[0]), times)
	return x, room, err
}

// leastAlong reports whether no engine along tolerance i, with the others unchanged, leaves noticeably less room than this. That is
// proved, as for all engines, and costs about as much as solving two.
func (s *spread) leastAlong(ctx context.Context, d *side, at []float64, i int, room float64) (bool, error) {
	if s.base == nil || s.still || s.o.Sampled {
		return false, nil
	}
	size := s.enclosed()[i]
	by, err := s.bounderOver(ctx, d, s.with(at, i, size.Mid), []tube.Size{size})
	if by == nil || err != nil {
		return false, err
	}
	b, err := by.Check(ctx, d.half, s.split.upper[d.half])
	return b.Known && !b.Apart && !b.Loose() && room-b.Room <= s.trifle(d)+closer*math.Abs(d.room-room), err
}

// ofDimensions reports whether a side belongs to a keep line on a sum of dimensions alone.
func (s *spread) ofDimensions(d *side) bool {
	c := &s.q.Problem.Checks[s.split.whole[d.half]]
	return c.Kind == solver.Keep && s.q.Problem.Graph.Uses(c.Sum).Constant()
}
