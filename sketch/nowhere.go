package sketch

import (
	"fmt"
	"math"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver/expr"
	"barover/solver/linkage"
)

// nowhere is a sum that is not a number although its operands are.
type nowhere struct {
	file     *syntax.File
	x        syntax.Expr
	of       [2]float64 // its operands, in the numbers of the sketch
	infinite bool
	jumps    bool // it is a heading whose one point jumps past the other
}

// why says why the sum is not a number.
func (n nowhere) why() string {
	if n.x == nil {
		return "this is no number"
	}
	show := func(i int) string { return quantity.Trimmed(n.of[i], 6) }
	switch x := n.x.(type) {
	case *syntax.Ref:
		return x.Name.Text + " never happens"
	case *syntax.Binary:
		switch {
		case x.Op == '/' && n.of[1] == 0:
			return "a division by zero" + n.comesTo(x.Y, "0")
		case x.Op == '^' && n.of[0] == 0:
			return fmt.Sprintf("zero has no power of %s", show(1))
		case x.Op == '^' && !n.infinite:
			return fmt.Sprintf("%s to the power of %s is no number", show(0), show(1))
		}
	case *syntax.Call:
		if n.jumps {
			return fmt.Sprintf("a point of %s jumps past another", syntax.TextOf(n.file, x))
		}
		switch x.Func.Text {
		case "sqrt":
			return "the root of a negative number" + n.comesTo(x.Args[0], show(0))
		case "asin", "acos":
			return fmt.Sprintf("no angle has %s for its %s: %s comes to that", show(0), map[string]string{"asin": "sine", "acos": "cosine"}[x.Func.Text], syntax.TextOf(n.file, x.Args[0]))
		case "round":
			return fmt.Sprintf("rounding to steps of %s", show(1))
		case "heading":
			return fmt.Sprintf("%s and %s are in one place, and neither has a heading from the other", syntax.TextOf(n.file, x.Args[0]), syntax.TextOf(n.file, x.Args[1]))
		case "angle":
			return fmt.Sprintf("%s is in one place with %s or %s, and has no heading to it", syntax.TextOf(n.file, x.Args[1]), syntax.TextOf(n.file, x.Args[0]), syntax.TextOf(n.file, x.Args[2]))
		case "at":
			return fmt.Sprintf("%s has no value at %s, or the turn has no such place", syntax.TextOf(n.file, x.Args[0]), syntax.TextOf(n.file, x.Args[1]))
		case "rate":
			return fmt.Sprintf("%s has no rate there", syntax.TextOf(n.file, x.Args[0]))
		case "least", "greatest", "span":
			return fmt.Sprintf("%s has no value at some position of the turn%s", syntax.TextOf(n.file, x.Args[0]), n.noRate(x.Args[0]))
		}
	}
	return "this is too large to be a number"
}

// noRate says why a sum with a rate in it has no value somewhere.
func (n nowhere) noRate(x syntax.Expr) string {
	if call, ok := x.(*syntax.Call); ok && call.Func.Text == "rate" {
		return ": no point has a rate where the linkage stands on a dead centre"
	}
	return ""
}

// help says what to write instead.
func (n nowhere) help() string {
	if n.x == nil {
		return ""
	}
	switch x := n.x.(type) {
	case *syntax.Ref:
		return "give the mark a value that its measure passes"
	case *syntax.Binary:
		switch {
		case x.Op == '/' && n.of[1] == 0:
			return "write a divisor that is never 0"
		case x.Op == '^' && (n.of[0] == 0 || !n.infinite):
			return "keep what stands before ^ above 0, as in max(V, 0.001)"
		}
	case *syntax.Call:
		switch x.Func.Text {
		case "sqrt":
			return "keep what stands in the brackets from going below 0, as in sqrt(max(0, V))"
		case "asin", "acos":
			return "keep what stands in the brackets from -1 to 1: a length over another is mostly meant the other way round"
		case "round":
			return "write a step above 0"
		case "heading", "angle":
			return "name points that are never in one place"
		case "at":
			return "name a place at which the first sum has a value"
		case "rate", "least", "greatest", "span":
			return ""
		}
	}
	return "write smaller numbers"
}

// comesTo says what value a sum has, unless it is written as that value.
func (n nowhere) comesTo(x syntax.Expr, value string) string {
	text := syntax.TextOf(n.file, x)
	if text == value {
		return ""
	}
	return fmt.Sprintf(": %s comes to %s", text, value)
}

// origin is where a sum was first written, and its kind.
type origin struct {
	file *syntax.File
	x    syntax.Expr
	kind quantity.Kind
}

// Lack says why a sum of a measure or check has no value where the solver found none, and the place of that sum in the
// text. Stmt is the statement of the sum.
func (s *Sketch) Lack(lack expr.Lack, stmt int) (why string, file *syntax.File, span syntax.Span) {
	n, file, span := s.lacking(lack, stmt)
	return n.why(), file, span
}

// lacking is the sum without a value, and its place; the statement's own place where the sum is not known.
func (s *Sketch) lacking(lack expr.Lack, stmt int) (n nowhere, file *syntax.File, span syntax.Span) {
	known := s.loaded.sum.origin
	o, ok := known[lack.Node]
	if !ok {
		file, span = s.whereOf(stmt)
		return nowhere{}, file, span
	}
	n = nowhere{file: o.file, x: o.x, of: [2]float64{lack.A, lack.B}, jumps: lack.Jumps}
	node := s.Problem.Graph.Nodes[lack.Node]
	for i, id := range [2]expr.ID{node.A, node.B} {
		if k, ok := known[id]; ok {
			n.of[i] = s.Units.In(n.of[i], k.kind)
		} else if c, isCall := o.x.(*syntax.Call); i == 0 && isCall && c.Func.Text == "sqrt" {
			n.of[i] = s.Units.In(n.of[i], o.kind.Power(2))
		}
	}
	n.infinite = node.Op == expr.Pow && math.IsInf(math.Pow(lack.A, lack.B), 0)
	return n, o.file, o.x.Where()
}

// LackAt says why a sum that places the engine has no value, and at which crank position where that matters.
func (s *Sketch) LackAt(l *linkage.Lack) (why, help string, file *syntax.File, span syntax.Span) {
	n, file, span := s.lacking(l.Lack, l.Stmt)
	why, help = n.why(), n.help()
	if l.Moves {
		why += fmt.Sprintf(" with %s at %s", s.Problem.Turn.Name, s.Units.Angle(l.Turn))
	}
	return why, help, file, span
}
