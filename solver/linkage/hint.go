package linkage

import (
	"cmp"
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/position"
	"barover/solver/schedule"
)

// hints selects among the ways of assembling a block by the places that the sketch gives for its points.
type hints struct {
	points []hinted
	ops    []schedule.Op // places of points that follow from the block, other than the step's own
}

// hinted is a point that a block places, and its hint.
type hinted struct {
	point int
	near  plane.Vec // in the frame of the scalars
	told  bool      // the sketch gives the hint; if not, the point only has a name for messages
}

// hintsFor collects for each step the found points that it places.
func (l *Linkage) hintsFor() []hints {
	s := l.s
	out := make([]hints, len(s.Steps))
	stepOf, madeIn := make([]int, len(s.Scalars)), make([]int, s.Places)
	for i, step := range s.Steps {
		for _, c := range step.Scalars {
			stepOf[c] = i
		}
		for j := range step.Ops {
			madeIn[step.Ops[j].Z] = i
		}
	}
	ev := expr.NewEval(l.v)
	at := expr.Context{Turn: l.start.Turn, Travel: l.start.Travel}
	for i, p := range s.Model.Points {
		z := s.Point[i]
		if p.Kind != schedule.Found || !s.Moves(z) {
			continue
		}
		k := 0
		for _, c := range s.Depends[z] {
			k = max(k, stepOf[c])
		}
		h := hinted{point: i}
		if p.U != expr.None && p.V != expr.None {
			h.near = plane.Vec{X: ev.At(p.U, &at), Y: ev.At(p.V, &at)}.Sub(l.start.Scale.Origin)
			h.told = !math.IsNaN(h.near.X) && !math.IsNaN(h.near.Y)
		}
		out[k].points = append(out[k].points, h)
		out[k].ops = s.Gather(out[k].ops, z, k, madeIn)
	}
	return out
}

// places returns the places of the points of h with the scalars x of a step.
func (h *hints) places(e *position.State, step *schedule.Step, x []float64) []plane.Vec {
	e.Put(step, x)
	for i := range h.ops {
		op := &h.ops[i]
		e.Z[op.Z] = op.Value(e.C, e.Z, e.X)
	}
	out := make([]plane.Vec, len(h.points))
	for i, p := range h.points {
		out[i] = e.Z[e.Schedule.Point[p.point]]
	}
	return out
}

// order sorts the ways of a step by their distance from the hints, and reports whether that separates the first from the
// others.
func (h *hints) order(e *position.State, step *schedule.Step, ways [][]float64) (told bool) {
	far := make(map[*float64]float64, len(ways))
	for _, w := range ways {
		sum := 0.0
		for i, z := range h.places(e, step, w) {
			if p := h.points[i]; p.told {
				d := z.Sub(p.near)
				sum += d.Dot(d)
			}
		}
		far[&w[0]] = math.Sqrt(sum)
	}
	slices.SortStableFunc(ways, func(a, b []float64) int {
		return cmp.Or(cmp.Compare(far[&a[0]], far[&b[0]]), slices.Compare(a, b))
	})
	return len(ways) < 2 || far[&ways[0][0]] < clearly*far[&ways[1][0]]
}

// guess sets the scalars of a step to the hints of their points. Points without one go to the middle of the others, or of
// the points that are placed already.
func (h *hints) guess(e *position.State, step *schedule.Step) []float64 {
	middle := h.middle(e, step)
	x := make([]float64, len(step.Scalars))
	e.Put(step, x)
	for j, s := range step.Scalars {
		k := e.Schedule.Scalars[s]
		at := middle
		for _, p := range h.points {
			if p.told && e.Schedule.Point[p.point] == k.Place {
				at = p.near
			}
		}
		switch {
		case k.Direction && k.Kind == schedule.ScalarX:
			x[j] = 1
		case k.Direction:
		case k.Kind == schedule.ScalarX:
			x[j] = at.X
		case k.Kind == schedule.ScalarY:
			x[j] = at.Y
		default:
			op := &e.Schedule.OpAt[k.Place]
			x[j] = at.Sub(e.Z[op.P]).Dot(e.Z[op.D])
		}
	}
	return x
}

// middle is the middle of the hints, or of the points in the step's rows that are placed already.
func (h *hints) middle(e *position.State, step *schedule.Step) plane.Vec {
	var sum plane.Vec
	n := 0.0
	for _, p := range h.points {
		if p.told {
			sum, n = sum.Add(p.near), n+1
		}
	}
	if n == 0 {
		own := make(map[schedule.Place]bool)
		for i := range step.Ops {
			own[step.Ops[i].Z] = true
		}
		for i := range step.Rows {
			for _, z := range step.Rows[i].Places() {
				if z != schedule.Nowhere && !own[z] && int(z) < len(e.Schedule.Point) {
					sum, n = sum.Add(e.Z[z]), n+1
				}
			}
		}
	}
	if n == 0 {
		return plane.Vec{}
	}
	return sum.Scale(1 / n)
}
