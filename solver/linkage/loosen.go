package linkage

import "slices"

// loosen matches the freedoms that are left with loose rows. Rows that hang together by what is not settled become one
// block, which stands for all of them. It returns nil where loose rows are too few.
func (s *Schedule) loosen(loose []Row) *structure {
	st := s.structure
	hard := len(st.rows)
	deps := slices.Clone(st.scalars)
	for i := range loose {
		deps = append(deps, s.rowDepends(&loose[i]))
	}
	scalar, rowOf := matchFirst(deps, len(s.Scalars))
	if slices.Contains(rowOf, -1) {
		return nil
	}
	group := st.unsettled(len(s.Scalars))
	for i := range loose {
		group.join(deps[hard+i])
	}
	all := make(map[int32][]Row)
	together := make(map[int32][]int32)
	for i, r := range loose {
		if g := group.of(deps[hard+i]); g >= 0 {
			all[g] = append(all[g], r)
			together[g] = union(together[g], deps[hard+i])
		}
	}
	out := &structure{rows: slices.Clone(st.rows), scalars: slices.Clone(st.scalars), scalar: scalar[:hard:hard], rowOf: rowOf,
		loose: make([][]Row, hard)}
	for i, r := range loose {
		if scalar[hard+i] < 0 {
			continue
		}
		g := group.of(deps[hard+i])
		rowOf[scalar[hard+i]] = int32(len(out.rows))
		out.rows = append(out.rows, r)
		out.scalars = append(out.scalars, together[g])
		out.scalar = append(out.scalar, scalar[hard+i])
		out.loose = append(out.loose, all[g])
	}
	return out
}

// groups are scalars that hang together: the root of each, and -1 for those that are settled.
type groups []int32

// unsettled finds the scalars that the rows do not settle (the under-determined part after Dulmage and Mendelsohn), and
// which of them hang together by a row.
func (st *structure) unsettled(scalars int) groups {
	rowsOf := make([][]int32, scalars)
	for r, cs := range st.scalars {
		for _, c := range cs {
			rowsOf[c] = append(rowsOf[c], int32(r))
		}
	}
	g := groups(filled(scalars, -1))
	var queue []int32
	for c := range g {
		if st.rowOf[c] < 0 {
			g[c] = int32(c)
			queue = append(queue, int32(c))
		}
	}
	for len(queue) > 0 {
		c := queue[0]
		queue = queue[1:]
		for _, r := range rowsOf[c] {
			if o := st.scalar[r]; g[o] < 0 {
				g[o] = o
				queue = append(queue, o)
			}
			g.join(st.scalars[r])
		}
	}
	return g
}

func (g groups) root(c int32) int32 {
	for g[c] != c {
		g[c] = g[g[c]]
		c = g[c]
	}
	return c
}

// join puts the unsettled ones of some scalars into one group.
func (g groups) join(cs []int32) {
	first := int32(-1)
	for _, c := range cs {
		if g[c] < 0 {
			continue
		}
		if first < 0 {
			first = g.root(c)
		} else {
			g[g.root(c)] = first
		}
	}
}

// of returns the group of the first unsettled one of some scalars, -1 where all are settled.
func (g groups) of(cs []int32) int32 {
	for _, c := range cs {
		if g[c] >= 0 {
			return g.root(c)
		}
	}
	return -1
}
