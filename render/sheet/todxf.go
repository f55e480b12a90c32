package sheet

import (
	"barover/render/dxf"
	"barover/solver/plane"
	"barover/solver/schedule"
	"slices"
)

// Colours of the layers of a file, by the format's own numbers.
const (
	dxfPoints = 5 // blue
	dxfBlack  = 7 // black on white
)

// File is the engine at the chosen position at true size, in the side view. It has one layer for each part, with its
// outlines or, where it has none, its lengths, and a layer of the named points. It reports false where the engine cannot
// be assembled there.
func (b *Book) File(inches bool) (*dxf.File, bool) {
	f := dxf.TrueSize(inches, b.o.Title, b.o.Subject())
	s, names := b.s, dxf.Names{}
	if s.chosen == nil {
		return f, false
	}
	layers := map[int]*dxf.Layer{}
	of := func(part int) *dxf.Layer {
		if layers[part] == nil {
			layers[part] = f.Layer(names.Free(s.partName(part)), dxfBlack)
		}
		return layers[part]
	}
	for i := range s.bodies {
		at := s.chosen.Part[s.bodies[i].part]
		for _, loop := range s.bodies[i].region.Loops {
			for _, e := range loop {
				e.A, e.B, e.C = at.Out(e.A), at.Out(e.B), at.Out(e.C)
				of(s.bodies[i].part).Add(dxf.Edge(&e))
			}
		}
	}
	loose := names.Free("LENGTHS") // of no part
	for _, k := range s.findSticks() {
		var l *dxf.Layer
		if part := s.partFromTo(k); part >= 0 {
			l = of(part)
		} else {
			l = f.Layer(loose, dxfBlack)
		}
		l.Add(dxf.Line{A: s.chosen.Point[k[0]], B: s.chosen.Point[k[1]]})
	}
	marks := f.Layer(names.Free("POINTS"), dxfPoints)
	for i := range s.Problem.Linkage.Points {
		if name := s.pointName(i); name != "" && s.Leaves(i) {
			at := s.chosen.Point[i]
			marks.Add(dxf.Point{At: at}, dxf.Text{At: at.Add(plane.Vec{X: 1, Y: 1}), Height: 2, S: name})
		}
	}
	return f, true
}

// partFromTo is the part between the two points of a stick, −1 where there is none.
func (s *scene) partFromTo(k stick) int {
	return slices.IndexFunc(s.Problem.Linkage.Parts, func(p schedule.Part) bool {
		return p.Kind == schedule.FromTo && (p.P == k[0] && p.Q == k[1] || p.P == k[1] && p.Q == k[0])
	})
}
