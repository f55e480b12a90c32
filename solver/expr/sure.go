package expr

import "math"

// Sure says of each node whether it has a value at every turn and travel, wherever the points are: nothing in it divides
// by a moving figure, takes a root of one, or is undefined for some operands in another way.
func (v *Values) Sure() []bool {
	g := v.Graph
	sure := make([]bool, len(g.Nodes))
	for i := range g.Nodes {
		n := &g.Nodes[i]
		if n.Uses.Constant() {
			sure[i] = isNumber(v.Node[i])
			continue
		}
		a, b := n.A == None || sure[n.A], n.B == None || sure[n.B]
		switch n.Op {
		case Turn, Travel, X, Y:
			sure[i] = true
		case Add, Sub, Mul, Neg, Abs, Min, Max, Hypot, Sin, Cos, Atan, Atan2:
			sure[i] = a && b
		case Div, Round:
			sure[i] = a && b && g.Uses(n.B).Constant() && v.Node[n.B] != 0
		case Pow:
			k := v.Node[n.B]
			sure[i] = a && b && g.Uses(n.B).Constant() && k >= 0 && k == math.Trunc(k)
		}
	}
	return sure
}

func isNumber(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
