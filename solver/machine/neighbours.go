package machine

import (
	"cmp"
	"context"
	"slices"
	"sync/atomic"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/outline"
	"barover/solver/plane"
)

// Across the engine, parts lie one behind the other. Of all pairs that pass each other in the side view, only those with
// nothing between them are neighbours: parts farther apart are kept apart by those between.

// Neighbours are two profiles of different parts that pass each other in the side view, without a third between them
// across that passes both. A is the inner one. Lengths are in mm.
type Neighbours struct {
	A, B int
	Rest float64     // the space between them where both are in the middle of their sideplay; below zero they overlap
	Gap  float64     // the same, less the sideplay of both
	Sure solver.Sure // whether it is proved that they pass each other, or sampled
}

// Abreast is all neighbours of an engine.
type Abreast struct {
	Pairs  []Neighbours // the innermost first
	Seen   int          // pairs that stay apart in the side view in all samples, which is no proof
	Passed int          // pairs that were not tried, since there are too many
}

const (
	// mostBeside is how many profiles that begin farther out each profile is paired with, the nearest first.
	mostBeside = 64
	// mostAbreast is how many pairs are tried, the nearest first. Each costs up to some milliseconds.
	mostAbreast = 4000
	// mostAbreastSeen is the same where nothing can be proved, times the travel settings: each costs a pass over the
	// turn.
	mostAbreastSeen = 10_000
)

// Abreast finds the neighbours. Two profiles that belong together, as together says of a pin and its eye, and whose bands
// overlap, have no gap.
func (m *Machine) Abreast(ctx context.Context, o Options, together func(a, b int) bool) (*Abreast, error) {
	p, err := m.enclosed(ctx, o)
	if err != nil {
		return nil, err
	}
	out := new(Abreast)
	most := mostAbreast
	if settings, _ := m.Looked(); p == nil {
		most = min(most, max(1, mostAbreastSeen/len(settings)))
	}
	s := m.stackUp(together, most)
	out.Passed = s.passed
	var seen atomic.Int64
	for len(s.open) > 0 {
		now := s.next()
		err := Share(ctx, o.quietly(), len(now), func(i int) error {
			sure, passes, err := m.pass(ctx, p, now[i].A, now[i].B)
			if now[i].passes, now[i].Sure = passes, sure; !passes && sure == solver.Sampled {
				seen.Add(1)
			}
			return err
		})
		if err != nil {
			return nil, err
		}
		for _, x := range now {
			if x.passes {
				s.linked[[2]int{x.A, x.B}] = true
				out.Pairs = append(out.Pairs, x.Neighbours)
			}
		}
	}
	out.Seen = int(seen.Load())
	slices.SortFunc(out.Pairs, func(a, b Neighbours) int {
		return cmp.Or(cmp.Compare(m.Bands[a.A].To, m.Bands[b.A].To), cmp.Compare(m.Bands[a.B].From, m.Bands[b.B].From),
			m.byName(a.A, b.A), m.byName(a.B, b.B))
	})
	if m.belowDatum() {
		slices.Reverse(out.Pairs)
		for i := range out.Pairs {
			x := &out.Pairs[i]
			x.A, x.B = x.B, x.A
		}
	}
	return out, ctx.Err()
}

// stack holds the profiles of an engine in their order across while their neighbours are found.
type stack struct {
	m      *Machine
	linked map[[2]int]bool // pairs that pass each other, or have a profile between them that passes both
	open   []*abreastPair  // not tried yet, the nearest first
	passed int
}

type abreastPair struct {
	Neighbours
	between []int // the profiles that lie between the two across
	passes  bool
}

// stackUp lists the pairs to be tried, at most most of them.
func (m *Machine) stackUp(together func(a, b int) bool, most int) *stack {
	s := &stack{m: m, linked: make(map[[2]int]bool)}
	order := m.rising()
	for i, a := range order {
		if n := len(order) - 1 - i - mostBeside; n > 0 {
			s.passed += n
		}
		for _, b := range order[i+1 : min(len(order), i+1+mostBeside)] {
			gap := m.Gap(a, b)
			rest := gap + m.Bands[a].Play + m.Bands[b].Play
			switch overlap := rest < -engine.Touch; {
			case m.Problem.Profiles[a].Part == m.Problem.Profiles[b].Part:
				s.linked[[2]int{a, b}] = m.lieTogether(a, b)
			case !overlap || !together(a, b):
				s.open = append(s.open, &abreastPair{Neighbours: Neighbours{A: a, B: b, Rest: rest, Gap: gap}, between: s.between(a, b, order[i+1:])})
			}
		}
	}
	slices.SortStableFunc(s.open, func(a, b *abreastPair) int { return cmp.Compare(a.Rest, b.Rest) })
	if n := len(s.open) - most; n > 0 {
		s.open, s.passed = s.open[:most], s.passed+n
	}
	return s
}

