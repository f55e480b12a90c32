package spread

import (
	"cmp"
	"math"
	"slices"

	"barover/solver"
)

// answer joins the halves of each check: it takes the limit that the tolerances come nearer to, of those that they move the figure to.
func (s *spread) answer() *Answer {
	a := &Answer{Samples: s.q.Samples, Drawn: s.drawn, Solved: s.solved, Cut: s.cut, Unmade: s.unmade, Broken: len(s.now.Broken) > 0}
	sides := make([][]*side, len(s.q.Problem.Checks))
	for i := range s.sides {
		d := &s.sides[i]
		s.unbind(d)
		c := s.split.whole[d.half]
		sides[c] = append(sides[c], d)
		a.Glanced = a.Glanced || !d.holds && len(d.stands) < s.drawn
	}
	first := make([]int, len(s.q.Problem.Checks)) // of each check: its first half
	for k := len(s.split.whole) - 1; k >= 0; k-- {
		first[s.split.whole[k]] = k
	}
	for i := range s.q.Problem.Checks {
		if len(sides[i]) == 0 {
			a.Checks = append(a.Checks, s.untouched(i, first[i]))
			continue
		}
		a.Checks = append(a.Checks, s.check(i, sides[i]))
	}
	return a
}

// untouched returns a check that depends on no tolerance.
func (s *spread) untouched(i, half int) Check {
	c := Check{Check: i, Finding: s.finding(i, half), Scale: math.Inf(1), ScaleRSS: math.Inf(1)}
	worst, ok, p := half, true, s.split.of(s.q.Problem)
	for k := half; k < len(s.split.whole) && s.split.whole[k] == i; k++ {
		a, holds := s.split.room(k, p, &s.now.Findings[k])
		b, _ := s.split.room(worst, p, &s.now.Findings[worst])
		if ok = ok && holds; a < b {
			worst = k
		}
	}
	f := &s.now.Findings[worst]
	c.Upper, c.Figure, c.OK, c.Sure = s.split.upper[worst], f.Figure(s.split.upper[worst]), ok, f.Sure
	c.Worst, c.RSS, c.Proved, c.Holds = c.Figure, c.Figure, math.NaN(), f.OK && f.Sure == solver.Proved
	if f.Sure == solver.Proved {
		c.Proved = c.Figure
	}
	c.Room, _ = s.split.room(worst, p, f)
	if !ok {
		c.Share, c.Low, c.High, c.Surely = 1, 1, 1, [2]float64{1, 1}
	}
	return c
}

// finding returns the finding of the whole check: the halves have the same figures, but a limit each.
func (s *spread) finding(i, half int) solver.Finding {
	f, p := s.now.Findings[half], s.split.of(s.q.Problem)
	f.Check = i
	_, f.OK = s.split.room(half, p, &f)
	for k := half + 1; k < len(s.split.whole) && s.split.whole[k] == i; k++ {
		g := &s.now.Findings[k]
		_, ok := s.split.room(k, p, g)
		f.OK = f.OK && ok
		if !math.IsNaN(g.AtMost) {
			f.AtMost = g.AtMost
		}
	}
	return f
}

// weighed returns the side of a check to tell of: the one with least room. Where all hold, one that no tolerance moves comes after
// those that one moves, as the lower limit 0 of a hole and a shaft of one size with fits that only make them looser.
func (s *spread) weighed(i int, sides []*side) *side {
	c, all := &s.q.Problem.Checks[i], true
	for _, d := range sides {
		all = all && d.worst.ok && !d.worst.unmade
	}
	rank := func(d *side) int {
		if all && !(d.room-d.worst.room > c.Meets()) {
			return 1
		}
		return 0
	}
	return slices.MinFunc(sides, func(a, b *side) int {
		return cmp.Or(rank(a)-rank(b), cmp.Compare(a.worst.room, b.worst.room))
	})
}

