package outline

import "barover/solver/expr"

// Sums lists the sums of a shape.
func (s *Shape) Sums() (ids []expr.ID) {
	ids = []expr.ID{s.P[0].X, s.P[0].Y, s.P[1].X, s.P[1].Y, s.W[0], s.W[1]}
	switch s.Kind { // fields that a kind does not use may have any value
	case Disc:
		ids = []expr.ID{s.P[0].X, s.P[0].Y, s.W[0]}
	case Box:
		ids = ids[:4]
	case Path:
		ids = ids[:2]
	}
	for _, t := range s.Steps {
		ids = append(ids, t.To.X, t.To.Y)
		if t.Radius != expr.None {
			ids = append(ids, t.Radius)
		}
	}
	return ids
}
