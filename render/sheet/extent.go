package sheet

import (
	"barover/render/drawing"
	"barover/render/sweep"
	"barover/solver/plane"
)

// measure takes the box round everything.
func (s *scene) measure() {
	for _, w := range s.swept {
		for _, run := range w.runs {
			s.take(run)
		}
	}
	for _, point := range s.traced() {
		for _, run := range sweep.PathOf(s.turns, point) {
			s.take(run)
		}
	}
	s.takeCrank()
	s.takeSticks()
	if s.chosen == nil {
		return
	}
	for _, b := range s.bodies {
		s.box = s.box.Join(sane(b.path.Placed(s.chosen.Part[b.part]).Bounds()))
	}
	if s.box.Empty() {
		s.take(s.chosen.Point)
	}
}

// takeCrank adds the way of the crankpin, which is drawn although no part may show it.
func (s *scene) takeCrank() {
	_, pin := s.crank()
	for _, p := range s.turns {
		if p != nil && pin >= 0 && pin < len(p.Point) {
			s.take(p.Point[pin : pin+1])
		}
	}
}

func (s *scene) take(run []plane.Vec) {
	b := drawing.NoBox()
	for _, v := range run {
		b = b.With(v)
	}
	s.box = s.box.Join(sane(b))
}

// sane returns the box, or an empty one where it has no finite size.
func sane(b drawing.Box) drawing.Box {
	if w, h := b.Size(); !(w+h < 1e9) || !(b.Min.Len() < 1e9) {
		return drawing.NoBox()
	}
	return b
}
