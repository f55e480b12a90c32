package schedule

import "slices"

// Loose rows compete: each loose row affects every freedom that it depends on, even through other blocks. So everything
// between a freedom and a loose row that depends on it is in one block with them. What only follows from a freedom stays
// in blocks of its own.

// loosen matches the remaining freedoms with loose rows, one each. Such a row represents in its block all the loose rows
// that affect it. It returns nil where there are too few loose rows.
func (s *Schedule) loosen(loose []Row) *Structure {
	st := s.Structure
	hard := len(st.Rows)
	deps := slices.Clone(st.scalars)
	for i := range loose {
		deps = append(deps, s.RowDepends(&loose[i]))
	}
	scalar, rowOf := match(deps, len(s.Scalars))
	if slices.Contains(rowOf, -1) {
		return nil
	}
	out := &Structure{Rows: slices.Clone(st.Rows), scalars: deps[:hard:hard], scalar: scalar[:hard:hard], RowOf: rowOf}
	for i := range loose {
		if c := scalar[hard+i]; c >= 0 {
			rowOf[c] = int32(len(out.Rows))
			out.Rows = append(out.Rows, loose[i])
			out.scalars = append(out.scalars, deps[hard+i])
			out.scalar = append(out.scalar, c)
		}
	}
	says := out.compete(hard, deps[hard:])
	out.loose = make([][]Row, len(out.Rows))
	for i, r := range loose {
		for _, k := range says[i] {
			out.loose[k] = append(out.loose[k], r)
		}
	}
	return out
}

// compete makes each row that settles a freedom, from hard on, need whatever the loose rows need that affect it. It
// returns the freedoms that each loose row affects. That enlarges what a row needs, so it is repeated until nothing
// changes.
func (st *Structure) compete(hard int, deps [][]int32) (says [][]int) {
	says = make([][]int, len(deps))
	for range len(st.Rows) - hard + 1 {
		grown := false
		for i, d := range deps {
			says[i] = says[i][:0]
			up := st.upstream(d)
			for k := hard; k < len(st.Rows); k++ {
				if !up[k] {
					continue
				}
				says[i] = append(says[i], k)
				if more := union(st.scalars[k], d); len(more) > len(st.scalars[k]) {
					st.scalars[k], grown = more, true
				}
			}
		}
		if !grown {
			break
		}
	}
	return says
}

// upstream marks the rows that settle some scalars, and those that settle what these rows depend on.
func (st *Structure) upstream(scalars []int32) []bool {
	seen := make([]bool, len(st.Rows))
	var queue []int32
	add := func(cs []int32) {
		for _, c := range cs {
			if r := st.RowOf[c]; !seen[r] {
				seen[r] = true
				queue = append(queue, r)
			}
		}
	}
	for add(scalars); len(queue) > 0; {
		r := queue[0]
		queue = queue[1:]
		add(st.scalars[r])
	}
	return seen
}
