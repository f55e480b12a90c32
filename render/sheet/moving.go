package sheet

import (
	"barover/render/drawing"
	"barover/solver"
	"barover/solver/plane"
)

// This file gives a page what it needs to move an engine itself: the same bodies in the same order as on a sheet, and the
// same swept outlines.

// Body is a profile as it is drawn, in its part's axes, mm.
type Body struct {
	Profile, Part int
	Path          drawing.Path
	Axes          []Axis
}

// Axis is the centre of a round, and the round's radius, mm.
type Axis struct {
	C plane.Vec
	R float64
}

// Bodies are the profiles from the datum outward: of two that overlap, the later is nearer.
func (e *Engine) Bodies() (list []Body) {
	s := &scene{Engine: e}
	s.layBodies()
	for i := range s.bodies {
		b := &s.bodies[i]
		out := Body{Profile: b.profile, Part: b.part, Path: b.path}
		for _, r := range rounds(b) {
			out.Axes = append(out.Axes, Axis(r))
		}
		list = append(list, out)
	}
	return list
}

// Sticks are the pairs of points that show a sketch without any outline.
func (e *Engine) Sticks() [][2]int {
	s := &scene{Engine: e}
	s.layBodies()
	return s.findSticks()
}

// Swept is the outline of everything that a part passes over in the turn with the travels from end to end, mm of the
// engine.
type Swept struct {
	Part int
	Play bool // anywhere in its play
	Path drawing.Path
}

// Swept is the swept outlines of every moving part.
func (e *Engine) Swept(travel []float64) (list []Swept) {
	s := lay(e, &Options{Ghosts: ghostStep, At: &solver.Position{Turn: e.Problem.Turn.From, Travel: travel}})
	tol := s.sweptWithin()
	for _, w := range s.swept {
		for k, outline := range [2][][]plane.Vec{w.runs, w.shaken} {
			var p drawing.Path
			for _, run := range outline {
				p = append(p, drawing.Polyline(drawing.Simplify(run, true, tol), true)...)
			}
			if len(p) > 0 {
				list = append(list, Swept{w.part, k == 1, p})
			}
		}
	}
	return list
}

// ghostStep is the step of the turn at which a scene without ghosts is measured, rad.
const ghostStep = 0.5
