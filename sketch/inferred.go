package sketch

import (
	"fmt"
	"math"
	"slices"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
)

// This file makes the help and the further places of a message about kinds. A dimension that was written with a bare
// number gets its kind from the place where it is used. A message about its kind shows that place. Only one message is
// made, since it is one mistake however often the dimension is used.

// variable is the unknown that belongs to a figure's kind, if it has one.
func (l *loader) variable(name string) (v int, own place, ok bool) {
	t, found := l.names.figures.find(name)
	if !found {
		return -1, place{}, false
	}
	v = l.variableOf(t)
	return v, t.at, v >= 0
}

// variableOf returns the variable of the kind of a figure; -1 for the turn, whose kind is known to be an angle.
func (l *loader) variableOf(t thing) int {
	switch t.sort {
	case aDim:
		return l.dims[t.index].variable
	case aTravel:
		return l.travels[t.index].variable
	case aMeasure:
		return l.measure[t.index].variable
	case aGiven:
		return l.given[t.index].variable
	}
	return -1
}

// inferred reports whether the kind of a figure comes from elsewhere than its own line.
func (l *loader) inferred(v int, own place) bool {
	why := l.kinds.Why(v)
	return why.file != nil && !(why.file == own.file && why.span.Start >= own.span.Start && why.span.End <= own.span.End)
}

// inferredOf lists the figures of a sum whose kinds come from elsewhere.
func (w *lowering) inferredOf(sums []syntax.Expr) (list []int) {
	for _, x := range sums {
		syntax.EachRef(x, func(r *syntax.Ref) {
			if v, own, ok := w.l.variable(r.Name.Text); ok && w.l.inferred(v, own) {
				list = append(list, v)
			}
		})
	}
	return list
}

// alreadyTold reports whether a mistake was reported of a figure of these sums whose kind is inferred.
func (w *lowering) alreadyTold(sums ...syntax.Expr) bool {
	return slices.ContainsFunc(w.inferredOf(sums), w.alreadyToldOf)
}

func (w *lowering) alreadyToldOf(v int) bool {
	root, _ := w.l.kinds.Find(v)
	return w.told[root]
}

// because returns notes that show which statements decided the kinds of some figures. It also marks that a mistake about these
// figures is reported.
func (w *lowering) because(figures ...int) (notes []syntax.Note) {
	for _, v := range figures {
		why := w.l.kinds.Why(v)
		if root, _ := w.l.kinds.Find(v); why.file != nil && !w.told[root] {
			w.told[root] = true
			notes = append(notes, why.note(fmt.Sprintf("%s is %s because of this", w.l.kinds.Variables[v].Name, w.l.kinds.KindOf(v))))
		}
	}
	return notes
}

// fitHelp says how a figure of one kind is made one of the other.
func (w *lowering) fitHelp(a lowered, x syntax.Expr, k quantity.Kind) string {
	text, unit := syntax.Bracketed(w.text(x)), w.l.sketch.Units.Name()
	switch {
	case a.free:
		return "give the bare number in it a unit"
	case k.Is(quantity.Length) && a.kind.Is(quantity.Plain):
		return fmt.Sprintf("write %s*1%s", text, unit)
	case k.Is(quantity.Angle) && a.kind.Is(quantity.Plain):
		return fmt.Sprintf("write %s*1rad or %s*1deg", text, text)
	case k.Is(quantity.Plain) && a.kind.Is(quantity.Length):
		return fmt.Sprintf("write %s/1%s", text, unit)
	case k.Is(quantity.Plain) && a.kind.Is(quantity.Angle):
		return fmt.Sprintf("write %s/1rad or %s/1deg", text, text)
	case a.kind.Is(k.Times(quantity.Angle, 1)): // an angle too many; a bare factor is not in degrees
		return fmt.Sprintf("write %s/1rad", text)
	case a.kind.Is(k.Power(2)):
		return fmt.Sprintf("write sqrt(%s)", w.text(x))
	case k.Is(quantity.Plain):
		return w.plainHelp(a, x)
	case k.Is(quantity.Length) && a.kind.Is(quantity.Angle):
		return "write a length; of an angle, sin, cos and tan make one: V*sin(" + w.text(x) + ")"
	case k.Is(quantity.Angle) && a.kind.Is(quantity.Length):
		return "write an angle, as in 30°; of two lengths, atan2(V, U) makes one"
	}
	return ""
}

// plainHelp says how a figure is made a plain number that is a power of a length.
func (w *lowering) plainHelp(a lowered, x syntax.Expr) string {
	unit := w.l.sketch.Units.Name()
	if c, ok := x.(*syntax.Call); ok && c.Func.Text == "sqrt" && a.kind.Is(quantity.Length.Power(0.5)) {
		arg := w.text(c.Args[0])
		if _, call := c.Args[0].(*syntax.Call); !call {
			arg = syntax.Bracketed(arg)
		}
		return fmt.Sprintf("write sqrt(%s/1%s)", arg, unit)
	}
	if n := a.kind.L; a.kind.Is(quantity.Length.Power(n)) && n == math.Trunc(n) && n > 1 {
		return fmt.Sprintf("write %s/(1%s)^%g", syntax.Bracketed(w.text(x)), unit, n)
	}
	return ""
}

// besideHelp says how two sums are made to be of one kind.
func (w *lowering) besideHelp(a, b lowered, x, y syntax.Expr) string {
	if help := w.fitHelp(b, y, a.kind); help != "" && !a.kind.Is(quantity.Plain) {
		return help
	}
	return w.fitHelp(a, x, b.kind)
}
