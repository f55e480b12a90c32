package sketch

import (
	"fmt"
	"math"
	"strings"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver/expr"
)

// scope says what a sum may use.
type scope uint8

const (
	dimsOnly   scope = iota
	passed           // as dimsOnly: the value that a mark's sum passes, which may use what it likes itself
	moving           // the turn and travels too
	inMeasures       // measures, and what is measured between points, too
)

func (s scope) may() string {
	if s <= passed {
		return "may use dimensions only"
	}
	return "may use dimensions, the turn and travels only"
}

// help says what to write in the place of what may not be used.
func (s scope) help() string {
	switch s {
	case dimsOnly:
		return "write a dimension or a number in its place"
	case passed:
		return "move it before the word rises or falls: when E - V rises past 0"
	}
	return "write dimensions, the turn or a travel in its place"
}

// lowering makes nodes of sums, once the kind of every figure is known.
type lowering struct {
	l      *loader
	g      *expr.Graph
	v      *expr.Values            // of the nodes so far
	dims   []lowered               // by number; bad where a dimension has a mistake
	made   []lowered               // by measure
	marks  map[int]lowered         // by the statement of a mark that a sum uses
	given  []lowered               // by what use statements give
	roots  []lowered               // by want
	parts  map[syntax.Expr]lowered // of every sum and its parts; nil where nobody asks
	origin map[expr.ID]origin      // of the sums that may move, where they were first written
	told   map[int]bool            // figures of inferred kind about which a mistake was reported
	silent bool
	nan    expr.ID

	// The current sum.
	file  *syntax.File
	scope scope
	what  string // "the width of a strip"
}

// lowered is a sum as a node. Free says that it has a bare number as a factor.
type lowered struct {
	id   expr.ID
	kind quantity.Kind
	free bool
	bad  bool // has a mistake that was reported
	done bool // of a root: has been made
}

func newLowering(l *loader, g *expr.Graph) *lowering {
	w := &lowering{l: l, g: g, v: expr.Resolve(g, map[int]float64{}), dims: make([]lowered, len(l.dims)), made: make([]lowered, len(l.measure)), given: make([]lowered, len(l.given)),
		roots: make([]lowered, len(l.wants)), told: map[int]bool{},
		origin: map[expr.ID]origin{}, marks: map[int]lowered{}}
	w.nan = g.Const(math.NaN())
	return w
}

func (w *lowering) tell(at place, text, help string, also ...syntax.Note) {
	if !w.silent {
		w.l.tell(at, text, help, also...)
	}
}

// wrong reports a mistake in a sum.
func (w *lowering) wrong(x syntax.Expr, text, help string, also ...syntax.Note) lowered {
	w.tell(place{w.file, x.Where()}, text, help, also...)
	return lowered{bad: true}
}

func (w *lowering) text(x syntax.Expr) string { return syntax.TextOf(w.file, x) }

// root is the node of a whole sum.
func (w *lowering) root(x syntax.Expr) (lowered, bool) {
	i, ok := w.l.wantOf[x]
	if !ok {
		return lowered{bad: true, id: w.nan}, false
	}
	return w.roots[i], w.roots[i].done
}

// wantOf makes nodes of a whole sum, unless it has been done.
func (w *lowering) wantOf(x syntax.Expr) lowered {
	i, ok := w.l.wantOf[x]
	if !ok {
		return lowered{bad: true, id: w.nan}
	}
	return w.want(int(i))
}

// want makes nodes of the sum of one want, and keeps them.
func (w *lowering) want(i int) lowered {
	if w.roots[i].done {
		return w.roots[i]
	}
	n := &w.l.wants[i]
	w.file, w.scope, w.what = n.file, n.scope, n.what
	k := n.kind
	if n.variable >= 0 {
		k = w.l.kinds.KindOf(n.variable)
	}
	out := w.sum(n.x)
	if n.variable < 0 || !w.l.kinds.IsBroken(n.variable) {
		out = w.fit(out, n.x, k, w.what+" is "+k.String(), n.variable)
	}
	if out.bad {
		out.id = w.nan
	}
	out.done = true
	w.roots[i] = out
	return out
}

