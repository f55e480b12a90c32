package clearance

// nodeHeap gives the node with the least bound first.
type nodeHeap struct {
	order []entry
	nodes []node
	free  []int32
}

type entry struct {
	lo float64
	at int32
}

func (h *nodeHeap) reset() { h.order, h.nodes, h.free = h.order[:0], h.nodes[:0], h.free[:0] }

func (h *nodeHeap) len() int { return len(h.order) }

// top is the least bound. There must be one.
func (h *nodeHeap) top() float64 { return h.order[0].lo }

func (h *nodeHeap) push(n *node) {
	e := entry{n.lo, int32(len(h.nodes))}
	if k := len(h.free); k > 0 {
		e.at = h.free[k-1]
		h.free = h.free[:k-1]
		h.nodes[e.at] = *n
	} else {
		h.nodes = append(h.nodes, *n)
	}
	h.order = append(h.order, e)
	o, i := h.order, len(h.order)-1
	for i > 0 {
		up := (i - 1) / 2
		if o[up].lo <= e.lo {
			break
		}
		o[i] = o[up]
		i = up
	}
	o[i] = e
}

func (h *nodeHeap) pop() node {
	o := h.order
	first, last := o[0], o[len(o)-1]
	o = o[:len(o)-1]
	i := 0
	for c := 1; c < len(o); c = 2*i + 1 {
		if c+1 < len(o) && o[c+1].lo < o[c].lo {
			c++
		}
		if o[c].lo >= last.lo {
			break
		}
		o[i] = o[c]
		i = c
	}
	if len(o) > 0 {
		o[i] = last
	}
	h.order = o
	h.free = append(h.free, first.at)
	return h.nodes[first.at]
}
