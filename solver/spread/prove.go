package spread

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/machine"
	"barover/solver/plane"
	"barover/solver/tube"
)

// The worst of tolerances is proved where possible: all engines are enclosed at once, and each figure is bounded over all
// of them and all positions. The engine nearest to the bound is solved like any other, so the bound has a witness.

// middles returns the middles of the tolerances, about which the sizes of a proof lie.
func (s *spread) middles() []float64 {
	return s.each(func(t *Tolerance) float64 { return t.Value + (t.Lower+t.Upper)/2 })
}

// prove bounds every side, and solves the engine nearest to each bound.
func (s *spread) prove(ctx context.Context) error {
	if len(s.q.Tolerances) == 0 || len(s.sides) == 0 || s.o.Sampled {
		return nil
	}
	over, played, err := s.enclose(ctx)
	if over == nil || err != nil {
		return err
	}
	sizes := s.enclosed()
	err = machine.Share(ctx, s.telling(ofBounds), len(s.sides), func(i int) error {
		d := &s.sides[i]
		by := s.bounderOf(d, over, played)
		b, err := by.Check(ctx, d.half, s.split.upper[d.half])
		if err != nil {
			return err
		}
		d.bound, d.holds = b, by.Holds(d.half, &b)
		if err = s.seeWitness(ctx, d, by); err != nil {
			return err
		}
		if !d.holds && !d.bound.Apart {
			d.sorting, err = s.sortBy(ctx, d, by, sizes)
		}
		return err
	})
	if err != nil {
		return err
	}
	var with []*side
	for i := range s.sides {
		if d := &s.sides[i]; d.bound.With != nil && !d.climbed {
			with = append(with, d)
		}
	}
	return s.visitEach(ctx, with, func(d *side) []float64 { return s.witness(d, d.bound.With) })
}

// unbind drops the bound of a side where an engine goes beyond it. That happens only where loose lines bind: the proof is
// for the places that they allow, and where they bind they allow none.
func (s *spread) unbind(d *side) {
	sign := plane.Sign(!s.split.upper[d.half])
	if d.bound.Loose() && sign*(d.worst.figure-d.bound.Worst) < -rounding {
		d.holds = false
		d.bound = machine.Bound{Why: solver.Unproved{Interval: solver.Interval{From: s.q.Problem.Turn.From, To: s.q.Problem.Turn.To}, Why: solver.LooseBinds}}
	}
}

// seeWitness searches for the worst engine for a clear line that is proved to hold, starting from the engine of the bound. The
// engine is solved at one position only. With play no other search follows: to check one more engine would take as long as
// the proof of all engines, since each engine has all places of its pins.
func (s *spread) seeWitness(ctx context.Context, d *side, by bounder) error {
	if !d.holds || d.bound.With == nil || s.q.Problem.Checks[s.split.whole[d.half]].Kind != solver.Clear {
		return nil
	}
	f, with, err := by.Witness(ctx, d.half, &d.bound, s.split.upper[d.half])
	if err != nil || f == nil {
		return err
	}
	f.OK, f.Sure = true, solver.Proved
	s.note(d, s.split.of(s.q.Problem), f, s.witness(d, with), false)
	d.climbed = len(s.q.Problem.Plays) > 0 || s.settled(d)
	return nil
}

// witness returns the sizes of an engine found. Sizes that do not affect a side keep their values.
func (s *spread) witness(d *side, with []float64) []float64 {
	out := s.within()
	middle := s.middles()
	for i, t := range s.q.Tolerances {
		if v := with[i]; v != middle[i] && slices.Contains(d.reach, i) {
			out[i] = math.Max(t.Value+t.Lower, math.Min(t.Value+t.Upper, v))
		}
	}
	return out
}

// enclose encloses all engines, with tight pins and with play. It returns nil where that cannot be tried, and gives each
// side the reason.
func (s *spread) enclose(ctx context.Context) (tight, played bounder, err error) {
	why := s.turnMoves()
	if why == solver.NotTried {
		if tight, played, err = s.encloseOver(ctx, s.enclosed(), mostHalvings); err != nil || tight != nil {
			return tight, played, err
		}
		why = solver.SizesPart
	}
	for i := range s.sides {
		s.sides[i].bound.Why.Why = why
	}
	return nil, nil, ctx.Err()
}

// enclosed returns the tolerances in the form that a tube needs.
func (s *spread) enclosed() (list []tube.Size) {
	for i, t := range s.q.Tolerances {
		list = append(list, tube.Size{Dim: t.Dim, Mid: s.middles()[i], Half: (t.Upper - t.Lower) / 2})
	}
	return list
}

