package seek

import (
	"cmp"
	"context"
	"math"
	"slices"

	"barover/solver/plane"
)

// branch is the room of one check over a span, as far as it is known.
type branch struct {
	check int
	rooms []room // in order of the value
}

const (
	// most is how many values may have been solved for one check alone, within one span, before the search for dips
	// between two more stops. An end takes about ten, so a hundred ends do not reach it.
	most = 1000
	// steps bounds the search for one end. Halving goes from a kilometre to a millionth of a millimetre in 50.
	steps = 120
	// narrowest is the share of the range searched below which two values are not searched between for a dip.
	narrowest = 1.0 / 4096
)

func (b *branch) find(x float64) (int, bool) {
	return slices.BinarySearchFunc(b.rooms, x, func(r room, x float64) int { return cmp.Compare(r.x, x) })
}

// at is the room at a value, if it is known.
func (b *branch) at(x float64) (room, bool) {
	i, ok := b.find(x)
	if !ok {
		return room{}, false
	}
	return b.rooms[i], true
}

// add puts a room in its place.
func (b *branch) add(r room) {
	if i, ok := b.find(r.x); !ok {
		b.rooms = slices.Insert(b.rooms, i, r)
	}
}

// probe solves one more value for one check alone.
func (s *search) probe(ctx context.Context, b *branch, x float64) (room, error) {
	if r, ok := b.at(x); ok {
		return r, nil
	}
	at, err := s.look(ctx, x, []int{b.check})
	if err != nil {
		return room{}, err
	}
	r := room{x: x, v: math.Inf(-1), slope: math.NaN()}
	if at.whole() {
		r = at.room[0]
	}
	b.add(r)
	return r, nil
}

// settle searches between the known values from one to another, both included, for where the check may begin or cease to
// hold, and returns all that is then known.
func (s *search) settle(ctx context.Context, b *branch, from, to float64) ([]room, error) {
	known := slices.Clone(b.between(from, to))
	for i := 1; i < len(known); i++ {
		if err := s.between(ctx, b, known[i-1], known[i]); err != nil {
			return nil, err
		}
	}
	return b.between(from, to), nil
}

func (b *branch) between(from, to float64) []room {
	i, _ := b.find(from)
	j, ok := b.find(to)
	if ok {
		j++
	}
	return b.rooms[i:j]
}

// between searches between two values.
func (s *search) between(ctx context.Context, b *branch, p, q room) error {
	if q.x-p.x <= exact {
		return nil
	}
	if p.holds() != q.holds() {
		lo, hi, err := s.root(ctx, b, p, q)
		if err != nil {
			return err
		}
		if err := s.between(ctx, b, p, lo); err != nil {
			return err
		}
		return s.between(ctx, b, hi, q)
	}
	x, ask := doubtful(p, q)
	if !ask || len(b.rooms) >= most || q.x-p.x < narrowest*(s.q.To-s.q.From) {
		return nil
	}
	mid, err := s.probe(ctx, b, x)
	if err != nil {
		return err
	}
	if err := s.between(ctx, b, p, mid); err != nil {
		return err
	}
	return s.between(ctx, b, mid, q)
}

// root brings a value that holds and one that does not as near together as is wanted. It goes along the slope from the
// nearer one and a little beyond, so that each step closes the bracket from the other side. It halves where that gains
// nothing, since a check may also jump.
func (s *search) root(ctx context.Context, b *branch, p, q room) (lo, hi room, err error) {
	halve := false
	for i := 0; q.x-p.x > exact && i < steps; i++ {
		x := (p.x + q.x) / 2
		if !halve {
			x = next(p, q)
		}
		was := q.x - p.x
		m, err := s.probe(ctx, b, x)
		if err != nil {
			return p, q, err
		}
		if m.holds() == p.holds() {
			p = m
		} else {
			q = m
		}
		halve = !halve && q.x-p.x > was/4
	}
	return p, q, nil
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
