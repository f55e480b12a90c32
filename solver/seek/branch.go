package seek

import (
	"cmp"
	"context"
	"math"
	"slices"

	"barover/solver/plane"
)

// branch is the room of one check over a span, as far as it is known, in order of the value.
type branch []room

const (
	// most is how many values may have been solved for one check alone, within one span, before the search for dips
	// between two more stops. An end takes about ten, so a hundred ends do not reach it.
	most = 1000
	// steps bounds the search for one end. Halving goes from a kilometre to a millionth of a millimetre in 50.
	steps = 120
	// narrowest is the share of the range searched below which two values are not searched between for a dip.
	narrowest = 1.0 / 4096
)

func (b branch) find(x float64) (int, bool) {
	return slices.BinarySearchFunc(b, x, func(r room, x float64) int { return cmp.Compare(r.x, x) })
}

// at is the room at a value, if it is known.
func (b branch) at(x float64) (room, bool) {
	i, ok := b.find(x)
	if !ok {
		return room{}, false
	}
	return b[i], true
}

// add puts a room in its place.
func (b *branch) add(r room) {
	if i, ok := b.find(r.x); !ok {
		*b = slices.Insert(*b, i, r)
	}
}

// between lists the known rooms from one value to another, both included.
func (b branch) between(from, to float64) []room {
	i, _ := b.find(from)
	j, ok := b.find(to)
	if ok {
		j++
	}
	return b[i:j]
}

// settle searches between the known values from one to another, both included, for where a check may begin or cease to
// hold, and returns all that is then known.
func (s *search) settle(ctx context.Context, sp *span, k int, from, to float64) ([]room, error) {
	known := slices.Clone(sp.branches[k].between(from, to))
	for i := 1; i < len(known); i++ {
		if err := s.between(ctx, sp, k, known[i-1], known[i]); err != nil {
			return nil, err
		}
	}
	return sp.branches[k].between(from, to), nil
}

// between searches between two values.
func (s *search) between(ctx context.Context, sp *span, k int, p, q room) error {
	if q.x-p.x <= exact {
		return nil
	}
	var lo, hi room
	if p.holds() != q.holds() {
		good, bad := p.x, q.x
		if q.holds() {
			good, bad = bad, good
		}
		in, out, _, err := s.lastGood(ctx, sp, good, bad, []int{k})
		if err != nil {
			return err
		}
		lo, _ = sp.branches[k].at(math.Min(in, out))
		hi, _ = sp.branches[k].at(math.Max(in, out))
	} else {
		x, ask := doubtful(p, q)
		if !ask || len(sp.branches[k]) >= most || q.x-p.x < narrowest*(s.q.To-s.q.From) {
			return nil
		}
		if err := s.know(ctx, sp, x, []int{k}); err != nil {
			return err
		}
		lo, _ = sp.branches[k].at(x)
		hi = lo
	}
	if err := s.between(ctx, sp, k, p, lo); err != nil {
		return err
	}
	return s.between(ctx, sp, k, hi, q)
}

// next is the next value to try for a root between two.
func next(p, q room) float64 {
	if math.IsInf(p.v, 0) || math.IsInf(q.v, 0) {
		return (p.x + q.x) / 2
	}
	near, far := p, q
	if math.Abs(q.v) < math.Abs(p.v) {
		near, far = q, p
	}
	step := -near.v / near.slope
	if !(step*(far.x-near.x) > 0) || math.Abs(step) >= math.Abs(far.x-near.x) {
		step = -near.v * (far.x - near.x) / (far.v - near.v)
	}
	if !(math.Abs(step) < math.Abs(far.x-near.x)) {
		return (p.x + q.x) / 2
	}
	x := near.x + step + math.Copysign(math.Max(exact/3, math.Abs(step)/500), far.x-near.x)
	return math.Min(math.Max(x, p.x+exact/4), q.x-exact/4)
}

// doubtful says whether the check may cease to hold and hold again (or hold for once, and fail again) between two values,
// and where to look. There is doubt in three cases. The tangents at the two values cross beyond zero, as where two parts
// of the turn are the worst in turn. The cubic through both values and slopes goes beyond zero. Or a cubic does not fit,
// and the room is no more than its error.
func doubtful(p, q room) (x float64, ask bool) {
	if math.IsInf(p.v, 0) || math.IsInf(q.v, 0) {
		return 0, false
	}
	sign := plane.Sign(p.holds())
	h := q.x - p.x
	a, b, sa, sb := sign*p.v, sign*q.v, sign*p.slope*h, sign*q.slope*h
	if math.IsNaN(sa) || math.IsNaN(sb) {
		return p.x + h/2, math.Min(a, b) < math.Abs(b-a) // without slopes: where it falls so fast that it may not have stopped
	}
	if sa < 0 && sb > 0 {
		u := (b - sb - a) / (sa - sb)
		if u > 0 && u < 1 && a+sa*u < 0 {
			return p.x + within(u)*h, true
		}
	}
	if u, least := cubicLeast(a, b, sa, sb); least < 0 {
		return p.x + within(u)*h, true
	}
	misfit := math.Abs(b - a - (sa+sb)/2)
	return p.x + h/2, misfit > math.Min(a, b)
}

// within keeps a place away from the ends, so that looking there halves something.
func within(u float64) float64 { return math.Min(math.Max(u, 0.1), 0.9) }

// cubicLeast is the least, inside 0 to 1, of the cubic with values a and b and slopes sa and sb at 0 and 1.
func cubicLeast(a, b, sa, sb float64) (u, least float64) {
	c3, c2 := 2*(a-b)+sa+sb, 3*(b-a)-2*sa-sb
	least = math.Inf(1)
	disc := c2*c2 - 3*c3*sa
	if disc < 0 {
		return 0.5, least
	}
	for _, r := range [2]float64{math.Sqrt(disc), -math.Sqrt(disc)} {
		t := (-c2 + r) / (3 * c3)
		if c3 == 0 {
			t = -sa / (2 * c2)
		}
		if v := a + t*(sa+t*(c2+t*c3)); t > 0 && t < 1 && v < least {
			u, least = t, v
		}
	}
	return u, least
}
