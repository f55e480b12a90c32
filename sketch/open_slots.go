package sketch

import (
	"fmt"

	"barover/sketch/syntax"
	"barover/solver/outline"
)

// OpenSlot is a slot that breaks out of the profile that it is cut from, with the values that count.
type OpenSlot struct {
	Slot, Profile string
	Message       syntax.Message
}

// OpenSlots lists the slots that break out.
func (s *Sketch) OpenSlots() (list []OpenSlot) {
	for _, p := range s.Problem.Profiles {
		file, line := s.Statement(p.Stmt)
		written, ok := line.(*syntax.Profile)
		for k := range p.Shapes {
			if !ok || k >= len(written.Shapes) || written.Shapes[k].Slot == nil || !s.breaksOut(p.Shapes[:k], p.Shapes[k]) {
				continue
			}
			slot := written.Shapes[k].Slot
			list = append(list, OpenSlot{slot.Text, p.Name, syntax.Message{File: file, Span: slot.Span,
				Text: fmt.Sprintf("%s breaks out of %s: it is open there", slot.Text, p.Name), Help: "make the slot shorter or narrower, or the part larger"}})
		}
	}
	return list
}

// breaksOut reports whether a slot reaches out of the metal as it is before holes. Metal and slot together then have a
// larger area. The areas are exact except for rounding; less than the share below of the slot counts as a touch.
func (s *Sketch) breaksOut(before []outline.Shape, slot outline.Shape) bool {
	const touch = 1e-6
	var metal []outline.Shape
	for _, m := range before {
		if !m.Hole {
			metal = append(metal, m)
		}
	}
	slot.Hole = false
	alone, err1 := outline.Build([]outline.Shape{slot}, s.Values)
	without, err2 := outline.Build(metal, s.Values)
	with, err3 := outline.Build(append(metal, slot), s.Values)
	return err1 == nil && err2 == nil && err3 == nil && with.Area-without.Area > touch*alone.Area
}
