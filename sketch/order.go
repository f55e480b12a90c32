package sketch

import (
	"fmt"
	"slices"
	"strings"
)

// ordered sorts n things so that each comes after those that it needs, and otherwise by number. Things that need one
// another in a circle are returned as circles that begin with the least number, each thing in at most one circle. A thing that
// only leads to a circle is in none. A chain may hold all n things, so there is no recursion.
func ordered(n int, needs func(int) []int) (order []int, circles [][]int) {
	const (
		untouched = iota
		onPath
		done
	)
	type step struct {
		thing int
		needs []int
		next  int
	}
	state := make([]uint8, n)
	inCircle := make([]bool, n)
	order = make([]int, 0, n)
	var path []step
	for first := range n {
		if state[first] != untouched {
			continue
		}
		path = append(path[:0], step{thing: first, needs: needs(first)})
		state[first] = onPath
		for len(path) > 0 {
			top := &path[len(path)-1]
			if top.next == len(top.needs) {
				state[top.thing] = done
				order = append(order, top.thing)
				path = path[:len(path)-1]
				continue
			}
			want := top.needs[top.next]
			top.next++
			switch state[want] {
			case untouched:
				state[want] = onPath
				path = append(path, step{thing: want, needs: needs(want)})
			case onPath:
				if inCircle[want] {
					continue
				}
				i := len(path) - 1
				for path[i].thing != want {
					i--
				}
				var circle []int
				for _, s := range path[i:] {
					circle = append(circle, s.thing)
					inCircle[s.thing] = true
				}
				k := slices.Index(circle, slices.Min(circle))
				circles = append(circles, slices.Concat(circle[k:], circle[:k]))
			}
		}
	}
	return order, circles
}

// mostShown is how many names of a circle are shown.
const mostShown = 8

// chain shows a circle of names: a → b → a.
func chain(names []string) string {
	all := append(names[:len(names):len(names)], names[0])
	if len(all) > mostShown {
		left := len(all) - mostShown
		all = append(append(all[:mostShown-2:mostShown-2], fmt.Sprintf("… (%d more)", left)), all[len(all)-2:]...)
	}
	return strings.Join(all, " → ")
}
