package schedule

import "slices"

// Rest is the remainder of a Schedule whose rows and scalars do not match, made to fit. Rows that find no scalar are put
// aside, and scalars that find no row are held where they are.
type Rest struct {
	Schedule *Schedule // with Steps, for the rest
	Rows     []Row
	scalars  [][]int32 // of each row
	Scalar   []int32   // of each row, -1 for one put aside
	rowOf    []int32   // of each scalar, -1 for one that is held
}

// Reduce makes the rest of a Schedule that does not fit. Later statements are put aside before earlier ones.
func (s *Schedule) Reduce() *Rest {
	st := s.Structure
	order := make([]int, len(st.Rows))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return st.Rows[a].Stmt - st.Rows[b].Stmt })
	m := &Rest{Rows: make([]Row, len(order)), scalars: make([][]int32, len(order))}
	for k, i := range order {
		m.Rows[k], m.scalars[k] = st.Rows[i], st.scalars[i]
	}
	m.Scalar, m.rowOf = match(m.scalars, len(s.Scalars))
	left := *s
	left.Structure = &Structure{RowOf: numberless(len(s.Scalars))}
	for i, c := range m.Scalar {
		if c >= 0 {
			left.Structure.RowOf[c] = int32(len(left.Structure.Rows))
			left.Structure.Rows = append(left.Structure.Rows, m.Rows[i])
			left.Structure.scalars = append(left.Structure.scalars, m.scalars[i])
			left.Structure.scalar = append(left.Structure.scalar, c)
		}
	}
	left.Steps = left.steps(blocks(left.Structure))
	left.Whole = slices.DeleteFunc(slices.Clone(s.Whole), func(r Row) bool {
		for i := range m.Rows {
			if m.Scalar[i] < 0 && m.Rows[i].Equation == r.Equation && m.Rows[i].Stmt == r.Stmt {
				return true
			}
		}
		return false
	})
	m.Schedule = &left
	return m
}

// Everything is the whole rest as one step.
func (m *Rest) Everything() *Step {
	all := &Step{Rows: m.Schedule.Structure.Rows}
	for _, step := range m.Schedule.Steps {
		all.Ops = append(all.Ops, step.Ops...)
	}
	for c := range m.Schedule.Scalars {
		all.Scalars = append(all.Scalars, c)
	}
	return all
}

// LooseIn returns the loose rows that hold something in a part of what is not settled. These are rows that can each hold one scalar of
// its own, and rows in which nothing outside the part is unsettled. Of several, perhaps only one holds the part where it stands.
func (m *Rest) LooseIn(part *Step) (rows []Row) {
	deps := slices.Clone(m.scalars)
	for i := range m.Schedule.loose {
		d := slices.Clone(m.Schedule.RowDepends(&m.Schedule.loose[i]))
		slices.SortStableFunc(d, m.turnsFirst)
		deps = append(deps, d)
	}
	scalar, _ := match(deps, len(m.Schedule.Scalars))
	free := m.Schedule.Structure.Unsettled(len(m.Schedule.Scalars))
	for i, r := range m.Schedule.loose {
		c := scalar[len(m.scalars)+i]
		own := c >= 0 && slices.Contains(part.Scalars, int(c)) || c < 0 && within(deps[len(m.scalars)+i], part, free)
		if own && m.Schedule.Model.Graph.Uses(r.Play).Constant() {
			rows = append(rows, r)
		}
	}
	return rows
}

// turnsFirst puts a scalar that is a way along a heading behind all others: a loose rod turns a wheel, and does not say what its throw is.
func (m *Rest) turnsFirst(a, b int32) int {
	along := func(c int32) int {
		if m.Schedule.Scalars[c].Kind == ScalarAlong {
			return 1
		}
		return 0
	}
	return along(a) - along(b)
}

// within reports whether scalars are settled, but for some of a part.
func within(scalars []int32, part *Step, free groups) bool {
	some := false
	for _, c := range scalars {
		in := slices.Contains(part.Scalars, int(c))
		if !in && free[c] >= 0 {
			return false
		}
		some = some || in
	}
	return some
}

// Hanging lists the statements of all rows that settle the scalars of row i, of the rows that these depend on, and of the
// ops that made their places.
func (m *Rest) Hanging(i int) (stmts []int) {
	seen := make([]bool, len(m.Rows))
	queue := []int{i}
	seen[i] = true
	made := make(map[Place]bool)
	for len(queue) > 0 {
		r := queue[0]
		queue = queue[1:]
		stmts = append(stmts, m.Rows[r].Stmt)
		for _, z := range m.Rows[r].Places() {
			stmts = m.Schedule.makers(stmts, z, made)
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

// makers appends the equations that made a place without an unknown, and those that made its operands.
func (s *Schedule) makers(stmts []int, z Place, made map[Place]bool) []int {
	if z == Nowhere || made[z] {
		return stmts
	}
	made[z] = true
	for _, e := range s.Met[z] {
		stmts = append(stmts, s.Model.Equations[e].Stmt)
	}
	op := &s.OpAt[z]
	for _, p := range [3]Place{op.P, op.Q, op.D} {
		stmts = s.makers(stmts, p, made)
	}
	return stmts
}
