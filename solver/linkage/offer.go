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
	if o := f.stayFrom(p, way, drifts, moves); o >= 0 {
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
		if m.LengthBetween(o, p) == nil {
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
			if e := m.LengthBetween(o, p); e != nil && !e.Loose {
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
		r := f.v.At(a.Radius)
		if off := f.at(p).Sub(f.at(a.Centre)).Len() - r; math.Abs(off) <= nearBy*2*r && f.leaves(f.arc(i), p, drifts) && !f.slides(schedule.OnArc, i, p) {
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

// guide is a line or an arc to slide on: how far a place is from it, mm, and how fast a point leaves it with a drift.
type guide struct {
	name string
	foot int // a point of it
	off  func(at plane.Vec) float64
	rate func(p int, drift []plane.Vec) float64
}

func (f *freedoms) line(i int) guide {
	l := &f.s.Model.Lines[i]
	z, from, along := f.e.Z, f.s.Point[l.P], f.s.Line[i]
	return guide{l.Name, l.P, func(at plane.Vec) float64 { return at.Sub(z[from]).Cross(z[along]) }, func(p int, v []plane.Vec) float64 {
		q := f.s.Point[p]
		return z[q].Sub(z[from]).Cross(v[along]) + v[q].Sub(v[from]).Cross(z[along])
	}}
}

func (f *freedoms) arc(i int) guide {
	a := &f.s.Model.Arcs[i]
	z, c := f.e.Z, f.s.Point[a.Centre]
	return guide{a.Name, a.Centre, func(at plane.Vec) float64 { return at.Sub(z[c]).Len() - f.v.At(a.Radius) }, func(p int, v []plane.Vec) float64 {
		q := f.s.Point[p]
		return v[q].Sub(v[c]).Dot(z[q].Sub(z[c]).Unit())
	}}
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
	for i, l := range m.Lines { // from one place on a part to another are slots alone
		if l.Name != "" && l.Q >= 0 && m.Points[l.P].Kind == schedule.OnPart && m.Points[l.Q].Kind == schedule.OnPart && !f.slides(schedule.OnLine, i, -1) {
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
		off := math.Abs(slot.off(f.e.Z[f.s.Point[p]]))
		if !slices.ContainsFunc(f.s.Model.Parts, func(t schedule.Part) bool { return t.Kind == schedule.AlongLine && t.P == p }) {
			off += f.e.Scale.Size
		}
		if off < best && f.leaves(slot, p, drifts) {
			best, q = off, p
		}
	}
	return q
}
