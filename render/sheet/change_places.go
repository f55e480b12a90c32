package sheet

import (
	"math"

	"barover/render/drawing"
	"barover/solver/linkage"
	"barover/solver/plane"
)

// mostEnlarged bounds the changed places that are enlarged: those that do not hold first, then the tightest.
const mostEnlarged = 9

// The pair of an enlarged place, and what stands round it.
var (
	isEdge    = &drawing.Style{Name: "after-edge", Width: 0.7, Line: drawing.Continuous, Stroke: black}
	wasEdge   = &drawing.Style{Name: "before-edge", Width: 0.18, Line: drawing.Continuous, Stroke: blue}
	quietEdge = &drawing.Style{Name: "edge-unchanged", Width: 0.35, Line: drawing.Continuous, Stroke: black}
)

// placeSection is the section of the changed places, each enlarged as it is and, thin, as it was at the same position.
func (b *both) placeSection(l layout) section {
	var list []*ChangedCheck
	for _, c := range b.shown(mostEnlarged) {
		if c.After != nil {
			list = append(list, c)
		}
	}
	c := panelled{n: len(list), wide: 80, high: 62}
	c.draw = func(v *view, box drawing.Box, i int) { b.beside(v).enlargedPlace(box, list[i], l.scale) }
	return c.section("Changed places, thin: before", "changed places", asShown)
}

// beside is a view of the engine after the change with one of the engine before it on the same paper.
func (b *both) beside(now *view) *bothView {
	old := *now
	old.scene = b.was
	return &bothView{b, now, &old}
}

// enlargedPlace draws one changed place in a panel, as large as its gap and the change of it ask.
func (v *bothView) enlargedPlace(panel drawing.Box, c *ChangedCheck, overlay drawing.Scale) {
	l := v.now.d.Layer("places", "Changed places")
	_, a := v.answer(c)
	f := a.Finding
	window := panel
	window.Min.Y += 12
	moved := 0.0
	if c.Before != nil && math.Abs(c.Before.Least-f.Least) < 1e9 {
		moved = math.Abs(c.Before.Least - f.Least)
	}
	s := v.now.enlarged(window, max(f.Near[0].Sub(f.Near[1]).Len(), moved), overlay)
	if s.K() < overlay.K() {
		s = overlay
	}
	v.now.k = s.K()
	v.now.shift = window.Centre().Sub(f.Near[0].Add(f.Near[1]).Scale(0.5 * v.now.k))
	v.old.k, v.old.shift = v.now.k, v.now.shift
	v.enlargedBodies(l, window, &a)
	p, q := v.now.on(f.Near[0]), v.now.on(f.Near[1])
	if p.Sub(q).Len() < window.Max.Sub(window.Min).Len()/3 {
		if f.Least < 0 {
			l.Draw(drawing.Circle(p.Add(q).Scale(0.5), max(1.5, p.Sub(q).Len()/2+1)), foulLead, "")
		} else {
			v.now.dimension(l, p, q, "")
		}
	}
	v.enlargedWords(l, panel, window, c, &a, s)
}

func (v *bothView) enlargedWords(l *drawing.Layer, panel, window drawing.Box, c *ChangedCheck, a *answer, s drawing.Scale) {
	l.Draw(drawing.Rect(panel.Min, panel.Max), thinLine, "")
	l.Draw(drawing.Rect(window.Min, window.Max), thinLine, "")
	lines := v.labelLines(v.is, c, a)
	style := bold18
	if c.rank() == 0 {
		style = plainRed
	}
	width := panel.Max.X - panel.Min.X
	l.Write(plane.Vec{X: panel.Min.X + 2, Y: panel.Min.Y + 7.6}, drawing.Start, style, style.Fit(lines[0], width-24))
	l.Write(plane.Vec{X: panel.Max.X - 2, Y: panel.Min.Y + 7.2}, drawing.End, bold25, s.String())
	l.Write(plane.Vec{X: panel.Min.X + 2, Y: panel.Min.Y + 2.6}, drawing.Start, style, style.Fit(lines[1], width-4))
}

// enlargedBodies draws the pair thick and tinted, what is near it in hairlines, and thin what of the pair was otherwise.
func (v *bothView) enlargedBodies(l *drawing.Layer, window drawing.Box, a *answer) {
	now := v.is.pose(a.Finding.At.Turn, a.Finding.At.Travel)
	if now == nil {
		return
	}
	for i := range v.is.bodies {
		if b := &v.is.bodies[i]; !v.asked(a, b) {
			v.now.cut(l, window, b, now, ghostLine)
		}
	}
	v.now.tintPair(l, window, a, now)
	old := v.oldPose(a.Finding.At)
	for i := range v.twins {
		if t := &v.twins[i]; t.is >= 0 && v.asked(a, &v.is.bodies[t.is]) {
			v.enlargedTwin(l, window, t, old, now)
		}
	}
}

// enlargedTwin draws one of a pair: thick as it is and thin as it was, or once where both are the same here. Where the old
// engine cannot be assembled, it is drawn as it is alone.
func (v *bothView) enlargedTwin(l *drawing.Layer, window drawing.Box, t *twin, old, now *linkage.Pose) {
	is := &v.is.bodies[t.is]
	if t.was < 0 || old == nil {
		v.now.cut(l, window, is, now, isEdge)
		return
	}
	was := &v.was.bodies[t.was]
	if sameRegion(was.region, is.region) && standsAlike(is, old.Part[was.part], now.Part[is.part]) {
		v.now.cut(l, window, is, now, quietEdge)
		return
	}
	v.now.cut(l, window, is, now, isEdge)
	lines, whole := apartFrom(v.old.flat(was, old), v.now.flat(is, now), isEdge.Width/2)
	if whole {
		v.old.cut(l, window, was, old, wasEdge)
		return
	}
	runs, closed := lines.Flat(0.01)
	if lines := window.Cut(runs, closed); len(lines) > 0 {
		l.Draw(lines, wasEdge, v.old.about(was))
	}
}

func (v *bothView) asked(a *answer, b *body) bool {
	return b.profile == a.Check.A || b.profile == a.Check.B
}
