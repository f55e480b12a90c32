package template

import (
	"math"
	"slices"

	"barover/render/drawing"
	"barover/solver/plane"
)

// placer finds room for labels on a sheet: where they hide no line and no other label.
type placer struct {
	room  drawing.Box
	lines [][2]plane.Vec
	taken []drawing.Box
	spots []drawing.Box // centres, which no line that leads elsewhere may pass over
	work  int           // lines that boxes were held against, so far
}

// avoid keeps labels off a path.
func (p *placer) avoid(path drawing.Path) {
	runs, closed := path.Flat(0.2)
	for i, run := range runs {
		for k := 1; k < len(run); k++ {
			p.lines = append(p.lines, [2]plane.Vec{run[k-1], run[k]})
		}
		if n := len(run); closed[i] && n > 1 {
			p.lines = append(p.lines, [2]plane.Vec{run[n-1], run[0]})
		}
	}
}

// mostWork bounds what is spent on a sheet's labels, so that a plate of thousands of holes is drawn at once all the same:
// what then has no label stands in the list.
const mostWork = 20_000_000

// What a place for a label costs, in mm of distance: each line that its leader crosses. Whatever costs less than good is not bettered.
const (
	crossing = 4.0
	good     = 6.0
)

// place finds a box w × h near a place, all round: nearest, with a leader that crosses few lines. It returns what that costs; infinite where
// there is none that is in the room and free.
func (p *placer) place(at plane.Vec, w, h float64) (best drawing.Box, cost float64) {
	cost = math.Inf(1)
	for _, far := range []float64{2, 4.5, 8, 12, 17, 23, 30, 40, 52, 65} {
		for k := range 24 {
			if far >= cost {
				return best, cost
			}
			u := plane.Polar(math.Pi/4 + float64(k)*math.Pi/12)
			// The middle stands so far off that the near side of the box is far away.
			c := at.Add(plane.Vec{X: u.X * (far + w/2), Y: u.Y * (far + h/2)})
			b := drawing.Box{Min: plane.Vec{X: c.X - w/2, Y: c.Y - h/2}, Max: plane.Vec{X: c.X + w/2, Y: c.Y + h/2}}
			if !p.free(b) || !p.reached(at, b) {
				continue
			}
			if c := far + crossing*float64(p.crossed(at, nearest(at, b))); c < cost {
				best, cost = b, c
			}
		}
	}
	return best, cost
}

// crossed counts the lines that a leader crosses, without what it starts from.
func (p *placer) crossed(at, to plane.Vec) (n int) {
	const own = 0.5 // mm
	at = at.Add(to.Sub(at).Unit().Scale(own))
	p.work += len(p.lines)
	for _, l := range p.lines {
		a, b := to.Sub(at), l[1].Sub(l[0])
		if a.Cross(l[0].Sub(at))*a.Cross(l[1].Sub(at)) < 0 && b.Cross(at.Sub(l[0]))*b.Cross(to.Sub(l[0])) < 0 {
			n++
		}
	}
	return n
}

// apart is how far labels are apart, and offLine how far they are off lines, mm.
const (
	apart   = 1.5
	offLine = 0.8
)

// free reports whether nothing stands in the box.
func (p *placer) free(b drawing.Box) bool {
	if !p.room.Holds(b.Min) || !p.room.Holds(b.Max) || p.work > mostWork {
		return false
	}
	p.work += len(p.taken) + len(p.lines)
	wide := b.Grown(offLine)
	return !slices.ContainsFunc(p.taken, b.Grown(apart).Meets) && !slices.ContainsFunc(p.lines, func(l [2]plane.Vec) bool { return wide.Passed(l[0], l[1]) })
}

// reached reports whether the line that leads from a place to a box passes over no label and no centre but its own.
func (p *placer) reached(at plane.Vec, b drawing.Box) bool {
	to := nearest(at, b)
	return !slices.ContainsFunc(p.spots, func(s drawing.Box) bool { return !s.Holds(at) && s.Passed(at, to) }) &&
		!slices.ContainsFunc(p.taken, func(t drawing.Box) bool { return t.Passed(at, to) })
}

// nearest is the place of a box nearest to another place.
func nearest(at plane.Vec, b drawing.Box) plane.Vec {
	return plane.Vec{X: min(max(at.X, b.Min.X), b.Max.X), Y: min(max(at.Y, b.Min.Y), b.Max.Y)}
}

// note places lines of text near one of some places, whichever costs least, and draws them, with a line that leads there; where the sheet
// has no room left they are not drawn, and the list has them.
func (p *placer) note(l *drawing.Layer, places []plane.Vec, s *drawing.TextStyle, lines []string, dotted bool) bool {
	wide := 0.0
	for _, t := range lines {
		wide = math.Max(wide, s.Width(t))
	}
	step := 1.5 * s.Height
	high := step*float64(len(lines)) - 0.3*s.Height
	var at plane.Vec
	var b drawing.Box
	least := math.Inf(1)
	for _, c := range places {
		if least < good {
			break
		}
		if box, cost := p.place(c, wide, high); cost < least {
			at, b, least = c, box, cost
		}
	}
	if math.IsInf(least, 1) {
		return false
	}
	p.taken = append(p.taken, b)
	if to := nearest(at, b); dotted || to.Sub(at).Len() > 3.5 {
		l.Draw(drawing.Line(at, to), thin, "")
		p.lines = append(p.lines, [2]plane.Vec{at, to})
	}
	if dotted {
		l.Draw(drawing.Circle(at, 0.6), dot, "")
		p.spots = append(p.spots, drawing.Box{Min: at, Max: at}.Grown(1))
	}
	for i, t := range lines {
		l.Write(plane.Vec{X: b.Min.X, Y: b.Max.Y - s.Height - float64(i)*step}, drawing.Start, s, t)
	}
	return true
}