// Envelopes prepares the effect of tolerances and play on distances over the turn. It returns nil where the turn depends
// on a tolerance, or the engine with all sizes in the middle cannot be made.
func Envelopes(ctx context.Context, q Ask) (*machine.Envelopes, error) {
	s := &spread{q: q}
	if s.turnMoves() != solver.NotTried {
		return nil, ctx.Err()
	}
	p, v, err := q.Vary(s.values(s.middles()))
	if err != nil {
		return nil, ctx.Err()
	}
	m, err := machine.New(p, v)
	if err != nil {
		return nil, ctx.Err()
	}
	return m.Envelopes(ctx, s.enclosed()), ctx.Err()
}

// mostHalvings is how often sizes that are too wide to be enclosed at once are halved: near a dead centre.
const mostHalvings = 4

// encloseOver encloses the engines of some sizes. Where these are too wide, it halves the size with the largest effect
// and encloses each half. It returns nil where the engine with all sizes in the middle cannot be made.
func (s *spread) encloseOver(ctx context.Context, sizes []tube.Size, halvings int) (tight, played bounder, err error) {
	m, err := s.machine(mids(sizes))
	if err != nil {
		return nil, nil, ctx.Err()
	}
	over, err := m.OverSizes(ctx, s.telling(ofTubes), machine.Sizes{List: sizes})
	if err != nil {
		return nil, nil, err
	}
	why := over.Why()
	tight, played = over, over
	if m.Shakes() && why != solver.SizesPart {
		p, err := m.Everywhere(ctx, s.telling(ofTubes), sizes, s.clears())
		if err != nil {
			return nil, nil, err
		}
		why, played = p.Why(), p
	}
	k := s.foremost(sizes)
	if why != solver.SizesPart || halvings == 0 || k < 0 {
		return tight, played, nil
	}
	var half [2][2]bounder
	for side := range half {
		if half[side][0], half[side][1], err = s.encloseOver(ctx, halfOf(sizes, k, side), halvings-1); err != nil || half[side][0] == nil {
			return tight, played, err
		}
		if b, err := half[side][0].Check(ctx, s.sides[0].half, s.split.upper[s.sides[0].half]); err != nil || b.Why.Why == solver.SizesPart && !b.Known {
			return tight, played, err // the rest would not mend it
		}
	}
	return halved{half[0][0], half[1][0]}, halved{half[0][1], half[1][1]}, nil
}

// mids lists the middles of sizes.
func mids(sizes []tube.Size) []float64 {
	at := make([]float64, len(sizes))
	for i := range sizes {
		at[i] = sizes[i].Mid
	}
	return at
}

// halfOf is sizes with the lesser half (0) or the greater (1) of one of them.
func halfOf(sizes []tube.Size, k, side int) []tube.Size {
	half := slices.Clone(sizes)
	half[k].Half /= 2
	half[k].Mid += (2*float64(side) - 1) * half[k].Half
	return half
}

// foremost returns the size with the largest effect on the sides by itself; -1 if none has any.
func (s *spread) foremost(sizes []tube.Size) int {
	best, most := -1, 0.0
	for i := range sizes {
		sum := 0.0
		for k := range s.sides {
			if d := &s.sides[k]; i < len(d.slopes) {
				sum += math.Abs(d.slopes[i]) * sizes[i].Half
			}
		}
		if sum > most {
			best, most = i, sum
		}
	}
	return best
}

// halved joins the engines of two halves of a size.
type halved [2]bounder

// Check returns the worse of the two bounds.
func (h halved) Check(ctx context.Context, check int, upper bool) (machine.Bound, error) {
	a, err := h[0].Check(ctx, check, upper)
	if err != nil || !a.Known {
		return a, err
	}
	b, err := h[1].Check(ctx, check, upper)
	if err != nil || !b.Known || a.Apart {
		return b, err
	}
	if b.Apart {
		return a, nil
	}
	sign := plane.Sign(!upper)
	worst := sign * math.Min(sign*a.Worst, sign*b.Worst)
	if b.Room < a.Room || b.Room == a.Room && sign*b.Worst < sign*a.Worst {
		a = b
	}
	a.Worst = worst
	return a, nil
}

// Witness returns nil: halved searches for no witness of its own.
func (h halved) Witness(context.Context, int, *machine.Bound, bool) (*solver.Finding, []float64, error) {
	return nil, nil, nil
}

// Sorter is none for both halves: each has its own.
func (h halved) Sorter(context.Context, int, bool) (*machine.Sorter, error) { return nil, nil }

// Holds reports what a bound proves: that goes by the check alone.
func (h halved) Holds(check int, b *machine.Bound) bool { return h[0].Holds(check, b) }

