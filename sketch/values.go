package sketch

import (
	"fmt"
	"math"
	"slices"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver/expr"
)

// sums finds the kind of every figure.
func (l *loader) sums() {
	l.model.askedKind = map[syntax.Statement]int{}
	for _, t := range l.travels {
		l.kinds.Variables[t.variable].Length = true
	}
	l.gather()
	l.wantOf = make(map[syntax.Expr]int32, len(l.wants))
	for i := range l.wants {
		l.wantOf[l.wants[i].x] = int32(i)
	}
	for _, n := range l.wants {
		s := shaper{l: l, f: l.kinds, file: n.file}
		sh := s.sum(n.x)
		target := quantity.Known(n.kind)
		if n.variable >= 0 {
			target = l.kinds.Of(n.variable)
			if !sh.Flexible() {
				l.kinds.Variables[n.variable].Derived = true
			}
		}
		l.kinds.Equate(sh, target, s.at(n.x))
	}
	l.kinds.Solve()
}

// values decides which value of each dimension counts, and makes nodes of all sums that measure nothing.
func (l *loader) values() {
	g := &expr.Graph{}
	w := newLowering(l, g)
	l.sum = w
	l.breakCircles("dim", func(d *dimension) []syntax.Expr { return []syntax.Expr{d.drawn} })
	order := l.breakCircles("values", func(d *dimension) []syntax.Expr { return l.counting(d) })
	for _, d := range order {
		w.dims[d] = w.dimension(d)
	}
	l.lowerGiven()
	for i := range l.wants {
		if l.wants[i].scope < inMeasures {
			w.want(i)
		}
	}
	w.v.Extend()
	l.sketch.Values = w.v
	l.keepDims()
}

// asked is the sum that gives a dimension unless it is measured or overridden.
func (l *loader) asked(d *dimension) syntax.Expr {
	if d.planLine != nil && !l.options.AsDrawn {
		return d.planLine.Value
	}
	return d.drawn
}

// counting lists the sums that the value of a dimension follows from, with the values that count.
func (l *loader) counting(d *dimension) []syntax.Expr {
	if d.over != nil {
		return []syntax.Expr{d.over}
	}
	list := []syntax.Expr{l.asked(d)}
	if d.madeLine != nil && !l.options.AsDrawn {
		list = append(list, d.madeLine.Value)
	}
	return list
}

// source is the line that the value that counts comes from.
func (l *loader) source(d *dimension) Source {
	switch {
	case d.over != nil:
		return d.source
	case l.options.AsDrawn:
		return FromDim
	case d.madeLine != nil:
		return FromMade
	case d.planLine != nil:
		return FromPlan
	}
	return FromDim
}

// breakCircles orders the dimensions by the sums that sumsOf picks, and reports circles among them. The dimensions of a
// circle are marked broken, and no message follows about others that depend on them.
func (l *loader) breakCircles(by string, sumsOf func(*dimension) []syntax.Expr) []int {
	order, circles := ordered(len(l.dims), func(i int) []int { return l.dimsIn(sumsOf(&l.dims[i])) })
	for _, c := range circles {
		if slices.ContainsFunc(c, func(d int) bool { return l.kinds.IsBroken(l.dims[d].variable) }) {
			continue
		}
		names := make([]string, len(c))
		for i, d := range c {
			names[i] = l.dims[d].name
			l.kinds.Variables[l.dims[d].variable].Broken = true
		}
		text := "these dimensions follow from one another in a circle: " + chain(names)
		if len(names) == 1 {
			text = fmt.Sprintf("%s follows from itself: %s", names[0], chain(names))
		}
		if by != "dim" {
			text = "with the values that count, " + text
		}
		d := &l.dims[c[0]]
		l.tell(l.at(d.stmt, d.dim.Name.Span), text, "give one of them a value of its own")
	}
	return order
}

// dimsIn lists the dimensions that sums use.
func (l *loader) dimsIn(sums []syntax.Expr) []int {
	var list []int
	for _, x := range sums {
		syntax.EachRef(x, func(r *syntax.Ref) {
			if t, ok := l.names.figures.find(r.Name.Text); ok && t.sort == aDim {
				list = append(list, t.index)
			}
		})
	}
	return list
}

