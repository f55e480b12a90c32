package sums

import (
	"math"
	"slices"

	"barover/solver/taylor"
	"barover/solver/tube"
)

// The place (turn) at which a figure is zero moves with the travels and the sizes. It is enclosed by a polynomial of them, found by
// Newton's method. The sum at that place is the sum over the leg with that polynomial in the place of the turn.

// followed encloses the place in a leg, rad, at which a figure is zero, over the travels of a cell. Where alongLine fails the whole leg
// is the enclosure.
func (w *wholeOf) followed(f *Figure, l leg, c *tube.Cell) wholeModel {
	sp := w.f.tubes[0].Space
	out := tube.Series{Poly: make([]float64, sp.N), Rad: (l.to-l.from)/2 + slip*math.Abs(l.to)}
	out.Poly[0] = l.mid()
	if line, ok := w.alongLine(f, l, c); ok && line.Rad < out.Rad {
		out = line
	}
	return wholeModel{out, true}
}

// newtonSteps bounds the steps towards a place.
const newtonSteps = 8

// alongLine encloses the place in a leg at which a figure is zero by a polynomial along which it stays near zero, with the residual
// divided by the least slope as radius. Each step divides by the slope at the centre of the leg.
func (w *wholeOf) alongLine(f *Figure, l leg, c *tube.Cell) (out tube.Series, ok bool) {
	sp := f.tubes[0].Space
	v, ok := w.overLeg(f, l, c)
	if !ok || l.from == l.to {
		return out, false
	}
	steep, _ := sp.Steepness(v.Poly, 1)
	x, left, best := make([]float64, sp.N), make([]float64, sp.N), math.Inf(1)
	for range newtonSteps {
		copy(left, v.Poly)
		off := v.Rad + sp.Substitute(left, x)
		_, strays := sp.Steepness(v.Poly, max(1, taylor.SizeOf(x)))
		// The distance along the turn from x to the place is at most the figure at x divided by its least slope.
		rad := (off + taylor.SizeOf(left)) / (math.Abs(steep) - strays)
		if !(rad >= 0 && rad < best) {
			break
		}
		out.Poly, out.Rad, best = slices.Clone(x), rad, rad*9/10
		for k := range x {
			x[k] -= left[k] / steep
		}
	}
	if out.Poly == nil {
		return out, false
	}
	half := (l.to - l.from) / 2
	for k := range out.Poly {
		out.Poly[k] *= half
	}
	out.Poly[0] += l.mid()
	out.Rad = half*out.Rad*(1+1e-9) + slip*(math.Abs(l.mid())+taylor.SizeOf(out.Poly))
	return out, true
}

// oneBox returns the box that holds a leg and all of a cell, and the part of it that they are. It reports false where there is
// no such box.
func (w *wholeOf) oneBox(l leg, c *tube.Cell) (box int, p tube.Part, ok bool) {
	t := w.f.tubes[0]
	for i := range t.Boxes {
		b := &t.Boxes[i]
		if l.from < b.Turn.From || l.to > b.Turn.To || !t.Holds(b, c) {
			continue
		}
		if p, ok = t.Within(b, c); ok && t.Stretch(b, &p, l.from, l.to) {
			return i, p, true
		}
	}
	return 0, p, false
}

// overLeg encloses a figure over a leg and all of a cell. Where the leg lies in several boxes, the polynomial of one box is
// used for the whole leg, with a radius that covers the others.
func (w *wholeOf) overLeg(f *Figure, l leg, c *tube.Cell) (v tube.Series, ok bool) {
	t := f.tubes[0]
	if l.from < l.to && (t.Folded(l.from) || t.Folded(l.to)) {
		return v, false // the coordinate of a folded box is not the turn
	}
	if i, p, ok := w.oneBox(l, c); ok {
		w.budget--
		v, ok = f.run[0].OverClosely(i, &p)
		return v, ok && w.budget >= 0
	}
	pieces, ok := w.pieces(f, l, c)
	if !ok || len(pieces) == 0 {
		return v, false
	}
	v.Rad = math.Inf(1)
	for i := range pieces {
		if pieces[i].half < 1.0/16 {
			continue
		}
		if one := extended(t.Space, pieces, i); one.Rad < v.Rad {
			v = one
		}
	}
	return v, v.Rad <= taylor.SizeOf(v.Poly[1:])
}

