package clearance

import (
	"container/heap"
	"context"
	"math"
)

// screen looks at two forms on tubes without squares. It gives d, which has the tubes with squares, the parts of boxes of which more must
// be known, and what is known of all others.
func (o *Over) screen(ctx context.Context, a, b *Form, d *pairOver) {
	var left []overNode
	f := o.pair(a.affine(o.space.N), b.affine(o.space.N))
	f.keeps, f.unsure = d.keeps, &left
	f.begin()
	f.search(ctx)
	d.best, d.guess, d.floor = f.best, f.guess, f.best.Lo
	if f.best.Near < f.keeps && !math.IsInf(f.keeps, 1) { // an engine comes nearer
		for _, n := range left {
			d.floor = min(d.floor, n.lo)
		}
		return
	}
	for _, n := range left {
		d.tubes[n.tube].Fill(n.box)
		n.cell, n.rough, n.widest = d.cells[n.tube][n.box], n.ia >= 0, -1
		d.queue = append(d.queue, n)
	}
	heap.Init(&d.queue)
}

// stop ends a node that cannot be bounded more closely.
func (d *pairOver) stop(n *overNode, floor *float64) {
	if d.unsure != nil {
		*d.unsure = append(*d.unsure, *n)
		return
	}
	*floor = min(*floor, n.lo)
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
