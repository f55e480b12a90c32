package mend

import "barover/solver"

// finished keeps, of the profiles and parts that a made dimension is written in, those that are finished: none of their
// dimensions is still to be made. The profiles of the frame are made one by one, those of any other part together. Where
// none is known to be finished, it keeps all.
func (s *search) finished(u solver.Users) solver.Users {
	p := s.q.Problem
	open, openProfile := map[int]bool{}, map[int]bool{}
	for d := range s.cands {
		if c := &s.cands[d]; c.made || c.follows || c.idle {
			continue
		}
		for _, i := range s.cands[d].used.Profiles {
			open[p.Profiles[i].Part], openProfile[i] = true, true
		}
		for _, i := range s.cands[d].used.Parts {
			open[i] = true
		}
	}
	var out solver.Users
	for _, i := range u.Profiles {
		if part := p.Profiles[i].Part; !openProfile[i] && (part == 0 || !open[part]) {
			out.Profiles = append(out.Profiles, i)
		}
	}
	for _, i := range u.Parts {
		if !open[i] {
			out.Parts = append(out.Parts, i)
		}
	}
	if len(out.Profiles)+len(out.Parts) == 0 {
		return u
	}
	return out
}
