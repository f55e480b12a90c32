package sheet

import (
	"math"

	"barover/render/drawing"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/plane"
)

// sideLine is how far a part may shift across; gapLine bounds a gap.
var (
	sideLine = &drawing.Style{Name: "sideplay", Width: 0.18, Line: drawing.Dashed, Stroke: black}
	bandLine = edged(tints, "band-", 0.35)
	bandGrey = &drawing.Style{Name: "band-fixed", Width: 0.35, Line: drawing.Continuous, Stroke: black, Fill: drawing.RGB(0xdddddd)}
)

// edged is the tints with a black edge of this width, mm.
func edged(tints []*drawing.Style, prefix string, width float64) (out []*drawing.Style) {
	for _, t := range tints {
		out = append(out, &drawing.Style{Name: prefix + t.Name, Width: width, Line: drawing.Continuous, Stroke: black, Fill: t.Fill})
	}
	return out
}

const (
	acrossNames  = 52.0 // room for names to the left of the bands, mm
	acrossRow    = 5.4
	acrossHead   = 14.0 // above the rows
	acrossFigure = 34.0 // room for figures to the right
)

// acrossStrip is the strip across the engine.
type acrossStrip struct {
	rows   []int // of the bodies
	gaps   []answer
	lo, hi float64 // of all of them, mm
}

// across gathers what there is across the engine: every profile's band, from the datum outward, and the gaps that the
// sketch asks for.
func (s *scene) across() acrossStrip {
	c := acrossStrip{lo: math.Inf(1), hi: math.Inf(-1)}
	for i, b := range s.bodies {
		if banded(&b) {
			c.rows = append(c.rows, i)
			c.lo, c.hi = min(c.lo, b.band[0]-s.play(&b)), max(c.hi, b.band[1]+s.play(&b))
		}
	}
	if len(c.rows) > 1 {
		c.gaps = s.gaps()
	}
	return c
}

// section makes the strip across the engine: every profile's band to scale with its faces figured and its sideplay, then
// the gaps. It is cut where it finds no room on a whole sheet.
func (c acrossStrip) section(l layout) section {
	n := len(c.rows) + len(c.gaps)
	if len(c.rows) < 2 {
		n = 0
	}
	wide, _ := roomOf(l).Size()
	scale, _ := drawing.Largest(c.hi-c.lo, 0, wide-acrossNames-acrossFigure, 1)
	return stripSection("Across the engine", scale.String(), n, acrossRow, func(v *view, box drawing.Box, from, to int) {
		v.k = scale.K()
		room := wide - acrossNames - acrossFigure
		v.shift = plane.Vec{X: box.Min.X + acrossNames - c.lo*v.k + (room-(c.hi-c.lo)*v.k)/2}
		v.strip(box, c, from, to, scale.String())
	})
}

// stripSection deals n rows of a strip, each so high, mm, and draws those from one to another. They are parted only where a
// whole sheet has no room for them.
func stripSection(kind, scale string, n int, row float64, draw func(v *view, box drawing.Box, from, to int)) section {
	next := 0
	return section{kind: kind, short: "across the engine", scale: scale, left: func() bool { return next < n },
		deal: func(_, high, whole float64) (p piece, ok bool) {
			each := int((high - acrossHead) / row)
			if n-next > each && high < whole {
				return p, false
			}
			from, to := next, min(n, next+max(1, each))
			next = to
			p.least = acrossHead + float64(to-from)*row
			p.draw = func(v *view, box drawing.Box) { draw(v, box, from, to) }
			return p, true
		}}
}

// play is by how much the body's part may shift either way, mm.
func (s *scene) play(b *body) float64 {
	if b.part < len(s.Problem.Sideplay) && s.Problem.Sideplay[b.part] != expr.None {
		if v := s.value(s.Problem.Sideplay[b.part]); v > 0 && v < 1e6 {
			return v
		}
	}
	return 0
}

// gaps lists the answers to gap checks whose two profiles pass each other.
func (s *scene) gaps() (list []answer) {
	for _, a := range s.answers() {
		if a.Check.Kind == solver.Gap && s.bandOf(a.Check.A) != nil && s.bandOf(a.Check.B) != nil {
			list = append(list, a)
		}
	}
	return list
}

// banded reports whether a body has a band that can be drawn.
func banded(b *body) bool {
	return !math.IsNaN(b.band[0]) && !math.IsNaN(b.band[1]) && math.Abs(b.band[0])+math.Abs(b.band[1]) < 1e6
}

