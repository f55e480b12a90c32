package solver

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"barover/solver/clearance"
	"barover/solver/expr"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// Unproved is a stretch of the turn over which nothing is proved, and why.
type Unproved struct {
	Interval
	Travel []Interval // the part of each travel for which that goes; nil for all of them
	Why    Why
}

// Why says why something is not proved.
type Why uint8

// Why something may not be proved.
const (
	NotTried        Why = iota // it was not asked to be proved
	EitherWay                  // the linkage can go either way
	NotAllAssembles            // part of a range cannot be assembled
	TooLong                    // more parts of the motion than may be looked at
	NotReached                 // the travels are not shown to lead there from rest without a jump
	TooManySettings            // more separate settings than may be enclosed
	TooManyRanges              // more ranges than can be enclosed at once
	LooseLines                 // it follows from loose lines
	RoughDrive                 // what drives it has no enclosure
	RoughSum                   // the sum asked about has no enclosure
	NoValueThere               // the sum may have no value, or jump
	HeadingLost                // a heading in it cannot be followed over all of the turn
	WholeOpen                  // a least, greatest or span in it cannot be enclosed
	Undecided                  // the bounds stay apart
)

var whyWords = [...]string{
	NotTried:        "it was not tried",
	EitherWay:       "the linkage can go either way there",
	NotAllAssembles: "some of the range cannot be assembled there",
	TooLong:         "that would take too long",
	NotReached:      "the travels may not lead there from rest without a jump",
	TooManySettings: "the lists of travels have too many settings together",
	TooManyRanges:   "more ranges than can be proved at once",
	LooseLines:      "loose lines place it, and their pose is not smooth",
	RoughDrive:      "what moves it cannot be enclosed",
	RoughSum:        "the sum cannot be enclosed",
	NoValueThere:    "the sum may have no value there: a root or an angle comes to its end, or something is divided by nought",
	HeadingLost:     "a heading cannot be followed over all of the turn",
	WholeOpen:       "a least, greatest or span in it cannot be enclosed",
	Undecided:       "its bounds could not be brought together",
}

// String says it in words that follow a colon.
func (w Why) String() string {
	if int(w) < len(whyWords) {
		return whyWords[w]
	}
	return fmt.Sprintf("why %d", w)
}

// unprovedAll is the whole turn, at every travel.
func (m *Machine) unprovedAll(w Why) []Unproved {
	t := m.Problem.Turn
	return []Unproved{{Interval: Interval{From: t.From, To: t.To}, Why: w}}
}

// causes are those of tubes.
var causes = map[tube.Cause]Why{tube.EitherWay: EitherWay, tube.CannotAssemble: NotAllAssembles, tube.OutOfBudget: TooLong, tube.Unreached: NotReached}

// gaps gathers the stretches of the turn over which the tubes claim nothing. Those that cannot be assembled at a separate
// setting are the linkage's to tell, not theirs.
func (p *proofs) gaps() {
	for _, t := range p.tubes {
		for _, g := range t.Gaps {
			if g.Cause == tube.CannotAssemble && !wide(g.Travel) {
				continue
			}
			u := Unproved{Interval: Interval{From: g.Turn.From, To: g.Turn.To}, Why: causes[g.Cause]}
			for _, r := range g.Travel {
				u.Travel = append(u.Travel, Interval{From: r.From, To: r.To})
			}
			p.unproved = append(p.unproved, u)
		}
	}
	p.unproved = gathered(p.unproved)
	for i := range p.unproved {
		if u := &p.unproved[i]; p.m.allTravels(u.Travel) {
			u.Travel = nil
		}
	}
}

// gathered joins stretches that meet and have the same reason, with the travels of all.
func gathered(list []Unproved) (out []Unproved) {
	slices.SortStableFunc(list, func(a, b Unproved) int {
		return cmp.Or(cmp.Compare(a.Why, b.Why), cmp.Compare(a.From, b.From))
	})
	for _, u := range list {
		if n := len(out) - 1; n >= 0 && out[n].Why == u.Why && u.From <= out[n].To {
			out[n].To = max(out[n].To, u.To)
			for k, r := range u.Travel {
				t := &out[n].Travel[k]
				t.From, t.To = min(t.From, r.From), max(t.To, r.To)
			}
			continue
		}
		u.Travel = slices.Clone(u.Travel)
		out = append(out, u)
	}
	slices.SortStableFunc(out, func(a, b Unproved) int { return cmp.Compare(a.From, b.From) })
	return out
}

// allTravels reports whether ranges span every value of all travels.
func (m *Machine) allTravels(ranges []Interval) bool {
	for k, t := range m.Problem.Travels {
		from, to := t.From, t.To
		if !t.Range && len(t.Settings) > 0 {
			from, to = slices.Min(t.Settings), slices.Max(t.Settings)
		}
		if ranges[k].From > from || ranges[k].To < to {
			return false
		}
	}
	return true
}

// stretches is their stretches of the turn, joined.
func stretches(list []Unproved) []Interval {
	var out []Interval
	for _, u := range list {
		out = append(out, u.Interval)
	}
	return together(out)
}

func wide(travel []tube.Range) bool {
	for _, r := range travel {
		if r.To > r.From {
			return true
		}
	}
	return false
}

// reason is why nothing of the motion is enclosed.
func (m *Machine) reason(o Options) Why {
	if o.Sampled {
		return NotTried
	}
	m.enclosing.Lock()
	defer m.enclosing.Unlock()
	return m.whyNot
}

// why is why a proof of a check failed.
func (p *proofs) why(ctx context.Context, pr *clearance.Prover, c *Check) Why {
	switch c.Kind {
	case Clear, Gap:
		return p.whyPair(c)
	case Keep:
		return p.whySum(ctx, pr, c.Sum)
	}
	return LooseLines
}

// whyPair is why a proof of two profiles may fail.
func (p *proofs) whyPair(c *Check) Why {
	plan := p.tubes[0].Plan
	for _, i := range [2]int{c.A, c.B} {
		if part := p.m.Problem.Profiles[i].Part; !plan.Encloses(part) {
			if plan.Loose() {
				return LooseLines
			}
			return RoughDrive
		}
	}
	return Undecided
}

// whySum is why a proof of a sum may fail.
func (p *proofs) whySum(ctx context.Context, pr *clearance.Prover, sum expr.ID) Why {
	_, err := pr.Figure(ctx, sum)
	var rough taylor.Unenclosed
	switch {
	case err == nil:
		return Undecided
	case errors.As(err, &rough) && (rough.Op == expr.X || rough.Op == expr.Y) && p.tubes[0].Plan.Loose():
		return LooseLines
	case errors.As(err, &rough):
		return RoughSum
	case errors.Is(err, clearance.HeadingLost):
		return HeadingLost
	}
	return WholeOpen
}
