package schedule

// groups are scalars that are connected: the root of each, and -1 for those that are settled.
type groups []int32

// Unsettled finds the scalars that the rows do not settle (the under-determined part after Dulmage and Mendelsohn), and
// which of them are connected by a row.
func (st *Structure) Unsettled(scalars int) groups {
	rowsOf := make([][]int32, scalars)
	for r, cs := range st.scalars {
		for _, c := range cs {
			rowsOf[c] = append(rowsOf[c], int32(r))
		}
	}
	g := groups(numberless(scalars))
	var queue []int32
	for c := range g {
		if st.RowOf[c] < 0 {
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
			g.Join(st.scalars[r])
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

// Join puts the unsettled ones of some scalars into one group.
func (g groups) Join(cs []int32) {
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

// Of returns the group of the first unsettled one of some scalars, -1 where all are settled.
func (g groups) Of(cs []int32) int32 {
	for _, c := range cs {
		if g[c] >= 0 {
			return g.root(c)
		}
	}
	return -1
}
