package machine

import "context"

// Edge is the engine with one eye at the edge of its play, along x and along y of the frame. For play along a line, X is
// nil and the eye is off it to the left.
type Edge struct{ X, Y *Machine }

// Edges lists every play of the engine, for pictures: how far all points are displaced when one eye goes to its edge. It
// returns false where play cannot be computed. No check depends on it.
func (m *Machine) Edges(ctx context.Context) (list []Edge, ok bool) {
	n, sizes, _ := m.withEyes(ctx, m.Problem, 0, agree, nil, m.sumsOver(nil).extent)
	if n == nil {
		return nil, false
	}
	p := Playing{&OverSizes{m: n, sizes: sizes}}
	at := make([]float64, len(sizes.List))
	var disc *Machine
	for i := range at {
		at[i] = 1
		one, err := p.with(at)
		if at[i] = 0; err != nil {
			return nil, false
		}
		if sizes.Disc[i] {
			disc = one
			continue
		}
		list, disc = append(list, Edge{disc, one}), nil
	}
	return list, true
}
