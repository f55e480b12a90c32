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
	bandLine = thinEdges(tints)
	bandGrey = &drawing.Style{Name: "band-fixed", Width: 0.35, Line: drawing.Continuous, Stroke: black, Fill: drawing.RGB(0xdddddd)}
)

func thinEdges(tints []*drawing.Style) (out []*drawing.Style) {
	for _, t := range tints {
		out = append(out, &drawing.Style{Name: "band-" + t.Name, Width: 0.35, Line: drawing.Continuous, Stroke: black, Fill: t.Fill})
	}
	return out
}

const (
	acrossNames  = 52.0 // room for names to the left of the bands, mm
	acrossRow    = 5.4
	acrossFigure = 34.0 // room for figures to the right
)

// acrossSheets makes the strip across the engine: every profile's band to scale, the widest part first from the datum
// outward, with its faces figured, its sideplay, and the gaps that the sketch asks for.
func (s *scene) acrossSheets(l layout) (int, func(o Options, i int) *drawing.Drawing) {
	var rows []int
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, b := range s.bodies {
		if b.band[0] == b.band[0] && b.band[1] == b.band[1] && math.Abs(b.band[0])+math.Abs(b.band[1]) < 1e6 {
			rows = append(rows, i)
			lo, hi = min(lo, b.band[0]-s.play(&b)), max(hi, b.band[1]+s.play(&b))
		}
	}
	if len(rows) < 2 {
		return 0, nil
	}
	gaps := s.gaps()
	_, high := roomOf(l).Size()
	each := int(max(4, (high-22)/acrossRow))
	n := (len(rows) + len(gaps) + each - 1) / each
	return n, func(o Options, i int) *drawing.Drawing {
		w, _ := roomOf(l).Size()
		scale, _ := drawing.Largest(hi-lo, 0, w-acrossNames-acrossFigure, 1)
		p := newPage(&o, l, "Across the engine", scale.String())
		v := &view{scene: s, o: &o, w: o.Words, d: p.d, k: scale.K()}
		v.shift = plane.Vec{X: p.room.Min.X + acrossNames - lo*v.k + ((w-acrossNames-acrossFigure)-(hi-lo)*v.k)/2}
		v.strip(p.room, rows, gaps, i*each, (i+1)*each, lo, hi)
		return p.d
	}
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
		if a.check.Kind == solver.Gap && s.bandOf(a.check.A) != nil && s.bandOf(a.check.B) != nil {
			list = append(list, a)
		}
	}
	return list
}

func (s *scene) bandOf(profile int) *body {
	for i := range s.bodies {
		if b := &s.bodies[i]; b.profile == profile && b.band[0] == b.band[0] && b.band[1] == b.band[1] {
			return b
		}
	}
	return nil
}

// strip draws the rows from one to another: first the bands, then the gaps.
func (v *view) strip(room drawing.Box, rows []int, gaps []answer, from, to int, lo, hi float64) {
	l := v.d.Layer("across", "Across the engine")
	y := room.Max.Y - 12
	l.Write(plane.Vec{X: room.Min.X, Y: room.Max.Y - 4}, drawing.Start, text18,
		"across the engine, from the datum that the sketch chooses; dashes: how far a part may shift; bands from the datum outward")
	top := y + 3
	for i := from; i < to && i < len(rows)+len(gaps); i++ {
		if i < len(rows) {
			v.bandRow(l, room, &v.bodies[rows[i]], y)
		} else {
			v.gapRow(l, room, &gaps[i-len(rows)], y)
		}
		y -= acrossRow
	}
	if lo <= 0 && hi >= 0 {
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
	l.Write(plane.Vec{X: room.Min.X, Y: y - 0.9}, drawing.Start, text18, text18.Fit(b.name, acrossNames-4))
	figure := v.w.length(b.band[0]) + " to " + v.w.length(b.band[1])
	if p := v.play(b); p > 0 {
		figure += " ±" + v.w.length(p)
	}
	l.Write(plane.Vec{X: room.Max.X, Y: y - 0.9}, drawing.End, text18, figure)
	l.Draw(drawing.Line(plane.Vec{X: room.Min.X, Y: y - acrossRow/2}, plane.Vec{X: room.Max.X, Y: y - acrossRow/2}), rowLine, "")
}

// gapRow draws the gap between two profiles: both bands' near faces, and the figure with sideplay taken off.
func (v *view) gapRow(l *drawing.Layer, room drawing.Box, a *answer, y float64) {
	v.say(a, v.w)
	one, two := v.bandOf(a.check.A), v.bandOf(a.check.B)
	if one.band[0] > two.band[0] {
		one, two = two, one
	}
	p, q := plane.Vec{X: v.on(plane.Vec{X: one.band[1]}).X, Y: y}, plane.Vec{X: v.on(plane.Vec{X: two.band[0]}).X, Y: y}
	for _, x := range []float64{p.X, q.X} {
		l.Draw(drawing.Line(plane.Vec{X: x, Y: y - 1.8}, plane.Vec{X: x, Y: y + 1.8}), thinLine, "")
	}
	if p.X <= q.X {
		v.dimension(l, p, q, v.pair(a.check))
	} else {
		run := [][]plane.Vec{{{X: q.X, Y: y - 1.6}, {X: p.X, Y: y - 1.6}, {X: p.X, Y: y + 1.6}, {X: q.X, Y: y + 1.6}}}
		l.Draw(drawing.Hatch(math.Pi/4, 0.8, run), foulHatch, v.pair(a.check))
	}
	style := text18
	if !a.finding.OK {
		style = plainRed
	}
	l.Write(plane.Vec{X: room.Min.X, Y: y - 0.9}, drawing.Start, style, style.Fit("gap "+v.pair(a.check), acrossNames-4))
	l.Write(plane.Vec{X: room.Max.X, Y: y - 0.9}, drawing.End, style, a.figure+"  "+a.verdict)
	l.Draw(drawing.Line(plane.Vec{X: room.Min.X, Y: y - acrossRow/2}, plane.Vec{X: room.Max.X, Y: y - acrossRow/2}), rowLine, "")
}
