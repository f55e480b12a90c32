package sketch

import (
	"cmp"
	"slices"
	"strings"

	"barover/sketch/syntax"
	"barover/solver"
)

// clearAll makes a check for each pair of profiles of two different parts, except pairs that are pinned to one another or
// allowed to touch. It notes each pair that is left out once, with the reason.
func (l *loader) clearAll(c solver.Check) {
	p := l.sketch.Problem
	if l.full {
		return
	}
	pins := l.pinned()
	first := p.LeftOut == nil
	parts := l.partsByName()
	allow := l.allowedPairs()
	for i, a := range parts {
		for _, b := range parts[i+1:] {
			if !l.clearParts(c, a, b, allow, pins[pairOf(a, b)], first) {
				return
			}
		}
	}
	if first && p.LeftOut == nil {
		p.LeftOut = []solver.LeftOut{}
	}
}

// clearParts makes the checks of two parts, except for profiles that may touch. For parts that are pinned to one another it notes
// the pairs of profiles instead, since away from the pins they may foul like any others. It returns false once there are too
// many pairs.
func (l *loader) clearParts(c solver.Check, a, b int, allow map[pair]allowance, pins []int, first bool) bool {
	p := l.sketch.Problem
	whole, allowed := allow[partsOf(a, b)]
	switch {
	case len(pins) > 0:
		why := "pinned at " + p.Linkage.Points[pins[0]].Name
		l.leaveOut(first, p.Linkage.Parts[a].Name, p.Linkage.Parts[b].Name, why)
		c.Note = "left out: " + why
	case allowed:
		l.leaveOut(first, p.Linkage.Parts[a].Name, p.Linkage.Parts[b].Name, l.why(whole))
	}
	if allowed {
		return true
	}
	listA, listB := l.profilesOf(a), l.profilesOf(b)
	if !l.room(l.at(c.Stmt, l.sketch.statements[c.Stmt].s.Where()), len(listA)*len(listB)) {
		return false
	}
	for _, i := range listA {
		for _, j := range listB {
			c.A, c.B = i, j
			switch one, allowed := allow[pairOf(i, j)]; {
			case allowed && len(pins) == 0:
				l.leaveOut(first, l.profileName(i), l.profileName(j), l.why(one))
			case allowed:
			case len(pins) > 0:
				p.Pinned = append(p.Pinned, solver.Pinned{Check: c, Pins: pins})
			default:
				p.Checks = append(p.Checks, c)
			}
		}
	}
	return true
}

// partsOf returns a key for two whole parts. Its numbers are negative, so that it differs from every pair of profiles.
func partsOf(a, b int) pair { return pair{-1 - min(a, b), -1 - max(a, b)} }

// notAsked drops the pinned pairs that have a clear line of their own.
func (l *loader) notAsked() {
	p := l.sketch.Problem
	asked := map[pair]bool{}
	for _, c := range p.Checks {
		if c.Kind == solver.Clear {
			asked[pairOf(c.A, c.B)] = true
		}
	}
	p.Pinned = slices.DeleteFunc(p.Pinned, func(x solver.Pinned) bool { return asked[pairOf(x.Check.A, x.Check.B)] })
}

func (l *loader) leaveOut(first bool, a, b, why string) {
	if first {
		l.sketch.Problem.LeftOut = append(l.sketch.Problem.LeftOut, solver.LeftOut{A: a, B: b, Why: why})
	}
}

// partsByName lists the parts that have a profile, by their names.
func (l *loader) partsByName() []int {
	var list []int
	for part := range l.model.parts {
		if len(l.profilesOf(part)) > 0 {
			list = append(list, part)
		}
	}
	name := func(part int) string { return l.sketch.Problem.Linkage.Parts[part].Name }
	slices.SortFunc(list, func(a, b int) int { return strings.Compare(name(a), name(b)) })
	return list
}

// pinned lists the pairs of parts that share points, with these points by name.
func (l *loader) pinned() map[pair][]int {
	m := l.sketch.Problem.Linkage
	on := map[int][]int{} // parts, by point
	for part, points := range l.ownPoints() {
		for _, p := range points {
			on[p] = append(on[p], part)
		}
	}
	pins := map[pair][]int{}
	for p, parts := range on {
		if len(parts) > mostOnOnePoint {
			parts = parts[:mostOnOnePoint]
		}
		for i, a := range parts {
			for _, b := range parts[i+1:] {
				if a != b {
					pins[pairOf(a, b)] = append(pins[pairOf(a, b)], p)
				}
			}
		}
	}
	for _, list := range pins {
		slices.SortFunc(list, func(p, q int) int { return cmp.Or(strings.Compare(m.Points[p].Name, m.Points[q].Name), p-q) })
	}
	return pins
}

// mostOnOnePoint bounds how many parts are taken to depend on one point.
const mostOnOnePoint = 1000

// allowedPairs lists what may touch: pairs of profiles, and pairs of whole parts as negative numbers.
func (l *loader) allowedPairs() map[pair]allowance {
	list := map[pair]allowance{}
	put := func(k pair, a allowance) {
		if _, ok := list[k]; !ok {
			list[k] = a
		}
	}
	n := 0
	for _, a := range l.allows {
		if a.s.A.Profile == nil && a.s.B.Profile == nil {
			put(partsOf(a.partA, a.partB), a)
			continue
		}
		for _, i := range l.quietly(a.partA, a.s.A) {
			for _, j := range l.quietly(a.partB, a.s.B) {
				if n++; n > mostPairs {
					return list
				}
				put(pairOf(i, j), a)
			}
		}
	}
	return list
}

// quietly lists the profiles of a name that was looked up before.
func (l *loader) quietly(part int, q syntax.Qualified) []int {
	if q.Profile == nil {
		return l.profilesOf(part)
	}
	if t, ok := l.names.profiles[part].find(syntax.ShownName(q)); ok {
		return []int{t.index}
	}
	return nil
}

// Pairs says of two profiles, by their numbers, whether their parts are pinned to each other, that is, share a
// point, and whether the sketch allows them to touch.
func (s *Sketch) Pairs() (pinned, allowed func(a, b int) bool) {
	l := *s.loaded
	allow, pins := l.allowedPairs(), l.pinned()
	parts := func(a, b int) (p, q int) { return s.Problem.Profiles[a].Part, s.Problem.Profiles[b].Part }
	pinned = func(a, b int) bool {
		_, ok := pins[pairOf(parts(a, b))]
		return ok
	}
	allowed = func(a, b int) bool {
		_, one := allow[pairOf(a, b)]
		_, whole := allow[partsOf(parts(a, b))]
		return one || whole
	}
	return pinned, allowed
}
