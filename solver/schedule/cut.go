package schedule

import (
	"cmp"
	"slices"
)

// Structure is how rows and scalars are connected.
type Structure struct {
	Rows    []Row
	scalars [][]int32 // of each row, the scalars it depends on, in order
	RowOf   []int32   // of each scalar, the row that settles it; -1 for none
	scalar  []int32   // of each row, the scalar it settles; -1 for none
	loose   [][]Row   // of each row: the loose rows that it represents, if any
}

// Moves reports whether a place depends on a scalar.
func (s *Schedule) Moves(p Place) bool { return len(s.Depends[p]) > 0 }

// spread notes which scalars place z depends on through its Op.
func (s *Schedule) spread(z Place) {
	for int(z) >= len(s.Depends) {
		s.Depends = append(s.Depends, nil)
	}
	op := &s.OpAt[z]
	var d []int32
	for _, p := range [3]Place{op.P, op.Q, op.D} {
		if p != Nowhere {
			d = union(d, s.Depends[p])
		}
	}
	switch op.Kind {
	case OpSlide:
		d = union(d, []int32{int32(op.S)})
	case OpFree:
		d = []int32{int32(op.S), int32(op.S + 1)}
	}
	s.Depends[z] = d
}

// union merges two lists in order. The result may share a.
func union(a, b []int32) []int32 {
	if len(a) == 0 {
		return b
	}
	if len(b) == 0 || &a[0] == &b[0] && len(a) == len(b) {
		return a
	}
	out := make([]int32, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		switch c := cmp.Compare(a[0], b[0]); {
		case c < 0:
			out, a = append(out, a[0]), a[1:]
		case c > 0:
			out, b = append(out, b[0]), b[1:]
		default:
			out, a, b = append(out, a[0]), a[1:], b[1:]
		}
	}
	return append(append(out, a...), b...)
}

// Places lists the places in a row.
func (r *Row) Places() [4]Place {
	p := [4]Place{r.P, r.Q, r.R, r.D}
	if r.Op != nil {
		p = [4]Place{r.P, r.Op.P, r.Op.Q, r.Op.D}
	}
	return p
}

// RowDepends lists the scalars of a row. The distance of a place from itself depends on nothing.
func (s *Schedule) RowDepends(r *Row) []int32 {
	if r.P != Nowhere && r.P == r.Q && r.Op == nil && r.R == Nowhere {
		return nil
	}
	var d []int32
	for _, p := range r.Places() {
		if p != Nowhere {
			d = union(d, s.Depends[p])
		}
	}
	return d
}

// cut matches rows to scalars and cuts them into Steps. Loose rows take up the remaining freedom. Where rows and scalars
// do not match, Steps stays nil.
func (s *Schedule) cut(rows, loose []Row) {
	s.Steps, s.loose = nil, loose
	st := &Structure{Rows: rows, scalars: make([][]int32, len(rows))}
	for i := range rows {
		st.scalars[i] = s.RowDepends(&rows[i])
	}
	st.scalar, st.RowOf = match(st.scalars, len(s.Scalars))
	s.Structure = st
	if slices.Contains(st.scalar, -1) {
		return
	}
	if slices.Contains(st.RowOf, -1) {
		if st = s.loosen(loose); st == nil {
			return
		}
		s.Structure = st
	}
	s.Steps = s.steps(blocks(st))
}

// blocks returns the rows of each block, in an order in which they can be solved.
func blocks(st *Structure) [][]int {
	need := make([][]int32, len(st.Rows))
	for i, d := range st.scalars {
		for _, c := range d {
			if r := st.RowOf[c]; r >= 0 && int(r) != i {
				need[i] = append(need[i], r)
			}
		}
	}
	out := components(need)
	for _, c := range out {
		slices.Sort(c)
	}
	return out
}

// steps puts blocks and the places between them in order.
func (s *Schedule) steps(blocks [][]int) []Step {
	w := &weaver{s: s, done: make([]bool, s.Places), block: make([]int, len(s.Scalars))}
	for k, rows := range blocks {
		step := Step{Block: k}
		for _, r := range rows {
			if r < len(s.Structure.loose) && s.Structure.loose[r] != nil {
				step.Loose = s.Structure.loose[r]
			} else {
				step.Rows = append(step.Rows, s.Structure.Rows[r])
			}
			c := int(s.Structure.scalar[r])
			step.Scalars = append(step.Scalars, c)
			w.block[c] = k + 1
		}
		slices.Sort(step.Scalars)
		w.weave(k+1, step)
	}
	for z := range s.OpAt {
		w.need(Place(z), -1)
	}
	w.flush()
	return w.steps
}

// weaver puts Ops before the rows that need them.
type weaver struct {
	s      *Schedule
	done   []bool
	block  []int // of each scalar, the number of its block, from 1
	before []Op  // ops that need no unknown of the current block
	inside []Op
	steps  []Step
}

func (w *weaver) flush() {
	if len(w.before) > 0 {
		w.steps = append(w.steps, Step{Ops: w.before})
		w.before = nil
	}
}

func (w *weaver) weave(k int, step Step) {
	w.inside = nil
	for _, rows := range [2][]Row{step.Rows, step.Loose} {
		for i := range rows {
			for _, p := range rows[i].Places() {
				w.need(p, k)
			}
		}
	}
	w.flush()
	step.Ops = w.inside
	if len(step.Loose) > 0 {
		step.tight = &Step{Ops: step.Ops, Scalars: step.Scalars, Rows: slices.Concat(step.Rows, step.Loose)}
	}
	w.steps = append(w.steps, step)
}

// need makes sure that place z is made, in or before block k.
func (w *weaver) need(z Place, k int) {
	if z == Nowhere || w.done[z] || w.s.OpAt[z].Z == Nowhere {
		return
	}
	w.done[z] = true
	op := w.s.OpAt[z]
	for _, p := range [3]Place{op.P, op.Q, op.D} {
		w.need(p, k)
	}
	for _, c := range w.s.Depends[z] {
		if w.block[c] == k {
			w.inside = append(w.inside, op)
			return
		}
	}
	w.before = append(w.before, op)
}