// sum makes nodes of a sum. Depth is bounded by the parser.
func (w *lowering) sum(x syntax.Expr) (out lowered) {
	switch x := x.(type) {
	case *syntax.Number:
		out = w.number(x)
	case *syntax.Ref:
		out = w.figure(x)
	case *syntax.Unary:
		out = w.sum(x.X)
		if x.Op == '-' && !out.bad {
			out.id = w.g.Unary(expr.Neg, out.id)
		}
	case *syntax.Binary:
		out = w.binary(x)
	case *syntax.Call:
		out = w.call(x)
	default:
		out.bad = true
	}
	if !out.bad && w.parts != nil {
		w.parts[x] = out
	}
	if _, known := w.origin[out.id]; !out.bad && !known && w.scope >= moving {
		w.origin[out.id] = origin{w.file, x, out.kind}
	}
	return out
}

func (w *lowering) number(x *syntax.Number) lowered {
	shape := quantity.Literal(x.Unit)
	return lowered{id: w.g.Const(quantity.Written(x)), kind: shape.Kind, free: shape.Free}
}

// figure is a name in a sum.
func (w *lowering) figure(x *syntax.Ref) lowered {
	name := x.Name.Text
	if name == "pi" {
		return lowered{id: w.g.Const(math.Pi)}
	}
	t, ok := w.l.names.figures.find(name)
	if !ok {
		if t, ok := w.l.names.marks.find(name); ok && w.scope == inMeasures {
			return w.markPlace(x, t)
		}
		if !w.silent {
			w.noFigure(x)
		}
		return lowered{bad: true}
	}
	if (t.sort == aTurn || t.sort == aTravel || t.sort == aGiven) && w.scope < moving || t.sort == aMeasure && w.scope < inMeasures {
		return w.wrong(x, fmt.Sprintf("%s is %s: %s %s", name, t.sort.the(), w.what, w.scope.may()), w.scope.help(), t.at.note("it is given here"))
	}
	v := w.l.variableOf(t)
	if v < 0 {
		return lowered{id: w.g.Turn(), kind: quantity.Angle}
	}
	if w.l.kinds.IsBroken(v) {
		return lowered{bad: true}
	}
	var out lowered
	switch t.sort {
	case aDim:
		out = w.dims[t.index]
	case aMeasure:
		out = w.made[t.index]
	case aTravel:
		out = lowered{id: w.g.Travel(t.index)}
	case aGiven:
		out = lowered{id: w.given[t.index].id, bad: w.given[t.index].bad}
	}
	out.kind = w.l.kinds.KindOf(v)
	return out
}

// the is the sort with its article, as in "crank is the turn".
func (s sort) the() string {
	if s == aTurn {
		return "the turn"
	}
	return s.a()
}

// noFigure reports a name in a sum that is no figure.
func (w *lowering) noFigure(x *syntax.Ref) {
	name := x.Name.Text
	if t, ok := w.l.names.points.find(name); ok && w.scope == inMeasures {
		w.wrong(x, name+" is a point, a figure is wanted here", fmt.Sprintf("write x(%s) or y(%s)", name, name), t.at.note("it is given here"))
		return
	}
	if at := strings.LastIndexByte(name, '.'); at > 0 {
		if f := name[at+1:]; f == "x" || f == "y" {
			if t, ok := w.l.names.points.find(name[:at]); ok {
				w.wrong(x, name[:at]+" is a point, and has no figure "+f+" of its own", fmt.Sprintf("write %s(%s)", f, name[:at]), t.at.note("it is given here"))
				return
			}
		}
	}
	if f, ok := syntax.LookUpFunction(name); ok {
		if !w.l.names.anywhere(name) {
			w.wrong(x, name+" is a function and needs its brackets", "write "+f.Form)
			return
		}
	}
	wanted := "a dimension"
	switch w.scope {
	case moving:
		wanted = "a dimension, turn or travel"
	case inMeasures:
		wanted = "a dimension, turn, travel or measure"
	}
	w.l.missing(w.l.names.figures, place{w.file, x.Where()}, name, wanted)
}

func (w *lowering) binary(x *syntax.Binary) lowered {
	a, b := w.sum(x.X), w.sum(x.Y)
	switch x.Op {
	case '+', '-':
		op, doing := expr.Add, "cannot be added"
		if x.Op == '-' {
			op, doing = expr.Sub, "cannot be taken from one another"
		}
		a, b = w.beside(a, b, x.X, x.Y, place{w.file, x.At}, doing)
		return w.two(op, a, b, a.kind, a.free && b.free)
	case '*':
		return w.two(expr.Mul, a, b, a.kind.Times(b.kind, 1), a.free || b.free)
	case '/':
		return w.two(expr.Div, a, b, a.kind.Times(b.kind, -1), a.free || b.free)
	}
	return w.power(x, a, b)
}

