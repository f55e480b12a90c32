package quantity

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Inference finds the kinds of figures from their uses. A dimension written with a bare number, `dim throw = 22`, does not say whether it is a length, an angle or a plain
// number; its uses say so. The kinds are found as in dimensional analysis. Each figure with a name has an unknown kind.
// Each sum in which two figures are side by side, or which must be of a kind, gives a row
//
//	Σ power·kind(figure) + kind = 0
//
// A row with one unknown settles it. A row with two unknowns and nothing else makes them powers of one another. A figure
// that no row settles is a plain number. A bare number in a product, as in 2*throw, may itself have the unit. Such rows
// are weak: they are used only when the others are done.
type Inference[Place any] struct {
	Variables []variable[Place]
	rows      []row[Place]
	pending   []int // rows to look at (again)
}

// variable is the kind of one figure, as a power of the kind of another (parent) or its own.
type variable[Place any] struct {
	Name    string
	parent  int
	weight  float64 // kind = weight · kind of parent
	known   bool
	kind    Kind
	why     Place // what settled it
	rows    []int // that hold this variable or one whose parent it is
	Derived bool  // has a sum of other figures: the last to be called a plain number
	Length  bool  // is a length if nothing settles it
	Broken  bool  // has a mistake that was reported: takes any kind
}

// term is a power of the kind of a figure.
type term struct {
	v int
	n float64
}

// row is an equation between kinds.
type row[Place any] struct {
	terms []term
	kind  Kind
	weak  bool
	at    Place
	done  bool
}

// Add makes the unknown kind of one more figure.
func (f *Inference[Place]) Add(name string) int {
	n := len(f.Variables)
	f.Variables = append(f.Variables, variable[Place]{Name: name, parent: n, weight: 1})
	return n
}

// Find returns the root of v's chain of powers, and the power. It shortens the chain on the way, without recursion, since
// a chain may be as long as the sketch.
func (f *Inference[Place]) Find(v int) (root int, weight float64) {
	root, weight = f.Variables[v].parent, f.Variables[v].weight
	if f.Variables[root].parent == root { // do not write then: many may read at once when all is settled
		return root, weight
	}
	root, weight = v, 1
	for f.Variables[root].parent != root {
		weight *= f.Variables[root].weight
		root = f.Variables[root].parent
	}
	for w := weight; v != root; {
		p := &f.Variables[v]
		next, part := p.parent, p.weight
		p.parent, p.weight = root, w
		v, w = next, w/part
	}
	return root, weight
}

// KindOf is the kind of a figure, as far as it is settled.
func (f *Inference[Place]) KindOf(v int) Kind {
	root, w := f.Find(v)
	return f.Variables[root].kind.Power(w)
}

// Why is the place that settled the kind of a figure; it is zero where none did.
func (f *Inference[Place]) Why(v int) Place {
	root, _ := f.Find(v)
	return f.Variables[root].why
}

// Equate adds a row: the two kinds are the same. A bare number is of any kind.
func (f *Inference[Place]) Equate(a, b Shape, at Place) {
	if a.Bad || b.Bad || a.Flexible() || b.Flexible() {
		return
	}
	r := row[Place]{kind: a.Kind.Times(b.Kind, -1), weak: a.Free || b.Free, at: at}
	r.terms = append(r.terms, a.Terms...)
	for _, t := range b.Terms {
		r.terms = append(r.terms, term{t.v, -t.n})
	}
	if len(r.terms) > 0 {
		f.rows = append(f.rows, r)
	}
}

// mostTerms bounds how many figures a row is followed through. A product of more settles nothing.
const mostTerms = 8

// Solve settles every kind.
func (f *Inference[Place]) Solve() {
	f.settleRows(func(i int) bool { return !f.rows[i].weak })
	for i := range f.rows {
		f.settleFactor(i)
	}
	f.settleRows(func(i int) bool { return f.rows[i].weak })
	f.settleRest()
	for v := range f.Variables {
		f.Find(v)
	}
}

// settleRows looks at the rows that are wanted, and at the rows that depend on what they settle.
func (f *Inference[Place]) settleRows(wanted func(i int) bool) {
	for i := range f.rows {
		if !wanted(i) {
			continue
		}
		for _, t := range f.rows[i].terms {
			root, _ := f.Find(t.v)
			f.Variables[root].rows = append(f.Variables[root].rows, i)
		}
		f.pending = append(f.pending, i)
		f.settle()
	}
}

// settleFactor looks at a weak row that no length and no angle can satisfy, such as 360/n where an angle is wanted. Its
// figure is a plain number, even where another weak row alone would say otherwise.
func (f *Inference[Place]) settleFactor(i int) {
	r := &f.rows[i]
	if !r.weak || r.done {
		return
	}
	unknown, rest := f.reduced(r)
	if len(unknown) == 1 && !Sensible(rest.Power(-1/unknown[0].n), true) {
		r.done = true
		f.settleOne(unknown[0].v, Plain, r.at)
		f.settle()
	}
}

