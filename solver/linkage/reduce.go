package linkage

import (
	"math/rand/v2"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
)

// misfit is a Schedule whose rows and scalars do not match, made to fit: rows that find no scalar are put aside, and
// scalars that find no row are held where they are.
type misfit struct {
	s       *Schedule // with Steps, for the rest
	rows    []Row
	scalars [][]int32 // of each row
	scalar  []int32   // of each row, -1 for one put aside
	rowOf   []int32   // of each scalar, -1 for one that is held
	l       *Linkage
	placed  bool // the rest could be assembled
}

// reduce makes the rest of a Schedule that does not fit. Later statements are put aside before earlier ones.
func (s *Schedule) reduce() *misfit {
	st := s.structure
	order := make([]int, len(st.rows))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return st.rows[a].Stmt - st.rows[b].Stmt })
	m := &misfit{rows: make([]Row, len(order)), scalars: make([][]int32, len(order))}
	for k, i := range order {
		m.rows[k], m.scalars[k] = st.rows[i], st.scalars[i]
	}
	m.scalar, m.rowOf = matchFirst(m.scalars, len(s.Scalars))
	rest := *s
	rest.structure = &structure{rowOf: filled(len(s.Scalars), -1)}
	for i, c := range m.scalar {
		if c >= 0 {
			rest.structure.rowOf[c] = int32(len(rest.structure.rows))
			rest.structure.rows = append(rest.structure.rows, m.rows[i])
			rest.structure.scalars = append(rest.structure.scalars, m.scalars[i])
			rest.structure.scalar = append(rest.structure.scalar, c)
		}
	}
	rest.Steps = rest.steps(blocks(rest.structure))
	rest.Whole = slices.DeleteFunc(slices.Clone(s.Whole), func(r Row) bool {
		for i := range m.rows {
			if m.scalar[i] < 0 && m.rows[i].Equation == r.Equation && m.rows[i].Stmt == r.Stmt {
				return true
			}
		}
		return false
	})
	m.s = &rest
	return m
}

// matchFirst matches as many rows as match does, and of those that cannot all be matched the first: a row that has a
// scalar once keeps one.
func matchFirst(rows [][]int32, scalars int) (scalar, rowOf []int32) {
	m := &matching{rows: rows, scalar: filled(len(rows), -1), rowOf: filled(scalars, -1)}
	from := make([]int32, scalars) // of each scalar, the row from which it was reached
	seen := filled(scalars, -1)
	for r := range rows {
		m.queue = append(m.queue[:0], int32(r))
		found := int32(-1)
		for i := 0; i < len(m.queue) && found < 0; i++ {
			for _, c := range rows[m.queue[i]] {
				if seen[c] == int32(r) {
					continue
				}
				seen[c], from[c] = int32(r), m.queue[i]
				if m.rowOf[c] < 0 {
					found = c
					break
				}
				m.queue = append(m.queue, m.rowOf[c])
			}
		}
		for c := found; c >= 0; {
			row := from[c]
			c, m.scalar[row], m.rowOf[c] = m.scalar[row], c, row
		}
	}
	return m.scalar, m.rowOf
}

// place assembles the rest, with what is held where the hints have it.
func (m *misfit) place(v *expr.Values, turnFrom float64, rest []float64) {
	m.l = m.s.fill(v, turnFrom, rest)
	e := m.l.start
	ev := expr.NewEval(v)
	at := expr.Context{Turn: turnFrom, Travel: rest}
	rnd := rand.New(rand.NewPCG(1, 1))
	for c, k := range m.s.Scalars {
		z := plane.Vec{X: 1, Y: 0.1}
		if !k.Direction {
			z = plane.Vec{X: rnd.Float64(), Y: rnd.Float64()}.Scale(e.scale.size)
		}
		if i := int(k.Place); i < len(m.s.Model.Points) && m.s.told(i) && k.Kind != ScalarAlong {
			p := m.s.Model.Points[i]
			z = plane.Vec{X: ev.At(p.U, &at), Y: ev.At(p.V, &at)}
		}
		e.x[c] = z.X
		if k.Kind == ScalarY {
			e.x[c] = z.Y
		}
	}
	a := &assembler{l: m.l, e: e, hints: m.l.hintsFor(), any: true}
	if m.placed = a.run(); m.placed {
		_, m.placed = e.solve()
	} else {
		m.placed = m.placeTogether()
	}
	e.complete()
}

// placeTogether looks for any pose of the whole rest, what was held set free.
func (m *misfit) placeTogether() bool {
	if len(m.s.Scalars) > denseMost {
		return false
	}
	e := m.l.start
	all := m.everything()
	return e.closest(all, nil, closestSteps) <= e.scale.same()
}

// everything is the whole rest as one step.
func (m *misfit) everything() *Step {
	all := &Step{Rows: m.s.structure.rows}
	for _, step := range m.s.Steps {
		all.Ops = append(all.Ops, step.Ops...)
	}
	for c := range m.s.Scalars {
		all.Scalars = append(all.Scalars, c)
	}
	return all
}
