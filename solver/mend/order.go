package mend

import (
	"cmp"
	"math"

	"barover/solver/seek"
)

// compare puts the better way first: proved, fewest made again, no change by more than half of a dimension, fewest
// dimensions, no change by more than a quarter, fewest parts, smallest changes, and then the one with the most room.
func (s *search) compare(a, b Way) int {
	proved := func(w Way) int {
		if w.Proved {
			return 0
		}
		return 1
	}
	return cmp.Or(cmp.Compare(proved(a), proved(b)), cmp.Compare(s.made(dimsOf(a)), s.made(dimsOf(b))),
		cmp.Compare(grade(a.Largest)/tooLarge, grade(b.Largest)/tooLarge), cmp.Compare(len(a.Changes), len(b.Changes)), cmp.Compare(grade(a.Largest), grade(b.Largest)),
		cmp.Compare(s.parts(dimsOf(a)), s.parts(dimsOf(b))), cmp.Compare(math.Round(a.Size/level), math.Round(b.Size/level)), cmp.Compare(b.Room, a.Room))
}

// made is how many of some dimensions are made ones.
func (s *search) made(dims []int) (n int) {
	for _, d := range dims {
		if s.cands[d].made {
			n++
		}
	}
	return n
}

// level is the share of a dimension within which two changes count as equal.
const level = 0.002

// grade says how large a change is in a builder's eyes, from its share: 0 up to a quarter of the dimension, 1 up to half
// of it, and beyond that tooLarge, since little is left of a rod that is thinned so far.
func grade(share float64) int {
	switch {
	case share <= 0.25+1e-9:
		return 0
	case share <= 0.5+1e-9:
		return 1
	}
	return tooLarge
}

const tooLarge = 2

// share is a change as a share of the dimension, from 0 to 1: of what it was where it becomes smaller, and of what it
// becomes where it grows. A small distance that grows, or one that goes to the other side of zero, is compared with a twentieth of the
// engine, and an angle with how far it is searched.
func (s *search) share(d int, by float64) float64 {
	c := &s.cands[d]
	from, to := math.Abs(c.now), math.Abs(c.now+by)
	whole := math.Max(from, to)
	switch s.q.Dims[d].Kind {
	case seek.Angle:
		whole = c.reach
	case seek.Length:
		if to > from || c.now*(c.now+by) < 0 {
			whole = math.Max(whole, s.size/20)
		}
	}
	return math.Min(math.Abs(by)/whole, 1)
}

// parts is how many profiles and parts changes of some dimensions touch. A dimension that none is written with also
// counts for one.
func (s *search) parts(dims []int) int {
	u, n := s.usedBy(dims), 0
	for _, d := range dims {
		if c := &s.cands[d]; len(c.used.Profiles)+len(c.used.Parts) == 0 {
			n++
		}
	}
	return n + len(u.Profiles) + len(u.Parts)
}

func dimsOf(w Way) (dims []int) {
	for _, c := range w.Changes {
		dims = append(dims, c.Dim)
	}
	return dims
}
