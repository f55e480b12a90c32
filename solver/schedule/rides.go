package schedule

import "barover/solver/expr"

// This file tells which travels a place depends on: where it stands is the same at every setting of the others. What does
// not ride on a list of settings is looked at once instead of setting by setting.

// findRides finds the travels that each place rides on. All that a block holds rides on all that the block does.
func (s *Schedule) findRides() {
	s.rides = make([]uint64, s.Places)
	for i := range s.Steps {
		step := &s.Steps[i]
		if len(step.Scalars) == 0 {
			for k := range step.Ops {
				s.rides[step.Ops[k].Z] |= s.opRides(&step.Ops[k])
			}
			continue
		}
		all := uint64(0)
		for k := range step.Ops {
			all |= s.opRides(&step.Ops[k])
		}
		for _, rows := range [2][]Row{step.Rows, step.Loose} {
			for k := range rows {
				all |= s.rowRides(&rows[k])
			}
		}
		for k := range step.Ops {
			s.rides[step.Ops[k].Z] |= all
		}
	}
}

func (s *Schedule) opRides(o *Op) uint64 {
	return s.sumsRide(o.A, o.B, o.C) | s.placesRide(o.P, o.Q, o.D)
}

func (s *Schedule) rowRides(r *Row) uint64 {
	out := s.sumsRide(r.V, r.Play) | s.placesRide(r.P, r.Q, r.R, r.D)
	if r.Op != nil {
		out |= s.opRides(r.Op) | s.placesRide(r.Op.Z)
	}
	return out
}

func (s *Schedule) sumsRide(ids ...expr.ID) (out uint64) {
	for _, id := range ids {
		out |= s.Model.Graph.Travels(id)
	}
	return out
}

func (s *Schedule) placesRide(places ...Place) (out uint64) {
	for _, z := range places {
		if z >= 0 {
			out |= s.rides[z]
		}
	}
	return out
}

// Rides is the set of travels that move a place, as expr.Graph.Travels gives it.
func (s *Schedule) Rides(z Place) uint64 { return s.placesRide(z) }

// PartRides is the set of travels that move a part, as expr.Graph.Travels gives it.
func (s *Schedule) PartRides(part int) uint64 {
	p := &s.Model.Parts[part]
	if p.Kind == Frame {
		return 0
	}
	return s.placesRide(s.Point[p.P], s.Part[part])
}

// SumRides is the set of travels that a sum depends on, directly or by where its points stand.
func (s *Schedule) SumRides(sum expr.ID) uint64 {
	out := s.sumsRide(sum)
	for _, p := range s.Model.Graph.Points(sum) {
		out |= s.placesRide(s.Point[p])
	}
	return out
}