// Outwards lists the profiles by their bands, the innermost first: from the least figure to the greatest, or the reverse
// where all of them are below the datum.
func (m *Machine) Outwards() []int {
	order := m.rising()
	if m.belowDatum() {
		slices.Reverse(order)
	}
	return order
}

func (m *Machine) belowDatum() bool {
	return !slices.ContainsFunc(m.Bands, func(b engine.Band) bool { return b.To > 0 })
}

// rising lists the profiles by the lower faces of their bands.
func (m *Machine) rising() []int {
	order := solver.Numbers(len(m.Bands))
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(m.Bands[a].From, m.Bands[b].From), cmp.Compare(m.Bands[a].To, m.Bands[b].To), m.byName(a, b))
	})
	return order
}

func (m *Machine) byName(a, b int) int {
	return cmp.Compare(m.Problem.Profiles[a].Name, m.Problem.Profiles[b].Name)
}

// between lists the profiles between a and b across, from those that begin no farther in than a.
func (s *stack) between(a, b int, of []int) (list []int) {
	lo, hi := s.m.Bands[a].To, s.m.Bands[b].From
	for _, c := range of {
		band := &s.m.Bands[c]
		if band.From > hi {
			break
		}
		if c != b && band.From >= lo-engine.Touch && band.To <= hi+engine.Touch {
			list = append(list, c)
		}
	}
	return list
}

// next takes from the open pairs those that can be judged by now: all pairs between them are known. Pairs with a profile
// between them that passes both are linked by it, and are no neighbours.
func (s *stack) next() (now []*abreastPair) {
	waits := make(map[[2]int]bool, len(s.open))
	for _, x := range s.open {
		waits[[2]int{x.A, x.B}] = true
	}
	var left []*abreastPair
	for _, x := range s.open {
		key := [2]int{x.A, x.B}
		unknown, linked := false, false
		for _, c := range x.between {
			p, q := [2]int{x.A, c}, [2]int{c, x.B}
			linked = linked || s.linked[p] && s.linked[q]
			unknown = unknown || waits[p] || waits[q]
		}
		switch {
		case linked:
			s.linked[key] = true
			delete(waits, key)
		case unknown:
			left = append(left, x)
		default:
			now = append(now, x)
		}
	}
	if s.open = left; len(now) == 0 { // bands without thickness lie between one another
		now, s.open = left, nil
	}
	return now
}

// lieTogether reports whether two profiles of one part overlap in the side view.
func (m *Machine) lieTogether(a, b int) bool {
	return outline.Distance(m.Regions[a], plane.Fixed, m.Regions[b], plane.Fixed).D < -engine.Touch
}

// pass reports whether two profiles overlap in the side view at some position: proved where possible, otherwise sampled.
func (m *Machine) pass(ctx context.Context, p *proofs, a, b int) (sure solver.Sure, passes bool, err error) {
	if p != nil {
		pr := p.provers.Must()
		defer p.provers.Put(pr)
		switch ans := pr.Compare(ctx, m.body(a), m.body(b), -engine.Touch); {
		case ans.Hi < -engine.Touch:
			return solver.Proved, true, ctx.Err()
		case ans.Lo >= -engine.Touch && len(p.unproved) == 0:
			return solver.Proved, false, ctx.Err()
		}
	}
	c := &solver.Check{Kind: solver.Gap, A: a, B: b}
	settings, _ := m.Looked()
	for _, travel := range settings {
		r, err := m.RunWith(ctx, travel, nil, m.NeedsOf())
		if err != nil {
			return solver.Sampled, false, err
		}
		if s := r.Pair(c, nil); s.Have && s.Least.V < -engine.Touch {
			return solver.Sampled, true, nil
		}
	}
	return solver.Sampled, false, ctx.Err()
}
