package solver

import (
	"context"
	"math"

	"barover/solver/expr"
)

// Lack is a position at which a sum has no value although the parts are assembled: a root of a negative number, the angle
// of a sine above 1, a division by zero.
type Lack struct {
	Sum   expr.ID
	At    Position // the first such position, with the travels at rest
	Node  expr.ID  // the innermost part of the sum that has no value there
	A, B  float64  // what that part is made of comes to, mm, rad or a bare number; NaN where it is made of less
	Share float64  // of the positions looked at, those without a value; 1 for all of them
}

// Lacking looks for positions at which one of these sums has no value: those of the turn that a table shows, with the
// travels at rest. It returns at most one Lack for each sum.
func (m *Machine) Lacking(ctx context.Context, sums []expr.ID) ([]Lack, error) {
	var doubtful []expr.ID
	for _, id := range sums {
		if id != expr.None && m.mayLack(id) {
			doubtful = append(doubtful, id)
		}
	}
	if len(doubtful) == 0 {
		return nil, nil
	}
	r, err := m.runAt(ctx, restSetting(m.Problem.Travels), nil)
	if err != nil {
		return nil, err
	}
	eval, s := expr.NewEval(m.Values), m.newStation()
	found, gone := make([]*Lack, len(doubtful)), make([]int, len(doubtful))
	looked := 0
	for _, t := range m.Turns() {
		if !r.stand(t, s) {
			continue
		}
		s.speeds()
		looked++
		for i, id := range doubtful {
			if isNumber(eval.At(id, &s.sums)) {
				continue
			}
			if gone[i]++; found[i] == nil {
				found[i] = m.innermost(eval, s, id)
				found[i].At = Position{Turn: t, Travel: r.travel}
			}
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	var list []Lack
	for i, l := range found {
		if l != nil {
			l.Share = float64(gone[i]) / float64(looked)
			list = append(list, *l)
		}
	}
	return list, nil
}

func isNumber(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// mayLack reports whether a sum has a part that has no value for some operands.
func (m *Machine) mayLack(id expr.ID) bool {
	for _, n := range m.below(id) {
		switch m.Values.Graph.Nodes[n].Op {
		case expr.Div, expr.Pow, expr.Sqrt, expr.Asin, expr.Acos, expr.Tan, expr.Round, expr.Rate:
			return true
		}
	}
	return !isNumber(m.Values.At(id)) && m.Values.Graph.Uses(id).Constant()
}

// below is a sum and all that it is made of, operands before their users.
func (m *Machine) below(id expr.ID) []expr.ID {
	nodes := m.Values.Graph.Nodes
	want := make([]bool, id+1)
	want[id] = true
	count := 0
	for i := id; i >= 0; i-- {
		if !want[i] {
			continue
		}
		count++
		for _, c := range [2]expr.ID{nodes[i].A, nodes[i].B} {
			if c != expr.None {
				want[c] = true
			}
		}
	}
	list := make([]expr.ID, 0, count)
	for i, w := range want {
		if w {
			list = append(list, expr.ID(i))
		}
	}
	return list
}

// innermost finds the part of a sum without value that none of its own parts explains.
func (m *Machine) innermost(eval *expr.Eval, s *station, id expr.ID) *Lack {
	at := func(id expr.ID) float64 {
		if id == expr.None {
			return math.NaN()
		}
		return eval.At(id, &s.sums)
	}
	for _, n := range m.below(id) {
		if !isNumber(at(n)) {
			node := m.Values.Graph.Nodes[n]
			return &Lack{Sum: id, Node: n, A: at(node.A), B: at(node.B)}
		}
	}
	return &Lack{Sum: id, Node: id, A: math.NaN(), B: math.NaN()}
}
