package sheet

import (
	"barover/render/drawing"
	"barover/render/office"
	"barover/solver/plane"
)

// Lengths of a sketch that has no outline yet.
var (
	isStick    = &drawing.Style{Name: "after-stick", Width: 0.7, Line: drawing.Continuous, Stroke: black}
	wasStick   = &drawing.Style{Name: "before-stick", Width: 0.18, Line: drawing.Continuous, Stroke: blue}
	quietStick = &drawing.Style{Name: "unchanged-stick", Width: 0.25, Line: drawing.Continuous, Stroke: grey}
)

// sticks draws the lengths of sketches without outlines, as their parts would be drawn.
func (v *bothView) sticks() {
	old, now := v.old.stickEnds(), v.now.stickEnds()
	l := v.now.d.Layer("sticks", "Lengths")
	draw := func(at [2]plane.Vec, s *drawing.Style, label string) { l.Draw(drawing.Line(at[0], at[1]), s, label) }
	drawn := map[*drawing.Style]bool{}
	for _, e := range now.order {
		style, label := isStick, "after: "+e
		if was, ok := old.at[e]; ok && max(was[0].Sub(now.at[e][0]).Len(), was[1].Sub(now.at[e][1]).Len()) <= little*v.now.k {
			style, label = quietStick, e
			delete(old.at, e)
		}
		draw(now.at[e], style, label)
		drawn[style] = true
	}
	for _, e := range old.order {
		if at, ok := old.at[e]; ok {
			draw(at, wasStick, "before: "+e)
			drawn[wasStick] = true
		}
	}
	for _, k := range []office.Kind{{Style: quietStick, Words: "lengths, the same before and after"}, {Style: isStick, Words: "lengths after: " + v.Is}, {Style: wasStick, Words: "lengths before: " + v.Was}} {
		if drawn[k.Style] {
			v.now.legend(k.Style, k.Words)
		}
	}
}

// ends are the lengths on the paper, by their names.
type ends struct {
	order []string
	at    map[string][2]plane.Vec
}

func (v *view) stickEnds() ends {
	e := ends{at: map[string][2]plane.Vec{}}
	if v.chosen == nil {
		return e
	}
	for _, k := range v.findSticks() {
		name := v.pointName(k[0]) + " to " + v.pointName(k[1])
		if _, ok := e.at[name]; !ok {
			e.order = append(e.order, name)
			e.at[name] = [2]plane.Vec{v.on(v.chosen.Point[k[0]]), v.on(v.chosen.Point[k[1]])}
		}
	}
	return e
}
