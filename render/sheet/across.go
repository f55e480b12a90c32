package sheet

import (
	"math"
	"slices"
	"strings"

	"barover/render/drawing"
	"barover/render/office"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/plane"
)

// Bands across the engine. Beside a change, a band that changed is thick in the lower half of its row, as it is, and thin
// in the upper half, as it was. The others are pale.
var (
	sideLine  = &drawing.Style{Name: "sideplay", Width: 0.18, Line: drawing.Dashed, Stroke: black}
	bandLine  = edged(tints, "band-", 0.35)
	bandGrey  = &drawing.Style{Name: "band-fixed", Width: 0.35, Line: drawing.Continuous, Stroke: black, Fill: drawing.RGB(0xdddddd)}
	isBand    = edged(tints, "after-band-", 0.7)
	isBandFix = &drawing.Style{Name: "after-band-fixed", Width: 0.7, Line: drawing.Continuous, Stroke: black, Fill: drawing.RGB(0xdddddd)}
	wasBand   = &drawing.Style{Name: "before-band", Width: 0.18, Line: drawing.Continuous, Stroke: blue}
	quietBand = &drawing.Style{Name: "band-unchanged", Width: 0.18, Line: drawing.Continuous, Stroke: grey, Fill: drawing.RGB(0xf0f0f0)}
)

// edged is the tints with a black edge of this width, mm.
func edged(tints []*drawing.Style, prefix string, width float64) (out []*drawing.Style) {
	for _, t := range tints {
		out = append(out, &drawing.Style{Name: prefix + t.Name, Width: width, Line: drawing.Continuous, Stroke: black, Fill: t.Fill})
	}
	return out
}

const (
	acrossNames = 62.0 // least room for names to the left of the bands, mm
	acrossRow   = 6.4
	acrossLow   = 4.8  // where that saves a sheet
	acrossHead  = 14.0 // above the rows
	acrossFree  = 60.0 // beside the bands at most, for words about gaps: figures farther off are not read with their bands
	acrossSide  = 1.5  // left and right of the words, to keep off the border's centring marks
)

// acrossStrip is the strip across an engine: every profile's band to scale, with figures at its faces and with its
// sideplay, then the gaps. There may be an engine before this one.
type acrossStrip struct {
	*both
	rows    []*twin // from the datum outward
	gaps    []place
	row     float64 // how high one is, mm
	lo, hi  float64 // of all of them, mm
	figures float64 // room for figures to the right, mm of paper
	names   float64 // and for names to the left, as much as they take up to two fifths of the sheet
}

// across collects the bands and gaps of the engine. Beside a change it takes the gaps that came out differently. It takes
// nothing where neither a band nor a gap changed; a gap that is no longer asked for is listed in the table.
func (b *both) across() acrossStrip {
	c := acrossStrip{both: b, lo: math.Inf(1), hi: math.Inf(-1), figures: 44}
	if b.changes() {
		c.figures = 72
	}
	for i := range b.twins {
		if t := &b.twins[i]; c.take(b.was, t.was) || c.take(b.is, t.is) {
			c.take(b.is, t.is)
			c.rows = append(c.rows, t)
		}
	}
	switch {
	case !b.changes() && len(c.rows) > 1:
		c.gaps = b.is.gaps()
	case !b.changes():
		c.rows = nil
	default:
		c.gaps = b.changedGaps()
		if !slices.ContainsFunc(c.rows, func(t *twin) bool { return t.across }) &&
			!slices.ContainsFunc(c.gaps, func(c place) bool { return c.After != nil }) || !(c.lo < c.hi) {
			c.rows, c.gaps = nil, nil
		}
	}
	return c
}

// take adds the band of a body with its sideplay; false where there is none.
func (c *acrossStrip) take(s *scene, i int) bool {
	if i < 0 || !banded(&s.bodies[i]) {
		return false
	}
	b := &s.bodies[i]
	c.lo, c.hi, c.names = min(c.lo, b.band[0]-s.play(b)), max(c.hi, b.band[1]+s.play(b)), max(c.names, text25.Width(b.name)+5)
	return true
}

