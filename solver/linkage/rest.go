package linkage

import "slices"

// rest is what is left of a Schedule whose rows and scalars do not match, made to fit: rows that find no scalar are put
// aside, and scalars that find no row are held where they are.
type rest struct {
	s       *Schedule // with Steps, for the rest
	rows    []Row
	scalars [][]int32 // of each row
	scalar  []int32   // of each row, -1 for one put aside
	rowOf   []int32   // of each scalar, -1 for one that is held
}

// reduce makes the rest of a Schedule that does not fit. Later statements are put aside before earlier ones.
func (s *Schedule) reduce() *rest {
	st := s.structure
	order := make([]int, len(st.rows))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return st.rows[a].Stmt - st.rows[b].Stmt })
	m := &rest{rows: make([]Row, len(order)), scalars: make([][]int32, len(order))}
	for k, i := range order {
		m.rows[k], m.scalars[k] = st.rows[i], st.scalars[i]
	}
	m.scalar, m.rowOf = matchFirst(m.scalars, len(s.Scalars))
	left := *s
	left.structure = &structure{rowOf: filled(len(s.Scalars), -1)}
	for i, c := range m.scalar {
		if c >= 0 {
			left.structure.rowOf[c] = int32(len(left.structure.rows))
			left.structure.rows = append(left.structure.rows, m.rows[i])
			left.structure.scalars = append(left.structure.scalars, m.scalars[i])
			left.structure.scalar = append(left.structure.scalar, c)
		}
	}
	left.Steps = left.steps(blocks(left.structure))
	left.Whole = slices.DeleteFunc(slices.Clone(s.Whole), func(r Row) bool {
		for i := range m.rows {
			if m.scalar[i] < 0 && m.rows[i].Equation == r.Equation && m.rows[i].Stmt == r.Stmt {
				return true
			}
		}
		return false
	})
	m.s = &left
	return m
}

// everything is the whole rest as one step.
func (m *rest) everything() *Step {
	all := &Step{Rows: m.s.structure.rows}
	for _, step := range m.s.Steps {
		all.Ops = append(all.Ops, step.Ops...)
	}
	for c := range m.s.Scalars {
		all.Scalars = append(all.Scalars, c)
	}
	return all
}

// looseIn returns the loose rows that hold something of a part of what is not settled, as many as can each hold one scalar
// of its own.
func (m *rest) looseIn(part *Step) (rows []Row) {
	deps := slices.Clone(m.scalars)
	for i := range m.s.loose {
		deps = append(deps, m.s.rowDepends(&m.s.loose[i]))
	}
	scalar, _ := matchFirst(deps, len(m.s.Scalars))
	for i, r := range m.s.loose {
		c := scalar[len(m.scalars)+i]
		if c >= 0 && slices.Contains(part.Scalars, int(c)) && m.s.Model.Graph.Uses(r.Play).Constant() {
			rows = append(rows, r)
		}
	}
	return rows
}

// hanging lists the statements of all rows that settle the scalars of row i, and theirs, and by which their places were
// made.
func (m *rest) hanging(i int) (stmts []int) {
	seen := make([]bool, len(m.rows))
	queue := []int{i}
	seen[i] = true
	made := make(map[Place]bool)
	for len(queue) > 0 {
		r := queue[0]
		queue = queue[1:]
		stmts = append(stmts, m.rows[r].Stmt)
		for _, z := range m.rows[r].places() {
			stmts = m.s.makers(stmts, z, made)
		}
		for _, c := range m.scalars[r] {
			if o := m.rowOf[c]; o >= 0 && !seen[o] {
				seen[o] = true
				queue = append(queue, int(o))
			}
		}
	}
	return stmts
}

// makers appends the equations by which a place was made without an unknown, and those by which what it is made from was.
func (s *Schedule) makers(stmts []int, z Place, made map[Place]bool) []int {
	if z == Nowhere || made[z] {
		return stmts
	}
	made[z] = true
	for _, e := range s.met[z] {
		stmts = append(stmts, s.Model.Equations[e].Stmt)
	}
	op := &s.op[z]
	for _, p := range [3]Place{op.P, op.Q, op.D} {
		stmts = s.makers(stmts, p, made)
	}
	return stmts
}
