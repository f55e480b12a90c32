package sketch

import (
	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver/expr"
)

// rule says how the kind of a function follows from the kinds of its arguments.
type rule uint8

const (
	same    rule = iota // all arguments of one kind, and the answer too
	root                // half the powers
	wants               // each argument of the kind that it takes
	heading             // all arguments of one kind; gives an angle
	slope               // change per radian of the turn
	named               // of points, lines and profiles by their names
	placed              // of a sum and a place of the turn: the kind of the sum
)

// function is one function of the language. Functions of names, and those with whole set, are for measures only.
type function struct {
	rule  rule
	op    expr.Op
	takes quantity.Kind
	gives quantity.Kind
	whole bool
}

var functions = map[string]function{
	"sqrt":     {rule: root, op: expr.Sqrt},
	"abs":      {op: expr.Abs},
	"min":      {op: expr.Min},
	"max":      {op: expr.Max},
	"hypot":    {op: expr.Hypot},
	"round":    {op: expr.Round},
	"sin":      {rule: wants, op: expr.Sin, takes: quantity.Angle},
	"cos":      {rule: wants, op: expr.Cos, takes: quantity.Angle},
	"tan":      {rule: wants, op: expr.Tan, takes: quantity.Angle},
	"asin":     {rule: wants, op: expr.Asin, gives: quantity.Angle},
	"acos":     {rule: wants, op: expr.Acos, gives: quantity.Angle},
	"atan":     {rule: wants, op: expr.Atan, gives: quantity.Angle},
	"atan2":    {rule: heading, op: expr.Atan2, gives: quantity.Angle},
	"x":        {rule: named, gives: quantity.Length},
	"y":        {rule: named, gives: quantity.Length},
	"dist":     {rule: named, gives: quantity.Length},
	"heading":  {rule: named, gives: quantity.Angle},
	"angle":    {rule: named, gives: quantity.Angle},
	"along":    {rule: named, gives: quantity.Length},
	"off":      {rule: named, gives: quantity.Length},
	"low":      {rule: named, gives: quantity.Length},
	"high":     {rule: named, gives: quantity.Length},
	"inner":    {rule: named, gives: quantity.Length},
	"outer":    {rule: named, gives: quantity.Length},
	"middle":   {rule: named, gives: quantity.Length},
	"at":       {rule: placed, op: expr.AtPlace, whole: true},
	"rate":     {rule: slope, op: expr.Rate, whole: true},
	"least":    {op: expr.Least, whole: true},
	"greatest": {op: expr.Greatest, whole: true},
	"span":     {op: expr.Span, whole: true},
}

// call makes nodes of a function.
func (w *lowering) call(x *syntax.Call) lowered {
	f, ok := functions[x.Func.Text]
	if !ok {
		return w.wrong(x, "there is no function "+x.Func.Text, "")
	}
	if (f.rule == named || f.whole) && w.scope < inMeasures {
		where := " can stand in measure, keep and mark only: "
		if w.scope == passed {
			where = " cannot stand behind past: "
		}
		return w.wrong(&syntax.Ref{Name: x.Func}, x.Func.Text+where+w.what+" "+w.scope.may(), w.scope.help())
	}
	switch f.rule {
	case named:
		return w.ofNames(x, f)
	case placed:
		return w.placed(x)
	}
	args := make([]lowered, len(x.Args))
	for i, arg := range x.Args {
		args[i] = w.sum(arg)
		if f.rule == wants {
			args[i] = w.as(args[i], arg, f.takes)
		}
	}
	return w.apply(x, f, args)
}

// apply makes nodes of a function of sums.
func (w *lowering) apply(x *syntax.Call, f function, args []lowered) lowered {
	out := args[0]
	for i, b := range args[1:] {
		a, b := w.beside(out, b, x.Args[i], x.Args[i+1], place{w.file, x.Func.Span}, "cannot go together in "+x.Func.Text)
		out = lowered{kind: a.kind, free: a.free && b.free, bad: a.bad || b.bad}
		if !out.bad {
			out.id = w.g.Binary(f.op, a.id, b.id)
		}
	}
	if out.bad {
		return out
	}
	if len(args) == 1 && f.op.Operands() == 1 {
		out.id = w.g.Unary(f.op, out.id)
	}
	switch f.rule {
	case root:
		out.kind = out.kind.Power(0.5)
	case wants, heading:
		out.kind, out.free = f.gives, false
	case slope:
		out.kind, out.free = quantity.SlopeKind(out.kind), false
		return w.rate(x, out)
	}
	return out
}