// extended extends the polynomial of piece i over the whole leg. The radius covers its difference from every piece.
func extended(sp *taylor.Space, pieces []legPiece, i int) (v tube.Series) {
	one := &pieces[i]
	v.Poly = make([]float64, sp.N)
	sp.Shift(v.Poly, one.Poly, &[taylor.MaxVars]float64{-one.mid / one.half}, lengths(sp, 1/one.half))
	off := make([]float64, sp.N)
	for _, p := range pieces {
		rad := p.Rad + sp.Shift(off, v.Poly, &[taylor.MaxVars]float64{p.mid}, lengths(sp, p.half))
		for k, x := range p.Poly {
			rad += math.Abs(off[k]-x) + slip*math.Abs(x)
		}
		v.Rad = max(v.Rad, rad)
	}
	return v
}

// lengths returns the half widths of a part of a box: turn along the turn, and 1 (the whole box) in every travel.
func lengths(sp *taylor.Space, turn float64) *[taylor.MaxVars]float64 {
	out := &[taylor.MaxVars]float64{turn}
	for k := 1; k < sp.Vars; k++ {
		out[k] = 1
	}
	return out
}

// legPiece encloses a figure over the piece of a leg from mid - half to mid + half; the whole leg is -1 to 1.
type legPiece struct {
	tube.Series
	mid, half float64
}

// pieces encloses a figure on the part of a leg in each box. A leg may go over the start of a closed turn. It reports false
// where a box holds only some of a cell, or where the figure has no sure enclosure.
func (w *wholeOf) pieces(f *Figure, l leg, c *tube.Cell) (list []legPiece, ok bool) {
	t := f.tubes[0]
	rounds := []float64{0}
	if turn := t.Turn.To - t.Turn.From; t.Closes {
		rounds = []float64{0, turn, -turn}
	}
	half := (l.to - l.from) / 2
	for _, by := range rounds {
		for i := range t.Boxes {
			b := &t.Boxes[i]
			from, to := math.Max(l.from+by, b.Turn.From), math.Min(l.to+by, b.Turn.To)
			p, in := t.Within(b, c)
			if !(from < to) || !in || t.Touches(b, &p, c) || !t.Stretch(b, &p, from, to) {
				continue
			}
			if w.budget--; w.budget < 0 || !t.Holds(b, c) {
				return nil, false
			}
			v, enclosed := f.run[0].OverClosely(i, &p)
			if !enclosed || f.run[0].Doubt() {
				return nil, false
			}
			v.Poly = slices.Clone(v.Poly)
			list = append(list, legPiece{v, ((from+to)/2 - by - l.mid()) / half, (to - from) / 2 / half})
		}
	}
	return list, true
}

// atLine encloses the sum at a place in a leg that moves with the travels and the sizes. It reports false where the sum has no
// sure enclosure.
func (w *wholeOf) atLine(place *tube.Series, l leg, c *tube.Cell) (v tube.Series, ok bool) {
	t := w.f.tubes[0]
	if v, ok = w.overLeg(w.f, l, c); !ok || w.f.run[0].Doubt() {
		return v, false
	}
	v.Poly = slices.Clone(v.Poly)
	half := (l.to - l.from) / 2
	if half == 0 {
		return v, true
	}
	x := slices.Clone(place.Poly)
	x[0] -= l.mid()
	for k := range x {
		x[k] /= half
	}
	rest := place.Rad/half + slip*(math.Abs(l.mid())/half+taylor.SizeOf(x))
	steep, strays := t.Space.Steepness(v.Poly, 1)
	v.Rad += t.Space.Substitute(v.Poly, x) + (math.Abs(steep)+strays)*rest*(1+1e-9)
	return v, true
}