func (w *lowering) two(op expr.Op, a, b lowered, k quantity.Kind, free bool) lowered {
	if a.bad || b.bad {
		return lowered{bad: true}
	}
	return lowered{id: w.g.Binary(op, a.id, b.id), kind: k, free: free}
}

// power is a ^ b. The power of a length must be written out, since the kind depends on it.
func (w *lowering) power(x *syntax.Binary, a, b lowered) lowered {
	b = w.fit(b, x.Y, quantity.Plain, "a power is a plain number", -1)
	if a.bad || b.bad {
		return lowered{bad: true}
	}
	k := a.kind
	if !k.Is(quantity.Plain) {
		n, ok := quantity.PlainFigure(x.Y)
		if !ok || !(n >= -12 && n <= 12) {
			return w.wrong(x.Y, fmt.Sprintf("%s is %s, so its power must be written out", w.text(x.X), k), "write a number, such as 2 or 1/2")
		}
		k = k.Power(n)
	}
	return lowered{id: w.g.Binary(expr.Pow, a.id, b.id), kind: k, free: a.free}
}

// beside checks that two sums are of one kind, and gives a bare one the kind of the other.
func (w *lowering) beside(a, b lowered, x, y syntax.Expr, at place, doing string) (lowered, lowered) {
	switch {
	case a.bad || b.bad:
	case a.kind.Is(b.kind):
	case a.flexible():
		a = w.scaled(a, x, b.kind)
	case b.flexible():
		b = w.scaled(b, y, a.kind)
	default:
		if !w.alreadyTold(x, y) {
			w.tell(at, fmt.Sprintf("%s is %s and %s is %s: they %s", w.text(x), a.kind, w.text(y), b.kind, doing), w.besideHelp(a, b, x, y), w.because(w.inferredOf([]syntax.Expr{x, y})...)...)
		}
		a.bad = true
	}
	if a.bad || b.bad {
		a.bad, b.bad = true, true
	}
	return a, b
}

func (a lowered) flexible() bool { return a.free && a.kind.Is(quantity.Plain) }

// fit checks that a sum is of the kind that is wanted, and gives a bare one that kind. Variable is the figure whose kind
// is wanted, -1 for none.
func (w *lowering) fit(a lowered, x syntax.Expr, k quantity.Kind, wanted string, variable int) lowered {
	switch {
	case a.bad || a.kind.Is(k):
		return a
	case a.flexible():
		return w.scaled(a, x, k)
	case w.alreadyTold(x) || variable >= 0 && w.alreadyToldOf(variable):
		return lowered{bad: true}
	}
	if variable >= 0 && k.Is(quantity.Plain) && !quantity.Sensible(a.kind, false) {
		wanted = w.what + " may have whole powers of lengths and angles, up to the third"
	}
	figures := w.inferredOf([]syntax.Expr{x})
	if variable >= 0 {
		figures = append([]int{variable}, figures...)
	}
	return w.wrong(x, fmt.Sprintf("%s, and %s is %s", wanted, w.text(x), a.kind), w.fitHelp(a, x, k), w.because(figures...)...)
}

// as is fit for the argument of a function.
func (w *lowering) as(a lowered, x syntax.Expr, k quantity.Kind) lowered {
	return w.fit(a, x, k, k.String()+" is wanted here", -1)
}

// scaled gives bare numbers the unit of the sketch, or degrees.
func (w *lowering) scaled(a lowered, x syntax.Expr, k quantity.Kind) lowered {
	if k.Is(quantity.Angle) && syntax.MentionsPi(x) {
		text := syntax.Bracketed(w.text(x))
		return w.wrong(x, "a bare number is degrees where an angle is wanted, and pi looks like radians", fmt.Sprintf("write %s*1rad, or %s*1deg if degrees are meant", text, text))
	}
	return lowered{id: w.g.Mul(a.id, w.g.Const(w.l.sketch.Units.Factor(k))), kind: k}
}