func (s *scene) bandOf(profile int) *body {
	for i := range s.bodies {
		if b := &s.bodies[i]; b.profile == profile && !math.IsNaN(b.band[0]) && !math.IsNaN(b.band[1]) {
			return b
		}
	}
	return nil
}

// strip draws the rows from one to another: first the bands, then the gaps.
func (v *view) strip(room drawing.Box, c acrossStrip, from, to int, scale string) {
	l := v.d.Layer("across", "Across the engine")
	y := room.Max.Y - 11
	l.Write(plane.Vec{X: room.Min.X, Y: room.Max.Y - 3}, drawing.Start, text18,
		"across the engine, "+scale+", from the datum that the sketch chooses; dashes: how far a part may shift; bands from the datum outward")
	top := y + 3
	for i := from; i < to; i++ {
		if i < len(c.rows) {
			v.bandRow(l, room, &v.bodies[c.rows[i]], y)
		} else {
			v.gapRow(l, room, &c.gaps[i-len(c.rows)], y)
		}
		y -= acrossRow
	}
	if c.lo <= 0 && c.hi >= 0 {
		x := v.on(plane.Vec{}).X
		l.Draw(drawing.Line(plane.Vec{X: x, Y: top}, plane.Vec{X: x, Y: y + 2}), centreLine, "datum")
		l.Write(plane.Vec{X: x, Y: top + 0.8}, drawing.Middle, text18, "datum")
	}
}

func (v *view) bandRow(l *drawing.Layer, room drawing.Box, b *body, y float64) {
	a, c := v.on(plane.Vec{X: b.band[0]}).X, v.on(plane.Vec{X: b.band[1]}).X
	style := bandGrey
	if !b.fixed {
		style = bandLine[b.part%len(bandLine)]
	}
	if p := v.play(b) * v.k; p > 0 {
		l.Draw(drawing.Rect(plane.Vec{X: a - p, Y: y - 1}, plane.Vec{X: c + p, Y: y + 1}), sideLine, "sideplay of "+b.name)
	}
	l.Draw(drawing.Rect(plane.Vec{X: a, Y: y - 1.6}, plane.Vec{X: c, Y: y + 1.6}), style, b.name)
	l.Write(plane.Vec{X: room.Min.X, Y: y - 0.9}, drawing.Start, text18, text18.FitMiddle(b.name, acrossNames-4))
	figure := v.bandFigures(b)
	if p := v.play(b); p > 0 {
		figure += " ±" + v.w.length(p)
	}
	l.Write(plane.Vec{X: room.Max.X, Y: y - 0.9}, drawing.End, text18, figure)
	l.Draw(drawing.Line(plane.Vec{X: room.Min.X, Y: y - acrossRow/2}, plane.Vec{X: room.Max.X, Y: y - acrossRow/2}), rowLine, "")
}

// gapRow draws the gap between two profiles: both bands' near faces, and the figure with sideplay taken off.
func (v *view) gapRow(l *drawing.Layer, room drawing.Box, a *answer, y float64) {
	v.say(a, v.w)
	if p, q := v.gapLine(l, a.Check, y, 1.8, thinLine); p.X <= q.X {
		v.filling(l, room, a, p, q)
	}
	style := text18
	if !a.Finding.OK {
		style = plainRed
	}
	l.Write(plane.Vec{X: room.Min.X, Y: y - 0.9}, drawing.Start, style, style.FitPair("gap "+v.pair(a.Check), acrossNames-4))
	l.Write(plane.Vec{X: room.Max.X, Y: y - 0.9}, drawing.End, style, a.figure+"  "+a.State.String())
	l.Draw(drawing.Line(plane.Vec{X: room.Min.X, Y: y - acrossRow/2}, plane.Vec{X: room.Max.X, Y: y - acrossRow/2}), rowLine, "")
}

// gapLine draws the near faces of a gap's two bands, so far up and down, mm, and what lies between them: a dimension, or a
// hatch where they overlap. It returns the faces on the paper, the outer one first where they overlap.
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

// filling says beside a gap from p to q that is too wide what fills it: where there is room to the right of it, else to
// its left.
func (v *view) filling(l *drawing.Layer, room drawing.Box, a *answer, p, q plane.Vec) {
	text := v.w.fill(a.Finding)
	const arrows = 6.0 // the dimension's, outside the gap
	at, anchor := q.Add(plane.Vec{X: arrows, Y: -0.9}), drawing.Start
	if at.X+label18.Width(text) > room.Max.X-acrossFigure {
		at, anchor = p.Add(plane.Vec{X: -arrows, Y: -0.9}), drawing.End
	}
	if text != "" {
		l.Write(at, anchor, label18, text)
	}
}