// settle looks at each row about which something new is known, until there is none.
func (f *Inference[Place]) settle() {
	for len(f.pending) > 0 {
		i := f.pending[len(f.pending)-1]
		f.pending = f.pending[:len(f.pending)-1]
		if !f.rows[i].done {
			f.look(i)
		}
	}
}

// reduced is a row's remaining unknowns, and the kind of all that is known in it.
func (f *Inference[Place]) reduced(r *row[Place]) (unknown []term, rest Kind) {
	rest, unknown = r.kind, make([]term, 0, len(r.terms))
	for _, t := range r.terms {
		root, w := f.Find(t.v)
		if v := &f.Variables[root]; v.known {
			rest = rest.Times(v.kind, t.n*w)
			continue
		}
		j := slices.IndexFunc(unknown, func(u term) bool { return u.v == root })
		if j < 0 {
			unknown = append(unknown, term{root, 0})
			j = len(unknown) - 1
		}
		unknown[j].n += t.n * w
	}
	return slices.DeleteFunc(unknown, func(t term) bool { return math.Abs(t.n) <= powerSlack }), rest
}

// look draws from a row the conclusions that it allows.
func (f *Inference[Place]) look(i int) {
	r := &f.rows[i]
	unknown, rest := f.reduced(r)
	switch {
	case len(unknown) == 0:
		r.done = true
	case len(unknown) == 1:
		k := rest.Power(-1 / unknown[0].n)
		if Sensible(k, r.weak) {
			r.done = true
			f.settleOne(unknown[0].v, k, r.at)
		}
	case len(unknown) == 2 && rest.Is(Plain):
		w := -unknown[1].n / unknown[0].n
		if !(r.weak && math.Abs(w-1) > powerSlack) && math.Abs(w) < 100 && math.Abs(w) > 0.01 {
			r.done = true
			f.join(unknown[0].v, unknown[1].v, w)
		}
	}
}

// Sensible reports whether a use may give a figure that kind: whole powers up to the third. Where a bare number beside it
// could have the unit, only a length, an angle or a plain number is sensible.
func Sensible(k Kind, weak bool) bool {
	if weak {
		return k.Is(Plain) || k.Is(Length) || k.Is(Angle)
	}
	whole := func(n float64) bool { return math.Abs(n-math.Round(n)) <= powerSlack && math.Abs(n) <= 3 }
	return whole(k.L) && whole(k.A)
}

func (f *Inference[Place]) settleOne(root int, k Kind, why Place) {
	v := &f.Variables[root]
	v.known, v.kind, v.why = true, Kind{math.Round(k.L), math.Round(k.A)}, why
	f.pending = append(f.pending, v.rows...)
	v.rows = nil
}

// join makes the kind of a the power w of the kind of b, or the other way round where more rows hold a.
func (f *Inference[Place]) join(a, b int, w float64) {
	if len(f.Variables[a].rows) > len(f.Variables[b].rows) {
		a, b, w = b, a, 1/w
	}
	va, vb := &f.Variables[a], &f.Variables[b]
	va.parent, va.weight = b, w
	vb.rows = append(vb.rows, va.rows...)
	vb.Derived = vb.Derived || va.Derived
	vb.Length = vb.Length || va.Length
	f.pending = append(f.pending, va.rows...)
	va.rows = nil
}

// settleRest settles the figures that no row does. A travel is a length; other figures are plain numbers. Those that are
// written with a number and not with a sum come first, by name, so that the order of the statements has no effect.
func (f *Inference[Place]) settleRest() {
	var rest []int
	for v := range f.Variables {
		if root, _ := f.Find(v); root == v && !f.Variables[v].known {
			rest = append(rest, v)
		}
	}
	rank := func(v int) int {
		switch {
		case f.Variables[v].Length:
			return 0
		case f.Variables[v].Derived:
			return 2
		}
		return 1
	}
	slices.SortFunc(rest, func(a, b int) int {
		return cmp.Or(rank(a)-rank(b), strings.Compare(f.Variables[a].Name, f.Variables[b].Name))
	})
	var none Place
	for _, v := range rest {
		root, _ := f.Find(v)
		if f.Variables[root].known {
			continue
		}
		kind := Plain
		if f.Variables[root].Length {
			kind = Length
		}
		f.settleOne(root, kind, none)
		f.settle()
	}
}

// IsBroken reports whether a figure has a mistake that was reported.
func (f *Inference[Place]) IsBroken(v int) bool { return f.Variables[v].Broken }
