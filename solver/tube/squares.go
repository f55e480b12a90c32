package tube

import (
	"math"
	"sync"
)

// The squares of sizes make a box several times as large, and few boxes of a turn come near the least of a figure. So a tube may
// first be enclosed without squares. Its boxes tell which of them matter. These are enclosed again with squares.

// Squared returns the tube with the squares of sizes, if t is one without; nil otherwise. Each of its boxes is empty until Fill.
func (t *Tube) Squared() *Tube {
	if !t.affine {
		return nil
	}
	s := *t
	s.affine, s.first, s.squares = false, t, make([]sync.Mutex, len(t.Boxes))
	s.Space = t.Plan.space(len(t.vary), false)
	s.Boxes = make([]Box, len(t.Boxes))
	for i, b := range t.Boxes {
		b.poly, b.rad, b.wide = nil, nil, nil
		s.Boxes[i] = b
	}
	return &s
}

// coefficients is how many a polynomial of the tube has, or will have with squares.
func (t *Tube) coefficients() int {
	if t.affine {
		return t.Plan.space(len(t.vary), false).N
	}
	return t.Space.N
}

// Fill encloses a box of a Squared tube, if that has not been done. Many goroutines may call it.
func (t *Tube) Fill(i int) {
	if t.first == nil {
		return
	}
	t.squares[i].Lock()
	defer t.squares[i].Unlock()
	t.fill(i)
}

// FillAll encloses all boxes of a Squared tube. Goroutines that call it at once share the work.
func (t *Tube) FillAll() {
	for i := range t.squares {
		if t.squares[i].TryLock() {
			t.fill(i)
			t.squares[i].Unlock()
		}
	}
	for i := range t.squares {
		t.Fill(i)
	}
}

func (t *Tube) fill(i int) {
	a, b := &t.first.Boxes[i], &t.Boxes[i]
	if b.poly != nil {
		return
	}
	v := borrowSolver(t.Plan, t.Space, t.widest, t.size)
	defer t.Plan.solvers.Put(v)
	guess := make([]float64, len(t.Plan.scalar))
	for i, k := range t.Plan.known {
		guess[k] = a.poly[i*t.first.Space.N]
	}
	if v.enclose(&b.at, guess) {
		v.store(b)
		if t.begins(a, b) {
			return
		}
	}
	t.pad(a, b)
}

// begins reports whether the tube of the box a without squares is, in its middle, within the wide tube of b: see Tube.same.
func (t *Tube) begins(a, b *Box) bool {
	inA, inB := true, true
	for i, k := range t.Plan.known {
		va, vb := a.poly[i*t.first.Space.N], b.poly[i*t.Space.N]
		off := math.Abs(va-vb) + slip*(math.Abs(va)+math.Abs(vb))
		inA = inA && off+b.rad[i] < a.wide[k]
		inB = inB && off+a.rad[i] < b.wide[k]
	}
	return inA || inB
}

// pad takes a box as it is without squares: the first coefficients are the same ones.
func (t *Tube) pad(a, b *Box) {
	n, m := t.Space.N, t.first.Space.N
	b.rad, b.wide = a.rad, a.wide
	b.poly = make([]float64, len(t.Plan.keep)*n)
	for i := range t.Plan.keep {
		copy(b.poly[i*n:], a.poly[i*m:i*m+m])
	}
}
