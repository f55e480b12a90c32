package linkage

import (
	"math"
	"slices"

	"barover/solver/plane"
	"barover/solver/schedule"
)

// Lines and arcs that a point may have been meant to slide on, where nothing holds it; and slots in which nothing slides.

// nearBy is the greatest distance from a line at which a point is taken to slide on it, as a share of how far along the line it is; of an
// arc, as a share of its diameter.
const nearBy = 0.05

// holdsOn reports whether a line with a name keeps point p from moving in that direction, and p is not said to be on it.
func (f *freedoms) holdsOn(line, p int, way plane.Vec) bool {
	l := &f.s.Model.Lines[line]
	return l.Name != "" && math.Abs(way.Cross(f.e.Z[f.s.Line[line]])) > squarest && !f.slides(schedule.OnLine, line, p)
}

// ownLine is the line of a part at point p that keeps p from moving in that direction; -1 where there is none.
func (f *freedoms) ownLine(p int, way plane.Vec) int {
	for _, part := range f.s.Model.Parts {
		if part.Kind == schedule.AlongLine && part.P == p && f.holdsOn(part.Line, p, way) {
			return part.Line
		}
	}
	return -1
}

// nearLine is a line near point p that keeps it from moving in that direction; -1 where there is none.
func (f *freedoms) nearLine(p int, way plane.Vec, drifts [][]plane.Vec) int {
	for i, l := range f.s.Model.Lines {
		d := f.at(p).Sub(f.at(l.P))
		if l.P != p && l.Q != p && f.holdsOn(i, p, way) && f.leaves(f.line(i), p, drifts) && math.Abs(d.Cross(f.e.Z[f.s.Line[i]])) <= nearBy*d.Len() {
			return i
		}
	}
	return -1
}

// nearArc is an arc near point p that keeps it from moving; -1 where there is none.
func (f *freedoms) nearArc(p int, drifts [][]plane.Vec) int {
	for i, a := range f.s.Model.Arcs {
		if g := f.arc(i); g.off(f.at(p)) <= nearBy*2*f.v.At(a.Radius) && f.leaves(g, p, drifts) && !f.slides(schedule.OnArc, i, p) {
			return i
		}
	}
	return -1
}

// slides reports whether a point is said to be on a line or an arc: p, or any where p is -1.
func (f *freedoms) slides(kind schedule.EquationKind, on, p int) bool {
	return slices.ContainsFunc(f.s.Model.Equations, func(e schedule.Equation) bool {
		return e.Kind == kind && e.On == on && (p < 0 || e.P == p)
	})
}

// guide is a line or an arc to slide on: how far a place is from it, mm, from the nearest place of a slot, and how fast a point leaves it
// with a drift.
type guide struct {
	name string
	foot int // a point of it
	off  func(at plane.Vec) float64
	rate func(p int, drift []plane.Vec) float64
}

func (f *freedoms) line(i int) guide {
	l := &f.s.Model.Lines[i]
	z, from, along := f.e.Z, f.s.Point[l.P], f.s.Line[i]
	off := func(at plane.Vec) float64 {
		if f.isSlot(l) {
			to := z[f.s.Point[l.Q]]
			if on := at.Sub(z[from]).Dot(z[along]); on < 0 || on > to.Sub(z[from]).Len() {
				return min(at.Sub(z[from]).Len(), at.Sub(to).Len())
			}
		}
		return math.Abs(at.Sub(z[from]).Cross(z[along]))
	}
	return guide{l.Name, l.P, off, func(p int, v []plane.Vec) float64 {
		q := f.s.Point[p]
		return z[q].Sub(z[from]).Cross(v[along]) + v[q].Sub(v[from]).Cross(z[along])
	}}
}

func (f *freedoms) arc(i int) guide {
	a := &f.s.Model.Arcs[i]
	z, c := f.e.Z, f.s.Point[a.Centre]
	off := func(at plane.Vec) float64 {
		from, to, d := z[f.s.Point[a.From]], z[f.s.Point[a.To]], at.Sub(z[c])
		if a.From != a.To && ahead(from.Sub(z[c]), d) > ahead(from.Sub(z[c]), to.Sub(z[c])) {
			return min(at.Sub(from).Len(), at.Sub(to).Len())
		}
		return math.Abs(d.Len() - f.v.At(a.Radius))
	}
	return guide{a.Name, a.Centre, off, func(p int, v []plane.Vec) float64 {
		q := f.s.Point[p]
		return v[q].Sub(v[c]).Dot(z[q].Sub(z[c]).Unit())
	}}
}

// ahead is the angle counterclockwise from one direction to another, from 0 to a whole turn.
func ahead(from, to plane.Vec) float64 {
	a := math.Atan2(from.Cross(to), from.Dot(to))
	if a < 0 {
		a += 2 * math.Pi
	}
	return a
}

// isSlot reports whether a line is that of a slot: only these go from one place on a part to another.
func (f *freedoms) isSlot(l *schedule.Line) bool {
	points := f.s.Model.Points
	return l.Q >= 0 && points[l.P].Kind == schedule.OnPart && points[l.Q].Kind == schedule.OnPart
}

// leaves reports whether a point leaves a guide with any of the drifts. A point of the part that has the guide is none to slide there.
func (f *freedoms) leaves(g guide, p int, drifts [][]plane.Vec) bool {
	if foot, q := &f.s.Model.Points[g.foot], &f.s.Model.Points[p]; foot.Kind == schedule.OnPart {
		if t := &f.s.Model.Parts[foot.Part]; t.P == p || t.Q == p || q.Kind == schedule.OnPart && q.Part == foot.Part {
			return false
		}
	}
	return slices.ContainsFunc(drifts, func(v []plane.Vec) bool { return math.Abs(g.rate(p, v)) > 1e-6 })
}

// emptySlots lists the slots in which nothing slides, the straight ones first.
func (f *freedoms) emptySlots() (list []guide) {
	m := f.s.Model
	for i := range m.Lines {
		if l := &m.Lines[i]; l.Name != "" && f.isSlot(l) && !f.slides(schedule.OnLine, i, -1) {
			list = append(list, f.line(i))
		}
	}
	for i := range m.Arcs {
		if !f.slides(schedule.OnArc, i, -1) {
			list = append(list, f.arc(i))
		}
	}
	return list
}

// fits is the point that the turn moves and that would hold the part of a slot, which is free to move: the pin of a block before any
// other, then the nearest to the slot; -1 where there is none.
func (f *freedoms) fits(slot guide, drifts [][]plane.Vec, moves *schedule.Origins) int {
	best, q := math.Inf(1), -1
	for p := range f.s.Model.Points {
		if !f.s.Named(p) || f.loose(p, drifts) || moves.Place(f.s.Point[p])&byTurn == 0 {
			continue
		}
		off := slot.off(f.e.Z[f.s.Point[p]])
		if !slices.ContainsFunc(f.s.Model.Parts, func(t schedule.Part) bool { return t.Kind == schedule.AlongLine && t.P == p }) {
			off += f.e.Scale.Size
		}
		if off < best && f.leaves(slot, p, drifts) {
			best, q = off, p
		}
	}
	return q
}
