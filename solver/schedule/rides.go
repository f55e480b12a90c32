package schedule

import "barover/solver/expr"

// This file finds what a place depends on. It may be travels: then the place is the same at every setting of the others,
// and is computed once for a list of settings that it does not depend on. Or it may be some of the dimensions.

// Origins is what places, parts and sums depend on: sets of inputs, as bits.
type Origins struct {
	s    *Schedule
	sums func(expr.ID) uint64 // the inputs of one sum, without its points
	of   []uint64             // by place
}

// Origins finds what everything depends on. sums gives what one sum depends on by itself. Everything that a block holds
// depends on all inputs of the block.
func (s *Schedule) Origins(sums func(expr.ID) uint64) *Origins {
	d := &Origins{s, sums, make([]uint64, s.Places)}
	for i := range s.Steps {
		step := &s.Steps[i]
		if len(step.Scalars) == 0 {
			for k := range step.Ops {
				d.of[step.Ops[k].Z] |= d.op(&step.Ops[k])
			}
			continue
		}
		all := uint64(0)
		for k := range step.Ops {
			all |= d.op(&step.Ops[k])
		}
		for _, rows := range [2][]Row{step.Rows, step.Loose} {
			for k := range rows {
				all |= d.row(&rows[k])
			}
		}
		for k := range step.Ops {
			d.of[step.Ops[k].Z] |= all
		}
	}
	return d
}

func (d *Origins) op(o *Op) uint64 { return d.bare(o.A, o.B, o.C) | d.places(o.P, o.Q, o.D) }

func (d *Origins) row(r *Row) uint64 {
	out := d.bare(r.V, r.Play) | d.places(r.P, r.Q, r.R, r.D)
	if r.Op != nil {
		out |= d.op(r.Op) | d.places(r.Op.Z)
	}
	return out
}

// bare is what sums depend on, without their points.
func (d *Origins) bare(ids ...expr.ID) (out uint64) {
	for _, id := range ids {
		if id != expr.None {
			out |= d.sums(id)
		}
	}
	return out
}

func (d *Origins) places(places ...Place) (out uint64) {
	for _, z := range places {
		if z >= 0 {
			out |= d.of[z]
		}
	}
	return out
}

// Place is what a place depends on.
func (d *Origins) Place(z Place) uint64 { return d.places(z) }

// Part is what a part's place and heading depend on.
func (d *Origins) Part(part int) uint64 {
	p := &d.s.Model.Parts[part]
	if p.Kind == Frame {
		return 0
	}
	return d.places(d.s.Point[p.P], d.s.Part[part])
}

// Sum is what a sum depends on, directly or through its points.
func (d *Origins) Sum(sum expr.ID) uint64 {
	out := d.bare(sum)
	for _, p := range d.s.Model.Graph.Points(sum) {
		out |= d.places(d.s.Point[p])
	}
	return out
}

// Rides is the set of travels that move a place, as expr.Graph.Travels gives it.
func (s *Schedule) Rides(z Place) uint64 { return s.rides.Place(z) }

// PartRides is the set of travels that move a part, as expr.Graph.Travels gives it.
func (s *Schedule) PartRides(part int) uint64 { return s.rides.Part(part) }

// SumRides is the set of travels that a sum depends on, directly or through its points.
func (s *Schedule) SumRides(sum expr.ID) uint64 { return s.rides.Sum(sum) }
