package sketch

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/schedule"
)

// mostPairs is how many pairs of profiles a sketch may ask about.
const mostPairs = 100_000

// checks makes what must hold, in the order of the statements.
func (l *loader) checks() {
	for i, s := range each[*syntax.Allow](l.sketch) {
		l.allowed(i, s)
	}
	for i, st := range l.sketch.statements {
		switch s := st.s.(type) {
		case *syntax.Clear:
			c := solver.Check{Kind: solver.Clear, Stmt: i, Sum: expr.None, AtLeast: l.id(s.By), AtMost: l.id(s.AtMost), Note: s.Note.Text}
			if s.All {
				l.clearAll(c)
			} else {
				l.pairs(c, s.A, s.B)
			}
		case *syntax.Gap:
			c := solver.Check{Kind: solver.Gap, Stmt: i, Sum: expr.None, AtLeast: l.id(s.AtLeast), AtMost: l.id(s.AtMost), Note: s.Note.Text}
			if s.AtLeast == nil && s.AtMost == nil {
				c.AtLeast = l.sum.g.Const(0) // two that pass one another must not run into one another
			}
			l.pairs(c, s.A, s.B)
		case *syntax.Keep:
			l.keep(i, s)
		}
	}
	l.notAsked()
	l.looseChecks()
	l.slotChecks()
	p := l.sketch.Problem
	slices.SortStableFunc(p.Checks, func(a, b solver.Check) int { return a.Stmt - b.Stmt })
}

func (l *loader) keep(stmt int, s *syntax.Keep) {
	if s.Above == nil && s.Below == nil {
		l.tell(l.at(stmt, s.Span), "this keep has no limit", "write keep E above V, or below V, or both")
		return
	}
	k := l.kinds.KindOf(l.model.askedKind[s])
	c := solver.Check{Kind: solver.Keep, Stmt: stmt, Sum: l.shownSum(s.Sum, k), AtLeast: l.shownSum(s.Above, k), AtMost: l.shownSum(s.Below, k),
		Note: s.Note.Text, Angle: k.Is(quantity.Angle), Number: !k.Is(quantity.Angle) && !k.Is(quantity.Length)}
	l.sketch.Problem.Checks = append(l.sketch.Problem.Checks, c)
}

// shownSum is a sum as it is shown. A kind that is neither a length nor an angle, such as an area, is put into the
// numbers of the sketch, since the answer is a plain number.
func (l *loader) shownSum(x syntax.Expr, k quantity.Kind) expr.ID {
	id := l.id(x)
	if f := l.sketch.Units.Factor(k); id != expr.None && !k.Is(quantity.Length) && !k.Is(quantity.Angle) && f != 1 {
		return l.sum.g.Div(id, l.sum.g.Const(f))
	}
	return id
}

func (l *loader) looseChecks() {
	p := l.sketch.Problem
	for i, e := range p.Linkage.Equations {
		if e.Loose {
			p.Checks = append(p.Checks, solver.Check{Kind: solver.Loose, Stmt: e.Stmt, Sum: expr.None, Equation: i, AtLeast: expr.None, AtMost: e.Play})
		}
	}
}

// named lists the profiles that a name means: one, or all of a part.
func (l *loader) named(file *syntax.File, q syntax.Qualified) (part int, list []int) {
	find := l.part
	if q.Profile != nil {
		find = l.partOfProfile
	}
	part, ok := find(file, q.Part)
	if !ok {
		return -1, nil
	}
	if q.Profile != nil {
		t, ok := l.names.profiles[part].find(syntax.ShownName(q))
		if ok {
			return part, []int{t.index}
		}
		if !l.allLost && !l.lost[syntax.ShownName(q)] {
			l.tell(place{file, q.Profile.Span}, fmt.Sprintf("%s has no profile %s", q.Part.Text, q.Profile.Text), cmp.Or(l.didYouMean(l.names.profiles[part], syntax.ShownName(q)), l.profilesKnown(part, q)))
		}
		return part, nil
	}
	return part, l.profilesOf(part)
}

// profilesOf lists the profiles of a part by name, so that the order of the statements has no effect.
func (l *loader) profilesOf(part int) []int {
	if l.byPart == nil {
		l.byPart = make([][]int, len(l.model.parts))
		for i, p := range l.model.profiles {
			l.byPart[p.part] = append(l.byPart[p.part], i)
		}
		for _, list := range l.byPart {
			slices.SortFunc(list, func(a, b int) int { return strings.Compare(l.profileName(a), l.profileName(b)) })
		}
	}
	return l.byPart[part]
}