// check returns a check that depends on tolerances.
func (s *spread) check(i int, sides []*side) Check {
	d := s.weighed(i, sides)
	ok, unmade, holds := true, false, true
	for _, e := range sides {
		holds = holds && e.holds
		ok, unmade = ok && e.worst.ok && !e.worst.unmade, unmade || e.worst.unmade
	}
	c := Check{Check: i, Finding: s.finding(i, sides[0].half), Upper: s.split.upper[d.half], Figure: d.figure,
		Worst: d.worst.figure, Room: d.worst.room, RSS: d.figure, OK: ok, Drawn: d.worst.drawn, Unmade: unmade, Sure: d.worst.sure, Corner: d.worst.at,
		Scale: math.NaN(), ScaleRSS: math.NaN()}
	c.Holds, c.Proved, c.Why = holds, math.NaN(), d.bound.Why
	if b := &d.bound; b.Known && !b.Apart && !c.Finding.Apart {
		if c.Proved = b.Worst; b.Joint { // the limit moves too: figures that leave the same room to where it stands
			c.Worst, c.Proved = c.leaving(d.worst.room), c.leaving(b.Room)
		}
	}
	s.likely(&c, d)
	short, surely, perhaps, of := fallShort(sides)
	if c.Short, c.Samples = short, of; holds { // none can fall short, drawn or not
		c.Samples = s.q.Samples
	} else if of > 0 {
		c.Share = float64(short) / float64(of)
		c.Surely = [2]float64{float64(surely) / float64(of), float64(perhaps) / float64(of)}
		c.Low, c.High = Interval(short, of, confidence)
	}
	return c
}

// leaving is the figure that leaves so much room to the limit as it stands.
func (c *Check) leaving(room float64) float64 {
	if c.Upper {
		return c.Finding.AtMost - room
	}
	return c.Finding.AtLeast + room
}

// likely computes the effect of the tolerances on a side by root sum square, and the effect of each.
func (s *spread) likely(c *Check, d *side) {
	c.Stack = s.stack(d)
	loss, most := c.Stack.RSS(s.q.Inflate)-c.Stack.Middle(), d.room-d.worst.room
	switch {
	case !(most > rounding) || math.IsInf(most, 0):
	case len(c.Stack) == 0, s.q.Inflate == 1 && !(loss <= most):
		loss = most // they matter only together, or the slopes exceed what any engine shows
	}
	if c.Upper {
		loss = -loss
	}
	c.RSS -= loss
	if s.scales(d, c.Stack) {
		c.Scale, c.ScaleRSS = c.Stack.Scale(d.room, s.q.Inflate)
	}
}

// scalable is the share of the worst loss of room that the separate effects of all tolerances must explain.
const scalable = 0.99

// scales reports whether a side's stack predicts the effect of closer tolerances. It does not where the worst of a
// tolerance is between its limits, or where several together have an effect that none has alone.
func (s *spread) scales(d *side, stack Stack) bool {
	for i, l := range d.lone {
		t := s.q.Tolerances[i]
		if l.loss > rounding && l.at != t.Value+t.Lower && l.at != t.Value+t.Upper {
			return false
		}
	}
	return (d.slopes != nil || len(stack) > 0) && !(stack.WorstCase()-stack.Middle() < scalable*(d.room-d.worst.room)-rounding)
}

// stack returns the effect of each tolerance on a side's room, the largest first: by its slopes, or by trial where slopes
// do not decide.
func (s *spread) stack(d *side) Stack {
	var out Stack
	for i, t := range s.q.Tolerances {
		p := Part{Dim: t.Dim, Slope: math.NaN(), Lower: t.Lower, Upper: t.Upper, Fixed: t.Fixed}
		l, tried := d.lone[i]
		switch {
		case tried && l.loss > rounding && !math.IsInf(l.loss, 0):
			p.Tried, p.Loss = true, l.loss
		case tried || d.slopes == nil || math.Abs(d.slopes[i]) < weakest:
			continue
		default:
			p.Slope = d.slopes[i]
		}
		out = append(out, p)
	}
	if len(out) == 1 && len(d.reach) == 1 { // then nothing else can make it fall short
		if loss := d.room - d.worst.room + out.Middle(); loss >= 0 && !math.IsInf(loss, 0) && !(math.Abs(loss-out[0].Half()) <= rounding) {
			out[0].Tried, out[0].Loss = true, loss
		}
	}
	slices.SortStableFunc(out, func(a, b Part) int { return cmp.Compare(b.Half(), a.Half()) })
	return out
}

// fallShort counts the engines drawn in which one of the sides did not hold, those in which one surely did not, and those in which not all
// surely did.
func fallShort(sides []*side) (short, surely, perhaps, of int) {
	for _, d := range sides {
		of = max(of, len(d.stands))
	}
	for i := range of {
		all, sure, none := true, true, false
		for _, d := range sides {
			if i < len(d.stands) {
				t := d.stands[i]
				all, sure, none = all && t.holds, sure && t.holds && t.sure, none || !t.holds && t.sure
			} else if !d.holds { // it was tried in the first engines alone
				sure = false
			}
		}
		short, surely, perhaps = short+count(!all), surely+count(none), perhaps+count(!sure)
	}
	return short, surely, perhaps, of
}

func count(is bool) int {
	if is {
		return 1
	}
	return 0
}
