package sheet

import (
	"fmt"
	"math"
	"slices"

	"barover/render/sweep"
	"barover/solver/linkage"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// twin is a profile before and after a change: its bodies in the two scenes, −1 where it is in one alone.
type twin struct {
	was, is int
	differs bool // it has another shape, or another placement at the position drawn
	across  bool // it has another band
}

// pair finds the profiles of both by their names, in the order of the engine after the change. Profiles that went come
// first, so that they lie beneath.
func (b *both) pair() (twins []twin) {
	old := map[string]int{}
	for i, name := range names(b.was.bodies) {
		old[name] = i
	}
	var stay []twin
	for i, name := range names(b.is.bodies) {
		t := twin{was: -1, is: i, differs: true, across: true}
		if k, ok := old[name]; ok {
			t.was = k
			delete(old, name)
			t.differs = b.differ(&b.was.bodies[k], &b.is.bodies[i])
			t.across = !sameBand(b.was.bodies[k].band, b.is.bodies[i].band)
		}
		stay = append(stay, t)
	}
	for i, name := range names(b.was.bodies) {
		if _, ok := old[name]; ok {
			twins = append(twins, twin{was: i, is: -1, differs: true, across: true})
		}
	}
	return append(twins, stay...)
}

// names are the names of bodies; names that repeat are counted.
func names(bodies []body) (out []string) {
	seen := map[string]int{}
	for i := range bodies {
		n := bodies[i].name
		seen[n]++
		out = append(out, fmt.Sprint(n, " ", seen[n]))
	}
	return out
}

// differ reports whether a body has another shape or placement. Where one of the engines cannot be assembled, only the
// shape counts.
func (b *both) differ(was, is *body) bool {
	if !was.region.Alike(is.region, little) {
		return true
	}
	if b.was.chosen == nil || b.is.chosen == nil {
		return false
	}
	return !standsAlike(is, b.was.chosen.Part[was.part], b.is.chosen.Part[is.part])
}

// standsAlike reports whether a body looks the same at two placements. A body that is round about its axis does however
// it is turned.
func standsAlike(b *body, p, q plane.Placement) bool {
	if axis, ok := b.axis(); ok {
		return p.Out(axis).Sub(q.Out(axis)).Len() <= little
	}
	far := b.region.Centre.Len() + b.region.Radius
	return p.Out(b.region.Centre).Sub(q.Out(b.region.Centre)).Len() <= little && p.Dir.Sub(q.Dir).Len()*far <= little
}

func sameBand(a, b [2]float64) bool {
	same := func(a, b float64) bool { return math.Abs(a-b) <= little || math.IsNaN(a) && math.IsNaN(b) }
	return same(a[0], b[0]) && same(a[1], b[1])
}

// sweepsDiffer reports whether a part moves differently over the turn, or has another shape, in the engine before. was is
// its number there, −1 where it has none.
func (b *both) sweepsDiffer(was, is int) bool {
	for _, t := range b.twins {
		switch {
		case t.is >= 0 && b.is.bodies[t.is].part == is && (t.was < 0 || !b.was.bodies[t.was].region.Alike(b.is.bodies[t.is].region, little)):
			return true
		case t.is < 0 && b.was.bodies[t.was].part == was:
			return true
		}
	}
	if was < 0 {
		return true
	}
	return b.elsewhere(func(old, now *linkage.Pose) bool {
		p, q := old.Part[was], now.Part[is]
		return !sweep.Same([]plane.Placement{p}, []plane.Placement{q})
	})
}

// pathsDiffer reports whether a point moves differently over the turn in the engine before. was is its number there, −1
// where it has none.
func (b *both) pathsDiffer(was, is int) bool {
	return was < 0 || b.elsewhere(func(old, now *linkage.Pose) bool {
		return !(old.Point[was].Sub(now.Point[is]).Len() <= little)
	})
}

// waysDiffer reports whether a part or a point moves differently over the turn.
func (b *both) waysDiffer() bool {
	if slices.ContainsFunc(b.is.swept, func(w swept) bool { return b.sweepsDiffer(b.was.partNamed(b.is.partName(w.part)), w.part) }) {
		return true
	}
	for i, p := range b.After.Problem.Linkage.Points {
		if p.Name != "" && b.pathsDiffer(b.was.pointNamed(p.Name), i) {
			return true
		}
	}
	return false
}

// elsewhere reports whether differs holds at any position of the turn; the travels are those drawn.
func (b *both) elsewhere(differs func(old, now *linkage.Pose) bool) bool {
	if len(b.was.turns) != len(b.is.turns) {
		return true
	}
	for i, now := range b.is.turns {
		old := b.was.turns[i]
		if (old == nil) != (now == nil) || old != nil && differs(old, now) {
			return true
		}
	}
	return false
}

// partNamed is the number of a part, −1 where there is none.
func (s *scene) partNamed(name string) int {
	return slices.IndexFunc(s.Problem.Linkage.Parts, func(p schedule.Part) bool { return p.Name == name })
}