func (l *loader) profileName(i int) string { return l.sketch.Problem.Profiles[i].Name }

// between returns the place from the name a to the name b after it.
func between(file *syntax.File, a, b syntax.Qualified) place {
	return place{file, syntax.Span{Start: a.Span.Start, End: b.Span.End}}
}

// two finds two different parts named side by side, and their profiles. If it reports false, the mistake has been told.
func (l *loader) two(file *syntax.File, a, b syntax.Qualified) (parts [2]int, lists [2][]int, ok bool) {
	parts[0], lists[0] = l.named(file, a)
	parts[1], lists[1] = l.named(file, b)
	if parts[0] < 0 || parts[1] < 0 {
		return parts, lists, false
	}
	if parts[0] == parts[1] {
		l.tell(between(file, a, b), fmt.Sprintf("%s and %s are one rigid part", syntax.ShownName(a), syntax.ShownName(b)), "name two different parts")
		return parts, lists, false
	}
	return parts, lists, true
}

// pairs makes one check for each pair of profiles that two names stand for.
func (l *loader) pairs(c solver.Check, a, b syntax.Qualified) {
	file := l.sketch.statements[c.Stmt].file
	_, lists, ok := l.two(file, a, b)
	if !ok {
		return
	}
	for k, q := range [2]syntax.Qualified{a, b} {
		if q.Profile == nil && len(lists[k]) == 0 && !l.lostProfileOf(q.Part.Text) && !l.missedAgain(l.names.parts, place{file, q.Span}, q.Part.Text) {
			l.tell(place{file, q.Span}, q.Part.Text+" has no profile", fmt.Sprintf("write profile %s.NAME and its shapes", q.Part.Text))
		}
	}
	if !l.room(between(file, a, b), len(lists[0])*len(lists[1])) {
		return
	}
	for _, i := range lists[0] {
		for _, j := range lists[1] {
			c.A, c.B = i, j
			l.sketch.Problem.Checks = append(l.sketch.Problem.Checks, c)
		}
	}
}

// lostProfileOf reports whether a profile of that part has a mistake that was reported.
func (l *loader) lostProfileOf(part string) bool {
	for name := range l.lost {
		if strings.HasPrefix(name, part+".") {
			return true
		}
	}
	return false
}

// room reports whether that many more checks may be made. It says once that they may not.
func (l *loader) room(at place, more int) bool {
	if l.full {
		return false
	}
	if p := l.sketch.Problem; len(p.Checks)+len(p.Pinned)+more <= mostPairs {
		return true
	}
	l.full = true
	l.tell(at, fmt.Sprintf("more than %d pairs of profiles are to be looked at", mostPairs), "name the parts that come near one another")
	return false
}

// allowed notes two that may touch.
func (l *loader) allowed(stmt int, s *syntax.Allow) {
	if parts, _, ok := l.two(l.sketch.statements[stmt].file, s.A, s.B); ok {
		l.allows = append(l.allows, allowance{written[*syntax.Allow]{stmt, s}, parts[0], parts[1]})
	}
}

// allowance is an allow line and its two parts.
type allowance struct {
	written[*syntax.Allow]
	partA, partB int
}

// why says which line allows a pair.
func (l *loader) why(a allowance) string { return "allowed, " + l.sketch.onLine(a.stmt) }

// ownPoints lists the points of each part that it may share with another: its P and Q, and those put on it. Of the frame
// it lists the points that move neither with the turn nor with a travel.
func (l *loader) ownPoints() [][]int {
	m := l.sketch.Problem.Linkage
	own := make([][]int, len(m.Parts))
	for i, p := range m.Points {
		switch {
		case p.Name == "", p.Kind == schedule.OnPart && p.Part < 0:
		case p.Kind == schedule.OnPart:
			own[p.Part] = append(own[p.Part], i)
		case p.Kind == schedule.Driven && l.constant(p.U) && l.constant(p.V):
			own[0] = append(own[0], i)
		}
	}
	for i, p := range m.Parts[1:] {
		for _, q := range [2]int{p.P, p.Q} {
			if q >= 0 {
				own[i+1] = append(own[i+1], q)
			}
		}
	}
	return own
}

// profilesKnown names the profiles of a part, or says how one is given.
func (l *loader) profilesKnown(part int, q syntax.Qualified) string {
	if known := l.names.profiles[part].order; len(known) > 0 {
		return "its profiles are " + strings.Join(known[:min(len(known), mostNamed)], ", ")
	}
	return "give it lines: profile " + syntax.ShownName(q) + " across V to V, with its shapes"
}

// mostNamed is how many names a message lists.
const mostNamed = 6