// rate checks that a rate can be found: there is a turn, and rates are not nested too deep.
func (w *lowering) rate(x *syntax.Call, out lowered) lowered {
	if w.l.turn < 0 {
		return w.wrong(&syntax.Ref{Name: x.Func}, "rate is a change per radian of the turn, and the sketch has no turn", "write turn NAME = V to V step V")
	}
	if w.g.Rates(out.id) > expr.Order {
		return w.wrong(&syntax.Ref{Name: x.Func}, "rates are nested more than twice, counting the measures that this one uses", "write at most the rate of a rate")
	}
	return out
}

// ofNames makes nodes of a function of points, lines and profiles.
func (w *lowering) ofNames(x *syntax.Call, f function) lowered {
	if id, ok := w.alongBend(x); ok {
		return id
	}
	p := make([]int, 0, 3)
	bad := false
	for i, what := range syntax.NamesIn(x) {
		ref, ok := x.Args[i].(*syntax.Ref)
		if !ok {
			return lowered{bad: true} // the parser reads nothing else
		}
		n := -1
		switch what {
		case syntax.NamesPoint:
			n, ok = w.l.point(w.file, ref.Name)
		case syntax.NamesLine:
			n, ok = w.line(ref.Name)
		case syntax.NamesProfile:
			n, ok = w.profile(ref)
		}
		bad = bad || !ok
		p = append(p, n)
	}
	if bad || len(p) == 0 {
		return lowered{bad: true}
	}
	if w.parts != nil { // only sums that follow from dimensions are searched
		return lowered{id: w.g.X(0), kind: f.gives}
	}
	switch x.Func.Text {
	case "low", "high":
		return w.outlineAlong(x, p[0], p[1])
	case "inner", "outer", "middle":
		return lowered{id: w.bandOf(x.Func.Text, p[0]), kind: f.gives}
	}
	return lowered{id: w.measurement(x.Func.Text, p), kind: f.gives}
}

// line finds the line that along or off is measured from.
func (w *lowering) line(name syntax.Name) (int, bool) {
	if t, ok := w.l.names.guides.find(name.Text); ok && t.sort == aSlot && w.l.model.slots[t.index].s.Bend == nil {
		return w.l.model.slots[t.index].line, true
	}
	return w.l.straight(w.file, name)
}

// measurement is the node of a figure that is measured between points.
func (w *lowering) measurement(name string, p []int) expr.ID {
	g := w.g
	switch name {
	case "x":
		return g.X(p[0])
	case "y":
		return g.Y(p[0])
	case "dist":
		dx, dy := w.between(p[0], p[1])
		return g.Binary(expr.Hypot, dx, dy)
	case "heading":
		dx, dy := w.between(p[0], p[1])
		return g.Binary(expr.Heading, dy, dx)
	case "angle": // at Q, from QP round to QR: the heading of QR as seen in axes along QP
		px, py := w.between(p[1], p[0])
		rx, ry := w.between(p[1], p[2])
		return g.Binary(expr.Heading, w.cross(px, py, rx, ry), w.dot(px, py, rx, ry))
	}
	from, ux, uy, long := w.axis(p[1])
	dx, dy := g.Sub(g.X(p[0]), from[0]), g.Sub(g.Y(p[0]), from[1])
	out := w.dot(ux, uy, dx, dy)
	if name == "off" {
		out = w.cross(ux, uy, dx, dy)
	}
	if long != expr.None {
		out = g.Div(out, long)
	}
	return out
}

// between is Q minus P, by coordinates.
func (w *lowering) between(p, q int) (dx, dy expr.ID) {
	return w.g.Sub(w.g.X(q), w.g.X(p)), w.g.Sub(w.g.Y(q), w.g.Y(p))
}

func (w *lowering) dot(ax, ay, bx, by expr.ID) expr.ID {
	return w.g.Add(w.g.Mul(ax, bx), w.g.Mul(ay, by))
}

func (w *lowering) cross(ax, ay, bx, by expr.ID) expr.ID {
	return w.g.Sub(w.g.Mul(ax, by), w.g.Mul(ay, bx))
}

// axis is where a line begins and a vector along it, with its length where that is not 1. Along counts from the point
// that the line goes through (the first of two), in the direction of its heading (towards the second). Off is positive to
// the left.
func (w *lowering) axis(line int) (from [2]expr.ID, ux, uy, long expr.ID) {
	ln := w.l.sketch.Problem.Linkage.Lines[line]
	g := w.g
	from = [2]expr.ID{g.X(ln.P), g.Y(ln.P)}
	if ln.Heading == expr.None {
		ux, uy = w.between(ln.P, ln.Q)
		return from, ux, uy, g.Binary(expr.Hypot, ux, uy)
	}
	return from, g.Unary(expr.Cos, ln.Heading), g.Unary(expr.Sin, ln.Heading), expr.None
}
