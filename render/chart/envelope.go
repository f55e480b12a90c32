package chart

import (
	"math"
	"slices"

	"barover/render/drawing"
	"barover/solver/plane"
)

// Envelope is between what curves lie, in the axes' units: places of the same x, in order. Where the lower line has no number nothing is known,
// and it has a gap; where the upper alone has none it is open above.
type Envelope struct {
	Name      string // "" to leave it out of the key
	Gap       string // the word at a gap
	Low, High []plane.Vec
}

// within fills an envelope, so light that curves and hatches read over it; edge is its lines.
var (
	within = &drawing.Style{Name: "envelope", Fill: drawing.RGB(0xdedede)}
	edge   = &drawing.Style{Name: "envelope-edge", Width: 0.18, Line: drawing.Continuous, Stroke: black}
)

func known(v plane.Vec) bool { return !math.IsNaN(v.Y) && !math.IsInf(v.Y, 0) }

// stretches calls with each run of places at which something is so, from the first to beyond the last.
func stretches(n int, is func(i int) bool, with func(from, to int)) {
	for i := 0; i < n; i++ {
		from := i
		for i < n && is(i) {
			i++
		}
		if i > from {
			with(from, i)
		}
	}
}

// envelope draws one.
func (f field) envelope(l *drawing.Layer, e *Envelope) {
	if e == nil {
		return
	}
	stretches(len(e.Low), func(i int) bool { return known(e.Low[i]) && known(e.High[i]) }, func(from, to int) {
		run := f.on(e.Low[from:to])
		back := f.on(e.High[from:to])
		slices.Reverse(back)
		l.Draw(drawing.Closed(f.box.Clip([][]plane.Vec{append(run, back...)})), within, e.Name)
	})
	for _, line := range [2][]plane.Vec{e.Low, e.High} {
		f.curve(l, Curve{Name: e.Name, Style: edge, Points: line})
	}
}

func (f field) on(points []plane.Vec) (out []plane.Vec) {
	for _, v := range points {
		out = append(out, f.at(v))
	}
	return out
}

// mostOpen is how many gaps are explained in words.
const mostOpen = 3

// open is where the gaps of an envelope are explained in words: in the middle of each, at most mostOpen of them.
func (f field) open(e *Envelope) (at []plane.Vec) {
	if e == nil {
		return nil
	}
	stretches(len(e.Low), func(i int) bool { return !known(e.Low[i]) }, func(from, to int) {
		if len(at) < mostOpen {
			x := (e.Low[from].X + e.Low[to-1].X) / 2
			at = append(at, f.at(plane.Vec{X: x, Y: f.y.From + 0.8*(f.y.To-f.y.From)}))
		}
	})
	return at
}
