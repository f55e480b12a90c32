package sheet

import (
	"math"
	"slices"

	"barover/render/drawing"
	"barover/solver"
	"barover/solver/plane"
)

// Bands across the engine: thick and in the lower half of a row as they are, thin in its upper half as they were.
var (
	isBand    = edged(tints, "after-band-", 0.7)
	isBandFix = &drawing.Style{Name: "after-band-fixed", Width: 0.7, Line: drawing.Continuous, Stroke: black, Fill: drawing.RGB(0xdddddd)}
	wasBand   = &drawing.Style{Name: "before-band", Width: 0.18, Line: drawing.Continuous, Stroke: blue}
	quietBand = &drawing.Style{Name: "band-unchanged", Width: 0.18, Line: drawing.Continuous, Stroke: grey, Fill: drawing.RGB(0xf0f0f0)}
)

const (
	changedRow     = 6.4
	changedFigures = 56.0 // room for figures to the right
)

// acrossSection is the strip across the engine, where a band or a gap changed: every profile's band, and below them the
// gaps that changed.
func (b *both) acrossSection(l layout) section {
	rows, gaps := b.bandRows(), b.changedGaps()
	lo, hi := b.bandsFromTo(rows)
	n := len(rows) + len(gaps)
	if !b.acrossChanged(rows, gaps) || !(lo < hi) {
		n = 0
	}
	wide, _ := roomOf(l).Size()
	room := wide - acrossNames - changedFigures
	scale, _ := drawing.Largest(hi-lo, 0, room, 1)
	return stripSection("Across the engine, thin: before", scale.String(), n, changedRow, func(now *view, box drawing.Box, from, to int) {
		now.k = scale.K()
		now.shift = plane.Vec{X: box.Min.X + acrossNames - lo*now.k + (room-(hi-lo)*now.k)/2}
		b.beside(now).strip(box, rows, gaps, from, to)
	})
}

// acrossChanged reports whether the strip shows anything new: a gap that is only asked no more is told in the table.
func (b *both) acrossChanged(rows []*twin, gaps []*ChangedCheck) bool {
	return slices.ContainsFunc(rows, func(t *twin) bool { return t.across }) ||
		slices.ContainsFunc(gaps, func(c *ChangedCheck) bool { return c.After != nil })
}

// bandRows lists the profiles that have a band, from the datum outward.
func (b *both) bandRows() (rows []*twin) {
	for i := range b.twins {
		t := &b.twins[i]
		if t.is >= 0 && banded(&b.is.bodies[t.is]) || t.was >= 0 && banded(&b.was.bodies[t.was]) {
			rows = append(rows, t)
		}
	}
	return rows
}

// bandsFromTo is from where to where the bands of both engines reach, sideplay and all.
func (b *both) bandsFromTo(rows []*twin) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	take := func(s *scene, i int) {
		if i >= 0 && banded(&s.bodies[i]) {
			one := &s.bodies[i]
			lo, hi = min(lo, one.band[0]-s.play(one)), max(hi, one.band[1]+s.play(one))
		}
	}
	for _, t := range rows {
		take(b.was, t.was)
		take(b.is, t.is)
	}
	return lo, hi
}

// changedGaps lists the gaps that came out otherwise.
func (b *both) changedGaps() (list []*ChangedCheck) {
	for i := range b.Checks {
		c := &b.Checks[i]
		if s, a := b.answer(c); a.Check.Kind == solver.Gap && s.bandOf(a.Check.A) != nil && s.bandOf(a.Check.B) != nil {
			list = append(list, c)
		}
	}
	return list
}