// bounder bounds the worst of checks over every engine.
type bounder interface {
	Check(ctx context.Context, check int, upper bool) (machine.Bound, error)
	Holds(check int, b *machine.Bound) bool
	Witness(ctx context.Context, check int, b *machine.Bound, upper bool) (*solver.Finding, []float64, error)
	Sorter(ctx context.Context, check int, upper bool) (*machine.Sorter, error)
}

// bounderOf returns the bounder of a side: a keep line is judged with tight pins.
func (s *spread) bounderOf(d *side, tight, played bounder) bounder {
	if s.q.Problem.Checks[s.split.whole[d.half]].Kind == solver.Clear {
		return played
	}
	return tight
}

// clears lists the halves of clear lines that depend on tolerances.
func (s *spread) clears() (list []int) {
	for i := range s.sides {
		if s.q.Problem.Checks[s.split.whole[s.sides[i].half]].Kind == solver.Clear {
			list = append(list, s.sides[i].half)
		}
	}
	return list
}

// turnMoves says why the turn may not be the same whatever the tolerances. It returns NotTried where it is.
func (s *spread) turnMoves() solver.Why {
	if s.base != nil {
		return solver.NotTried
	}
	turn := s.q.Problem.Turn
	for i, t := range s.q.Tolerances {
		for _, by := range [2]float64{t.Lower, t.Upper} {
			at := s.nominal()
			at[i] += by
			switch p, _, err := s.q.Vary(s.values(at)); {
			case err != nil:
				return solver.SizesFault
			case p.Turn.From != turn.From || p.Turn.To != turn.To:
				return solver.SizesMoveRange
			}
		}
	}
	return solver.NotTried
}

const (
	// closed is how near a solved engine must be to a side's bound for the search to be left out, as a share of the effect of the
	// tolerances on the side. straight is how near the prediction of the slopes must be for the slopes to be trusted.
	closed   = 0.01
	exactly  = 1e-7 // closed for a sum of dimensions alone, for which a search is cheap
	closer   = 1e-3 // closed along one tolerance, for which a bound is tight
	straight = 0.1
)

// settled reports whether a side needs no search: an engine near its bound is solved, and the slopes explain the effect of
// each tolerance.
func (s *spread) settled(d *side) bool {
	return d.bound.Apart || d.climbed || s.witnessed(d) && s.told(d)
}

// witnessed reports whether an engine was solved that is near to the bound of a side.
func (s *spread) witnessed(d *side) bool {
	if !d.bound.Known || d.worst.unmade {
		return d.bound.Apart
	}
	near, trifle := closed, s.trifle(d)
	if s.ofDimensions(d) {
		near = exactly
	}
	if d.bound.Joint {
		return math.Abs(d.worst.room-d.bound.Room) <= near*math.Abs(d.room-d.bound.Room)+trifle
	}
	over := math.Abs(d.worst.figure - d.bound.Worst)
	if !math.IsInf(d.bound.Room, 0) && math.Abs(d.worst.room-d.bound.Room) > over+rounding {
		return false // the limit depends on sizes as well, which are not where they make it strictest
	}
	if math.IsInf(d.room, 1) { // nothing is measured with every dimension at its value, and no effect is known
		return over <= s.accuracy(d)
	}
	return over <= near*math.Abs(d.figure-d.bound.Worst)+trifle
}

// accuracy is to what the figures of a side are right, in its own unit: ten times that by which a check may miss its limit.
func (s *spread) accuracy(d *side) float64 { return 100 * s.trifle(d) }

// trifle is a difference of a side's figures that is not worth a search, in its own unit: a tenth of that by which a check may miss
// its limit and still hold. A sum of dimensions alone is exact.
func (s *spread) trifle(d *side) float64 {
	if s.ofDimensions(d) {
		return rounding
	}
	return s.q.Problem.Checks[s.split.whole[d.half]].Meets() / 10
}

// told reports whether the slopes of a side predict its bound; where the worst engine was searched for from the bound
// (climbed), whether they predict that engine.
func (s *spread) told(d *side) bool {
	if !d.bound.Known {
		return false
	}
	loss := math.Abs(d.figure - d.bound.Worst)
	if d.bound.Joint || !math.IsInf(d.bound.Room, 0) {
		loss = math.Abs(d.room - d.bound.Room)
	}
	if d.climbed { // the gap between bound and engine is not due to the figure's curvature
		loss = math.Abs(d.room - d.worst.room)
	}
	if d.slopes == nil { // then only a loss of nothing is explained
		return loss <= s.trifle(d)
	}
	told := 0.0
	for i := range s.q.Tolerances {
		told += s.lossBy(d, i)
	}
	return math.Abs(told-loss) <= straight*loss+s.trifle(d)
}