// dimension makes the node of a dimension. A measured one keeps the sum that asks for it, and its value is fixed.
func (w *lowering) dimension(number int) lowered {
	d := &w.l.dims[number]
	sum := d.over
	if sum == nil {
		sum = w.l.asked(d)
	}
	out := w.wantOf(sum)
	if w.l.source(d) == FromMade {
		m := w.wantOf(d.madeLine.Value)
		w.v.Extend()
		w.v.Fixed[number] = w.v.At(m.id)
		out.bad = out.bad || m.bad
	}
	if w.l.kinds.IsBroken(d.variable) {
		out.bad = true
	}
	if out.bad {
		w.l.kinds.Variables[d.variable].Broken = true
		out.id = w.nan
	}
	out.id, out.free = w.g.DimAs(number, out.id), false
	return out
}

// keepDims stores the dimensions in the sketch.
func (l *loader) keepDims() {
	s := l.sketch
	drawn := l.drawn()
	at := func(x syntax.Expr) float64 {
		if x == nil {
			return math.NaN()
		}
		return l.sum.v.At(l.id(x))
	}
	s.Dims = make([]Dim, len(l.dims))
	used := l.usedDims()
	for i := range l.dims {
		d := &l.dims[i]
		k := l.kinds.KindOf(d.variable)
		asked := l.id(l.asked(d))
		out := Dim{Name: d.name, Kind: k, Stmt: d.stmt, MadeStmt: d.made, PlanStmt: d.plan, Source: l.source(d),
			Value: l.sum.v.At(l.sum.dims[i].id), Drawn: drawn[i], AskedSum: asked, Asked: l.sum.v.At(asked),
			Made: math.NaN(), Planned: math.NaN(), Note: d.dim.Note.Text,
			Used:     used[i],
			Fraction: syntax.IsFraction(l.fileOf(d), d.drawn)}
		if d.madeLine != nil {
			out.Made, out.MadeNote = at(d.madeLine.Value), d.madeLine.Note.Text
			if x := d.madeLine.PlusMinus; x != nil {
				out.MadeTol = Tol{Given: true, Lower: -at(x), Upper: at(x)}
			}
		}
		if d.planLine != nil {
			out.Planned, out.PlanNote = at(d.planLine.Value), d.planLine.Note.Text
		}
		out.Tol = l.tolerance(d, &out, at)
		s.Dims[i] = out
	}
}

// usedDims says of each dimension whether a statement other than its own lines uses it.
func (l *loader) usedDims() []bool {
	used := make([]bool, len(l.dims))
	for _, n := range l.wants {
		for _, d := range l.dimsIn([]syntax.Expr{n.x}) {
			if n.stmt < 0 || n.stmt != l.dims[d].stmt && n.stmt != l.dims[d].made && n.stmt != l.dims[d].plan {
				used[d] = true
			}
		}
	}
	return used
}

// drawn is what the dim lines alone come to.
func (l *loader) drawn() []float64 {
	out := make([]float64, len(l.dims))
	w := l.sum
	if slices.ContainsFunc(l.dims, func(d dimension) bool { return l.source(&d) != FromDim }) {
		w = newLowering(l, &expr.Graph{})
		w.silent = true
		order, _ := ordered(len(l.dims), func(i int) []int { return l.dimsIn([]syntax.Expr{l.dims[i].drawn}) })
		for _, i := range order {
			o := w.wantOf(l.dims[i].drawn)
			if o.bad || l.kinds.IsBroken(l.dims[i].variable) {
				o.id = w.nan
			}
			w.dims[i] = lowered{id: w.g.DimAs(i, o.id)}
		}
		w.v.Extend()
	}
	for i := range out {
		out[i] = w.v.At(w.dims[i].id)
	}
	return out
}

// BareFraction is the first length written as a fraction without a unit in a sketch without a units line, where bare
// lengths are mm but the drawing most likely means inches. It is nil where there is none.
func (s *Sketch) BareFraction() *Dim {
	for i := range s.Dims {
		d := &s.Dims[i]
		line, ok := s.statements[d.Stmt].s.(*syntax.Dim)
		if !ok || s.UnitsSaid || !d.Fraction || !d.Kind.Is(quantity.Length) {
			continue
		}
		if n, ok := line.Value.(*syntax.Number); ok && n.Unit == syntax.Bare {
			return d
		}
	}
	return nil
}
