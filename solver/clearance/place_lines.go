package clearance

import (
	"math"
	"slices"

	"barover/solver/taylor"
	"barover/solver/tube"
)

// A place that moves with the travels and the sizes is enclosed by a line in them, and the sum there by its slope along the
// turn. What the slope leaves out is bounded from the place's own way along the turn, not from the whole leg.

// followed encloses the place in a leg at which a figure is zero, as the travels of a cell move: a line along which the
// figure stays near zero, and its residual divided by its slope. Where that fails the leg itself is the enclosure.
func (w *wholeOf) followed(f *Figure, l leg, c *tube.Cell) wholeModel {
	sp := w.f.tubes[0].Space
	out := tube.Series{Poly: make([]float64, sp.N), Rad: (l.to-l.from)/2 + slip*math.Abs(l.to)}
	out.Poly[0] = l.mid()
	if line, ok := w.alongLine(f, l, c); ok && line.Rad < out.Rad {
		out = line
	}
	return wholeModel{out, true}
}

func (w *wholeOf) alongLine(f *Figure, l leg, c *tube.Cell) (out tube.Series, ok bool) {
	t := f.tubes[0]
	v, ok := w.overLeg(f, l, c)
	if !ok || l.from == l.to {
		return out, false
	}
	steep, strays := t.Space.Steepness(v.Poly)
	if strays *= 1 + 1e-9; !(math.Abs(steep) > strays) {
		return out, false
	}
	var a [taylor.MaxVars]float64
	sum := 0.0
	for k := 1; k < t.Space.Vars; k++ {
		a[k] = -v.Poly[1+k] / steep
		sum += math.Abs(a[k])
	}
	if !(sum <= 1) {
		return out, false
	}
	poly := slices.Clone(v.Poly)
	off := v.Rad + t.Space.Slant(poly, &a)
	size := 0.0
	for _, x := range poly {
		size += math.Abs(x)
	}
	// From the line the place is no further along the turn than the figure there divided by its least slope, and within the leg.
	far := min((size+off)/(math.Abs(steep)-strays), 1+sum)
	mid, bent := t.Space.Bend(v.Poly, sum, far)
	poly[0] += mid
	half := (l.to - l.from) / 2
	for k := range poly {
		poly[k] *= -half / steep
	}
	poly[0] += l.mid()
	for k := 1; k < t.Space.Vars; k++ {
		poly[1+k] += half * a[k]
	}
	rad := half * (off + bent + slip*size) / math.Abs(steep)
	return tube.Series{Poly: poly, Rad: rad*(1+1e-9) + slip*(math.Abs(l.mid())+half)}, true
}

// oneBox is the box that holds a leg and all of a cell, and their part of it.
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

// overLeg encloses a figure over a leg and all of a cell. Where several boxes hold the leg, the polynomial of one stands
// for all of it.
func (w *wholeOf) overLeg(f *Figure, l leg, c *tube.Cell) (v tube.Series, ok bool) {
	t := f.tubes[0]
	if l.from < l.to && (t.Folded(l.from) || t.Folded(l.to)) {
		return v, false // there a leg is no even stretch of a box
	}
	if i, p, ok := w.oneBox(l, c); ok {
		w.budget--
		v, ok = f.run[0].Over(i, &p)
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
	return v, v.Rad <= ranges(v.Poly)
}

// extended takes the polynomial of one piece for all of a leg, give or take what it is off on the others.
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

// lengths are those of a part of a box: so long along the turn, and all of it in the travels.
func lengths(sp *taylor.Space, turn float64) *[taylor.MaxVars]float64 {
	out := &[taylor.MaxVars]float64{turn}
	for k := 1; k < sp.Vars; k++ {
		out[k] = 1
	}
	return out
}

// legPiece encloses a figure over a piece of a leg: from mid - half to mid + half, where the leg goes from -1 to 1.
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
			if !(from < to) || !in || !t.Stretch(b, &p, from, to) {
				continue
			}
			if w.budget--; w.budget < 0 || !t.Holds(b, c) {
				return nil, false
			}
			v, enclosed := f.run[0].Over(i, &p)
			if !enclosed || f.run[0].Doubt() {
				return nil, false
			}
			v.Poly = slices.Clone(v.Poly)
			list = append(list, legPiece{v, ((from+to)/2 - by - l.mid()) / half, (to - from) / 2 / half})
		}
	}
	return list, true
}

// atLine encloses the sum at a place that moves with the travels and the sizes.
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
	var a [taylor.MaxVars]float64
	rest := place.Rad / half // how far the place may be from the line, as a share of the leg
	for k := 1; k < t.Space.Vars; k++ {
		a[k] = place.Poly[1+k] / half
	}
	along := 0.0
	for _, x := range a {
		along += math.Abs(x)
	}
	line := slices.Clone(v.Poly)
	v.Rad += t.Space.Slant(line, &a)
	// The rest of the place's motion, by the sizes or nonlinear in the travels, is followed by the slope along the turn.
	steep, _ := t.Space.Steepness(v.Poly)
	off, size := 0.0, 0.0
	for k := 1 + t.Space.Vars; k < t.Space.N; k++ {
		x := place.Poly[k] / half
		off += math.Abs(x)
		size += math.Abs(v.Poly[k])
		line[k] += steep * x
	}
	mid, bent := t.Space.Bend(v.Poly, along, off+rest)
	line[0] += mid
	v.Poly = line
	v.Rad += (math.Abs(steep)*rest+bent)*(1+1e-9) + slip*(size+math.Abs(mid)+math.Abs(steep)*off)
	return v, true
}
