package sheet

import (
	"math"

	"barover/render/chart"
	"barover/render/drawing"
	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/plane"
)

// mostDetails bounds the close-ups of one engine.
const mostDetails = 12

// places are the sections of the tightest places: every foul and the tightest places that hold, first each enlarged, then
// each as clearance against crank position.
func (s *scene) places(l layout) section {
	list := s.details()
	c := panelled{n: 2 * len(list), wide: 80, high: 62, columns: len(list)}
	c.draw = func(v *view, box drawing.Box, i int) {
		a := list[i%len(list)]
		v.say(&a, v.w)
		if i < len(list) {
			v.detail(box, &a, l.scale)
			return
		}
		layer := v.d.Layer("charts", "Charts")
		layer.Draw(drawing.Rect(box.Min, box.Max), thinLine, "")
		chart.Draw(layer, box, v.clearanceChart(&a))
	}
	return c.section("Tightest places over the turn", "tightest places", asShown)
}

// details lists what is enlarged: at most mostDetails, those that hold at most as many as fill a sheet.
func (s *scene) details() (list []answer) {
	holding := 0
	for _, a := range s.answers() {
		if a.Check.Kind != solver.Clear || !sound(a.Finding) || len(list) == mostDetails {
			continue
		}
		if a.OK {
			if holding++; holding > 3 {
				continue
			}
		}
		list = append(list, a)
	}
	return list
}

// detail draws one place enlarged in a panel: the pair in its tint, what else is near in thin lines, the figure, the crank
// position and the travels.
func (v *view) detail(panel drawing.Box, a *answer, overlay drawing.Scale) {
	l := v.d.Layer("details", "Details")
	f := a.Finding
	window := panel
	window.Min.Y += 12
	s := v.enlarged(window, f.Near[0].Sub(f.Near[1]).Len(), overlay)
	v.k = s.K()
	mid := f.Near[0].Add(f.Near[1]).Scale(0.5)
	v.shift = window.Centre().Sub(mid.Scale(v.k))
	if p := v.pose(f.At.Turn, f.At.Travel); p != nil {
		v.detailBodies(l, window, a, p)
	}
	p, q := v.on(f.Near[0]), v.on(f.Near[1])
	if p.Sub(q).Len() < window.Max.Sub(window.Min).Len()/3 {
		if f.Least < 0 {
			l.Draw(drawing.Circle(p.Add(q).Scale(0.5), max(1.5, p.Sub(q).Len()/2+1)), foulLead, "")
		} else {
			v.dimension(l, p, q, "")
		}
	}
	l.Draw(drawing.Rect(panel.Min, panel.Max), thinLine, "")
	l.Draw(drawing.Rect(window.Min, window.Max), thinLine, "")
	style := bold18
	if !f.OK {
		style = plainRed
	}
	width := panel.Max.X - panel.Min.X
	l.Write(plane.Vec{X: panel.Min.X + 2, Y: panel.Min.Y + 7.6}, drawing.Start, bold18, bold18.FitPair(v.pair(a.Check), width-24))
	l.Write(plane.Vec{X: panel.Max.X - 2, Y: panel.Min.Y + 7.2}, drawing.End, bold25, s.String())
	l.Write(plane.Vec{X: panel.Min.X + 2, Y: panel.Min.Y + 2.6}, drawing.Start, style, style.Fit(v.short(a), width-4))
}

// enlarged chooses a scale of ISO 5455: so large that the gap, mm, is some 12 mm, but not so large that less than a thirtieth
// of the engine is to be seen, and larger than the overlay's where that is possible.
func (v *view) enlarged(window drawing.Box, gap float64, overlay drawing.Scale) drawing.Scale {
	w, h := window.Size()
	size := 1.0
	if !v.box.Empty() {
		size = v.box.Max.Sub(v.box.Min).Len()
	}
	most := max(overlay.K(), math.Sqrt(w*h)/(size/30))
	for _, s := range drawing.Scales {
		if s.K() <= most*(1+1e-9) && s.K()*gap <= 12 {
			return s
		}
	}
	return overlay
}

func (v *view) detailBodies(l *drawing.Layer, window drawing.Box, a *answer, p *linkage.Pose) {
	v.tintPair(l, window, a, p)
	for _, ofPair := range [2]bool{false, true} {
		for i := range v.bodies {
			b := &v.bodies[i]
			switch asked := b.profile == a.Check.A || b.profile == a.Check.B; {
			case asked != ofPair:
			case asked:
				v.cut(l, window, b, p, pairLine)
			default:
				v.cut(l, window, b, p, ghostLine)
			}
		}
	}
}

// cut draws what of a body's outline lies in a window.
func (v *view) cut(l *drawing.Layer, window drawing.Box, b *body, p *linkage.Pose, style *drawing.Style) {
	runs, closed := b.path.Scaled(v.k).Placed(v.at(p.Part[b.part])).Flat(0.01)
	if lines := window.Cut(runs, closed); len(lines) > 0 {
		l.Draw(lines, style, v.about(b))
	}
}

// tintPair fills both outlines of a pair within a window, and hatches what they share where they foul.
func (v *view) tintPair(l *drawing.Layer, window drawing.Box, a *answer, p *linkage.Pose) {
	var pair [][][]plane.Vec
	for i := range v.bodies {
		b := &v.bodies[i]
		if b.profile != a.Check.A && b.profile != a.Check.B {
			continue
		}
		runs, _ := b.path.Scaled(v.k).Placed(v.at(p.Part[b.part])).Flat(0.01)
		area := window.Clip(runs)
		pair = append(pair, area)
		var fill drawing.Path
		for _, run := range area {
			fill = append(fill, drawing.Polyline(run, true)...)
		}
		if len(fill) > 0 {
			l.Draw(fill, detailFill(b), "")
		}
	}
	if len(pair) == 2 && a.Finding.Least < 0 {
		if h := drawing.Hatch(math.Pi/4, 1, pair...); len(h) > 0 {
			l.Draw(h, foulHatch, "")
		}
	}
}

// detailFill is the tint of a body in a detail.
func detailFill(b *body) *drawing.Style {
	if b.fixed {
		return fillFixed
	}
	return fills[b.part%len(fills)]
}
