package sketch

import (
	"math"

	"barover/sketch/syntax"
	"barover/solver/expr"
)

// suspect reports whether any sum that follows from dimensions alone is not a number. Only then are all sums searched for
// the places.
func (l *loader) suspect() bool {
	for i, v := range l.sum.v.Node {
		if (math.IsNaN(v) || math.IsInf(v, 0)) && expr.ID(i) != l.sum.nan && l.constant(expr.ID(i)) {
			return true
		}
	}
	return false
}

// breakage finds the places in sums at which they stop being a number, whatever the turn: a root of a negative number, a
// division by zero. If a dimension is not a number, that is reported at the dimension. It makes the sums again with the
// dimensions as numbers, since it needs the value of every part of them.
type breakage struct {
	l    *loader
	n    *want
	w    *lowering
	told bool
}

func (l *loader) newBreakage() *breakage {
	w := newLowering(l, &expr.Graph{})
	w.silent, w.parts = true, map[syntax.Expr]lowered{}
	figure := func(id expr.ID) lowered {
		if l.constant(id) {
			return lowered{id: w.g.Const(l.value(id))}
		}
		return lowered{id: w.g.X(0)} // anything that moves
	}
	for d := range w.dims {
		w.dims[d] = figure(l.sum.dims[d].id)
	}
	for m := range w.made {
		w.made[m] = figure(l.sum.made[m].id)
	}
	return &breakage{l: l, w: w}
}

// in reports such places in one sum.
func (b *breakage) in(n *want) bool {
	b.n, b.told = n, false
	b.w.file, b.w.scope, b.w.what = n.file, n.scope, n.what
	b.w.sum(n.x)
	b.w.v.Extend()
	b.find(n.x)
	clear(b.w.parts)
	return b.told
}

// find reports whether a sum that follows from dimensions alone is not a number. It says why, unless a part of the sum
// has said so.
func (b *breakage) find(x syntax.Expr) bool {
	below := false
	args := operands(x)
	for _, a := range args {
		below = b.find(a) || below
	}
	out, ok := b.w.parts[x]
	if !ok || !b.w.g.Uses(out.id).Constant() {
		return below
	}
	if v := b.w.v.At(out.id); !math.IsNaN(v) && !math.IsInf(v, 0) {
		return below
	}
	b.told = true
	if _, isRef := x.(*syntax.Ref); !below && !isRef {
		n := b.nowhere(x, args)
		b.l.tell(place{b.n.file, x.Where()}, n.why(), n.help())
	}
	return true
}

// operands are the sums that a sum is made of.
func operands(x syntax.Expr) []syntax.Expr {
	switch x := x.(type) {
	case *syntax.Unary:
		return []syntax.Expr{x.X}
	case *syntax.Binary:
		return []syntax.Expr{x.X, x.Y}
	case *syntax.Call:
		if functions[x.Func.Text].rule != named {
			return x.Args
		}
	}
	return nil
}

// figure is the value of one operand in the numbers of the sketch.
func (b *breakage) figure(x syntax.Expr) float64 {
	out := b.w.parts[x]
	return b.l.sketch.Units.In(b.w.v.At(out.id), out.kind)
}

// nowhere is a sum that is not a number, with its operands.
func (b *breakage) nowhere(x syntax.Expr, args []syntax.Expr) nowhere {
	n := nowhere{file: b.n.file, x: x, infinite: math.IsInf(b.w.v.At(b.w.parts[x].id), 0)}
	for i := range min(len(args), len(n.of)) {
		n.of[i] = b.figure(args[i])
	}
	return n
}
