package clearance

import (
	"context"
	"math"
)

// searched bounds two forms until they are known to keep so far apart or the bound is near the least found: on tubes without squares, if there
// are some, and then those parts of boxes of which more must be known on tubes with squares.
func (o *Over) searched(ctx context.Context, a, b *Form, keeps float64) *pairOver {
	if o.first == nil {
		d := o.pair(a, b)
		d.keeps = keeps
		d.begin()
		d.search(ctx)
		return d
	}
	var left []overNode
	f := o.first.pair(a.affine(o.first.space.N), b.affine(o.first.space.N))
	f.keeps, f.unsure = keeps, &left
	f.begin()
	f.search(ctx)
	if f.best.Near < f.keeps && !math.IsInf(f.keeps, 1) { // an engine comes nearer
		for _, n := range left {
			f.best.Lo = min(f.best.Lo, n.lo)
		}
		return f
	}
	if len(left) == 0 {
		return f
	}
	d := o.pair(a, b)
	d.keeps, d.best, d.guess, d.floor = keeps, f.best, f.guess, f.best.Lo
	for _, n := range left {
		d.tubes[n.tube].Fill(n.box)
		n.cell, n.rough, n.widest, n.waits = d.cells[n.tube][n.box], n.ia >= 0, -1, nil
		d.put(&n)
	}
	d.search(ctx)
	return d
}

// stop ends a node that cannot be bounded more closely.
func (d *pairOver) stop(n *overNode) {
	if d.unsure != nil {
		*d.unsure = append(*d.unsure, *n)
		return
	}
	d.floor = min(d.floor, n.lo)
}

// affine is a form without the squares of sizes: of its polynomials only so many coefficients, the first, remain.
func (f *Form) affine(n int) *Form {
	if f.drawn {
		return f
	}
	out := *f
	out.feature = make([]feature, len(f.feature))
	for i, g := range f.feature {
		for k, c := range g.move {
			for _, v := range c[min(n, len(c)):] {
				g.off[k] += math.Abs(v) * (1 + slip)
			}
			g.move[k] = c[:min(n, len(c))]
		}
		out.feature[i] = g
	}
	return &out
}

// fill encloses all boxes with squares.
func (o *Over) fill() {
	for _, t := range o.tubes {
		t.FillAll()
	}
}
