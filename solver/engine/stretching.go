package engine

import (
	"context"
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// Stretch is a part from P to Q whose outline ends where Q is only for some of the turn: the distance of the two goes from Least to
// Greatest, mm, and nothing says that it should.
type Stretch struct {
	Part            int
	Least, Greatest float64
	Loose           bool // loose lengths place one of its points
}

const (
	// stretched is the share of the engine's size by which a distance must change to be more than rounding.
	stretched = 1e-6
	// onAxis is how far from the way to Q, as a share of its own distance, the end of a shape may lie that is meant to be at Q.
	onAxis = 0.01
)

// Stretching lists the parts whose outline does not follow their second point. A lever that a block slides along, and a cylinder that a rod
// comes out of, are none: the outline of the one ends beyond its Q at every position, that of the other short of it.
func (m *Engine) Stretching(ctx context.Context) ([]Stretch, error) {
	var list []Stretch
	lengths := m.Problem.Linkage.Lengths()
	for i := range m.Problem.Linkage.Parts {
		if m.mayStretch(i, lengths) {
			p := &m.Problem.Linkage.Parts[i]
			list = append(list, Stretch{i, math.Inf(1), 0, m.placedLoosely(p.P) || m.placedLoosely(p.Q)})
		}
	}
	if len(list) == 0 {
		return nil, nil
	}
	settings, rest := m.Looked() // each run costs as much as a part of a study, and a rod that stretches does so at any of them
	for _, k := range slices.Compact(slices.Sorted(slices.Values([]int{0, rest, len(settings) - 1}))) {
		r, err := m.RunWith(ctx, settings[k], nil, m.NeedsOf())
		if err != nil {
			return nil, err
		}
		for i := range list {
			r.stretches(&list[i])
		}
	}
	return slices.DeleteFunc(list, func(s Stretch) bool { return !(s.Greatest-s.Least > stretched*m.Size) || !m.endsWithin(&s) }), nil
}

// mayStretch reports whether a part has an outline, and no line that gives the distance of its two points.
func (m *Engine) mayStretch(part int, lengths schedule.Lengths) bool {
	l := m.Problem.Linkage
	p := &l.Parts[part]
	return p.Kind == schedule.FromTo && lengths.Between(p.P, p.Q) == nil && len(m.outlinesOf(part)) > 0
}

// placedLoosely reports whether loose lengths place a point.
func (m *Engine) placedLoosely(point int) bool {
	s := m.Linkage.Schedule()
	return slices.ContainsFunc(s.Steps, func(t schedule.Step) bool {
		return len(t.Loose) > 0 && slices.ContainsFunc(t.Ops, func(o schedule.Op) bool { return o.Z == s.Point[point] })
	})
}

// outlinesOf lists the profiles of a part.
func (m *Engine) outlinesOf(part int) (list []int) {
	for i := range m.Problem.Profiles {
		if m.Problem.Profiles[i].Part == part {
			list = append(list, i)
		}
	}
	return list
}

// stretches adds the distances of a part's points on a run.
func (r *Run) stretches(s *Stretch) {
	p := &r.Engine.Problem.Linkage.Parts[s.Part]
	for _, span := range r.Spans {
		for i := range span {
			d := span[i].pose.Point[p.Q].Sub(span[i].pose.Point[p.P]).Len()
			s.Least, s.Greatest = math.Min(s.Least, d), math.Max(s.Greatest, d)
		}
	}
}

// endsWithin reports whether a part's outline, or a disc or an end of a strip in it, lies on the way to Q where Q comes.
func (m *Engine) endsWithin(s *Stretch) bool {
	way, reach := plane.Vec{X: 1}, math.Inf(-1)
	if h := m.Problem.Linkage.Parts[s.Part].Heading; h != expr.None {
		way = plane.Polar(m.Values.At(h))
	}
	within := func(d float64) bool { return d > s.Least && d < s.Greatest }
	for _, i := range m.outlinesOf(s.Part) {
		reach = math.Max(reach, m.Regions[i].Reaches(way))
		for k := range m.Problem.Profiles[i].Shapes {
			for _, p := range m.Problem.Profiles[i].Shapes[k].P {
				if p.X == expr.None {
					continue
				}
				at := plane.Vec{X: m.Values.At(p.X), Y: m.Values.At(p.Y)}
				if d := at.Dot(way); math.Abs(at.Cross(way)) <= onAxis*d && within(d) {
					return true
				}
			}
		}
	}
	return within(reach)
}
