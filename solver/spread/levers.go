package spread

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// A lever is a change of tolerances with which every check holds in every engine. Slopes say how far each tolerance must
// change. A lever is offered only after a proof with the changed tolerances.

// Lever is some tolerances with new limits.
type Lever struct {
	Tolerances []int // indices into Ask.Tolerances
	Limits     []Tolerance
}

const (
	// leastShare is the smallest share of itself that a tolerance is closed to, and mostShare the largest that one is
	// opened to.
	leastShare, mostShare = 0.1, 10
	// spareRoom is the share of the needed room that is added where a lever is not proved without it.
	spareRoom = 0.04
	// singleLevers is how many tolerances are offered that would do alone.
	singleLevers = 3
)

// levers finds which tolerances to close so that all is proved to hold or, where it is already, which may be opened.
func (s *spread) levers(ctx context.Context, a *Answer) (err error) {
	var open []int
	for i, t := range s.q.Tolerances {
		if !t.Fixed {
			open = append(open, i)
		}
	}
	short := s.sidesThat(func(d *side) bool { return !d.holds })
	if len(open) == 0 || s.o.Sampled || len(s.sides) == 0 || !s.othersHold(a) {
		return nil
	}
	if len(short) > 0 {
		a.Closer, err = s.closer(ctx, open, short)
		return err
	}
	if s.q.Levers {
		a.Wider, err = s.wider(ctx, open)
	}
	return err
}

// othersHold reports whether the checks that depend on no tolerance are proved to hold. If one is not, no tolerance makes
// all hold.
func (s *spread) othersHold(a *Answer) bool {
	touched := map[int]bool{}
	for i := range s.sides {
		touched[s.split.whole[s.sides[i].half]] = true
	}
	for i := range a.Checks {
		if c := &a.Checks[i]; !touched[i] && !c.Holds && !c.Finding.Apart {
			return false
		}
	}
	return true
}

func (s *spread) sidesThat(is func(*side) bool) (list []int) {
	for i := range s.sides {
		if is(&s.sides[i]) {
			list = append(list, i)
		}
	}
	return list
}

// closer lists what to close: up to three tolerances that would each do alone, the smallest change first, or otherwise
// all of them by the same share. All sides are proved again: a tolerance that does not contain its value, as in some
// fits, moves its limits to new places.
func (s *spread) closer(ctx context.Context, open, short []int) (out []Lever, err error) {
	all := s.sidesThat(func(*side) bool { return true })
	for _, k := range short {
		d := &s.sides[k]
		if !d.bound.Known || d.slopes == nil || !(d.room > 0) || math.IsInf(d.bound.Room, 0) {
			return nil, nil // closer tolerances would not mend it, or their effect is not known
		}
	}
	open = slices.DeleteFunc(slices.Clone(open), func(i int) bool {
		return !slices.ContainsFunc(short, func(k int) bool { return s.lossBy(&s.sides[k], i) > rounding })
	})
	type alone struct {
		of    int
		share float64
	}
	var list []alone
	for _, i := range open {
		if share := s.shareFor(short, []int{i}, 0); share >= leastShare {
			list = append(list, alone{i, share})
		}
	}
	slices.SortStableFunc(list, func(a, b alone) int { return cmp.Compare(b.share, a.share) })
	most := 1
	if s.q.Levers {
		most = singleLevers
	}
	for _, l := range list {
		if len(out) == most {
			break
		}
		v, err := s.provenLever(ctx, []int{l.of}, func(spare float64) float64 { return s.shareFor(short, []int{l.of}, spare) }, all)
		if err != nil {
			return nil, err
		}
		out = append(out, v...)
	}
	if len(out) == 0 {
		return s.provenLever(ctx, open, func(spare float64) float64 { return s.shareFor(short, open, spare) }, all)
	}
	return out, nil
}

// wider lists which tolerances may each be opened alone, the most first.
func (s *spread) wider(ctx context.Context, open []int) (out []Lever, err error) {
	all := s.sidesThat(func(*side) bool { return true })
	for _, i := range open {
		share := func(spare float64) float64 {
			v := s.shareFor(all, []int{i}, spare)
			return math.Min(v, mostShare)
		}
		if !(share(0) > 1.02) {
			continue
		}
		v, err := s.provenLever(ctx, []int{i}, share, all)
		if err != nil {
			return nil, err
		}
		out = append(out, v...)
	}
	return out, nil
}

// shareFor returns the share of themselves that tolerances may have for some sides to hold in every engine, by slopes:
// below 1 they must be closer. It is infinite where they affect none of the sides.
func (s *spread) shareFor(sides, of []int, spare float64) float64 {
	share := math.Inf(1)
	for _, k := range sides {
		d := &s.sides[k]
		if !d.bound.Known || d.bound.Apart {
			continue
		}
		loss := 0.0
		for _, i := range of {
			loss += s.lossBy(d, i)
		}
		room := d.bound.Room - spare*math.Abs(d.bound.Room)
		switch {
		case loss > rounding:
			share = math.Min(share, 1+room/loss)
		case room < 0:
			return math.Inf(-1)
		}
	}
	return share
}

// lossBy returns the room that a side loses, by slopes, when a tolerance goes from its value to its worse limit.
func (s *spread) lossBy(d *side, i int) float64 {
	t := s.q.Tolerances[i]
	if i >= len(d.slopes) {
		return 0
	}
	return math.Max(0, math.Max(-d.slopes[i]*t.Lower, -d.slopes[i]*t.Upper))
}

// provenLever returns a lever that is proved, or none. share is the factor of the tolerances for a given spare room.
func (s *spread) provenLever(ctx context.Context, of []int, share func(spare float64) float64, sides []int) ([]Lever, error) {
	for _, spare := range [2]float64{0, spareRoom} {
		by := share(spare)
		if !(by >= leastShare) || math.IsInf(by, 1) {
			return nil, nil
		}
		v := Lever{Tolerances: of}
		next := *s
		next.q.Tolerances = slices.Clone(s.q.Tolerances)
		for _, i := range of {
			t := &next.q.Tolerances[i]
			t.Lower, t.Upper = s.neat(i, by*t.Lower), s.neat(i, by*t.Upper)
			if !(t.Upper > t.Lower) {
				return nil, nil
			}
			v.Limits = append(v.Limits, *t)
		}
		ok, err := next.holdsAll(ctx, sides)
		if err != nil {
			return nil, err
		}
		if ok {
			return []Lever{v}, nil
		}
	}
	return nil, nil
}

// neat returns a limit that can be written down, no farther from the value.
func (s *spread) neat(i int, v float64) float64 {
	if s.q.Neat == nil {
		return v
	}
	return s.q.Neat(s.q.Tolerances[i].Dim, v)
}

// holdsAll reports whether some sides are proved to hold in every engine.
func (s *spread) holdsAll(ctx context.Context, sides []int) (bool, error) {
	over, played, err := s.enclose(ctx)
	if err != nil || over == nil {
		return false, err
	}
	for _, k := range sides {
		d := s.sides[k]
		by := s.bounderOf(&d, over, played)
		b, err := by.Check(ctx, d.half, s.split.upper[d.half])
		if err != nil || !by.Holds(d.half, &b) {
			return false, err
		}
	}
	return true, nil
}
