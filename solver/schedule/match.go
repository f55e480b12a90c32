package schedule

import (
	"gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/iterator"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"
)

// match gives as many rows as it can a scalar each (Hopcroft and Karp). It returns the scalar of each row and the row of
// each scalar, -1 for none.
func match(rows [][]int32, scalars int) (scalar, rowOf []int32) {
	m := &matching{rows: rows, scalar: numberless(len(rows)), rowOf: numberless(scalars), level: make([]int32, len(rows))}
	m.next = make([]int32, len(rows))
	for m.layers() {
		clear(m.next)
		for r := range rows {
			if m.scalar[r] < 0 {
				m.augment(int32(r))
			}
		}
	}
	return m.scalar, m.rowOf
}

// numberless is n places without a number: -1 each.
func numberless(n int) []int32 {
	s := make([]int32, n)
	for i := range s {
		s[i] = -1
	}
	return s
}

type matching struct {
	rows          [][]int32
	scalar, rowOf []int32
	level         []int32 // of each row: steps from a row without a scalar
	next          []int32 // of each row: the first scalar not tried in this round
	queue         []int32
}

// layers finds how far each row is from a row without a scalar. It reports whether a scalar without a row is in reach.
func (m *matching) layers() bool {
	m.queue = m.queue[:0]
	for r := range m.rows {
		m.level[r] = -1
		if m.scalar[r] < 0 {
			m.level[r] = 0
			m.queue = append(m.queue, int32(r))
		}
	}
	found := false
	for i := 0; i < len(m.queue); i++ {
		r := m.queue[i]
		for _, c := range m.rows[r] {
			switch o := m.rowOf[c]; {
			case o < 0:
				found = true
			case m.level[o] < 0:
				m.level[o] = m.level[r] + 1
				m.queue = append(m.queue, o)
			}
		}
	}
	return found
}

// augment looks for a path from row r to a free scalar through the layers, and swaps the matches along it. The path is
// kept on a list and not on the call stack, since it may be as long as the sketch.
func (m *matching) augment(r int32) {
	path := []int32{r}
	for len(path) > 0 {
		r := path[len(path)-1]
		if int(m.next[r]) == len(m.rows[r]) {
			path = path[:len(path)-1]
			continue
		}
		c := m.rows[r][m.next[r]]
		m.next[r]++
		o := m.rowOf[c]
		if o < 0 {
			for i := len(path) - 1; i >= 0; i-- {
				c, m.scalar[path[i]], m.rowOf[c] = m.scalar[path[i]], c, path[i]
			}
			return
		}
		if m.level[o] == m.level[r]+1 {
			path = append(path, o)
		}
	}
}

// components returns the strongly connected components of a directed graph, in the order in which they are needed.
func components(need [][]int32) [][]int {
	found := topo.TarjanSCC(needs(need))
	out := make([][]int, len(found))
	for i, c := range found {
		out[i] = make([]int, len(c))
		for j, n := range c {
			out[i][j] = int(n.ID())
		}
	}
	return out
}

// needs is the graph of rows that need other rows, in gonum's form.
type needs [][]int32

func (g needs) Node(id int64) graph.Node {
	if id < 0 || id >= int64(len(g)) {
		return nil
	}
	return simple.Node(id)
}

func (g needs) Nodes() graph.Nodes {
	all := make([]graph.Node, len(g))
	for i := range all {
		all[i] = simple.Node(i)
	}
	return iterator.NewOrderedNodes(all)
}

func (g needs) From(id int64) graph.Nodes {
	to := make([]graph.Node, len(g[id]))
	for i, t := range g[id] {
		to[i] = simple.Node(t)
	}
	return iterator.NewOrderedNodes(to)
}

func (g needs) HasEdgeFromTo(u, v int64) bool {
	for _, t := range g[u] {
		if int64(t) == v {
			return true
		}
	}
	return false
}

func (g needs) HasEdgeBetween(x, y int64) bool { return g.HasEdgeFromTo(x, y) || g.HasEdgeFromTo(y, x) }

func (g needs) Edge(u, v int64) graph.Edge {
	if !g.HasEdgeFromTo(u, v) {
		return nil
	}
	return simple.Edge{F: simple.Node(u), T: simple.Node(v)}
}

func (g needs) To(id int64) graph.Nodes {
	var from []graph.Node
	for u := range g {
		if g.HasEdgeFromTo(int64(u), id) {
			from = append(from, simple.Node(u))
		}
	}
	return iterator.NewOrderedNodes(from)
}

// matchFirst matches as many rows as match does. Where not all can be matched it prefers earlier rows: a row that has a
// scalar once keeps one.
func matchFirst(rows [][]int32, scalars int) (scalar, rowOf []int32) {
	m := &matching{rows: rows, scalar: numberless(len(rows)), rowOf: numberless(scalars)}
	from := make([]int32, scalars) // of each scalar, the row from which it was reached
	seen := numberless(scalars)
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