// section deals the rows of the strip. It splits them only where a whole sheet has no room for them, and then evenly.
func (c acrossStrip) section(l layout) section {
	next, n := 0, len(c.rows)+len(c.gaps)
	wide, sheet := roomOf(l).Size()
	for _, g := range c.gaps {
		c.names = max(c.names, bold25.Width(g.What)+5+office.FlagWide)
	}
	c.names = max(acrossNames, min(c.names, 0.4*wide))
	room := wide - c.names - c.figures
	scale, _ := drawing.Fitting(c.hi-c.lo, 0, room, 1)
	room = min(room, (c.hi-c.lo)*scale.K()+acrossFree)
	rows := func(high, row float64) int { return max(0, int((high-acrossHead)/row+1e-9)) }
	most := max(1, rows(sheet, acrossLow))
	sheets := (n + most - 1) / most
	each := (n + max(1, sheets) - 1) / max(1, sheets)
	kind := "Across the engine"
	if c.changes() {
		kind += ", thin: before"
	}
	return section{kind: kind, short: "across the engine", scale: scale.String(), early: true, left: func() bool { return next < n },
		deal: func(_, high, whole float64) (p piece, ok bool) {
			from, to := next, n
			if rows(high, acrossLow) < n-next {
				if high < whole {
					return p, false
				}
				to = min(n, next+max(1, each))
			}
			next, c.row = to, min(acrossRow, (high-acrossHead)/float64(to-from))
			p.least = acrossHead + float64(to-from)*c.row
			strip := c
			p.draw = func(now *view, box drawing.Box) {
				box.Max.X = box.Min.X + c.names + room + c.figures
				now.k = scale.K()
				now.shift = plane.Vec{X: box.Min.X + c.names - c.lo*now.k + (room-(c.hi-c.lo)*now.k)/2}
				strip.beside(now).strip(box, strip, from, to)
			}
			return p, true
		}}
}

// fewBands is the number of bands that are described in words beside the views, where there is no gap among them, without
// a strip.
const fewBands = 4

// inWords describes few bands, none of which has a gap, and takes them off the strip; "" where a strip shows them.
func (c *acrossStrip) inWords() string {
	if c.changes() || len(c.gaps) > 0 || len(c.rows) == 0 || len(c.rows) > fewBands {
		return ""
	}
	v := &view{scene: c.is, w: c.words}
	var words []string
	for _, t := range c.rows {
		b := &c.is.bodies[t.is]
		band := b.name + " " + v.bandFigures(b)
		if play := v.play(b); play > 0 {
			band += " ±" + v.w.length(play)
		}
		words = append(words, band)
	}
	c.rows = nil
	return "Across, from the datum outward: " + strings.Join(words, "; ")
}

// play is the sideplay of the body's part, mm either way.
func (s *scene) play(b *body) float64 {
	if b.part < len(s.Problem.Sideplay) && s.Problem.Sideplay[b.part] != expr.None {
		if v := s.value(s.Problem.Sideplay[b.part]); v > 0 && v < 1e6 {
			return v
		}
	}
	return 0
}

// gaps lists the gap checks whose two profiles pass each other, as checks that did not change.
func (s *scene) gaps() (list []place) {
	for _, a := range s.answers() {
		if s.acrossGap(&a) {
			list = append(list, place{&ChangedCheck{After: a.Finding, What: "gap " + s.pair(a.Check)}, a.no})
		}
	}
	return list
}

// changedGaps lists the gaps that came out differently.
func (b *both) changedGaps() (list []place) {
	for i := range b.Checks {
		if s, a := b.answer(&b.Checks[i]); s.acrossGap(&a) {
			list = append(list, place{ChangedCheck: &b.Checks[i]})
		}
	}
	return list
}

// acrossGap reports whether an answer is a gap between two bands that can be drawn.
func (s *scene) acrossGap(a *answer) bool {
	return a.Check.Kind == solver.Gap && s.bandOf(a.Check.A) != nil && s.bandOf(a.Check.B) != nil
}

// banded reports whether a body has a band that can be drawn.
func banded(b *body) bool {
	return !math.IsNaN(b.band[0]) && !math.IsNaN(b.band[1]) && math.Abs(b.band[0])+math.Abs(b.band[1]) < 1e6
}

func (s *scene) bandOf(profile int) *body {
	if b := s.body(profile); b != nil && banded(b) {
		return b
	}
	return nil
}

