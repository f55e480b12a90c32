package expr

import "math"

// Lack is why a sum has no value at some position: a root of a negative number, the angle of a sine above 1, a division by zero.
type Lack struct {
	Sum  ID
	Node ID      // the innermost part of the sum that has no value there
	A, B float64 // the values of its operands, mm, rad or a bare number; NaN where it has fewer

	Jumps bool // of a heading: its points do not meet there, the one jumps past the other
}

// LackOf finds the part of a sum without a value whose own parts all have one. Value gives the value of a part.
func (g *Graph) LackOf(sum ID, value func(ID) float64) Lack {
	at := func(id ID) float64 {
		if id == None {
			return math.NaN()
		}
		return value(id)
	}
	for _, n := range g.Below(sum) {
		if v := at(n); math.IsNaN(v) || math.IsInf(v, 0) {
			node := g.Nodes[n]
			return Lack{Sum: sum, Node: n, A: at(node.A), B: at(node.B)}
		}
	}
	return Lack{Sum: sum, Node: sum, A: math.NaN(), B: math.NaN()}
}

// Below is a sum and everything that it depends on, operands before their users.
func (g *Graph) Below(id ID) (list []ID) {
	for i, below := range g.Reached(true, id) {
		if below {
			list = append(list, ID(i))
		}
	}
	return list
}
