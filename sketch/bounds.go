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
	var must, help string
	switch {
	case k.Is(quantity.Length) && math.Abs(v) > largest:
		l.tellBound(n, shown, ": no engine is that large", ": no engine is that large", "write a length below 1000 km")
		return
	case k.Is(quantity.Angle) && math.Abs(v) > 1e6:
		l.tellBound(n, shown, ": that is too many times round", ": that is too many times round", "take whole turns off")
		return
	case n.bound == positive && !(v > 0):
		must, help = "must be more than 0", "write a value above 0"
	case n.bound == notNegative && !(v >= 0):
		must, help = "must not be less than 0", "write 0 or more"
	default:
		return
	}
	l.tellBound(n, shown, ", and "+must, ", and "+n.what+" "+must, help)
	for _, d := range l.dimsIn([]syntax.Expr{n.x}) {
		l.refused[d] = true
	}
}

// tellBound reports a value that is impossible: at the line that gives it where the sum is the name of a dimension alone, else at the
// sum. Why and whyOf end the message of the sum and of the dimension.
func (l *loader) tellBound(n *want, shown, why, whyOf, help string) {
	at := place{n.file, n.x.Where()}
	ref, ok := n.x.(*syntax.Ref)
	if !ok {
		l.tell(at, n.what+" comes to "+shown+why, help)
		return
	}
	t, ok := l.names.figures.find(ref.Name.Text)
	if !ok || t.sort != aDim {
		l.tell(at, n.what+" comes to "+shown+why, help)
		return
	}
	l.tell(l.givenAt(&l.dims[t.index]), ref.Name.Text+" comes to "+shown+whyOf, help, at.note("it is used here"))
}

// givenAt is the place of the sum that gives a dimension the value that counts.
func (l *loader) givenAt(d *dimension) place {
	switch {
	case d.over != nil:
		return place{d.overFile, d.over.Where()}
	case l.source(d) == FromMade:
		return l.at(d.made, d.madeLine.Value.Where())
	case l.source(d) == FromPlan:
		return l.at(d.plan, d.planLine.Value.Where())
	case d.given != nil:
		return place{d.given.file, d.drawn.Where()}
	}
	return l.at(d.stmt, d.drawn.Where())
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
	for _, c := range l.sketch.Problem.Checks {
		if c.Kind == solver.Loose || c.AtLeast == expr.None || c.AtMost == expr.None || told[c.Stmt] {
			continue
		}
		if low, high := l.value(c.AtLeast), l.value(c.AtMost); low > high {
			told[c.Stmt] = true
			k, u := quantity.KindOf(c.Angle, c.Number), l.sketch.Units
			words, lower, upper := "above %s below %s", syntax.Expr(nil), syntax.Expr(nil)
			switch s := l.sketch.statements[c.Stmt].s.(type) {
			case *syntax.Keep:
				lower, upper = s.Above, s.Below
			case *syntax.Gap:
				words, lower, upper = "at least %s at most %s", s.AtLeast, s.AtMost
			case *syntax.Clear:
				words, lower, upper = "by %s at most %s", s.By, s.AtMost
			}
			if lower == nil || upper == nil { // by a statement that has no such words
				continue
			}
			file := l.sketch.statements[c.Stmt].file
			l.tell(place{file, upper.Where()}, fmt.Sprintf("nothing is both above %s and below %s", u.Value(low, k), u.Value(high, k)),
				fmt.Sprintf("write the lesser one first: "+words, syntax.TextOf(file, upper), syntax.TextOf(file, lower)))
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
