package schedule

import (
	"slices"

	"gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/iterator"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"
)

// match finds a maximum matching of rows to scalars by augmenting paths; rows[i] lists the scalars in row i. Where not every
// row can have a scalar it prefers earlier rows, since a matched row stays matched. It returns the scalar of each row and the
// row of each scalar, -1 where there is none.
func match(rows [][]int32, scalars int) (scalar, rowOf []int32) {
	scalar, rowOf = numberless(len(rows)), numberless(scalars)
	from := make([]int32, scalars) // of each scalar, the row from which it was reached
	seen := numberless(scalars)
	var queue []int32
	for r := range rows {
		queue = append(queue[:0], int32(r))
		found := int32(-1)
		for i := 0; i < len(queue) && found < 0; i++ {
			for _, c := range rows[queue[i]] {
				if seen[c] == int32(r) {
					continue
				}
				seen[c], from[c] = int32(r), queue[i]
				if rowOf[c] < 0 {
					found = c
					break
				}
				queue = append(queue, rowOf[c])
			}
		}
		for c := found; c >= 0; {
			row := from[c]
			c, scalar[row], rowOf[c] = scalar[row], c, row
		}
	}
	return scalar, rowOf
}

// numberless returns n times -1, which stands for no number.
func numberless(n int) []int32 { return slices.Repeat([]int32{-1}, n) }

// components returns the strongly connected components of a directed graph, in the order in which they are needed.
func components(need [][]int32) [][]int {
	found := topo.TarjanSCC(needs{rows: need})
	out := make([][]int, len(found))
	for i, c := range found {
		out[i] = make([]int, len(c))
		for j, n := range c {
			out[i][j] = int(n.ID())
		}
	}
	return out
}

// needs is the graph of rows that need other rows, in gonum's form. It has as much of that as the search for components asks.
type needs struct {
	graph.Directed // nil
	rows           [][]int32
}

func (g needs) Nodes() graph.Nodes {
	all := make([]graph.Node, len(g.rows))
	for i := range all {
		all[i] = simple.Node(i)
	}
	return iterator.NewOrderedNodes(all)
}

func (g needs) From(id int64) graph.Nodes {
	to := make([]graph.Node, len(g.rows[id]))
	for i, t := range g.rows[id] {
		to[i] = simple.Node(t)
	}
	return iterator.NewOrderedNodes(to)
}
