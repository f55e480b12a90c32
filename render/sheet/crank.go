package sheet

import (
	"math"

	"barover/render/drawing"
	"barover/solver/plane"
)

// crankCircle draws the crankpin's circle with a tick at each position, and labels positions with their angle outside
// what the crank sweeps.
func (v *view) crankCircle() {
	centre, pin := v.crank()
	if v.chosen == nil || centre < 0 || centre >= len(v.chosen.Point) || pin < 0 || pin >= len(v.chosen.Point) {
		return
	}
	c := v.on(v.chosen.Point[centre])
	r := v.on(v.chosen.Point[pin]).Sub(c).Len()
	if !(r > 1 && r < 1e4) {
		return
	}
	l := v.d.Layer("crank", "Crank positions")
	l.Draw(drawing.Circle(c, r), centreLine, "circle of "+v.pointName(pin))
	v.direction(l, c, r)
	outer := max(r+2, v.crankReach(centre)+2.5)
	every := v.labelEvery(outer)
	for i, p := range v.ghosts {
		d := v.on(p.Point[pin]).Sub(c).Unit()
		l.Draw(drawing.Line(c.Add(d.Scale(r-0.8)), c.Add(d.Scale(r+0.8))), thinLine, "")
		if i%every != 0 {
			continue
		}
		at := c.Add(d.Scale(outer + 1.2))
		t := drawing.Text{At: at.Add(plane.Vec{Y: -ghostNo.Height / 2}), Anchor: drawing.Middle, Style: ghostNo, S: v.turned(p.Turn)}
		t.At.X += d.X * ghostNo.Width(t.S) / 2
		t.At.Y += d.Y * ghostNo.Height / 2
		if math.Abs(d.Y) < 0.05 {
			t.At.Y += 2 // off the centre line, which beside a figure would pass for its sign
		}
		if v.labels.claim(t.Box()) {
			l.Draw(drawing.Line(c.Add(d.Scale(outer-1)), c.Add(d.Scale(outer+0.4))), thinLine, "")
			l.Items = append(l.Items, t)
		}
	}
}

// direction draws an arrow about the crank's centre the way in which its angle grows.
func (v *view) direction(l *drawing.Layer, c plane.Vec, r float64) {
	if r *= 0.55; r < 4 {
		return
	}
	from := v.Problem.Turn.From + math.Pi/3
	sweep := min(math.Pi/3, 12/r)
	l.Draw(drawing.Arc(c, r, from, sweep), thinLine, "the way in which the angle grows")
	tip := plane.Polar(from + sweep)
	arrow(l, c.Add(tip.Scale(r)), tip.Turned().Times(plane.Polar(-1/r)), dimArrow)
}

// labelEvery is at every how many positions an angle is written, so that angles stand apart on a circle of radius r, mm.
func (v *view) labelEvery(r float64) int {
	if len(v.ghosts) == 0 {
		return 1
	}
	room := 2 * math.Pi * r / 9
	for _, n := range []int{1, 2, 3, 4, 6, 8, 12, 24} {
		if float64(len(v.ghosts))/float64(n) <= room {
			return n
		}
	}
	return len(v.ghosts)
}

// crankReach is how far from the crank's centre, mm of paper, the parts that turn with it reach.
func (v *view) crankReach(centre int) float64 {
	reach := 0.0
	c := v.chosen.Point[centre]
	for _, b := range v.bodies {
		part := v.Problem.Linkage.Parts[b.part]
		if b.fixed || part.P != centre {
			continue
		}
		hub := v.chosen.Part[b.part].Out(b.region.Centre)
		reach = max(reach, hub.Sub(c).Len()+b.region.Radius)
	}
	return min(reach*v.k, 60)
}
