package linkage

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// place returns the statements that keep point p from moving at all: its distance from the other end of its part and the
// heading there, where the length of a part is missing, else its place.
func (f *freedoms) place(fault *Fault, p int, drifts [][]plane.Vec) string {
	if o := f.lengthMissing(p, drifts); o >= 0 {
		return f.length(fault, o, p) + "\n" + f.angle(fault, o, p)
	}
	return f.point(fault, p)
}

// hold returns a statement that keeps point p from moving in that direction.
func (f *freedoms) hold(fault *Fault, p int, way plane.Vec, drifts [][]plane.Vec) string {
	slide := func(line int) string { return "slide " + f.s.PointName(p) + " on " + f.s.Model.Lines[line].Name }
	moves := f.s.Origins(f.moved)
	crank, line := f.crankOf(p, drifts, moves), f.ownLine(p, way)
	switch {
	case line >= 0 && (crank < 0 || f.drives()): // on a crank pin that nothing turns it is the line of a block in a slot
		return slide(line)
	case crank >= 0:
		return f.angle(fault, crank, p)
	}
	if o := f.lengthMissing(p, drifts); o >= 0 && f.aims(o, p, way) > squarest {
		return f.length(fault, o, p)
	}
	if line := f.nearLine(p, way, drifts); line >= 0 {
		return slide(line)
	}
	if arc := f.nearArc(p, drifts); arc >= 0 {
		return "slide " + f.s.PointName(p) + " on " + f.s.Model.Arcs[arc].Name
	}
	for _, slot := range f.emptySlots() {
		if q := f.fits(slot, drifts, moves); q >= 0 {
			return "slide " + f.s.PointName(q) + " on " + slot.name
		}
	}
	for _, e := range f.s.Model.Equations {
		if e.Kind != schedule.Length || e.Loose || e.P != p && e.Q != p {
			continue
		}
		if o := e.P + e.Q - p; !f.loose(o, drifts) && f.s.Named(o) {
			return f.angle(fault, o, p) + f.onLever(p, o, moves)
		}
	}
	o := f.stayFrom(p, way, drifts, moves)
	if o < 0 {
		o = f.lengthMissing(p, drifts) // which holds it everywhere but on this dead centre
	}
	if o >= 0 {
		return f.length(fault, o, p)
	}
	return f.point(fault, p)
}

// point, length and angle are statements that hold point p, the last two from point o. They have figures only where the sketch says
// roughly where p is: where it does not, p may stand anywhere.
func (f *freedoms) point(fault *Fault, p int) string {
	name, at := f.s.PointName(p), f.at(p)
	if _, known := f.near[p]; !known {
		return "point " + name + " at U, V"
	}
	return "point " + name + fault.length(" at {}, ", at.X) + fault.length("{}", at.Y)
}

func (f *freedoms) length(fault *Fault, o, p int) string {
	ends := "length " + f.s.PointName(o) + " " + f.s.PointName(p)
	if d, known := f.from(o, p); known {
		return ends + fault.length(" = {}", d.Len())
	}
	return ends + " = V"
}

func (f *freedoms) angle(fault *Fault, o, p int) string {
	ends := "angle " + f.s.PointName(o) + " " + f.s.PointName(p)
	if d, known := f.from(o, p); known {
		return ends + fault.angle(" = {}", math.Atan2(d.Y, d.X))
	}
	return ends + " = V"
}

// from is the way from point o to point p. It is not known where the sketch does not say where p is, or has both in one place.
func (f *freedoms) from(o, p int) (d plane.Vec, known bool) {
	_, told := f.near[p]
	d = f.at(p).Sub(f.at(o))
	return d, told && d.Len() > 0
}

// aims is how nearly a direction is that from point o to point p, where both stand: 1 where it is.
func (f *freedoms) aims(o, p int, way plane.Vec) float64 {
	d := f.e.Z[f.s.Point[p]].Sub(f.e.Z[f.s.Point[o]])
	return math.Abs(d.Dot(way)) / d.Len()
}

// stayFrom is the point from which a length holds point p best in that direction; -1 where none does. A point that the crank drives comes
// before one that stands still: a rod is likelier to be missing than a stay.
func (f *freedoms) stayFrom(p int, way plane.Vec, drifts [][]plane.Vec, moves *schedule.Origins) int {
	best, from := 0.0, -1
	for i := range f.s.Model.Points {
		c := f.aims(i, p, way)
		if !f.s.Named(i) || f.loose(i, drifts) || !(c > squarest) || f.at(p).Sub(f.at(i)).Len() <= f.e.Scale.Size*noLength {
			continue
		}
		if c += float64(min(moves.Place(f.s.Point[i]), 1)); c > best+1e-9 {
			best, from = c, i
		}
	}
	return from
}

