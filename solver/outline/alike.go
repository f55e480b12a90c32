package outline

import "math"

// Alike reports whether two regions have the same edges, one by one, to within off, mm.
func (r *Region) Alike(s *Region, off float64) bool {
	if len(r.Loops) != len(s.Loops) {
		return false
	}
	for i := range r.Loops {
		if len(r.Loops[i]) != len(s.Loops[i]) {
			return false
		}
		for k, e := range r.Loops[i] {
			f := s.Loops[i][k]
			by := max(e.A.Sub(f.A).Len(), e.B.Sub(f.B).Len(), math.Abs(e.R-f.R))
			if e.R > 0 {
				by = max(by, e.C.Sub(f.C).Len(), math.Abs(e.Turn-f.Turn)*e.R)
			}
			if !(by <= off) {
				return false
			}
		}
	}
	return true
}
