package tube

import (
	"encoding/binary"
	"math"

	"barover/solver/expr"
	"barover/solver/taylor"
)

// An engine is enclosed at each setting of a list of travels. Much of it does not depend on them, and over the same box
// it is the same at every setting. Common is what one enclosure leaves for the others.

// Common holds the steps of a Plan that do not depend on some travels, computed over the boxes of one tube. Once that
// tube is finished it is only read, so the others do not depend on the order in which they come.
type Common struct {
	plan  *Plan
	apart uint64 // the travels in which the tubes differ, as expr.Graph.Travels gives them
	steps []bool // of the Plan: it depends on none of them
	slots []taylor.Slot
	known []int // scalars that these steps find
	boxes map[string]common
	ends  map[float64]float64 // of the tube that it was made with: where the box that begins at a turn ends
	full  bool                // finished, and only read from now on
}

// common is what is kept of one box.
type common struct {
	slots taylor.Kept
	wide  []float64 // of the known scalars
}

// NewCommon prepares to share what does not depend on a set of travels; nil where that is nothing.
func NewCommon(p *Plan, apart uint64) *Common {
	if apart == 0 {
		return nil
	}
	c := &Common{plan: p, apart: apart, steps: make([]bool, len(p.steps)), boxes: map[string]common{}}
	used := make([]bool, p.tape.Len())
	for _, s := range p.keep {
		used[s] = true
	}
	var operands []taylor.Slot
	for i := range p.steps {
		s := &p.steps[i]
		if c.steps[i] = p.rides(s)&apart == 0; c.steps[i] {
			c.known = append(c.known, s.scalars...)
			continue
		}
		for k := s.a; k < s.end; k++ {
			operands = p.tape.Operands(operands[:0], k)
			for _, o := range operands {
				used[o] = true
			}
		}
	}
	for i := range p.steps {
		for k := p.steps[i].a; k < p.steps[i].end && c.steps[i]; k++ {
			if used[k] && !p.tape.Still(k) {
				c.slots = append(c.slots, k)
			}
		}
	}
	if len(c.known) == 0 {
		return nil
	}
	return c
}

// Made reports that the tube that fills it is finished.
func (c *Common) Made(t *Tube) {
	if c == nil {
		return
	}
	c.full, c.ends = true, make(map[float64]float64, len(t.Boxes))
	for i := range t.Boxes {
		c.ends[t.Boxes[i].Turn.From] = t.Boxes[i].Turn.To
	}
}

// end returns where a box from a turn must end to be one that is known: elsewhere, nothing is shared.
func (c *Common) end(turn, otherwise float64) float64 {
	if c == nil || !c.full {
		return otherwise
	}
	if end, ok := c.ends[turn]; ok {
		return end
	}
	return otherwise
}

// rides is the set of travels that the result of a step depends on.
func (p *Plan) rides(s *step) (out uint64) {
	for i := range s.from.Ops {
		out |= p.Schedule.Rides(s.from.Ops[i].Z)
	}
	return out
}

// key is a key for a box, without the travels in which the tubes differ.
func (c *Common) key(box *taylor.Box) string {
	key := make([]byte, 0, 64)
	put := func(v float64) { key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v)) }
	for j, v := range box.Mid {
		if j > 0 && c.apart&expr.TravelBit(j-1) != 0 {
			continue
		}
		put(v)
		for _, h := range box.Half[j] {
			put(h)
		}
	}
	return string(key)
}

// recall puts what is known of a box into a solver.
func (c *Common) recall(v *solver, key string) bool {
	if c == nil || !c.full {
		return false
	}
	b, ok := c.boxes[key]
	if ok {
		v.st.Restore(c.slots, b.slots)
		for i, k := range c.known {
			v.wide[k] = b.wide[i]
		}
	}
	return ok
}

// record keeps what a solver found over a box.
func (c *Common) record(v *solver, key string) {
	if c == nil || c.full {
		return
	}
	b := common{slots: v.st.Keep(c.slots)}
	for _, k := range c.known {
		b.wide = append(b.wide, v.wide[k])
	}
	c.boxes[key] = b
}
