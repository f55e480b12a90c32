package sketch

import (
	"fmt"
	"math"
	"slices"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
)

// largest is the largest length, mm, that a sketch may hold: a thousand kilometres. Squares of it, and the squares of
// these, are still numbers.
const largest = 1e9

// bounds checks the values of all sums, taken with the values that count.
func (l *loader) bounds() {
	l.refused = map[int]bool{}
	var broken *breakage
	if l.suspect() {
		broken = l.newBreakage()
	}
	for i := range l.wants {
		n := &l.wants[i]
		root, ok := l.sum.root(n.x)
		if !ok || root.bad || l.aside(n) {
			continue
		}
		if broken != nil && broken.in(n) {
			continue
		}
		if l.constant(root.id) {
			l.bound(n, l.value(root.id))
		}
	}
	l.shapeBounds()
	l.bends()
	l.holesWithin()
	l.scans()
	l.limits()
}

// aside reports whether a sum belongs to a case that was not asked for. Its value is not checked.
func (l *loader) aside(n *want) bool {
	if n.stmt < 0 {
		return false
	}
	c, ok := l.sketch.statements[n.stmt].s.(*syntax.Case)
	return ok && !slices.Contains(l.cases, c.Name.Text)
}

// bound reports a value that is impossible.
func (l *loader) bound(n *want, v float64) {
	k := n.kind
	if n.variable >= 0 {
		k = l.kinds.KindOf(n.variable)
	}
	shown := l.sketch.Units.Telling(v, k)
	if ref, ok := n.x.(*syntax.Ref); ok && (math.Abs(v) > largest || math.IsInf(v, 0)) {
		if t, found := l.names.figures.find(ref.Name.Text); found && t.sort == aDim {
			return // reported at the dimension
		}
	}
	var why string
	switch {
	case k.Is(quantity.Length) && math.Abs(v) > largest:
		why = ": no engine is that large"
	case k.Is(quantity.Angle) && math.Abs(v) > 1e6:
		why = ": that is too many times round"
	case n.bound == positive && !(v > 0):
		why = ", and must be more than 0"
	case n.bound == notNegative && !(v >= 0):
		why = ", and must not be less than 0"
	default:
		return
	}
	l.tell(place{n.file, n.x.Where()}, n.what+" comes to "+shown+why, "")
	for _, d := range l.dimsIn([]syntax.Expr{n.x}) {
		l.refused[d] = true
	}
}

// impossible reports whether at least one of the sums depends on a dimension whose value was reported as impossible. A bad value
// of such a sum is not reported again.
func (l *loader) impossible(sums ...expr.ID) bool {
	g := l.sum.g
	return len(l.refused) > 0 && slices.ContainsFunc(sums, func(id expr.ID) bool {
		for node := range g.Within(id) {
			if n := &g.Nodes[node]; n.Op == expr.Dim && l.refused[int(n.Ref)] {
				return true
			}
		}
		return false
	})
}

// limits reports limits that nothing can meet.
func (l *loader) limits() {
	told := map[int]bool{}
	for i := range l.sketch.Problem.Checks {
		c := &l.sketch.Problem.Checks[i]
		if c.Kind == solver.Loose || c.AtLeast == expr.None || c.AtMost == expr.None || told[c.Stmt] {
			continue
		}
		if low, high := l.value(c.AtLeast), l.value(c.AtMost); low > high {
			told[c.Stmt] = true
			k := quantity.Length
			if c.Angle {
				k = quantity.Angle
			} else if c.Number {
				k = quantity.Plain
			}
			u := l.sketch.Units
			l.tell(l.at(c.Stmt, l.sketch.statements[c.Stmt].s.Where()), fmt.Sprintf("nothing is both above %s and below %s", u.Value(low, k), u.Value(high, k)), "")
		}
	}
}

// pathStep makes sure that a step of a path goes somewhere, and that its arc can reach.
func (l *loader) pathStep(at place, dx, dy float64, radius expr.ID) {
	chord := math.Hypot(dx, dy)
	switch {
	case chord == 0:
		l.tell(at, "this step of the path goes nowhere", "take it out")
	case radius != expr.None && chord > 2*l.value(radius)*(1+1e-9):
		u := l.sketch.Units
		l.tell(at, fmt.Sprintf("an arc of radius %s cannot reach over %s", u.Length(l.value(radius)), u.Length(chord)), fmt.Sprintf("the radius must be %s at the least", u.Length(chord/2)))
	}
}