// strip draws the rows from one to another: first the bands, then the gaps.
func (v *bothView) strip(room drawing.Box, rows []*twin, gaps []*ChangedCheck, from, to int) {
	l := v.now.d.Layer("across", "Across the engine")
	y := room.Max.Y - 11
	l.Write(plane.Vec{X: room.Min.X, Y: room.Max.Y - 3}, drawing.Start, text18,
		"across the engine, from the datum that the sketch chooses; thick: after, "+v.Is+"; thin above it: before, "+v.Was+"; pale: the same in both")
	top := y + 3.5
	for i := from; i < to && i < len(rows)+len(gaps); i++ {
		if i < len(rows) {
			v.bandRow(l, room, rows[i], y)
		} else {
			v.gapRow(l, room, gaps[i-len(rows)], y)
		}
		y -= changedRow
	}
	if x := v.now.on(plane.Vec{}).X; x >= room.Min.X+acrossNames-1 && x <= room.Max.X-changedFigures+1 {
		l.Draw(drawing.Line(plane.Vec{X: x, Y: top}, plane.Vec{X: x, Y: y + 2}), centreLine, "datum")
		l.Write(plane.Vec{X: x, Y: top + 0.8}, drawing.Middle, text18, "datum")
	}
}

// bandRow draws one profile's band: palely where it is the same, else thick and thin.
func (v *bothView) bandRow(l *drawing.Layer, room drawing.Box, t *twin, y float64) {
	if !t.across {
		b := &v.is.bodies[t.is]
		v.now.band(l, b, y-1.3, y+1.3, quietBand)
		v.rowWords(l, room, y, text18, b.name, v.now.bandFigures(b))
		return
	}
	name, figures := "", ""
	if t.was >= 0 && banded(&v.was.bodies[t.was]) {
		b := &v.was.bodies[t.was]
		v.old.band(l, b, y+0.3, y+2.3, wasBand)
		name, figures = b.name, v.old.bandFigures(b)
	}
	switch {
	case t.is < 0:
		name, figures = "– "+name, figures+" → gone"
	case banded(&v.is.bodies[t.is]):
		b := &v.is.bodies[t.is]
		style := isBandFix
		if !b.fixed {
			style = isBand[b.part%len(isBand)]
		}
		v.now.band(l, b, y-2.3, y-0.3, style)
		if t.was < 0 {
			name, figures = "+ "+b.name, "new → "
		} else {
			name, figures = b.name, figures+" → "
		}
		figures += v.now.bandFigures(b)
	}
	v.rowWords(l, room, y, bold18, name, figures)
}

// band draws a band between two heights.
func (v *view) band(l *drawing.Layer, b *body, low, high float64, style *drawing.Style) {
	l.Draw(drawing.Rect(plane.Vec{X: v.on(plane.Vec{X: b.band[0]}).X, Y: low}, plane.Vec{X: v.on(plane.Vec{X: b.band[1]}).X, Y: high}), style, b.name)
}

func (v *view) bandFigures(b *body) string {
	return v.w.length(b.band[0]) + " to " + v.w.length(b.band[1])
}

func (v *bothView) rowWords(l *drawing.Layer, room drawing.Box, y float64, style *drawing.TextStyle, name, figures string) {
	l.Write(plane.Vec{X: room.Min.X, Y: y - 0.9}, drawing.Start, style, style.Fit(name, acrossNames-4))
	l.Write(plane.Vec{X: room.Max.X, Y: y - 0.9}, drawing.End, style, figures)
	l.Draw(drawing.Line(plane.Vec{X: room.Min.X, Y: y - changedRow/2}, plane.Vec{X: room.Max.X, Y: y - changedRow/2}), rowLine, "")
}

// gapRow draws one changed gap: as it was above, as it is below.
func (v *bothView) gapRow(l *drawing.Layer, room drawing.Box, c *ChangedCheck, y float64) {
	if c.Before != nil {
		v.old.gapLine(l, &v.Before.Problem.Checks[c.Before.Check], y+1.2, 1, thinLine)
	}
	if c.After != nil {
		v.now.gapLine(l, &v.After.Problem.Checks[c.After.Check], y-1.2, 1, isEdge)
	}
	style := bold18
	if c.rank() == 0 {
		style = plainRed
	}
	v.rowWords(l, room, y, style, c.sign()+" "+c.What, dashed(c.Was)+" → "+dashed(c.Is)+"  "+v.word(c))
}
