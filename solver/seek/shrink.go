package seek

import (
	"context"
	"math"
)

// shrink cuts off what falls short between two values, where everything holds at one of them. It takes all checks that
// fall short at the other together, and drops those that no longer do: so it finds one end, not one for each check. Where
// that does not apply it cuts nothing off.
func (s *search) shrink(ctx context.Context, sp *span, a, b float64) ([]Range, error) {
	for _, x := range [2]float64{a, b} {
		if err := s.know(ctx, sp, x, sp.all()); err != nil {
			return nil, err
		}
	}
	whole := Range{From: End{At: a}, To: End{At: b}}
	good, bad, short := a, b, sp.short(b)
	if len(sp.short(a)) > 0 {
		good, bad, short = b, a, sp.short(a)
	}
	if len(sp.short(good)) > 0 || len(short) == 0 {
		return []Range{whole}, nil
	}
	in, out, by, err := s.lastGood(ctx, sp, good, bad, short)
	if err != nil {
		return nil, err
	}
	held, rest := whole, whole
	end := End{At: in}
	for _, k := range by {
		end.Stops = append(end.Stops, Stop{Check: s.touched[k]})
	}
	if good == a {
		held.To, rest.From = end, End{At: out}
	} else {
		held.From, rest.To = end, End{At: out}
	}
	if sp.deadBetween(by, out, bad) {
		return []Range{held}, nil
	}
	if good == a {
		return []Range{held, rest}, nil
	}
	return []Range{rest, held}, nil
}

// short lists the checks that are known to fall short at a value.
func (sp *span) short(x float64) (out []int) {
	for k := range sp.branches {
		if r, ok := sp.branches[k].at(x); ok && !r.holds() {
			out = append(out, k)
		}
	}
	return out
}

// deadBetween reports whether one of the checks falls short all the way between two values at which it is known.
func (sp *span) deadBetween(ks []int, a, b float64) bool {
	for _, k := range ks {
		p, _ := sp.branches[k].at(math.Min(a, b))
		q, _ := sp.branches[k].at(math.Max(a, b))
		if _, ask := doubtful(p, q); !ask && !p.holds() && !q.holds() {
			return true
		}
	}
	return false
}

// lastGood goes from a good value to one where some checks fall short. It finds the last value with which all of these
// hold, one just beyond with which some of them do not, and which these are. It goes along the slope from the nearer of the
// two and a little beyond, so that each step closes the bracket from the other side. It halves where that gains nothing,
// since a check may also jump.
func (s *search) lastGood(ctx context.Context, sp *span, good, bad float64, ks []int) (in, out float64, by []int, err error) {
	halve := false
	for i := 0; math.Abs(bad-good) > exact && i < steps; i++ {
		x := (good + bad) / 2
		if !halve {
			x = sp.first(ks, good, bad)
		}
		was := math.Abs(bad - good)
		if err := s.know(ctx, sp, x, ks); err != nil {
			return good, bad, ks, err
		}
		var short []int
		for _, k := range ks {
			if r, _ := sp.branches[k].at(x); !r.holds() {
				short = append(short, k)
			}
		}
		if len(short) > 0 {
			bad, ks = x, short
		} else {
			good = x
		}
		halve = !halve && math.Abs(bad-good) > was/4
	}
	return good, bad, ks, nil
}

// first is the value nearest to the good end at which one of the checks seems to begin to fall short.
func (sp *span) first(ks []int, good, bad float64) float64 {
	best := bad
	for _, k := range ks {
		p, _ := sp.branches[k].at(math.Min(good, bad))
		q, _ := sp.branches[k].at(math.Max(good, bad))
		if x := next(p, q); math.Abs(x-good) < math.Abs(best-good) {
			best = x
		}
	}
	return best
}
