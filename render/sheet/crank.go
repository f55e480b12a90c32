package sheet

import (
	"math"
	"slices"

	"barover/render/drawing"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// crankWay is the way of the crankpin about its centre over the turn: the least and the greatest of its heading, rad,
// counted on without a jump, and where the turn begins and ends.
type crankWay struct{ least, greatest, first, last float64 }

// way follows the crankpin over the turn.
func (s *scene) way(centre, pin int) (w crankWay) {
	begun := false
	for _, p := range s.turns {
		if p == nil {
			continue
		}
		d := p.Point[pin].Sub(p.Point[centre])
		h := math.Atan2(d.Y, d.X)
		if !begun {
			w, begun = crankWay{h, h, h, h}, !math.IsNaN(h)
			continue
		}
		if h = w.last + math.Remainder(h-w.last, 2*math.Pi); !math.IsNaN(h) {
			w.least, w.greatest, w.last = min(w.least, h), max(w.greatest, h), h
		}
	}
	return w
}

// whole reports whether the pin goes all the way round, to the accuracy of its heading.
func (w crankWay) whole() bool { return w.greatest-w.least > 2*math.Pi-1e-6 }

// crankRest is the rest of the circle of a crank that turns in part only.
var crankRest = &drawing.Style{Name: "crank-rest", Width: 0.13, Line: drawing.Dotted, Stroke: dark}

// pinsWay draws the crankpin's circle, or the arc that it travels, and as much of the rest as the picture has room for.
func (v *view) pinsWay(l *drawing.Layer, c plane.Vec, r float64, w crankWay, pin int) {
	name := "circle of " + v.pointName(pin)
	if w.whole() || v.goesRound() {
		l.Draw(drawing.Circle(c, r), centreLine, name)
		return
	}
	if round := (drawing.Box{Min: c, Max: c}).Grown(r); v.l.picture.Holds(round.Min) && v.l.picture.Holds(round.Max) {
		l.Draw(drawing.Arc(c, r, w.greatest, 2*math.Pi-(w.greatest-w.least)), crankRest, "rest of the "+name)
		v.legend(crankRest, "rest of the crank's circle")
	}
	if w.greatest > w.least {
		l.Draw(drawing.Arc(c, r, w.least, w.greatest-w.least), centreLine, name+", as far as it is gone along")
	}
}

// crankCircle draws the crankpin's circle with a tick at each position, and labels positions with their angle outside the
// sweep of the crank.
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
	w := v.way(centre, pin)
	v.pinsWay(l, c, r, w, pin)
	v.direction(l, c, r, w)
	outer := max(r+2, v.crankReach(centre)+2.5)
	every := v.labelEvery(outer, w)
	edges := v.edgesAbout(c, outer+crankFarther[len(crankFarther)-1]+8)
	for i, p := range v.ghosts {
		d := v.on(p.Point[pin]).Sub(c).Unit()
		l.Draw(drawing.Line(c.Add(d.Scale(r-0.8)), c.Add(d.Scale(r+0.8))), thinLine, "")
		if i%every != 0 {
			continue
		}
		angle := v.turned(p.Turn)
		if v.Problem.Turn.From < 0 && p.Turn > 0 {
			angle = "+" + angle // beside the others its tick would look like a minus
		}
		for _, farther := range crankFarther {
			t := crankText(c.Add(d.Scale(outer+1.2+farther)), d, angle)
			box := t.Box().Grown(drawing.Halo)
			over := func(e [2]plane.Vec) bool { return box.Passed(e[0], e[1]) }
			if !slices.ContainsFunc(edges, over) && v.labels.Claim(t.Box()) {
				l.Draw(drawing.Line(c.Add(d.Scale(outer-1)), c.Add(d.Scale(outer+0.4+farther))), thinLine, "")
				l.Items = append(l.Items, t)
				break
			}
		}
	}
}

// crankFarther is how much farther out an angle may stand, mm, where its place lies over the outline of a part.
var crankFarther = []float64{0, 3.5, 7}

// crankText is an angle beyond a place on the circle, in direction d.
func crankText(at, d plane.Vec, angle string) drawing.Text {
	t := drawing.Text{At: at.Add(plane.Vec{Y: -ghostNo.Height / 2}), Anchor: drawing.Middle, Style: ghostNo, S: angle}
	t.At.X += d.X * ghostNo.Width(t.S) / 2
	t.At.Y += d.Y * ghostNo.Height / 2
	if math.Abs(d.Y) < 0.05 {
		t.At.Y += 2 // off the centre line, which would look like a minus beside a figure
	}
	return t
}

// edgesAbout are the outlines of all bodies at the chosen position within so far, mm, of a place.
func (v *view) edgesAbout(c plane.Vec, far float64) (edges [][2]plane.Vec) {
	near := (drawing.Box{Min: c, Max: c}).Grown(far)
	for i := range v.bodies {
		for _, run := range v.flat(&v.bodies[i], v.chosen) {
			for k, p := range run {
				if last := run[(k+len(run)-1)%len(run)]; near.Passed(last, p) {
					edges = append(edges, [2]plane.Vec{last, p})
				}
			}
		}
	}
	return edges
}

// direction draws an arrow about the crank's centre in the direction in which its angle grows.
func (v *view) direction(l *drawing.Layer, c plane.Vec, r float64, w crankWay) {
	if r *= 0.55; r < 4 {
		return
	}
	span := w.last - w.first
	sweep := math.Copysign(min(math.Pi/3, 12/r, math.Abs(span)/2), span)
	from := w.first + math.Copysign(min(math.Pi/3, math.Abs(span)/4), span)
	if math.Abs(sweep)*r < 4 {
		return
	}
	l.Draw(drawing.Arc(c, r, from, sweep), thinLine, "the way in which the angle grows")
	tip := plane.Polar(from + sweep)
	arrow(l, c.Add(tip.Scale(r)), tip.Turned().Scale(math.Copysign(1, sweep)).Times(plane.Polar(math.Copysign(1/r, -sweep))), dimArrow)
}

// labelEvery is the number of positions from one written angle to the next, so that angles are apart on an arc of radius
// r, mm.
func (v *view) labelEvery(r float64, w crankWay) int {
	if len(v.ghosts) == 0 {
		return 1
	}
	room := (w.greatest - w.least) * r / 9
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

// crank finds the point that the turn carries round, and the centre of its circle: −1 where there is none.
func (e *Engine) crank() (centre, pin int) {
	for _, q := range e.Problem.Linkage.Equations {
		turns := q.V >= 0 && int(q.V) < len(e.Problem.Graph.Nodes) && e.Problem.Graph.Uses(q.V)&1 != 0
		switch {
		case turns && q.Kind == schedule.Heading:
			return q.P, q.Q
		case turns && q.Kind == schedule.Angle:
			return q.Q, q.R
		}
	}
	return -1, -1
}