// lengthMissing is the other end, which does not move, of a part from or to point p without a length between the two; -1
// where there is none.
func (f *freedoms) lengthMissing(p int, drifts [][]plane.Vec) int {
	m := f.s.Model
	for i := range m.Parts {
		part := &m.Parts[i]
		o := part.P + part.Q - p
		if part.Kind != schedule.FromTo || part.P != p && part.Q != p || !f.s.Named(o) || f.loose(o, drifts) {
			continue
		}
		if m.Lengths().Between(o, p) == nil {
			return o
		}
	}
	return -1
}

// crankOf is the axle of the crank of which p is the pin, if nothing turns that crank; -1 otherwise. A crank is a part with a length, from
// an axle that the turn does not move. It counts as one that nothing turns in two cases: the turn drives nothing at all, or a rod couples its
// pin to another crank as long.
func (f *freedoms) crankOf(p int, drifts [][]plane.Vec, moves *schedule.Origins) int {
	m := f.s.Model
	axle := func(p int) (o int, long float64) {
		for i := range m.Parts {
			t := &m.Parts[i]
			if o = t.P + t.Q - p; t.Kind != schedule.FromTo || t.P != p && t.Q != p || !f.s.Named(o) || f.loose(o, drifts) || moves.Place(f.s.Point[o])&byTurn != 0 {
				continue
			}
			if e := m.Lengths().Between(o, p); e != nil && !e.Loose {
				return o, f.v.At(e.V)
			}
		}
		return -1, 0
	}
	o, long := axle(p)
	if o < 0 || !f.drives() {
		return o
	}
	couples := func(a, b int) bool {
		if a != p && b != p {
			return false
		}
		other, throw := axle(a + b - p)
		return other >= 0 && other != o && math.Abs(throw-long) <= noLength*long
	}
	for i := range m.Parts {
		if t := &m.Parts[i]; t.Kind == schedule.FromTo && couples(t.P, t.Q) {
			return o
		}
	}
	for _, e := range m.Equations {
		if e.Kind == schedule.Length && couples(e.P, e.Q) {
			return o
		}
	}
	return -1
}

// onLever says how point p is written where it belongs to a part that swings on pivot o, as the other end of a beam does; "" for no part.
func (f *freedoms) onLever(p, o int, moves *schedule.Origins) string {
	for i := range f.s.Model.Parts {
		t := &f.s.Model.Parts[i]
		if t.Kind == schedule.FromTo && t.P == o && t.Q != p && moves.Place(f.s.Point[o])&byTurn == 0 {
			return "; or, where it is on " + t.Name + ", point " + f.s.PointName(p) + " on " + t.Name + " at U, V alone"
		}
	}
	return ""
}

// drives reports whether the turn moves any point.
func (f *freedoms) drives() bool {
	m := f.s.Model
	turns := func(ids ...expr.ID) bool {
		return slices.ContainsFunc(ids, func(id expr.ID) bool { return id != expr.None && f.moved(id)&byTurn != 0 })
	}
	return slices.ContainsFunc(m.Equations, func(e schedule.Equation) bool { return turns(e.V) }) ||
		slices.ContainsFunc(m.Points, func(p schedule.Point) bool { return turns(p.U, p.V) }) ||
		slices.ContainsFunc(m.Lines, func(l schedule.Line) bool { return turns(l.Heading) })
}

// byTurn and byTravel say what a sum or a place changes with.
const byTurn, byTravel = 1, 2

// moved says what a sum changes with.
func (f *freedoms) moved(sum expr.ID) (by uint64) {
	if g := f.s.Model.Graph; !g.StaysOverTurn(sum) {
		by |= byTurn
	}
	if f.s.Model.Graph.Travels(sum) != 0 {
		by |= byTravel
	}
	return by
}

// noLength is the distance of two points, as a share of the engine's size, below which no length between them is offered. It is also the
// share by which the throws of two coupled cranks may differ.
const noLength = 1e-6

// squarest is how little of a direction may be along a length that is offered to hold it.
const squarest = 0.3