// strip draws the rows from one to another: first the bands, then the gaps.
func (v *bothView) strip(room drawing.Box, c acrossStrip, from, to int) {
	l := v.now.d.Layer("across", "Across the engine")
	words := "from the datum outward; dashes: how far a part may shift"
	if v.changes() {
		words = "thick: after, " + v.Is + "; thin above it: before, " + v.Was + "; pale: the same"
	}
	wide, _ := room.Size()
	l.Write(plane.Vec{X: room.Min.X + acrossSide, Y: room.Max.Y - 3}, drawing.Start, text25, text25.Fit("across the engine, "+words, wide-4))
	y := room.Max.Y - 11
	top := y + 3.5
	for i := from; i < to; i++ {
		if i < len(c.rows) {
			v.bandRow(l, room, &c, c.rows[i], y)
		} else {
			v.gapRow(l, room, &c, &c.gaps[i-len(c.rows)], y)
		}
		l.Draw(drawing.Line(plane.Vec{X: room.Min.X, Y: y - c.row/2}, plane.Vec{X: room.Max.X, Y: y - c.row/2}), rowLine, "")
		y -= c.row
	}
	if x := v.now.on(plane.Vec{}).X; x >= room.Min.X+c.names-1 && x <= room.Max.X-c.figures+1 {
		l.Draw(drawing.Line(plane.Vec{X: x, Y: top}, plane.Vec{X: x, Y: y + 2}), centreLine, "datum")
		l.Write(plane.Vec{X: x, Y: top + 0.4}, drawing.Middle, text25, "datum")
	}
}

