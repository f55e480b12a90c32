package mend

import (
	"cmp"
	"math"
)

// compare puts the better way first: proved, fewest made again, fewest dimensions, fewest parts, smallest changes, and
// then the one with the most room.
func (s *search) compare(a, b Way) int {
	proved := func(w Way) int {
		if w.Proved {
			return 0
		}
		return 1
	}
	made := func(w Way) (n int) {
		for _, c := range w.Changes {
			if c.Made {
				n++
			}
		}
		return n
	}
	return cmp.Or(cmp.Compare(proved(a), proved(b)), cmp.Compare(made(a), made(b)), cmp.Compare(len(a.Changes), len(b.Changes)),
		cmp.Compare(s.parts(dimsOf(a)), s.parts(dimsOf(b))), cmp.Compare(math.Round(a.Size/level), math.Round(b.Size/level)), cmp.Compare(b.Room, a.Room))
}

// level is the share of the range searched within which two changes count as equal.
const level = 0.002

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