// bandRow draws one profile's band: once where it is the same before and after, else thick and thin.
func (v *bothView) bandRow(l *drawing.Layer, room drawing.Box, c *acrossStrip, t *twin, y float64) {
	if !t.across {
		v.bandAlone(l, room, c, &v.is.bodies[t.is], y)
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
	v.rowWords(l, room, c.names, y, bold25, name, figures)
}

// bandAlone draws the band of a profile that is the same before the change or new, with the sideplay of its part. It is
// pale beside others that changed.
func (v *bothView) bandAlone(l *drawing.Layer, room drawing.Box, c *acrossStrip, b *body, y float64) {
	style := bandGrey
	switch {
	case v.changes():
		style = quietBand
	case !b.fixed:
		style = bandLine[b.part%len(bandLine)]
	}
	play := v.now.play(b)
	if p := play * v.now.k; p > 0 && !v.changes() {
		x := v.now.bandOn(b)
		l.Draw(drawing.Rect(plane.Vec{X: x[0] - p, Y: y - 1}, plane.Vec{X: x[1] + p, Y: y + 1}), sideLine, "sideplay of "+b.name)
	}
	v.now.band(l, b, y-1.6, y+1.6, style)
	figures := v.now.bandFigures(b)
	if play > 0 && !v.changes() {
		figures += " ±" + v.now.w.length(play)
	}
	v.rowWords(l, room, c.names, y, text25, b.name, figures)
}

// bandOn is the extent of a band on the paper.
func (v *view) bandOn(b *body) [2]float64 {
	return [2]float64{v.on(plane.Vec{X: b.band[0]}).X, v.on(plane.Vec{X: b.band[1]}).X}
}

// band draws a band between two heights.
func (v *view) band(l *drawing.Layer, b *body, low, high float64, style *drawing.Style) {
	x := v.bandOn(b)
	l.Draw(drawing.Rect(plane.Vec{X: x[0], Y: low}, plane.Vec{X: x[1], Y: high}), style, b.name)
}

func (v *view) bandFigures(b *body) string {
	return v.w.length(b.band[0]) + " to " + v.w.length(b.band[1])
}

func (v *bothView) rowWords(l *drawing.Layer, room drawing.Box, names, y float64, style *drawing.TextStyle, name, figures string) {
	l.Write(plane.Vec{X: room.Min.X + acrossSide, Y: y - 1.2}, drawing.Start, style, style.FitPair(name, names-4))
	l.Write(plane.Vec{X: room.Max.X - acrossSide, Y: y - 1.2}, drawing.End, style, figures)
}

// gapRow draws the gap between two profiles: the near faces of both bands, and the figure with sideplay taken off. A gap
// that changed is drawn as it was above and as it is below.
func (v *bothView) gapRow(l *drawing.Layer, room drawing.Box, c *acrossStrip, g *place, y float64) {
	_, a := v.answer(g.ChangedCheck)
	style := label25 // the line of the datum does not run through it
	if !a.OK && g.After != nil {
		style = foul25
	}
	if v.changes() {
		if g.Before != nil {
			v.old.gapLine(l, &v.Before.Problem.Checks[g.Before.Check], y+1.2, 1, thinLine)
		}
		if g.After != nil {
			v.now.gapLine(l, &v.After.Problem.Checks[g.After.Check], y-1.2, 1, isEdge)
		}
		v.rowWords(l, room, c.names, y, style, g.sign()+" "+g.What, dashed(g.Was)+" → "+dashed(g.Is)+"  "+v.word(g.ChangedCheck))
		return
	}
	v.now.say(&a, v.now.w)
	figures := a.figure + "  " + a.State.String()
	p, q := v.now.gapLine(l, a.Check, y, 1.8, thinLine)
	flags := 0.0
	if g.no > 0 { // after the name
		flags = office.FlagWide
	}
	// A long name may use the free space before the gap.
	names := max(c.names, min(p.X, q.X)-room.Min.X-gapArrow)
	if wide := style.Width(g.What) + flags + 5; wide < names {
		names = max(c.names, wide)
	}
	name := style.FitPair(g.What, names-4-flags)
	if note := a.called; name != g.What && style.Width(note) < names-4-flags { // the note says all that the name says
		name = note
	}
	if g.no > 0 {
		office.Flag(l, plane.Vec{X: room.Min.X + acrossSide + style.Width(name) + office.FlagWide/2, Y: y}, g.no)
	}
	if p.X <= q.X {
		v.now.filling(l, room.Min.X+names, room.Max.X-style.Width(figures)-3, &a, p, q)
	}
	v.rowWords(l, room, names, y, style, name, figures)
}

// gapArrow is the length of the arrows outside a narrow gap, mm.
const gapArrow = 6.0

// gapLine draws the near faces of a gap's two bands, so far up and down, mm, and between them a dimension, or a hatch
// where they overlap. It returns the faces on the paper, the outer one first where they overlap.
func (v *view) gapLine(l *drawing.Layer, c *solver.Check, y, half float64, face *drawing.Style) (p, q plane.Vec) {
	one, two := v.bandOf(c.A), v.bandOf(c.B)
	if one == nil || two == nil {
		return plane.Vec{X: math.NaN()}, plane.Vec{X: math.NaN()}
	}
	if one.band[0] > two.band[0] {
		one, two = two, one
	}
	p, q = plane.Vec{X: v.on(plane.Vec{X: one.band[1]}).X, Y: y}, plane.Vec{X: v.on(plane.Vec{X: two.band[0]}).X, Y: y}
	for _, x := range []float64{p.X, q.X} {
		l.Draw(drawing.Line(plane.Vec{X: x, Y: y - half}, plane.Vec{X: x, Y: y + half}), face, "")
	}
	if p.X <= q.X {
		v.dimension(l, p, q, v.pair(c))
		return p, q
	}
	h := 0.9 * half
	run := [][]plane.Vec{{{X: q.X, Y: y - h}, {X: p.X, Y: y - h}, {X: p.X, Y: y + h}, {X: q.X, Y: y + h}}}
	l.Draw(drawing.Hatch(math.Pi/4, 0.8, run), foulHatch, v.pair(c))
	return p, q
}

// filling says beside a gap from p to q that is too wide what fills it, between least and most: to its right, else to its
// left, far enough from its arrows or else as far as there is room. It is within a gap that is wide enough.
func (v *view) filling(l *drawing.Layer, least, most float64, a *answer, p, q plane.Vec) {
	text := v.w.Fill(a.Finding)
	wide := label25.Width(text)
	for _, off := range []float64{6, 1} { // of the dimension's arrows, outside the gap
		switch y := p.Y - 1.2; {
		case text == "":
			return
		case q.X+off+wide <= most:
			l.Write(plane.Vec{X: q.X + off, Y: y}, drawing.Start, label25, text)
			return
		case p.X-off-wide >= least:
			l.Write(plane.Vec{X: p.X - off, Y: y}, drawing.End, label25, text)
			return
		case q.X-p.X > wide+6: // above its line
			l.Write(plane.Vec{X: (p.X + q.X) / 2, Y: p.Y + 0.5}, drawing.Middle, label25, text)
			return
		}
	}
	if wide <= most-least { // over its arrows, better than nowhere
		l.Write(plane.Vec{X: most, Y: p.Y - 1.2}, drawing.End, label25, text)
	}
}
