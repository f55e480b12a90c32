package checker

import (
	"fmt"
	"math"
)

// tolerance is what the extremes of a sum may be out by: a length as a distance, an angle 1e-5 rad, a bare number 1e-5.
func (t *Truth) tolerance(k Kind) float64 {
	if k == Length {
		return t.Sketch.Tolerance()
	}
	return 1e-5
}

func (k Kind) meets() float64 {
	if k == Length {
		return meetsLength
	}
	return meetsOther
}

// inUnit turns an answer's figure into the checker's unit.
func inUnit(v *float64, k Kind) *float64 {
	if v == nil {
		return nil
	}
	w := *v * k.unit()
	return &w
}

// holdKeep holds the answer to a keep line: verdict, least and greatest, where the worse is, and the stretches.
func (t *Truth) holdKeep(h *Held, q *Ask, c *Answered) {
	g := Figure(q.Sum.Of)
	low, high := t.lowest(q.Sum), t.highest(q.Sum)
	at, f := t.poseAt(c.At)
	if at != nil {
		low.take(at, g(at))
		high.take(at, -g(at))
	}
	below, above := low.V-q.AtLeast, q.AtMost+high.V
	tol := t.tolerance(q.Sum.Kind)
	t.holdVerdict(h, q, c, min(below, above)+q.Sum.Kind.meets(), tol)
	if c.Sure != "proved" || t.beside(c, low.At) || t.beside(c, high.At) {
		return
	}
	t.holdExtreme(h, q.Line, "least", inUnit(c.Least, q.Sum.Kind), low.V, low.At, tol)
	t.holdExtreme(h, q.Line, "greatest", inUnit(c.Greatest, q.Sum.Kind), -high.V, high.At, tol)
	worse := func(p *Pose) float64 { return min(g(p)-q.AtLeast, q.AtMost-g(p)) }
	switch {
	case at == nil:
		h.wrong("line %d: the worst is said to be where the engine cannot be: %v", q.Line, c.At)
	case math.Abs(worse(at)-min(below, above)) > 2*tol:
		h.wrong("line %d: the worst is said to be at %v, where the room is %.9g; the least room is %.9g", q.Line, c.At, worse(at), min(below, above))
	case !c.OK:
		meets := q.Sum.Kind.meets()
		t.holdFouls(h, q, c, f, fmt.Sprint("line ", q.Line, below < -meets, above < -meets), beyond(q, g, below, above))
	}
}

// beyond is by how much a sum keeps within those limits that it does not meet somewhere: below zero, it is not met there. One that
// it misses by less than what counts as meeting it has no stretches.
func beyond(q *Ask, g Figure, below, above float64) Figure {
	meets := q.Sum.Kind.meets()
	return func(p *Pose) float64 {
		room := math.Inf(1)
		if below < -meets {
			room = g(p) - q.AtLeast
		}
		if above < -meets {
			room = min(room, q.AtMost-g(p))
		}
		return room
	}
}

// holdExtreme holds a least or greatest.
func (t *Truth) holdExtreme(h *Held, line int, name string, said *float64, truth float64, at *Pose, tolerance float64) {
	if said == nil || !(math.Abs(*said-truth) <= tolerance) {
		h.wrong("line %d: %s said %s, true %.9g at %s", line, name, show(said), truth, t.where(at))
	}
}

// holdGap holds the answer to a gap line: the space across, if the two pass each other in the side view at all.
func (t *Truth) holdGap(h *Held, q *Ask, c *Answered) {
	space := t.Sketch.across(q.A, q.B)
	low := t.pair(q.A, q.B)
	switch tol := t.Sketch.Tolerance(); {
	case low.V > tol: // they never pass each other
		if !c.OK || c.Least != nil {
			h.wrong("line %d: the two never pass each other, yet it says ok %v, least %s", q.Line, c.OK, show(c.Least))
		}
	case low.V < -tol:
		if c.Least == nil || math.Abs(*c.Least-space) > 1e-9*t.Sketch.Size() {
			h.wrong("line %d: gap said %s, true %.9g", q.Line, show(c.Least), space)
		}
		if want := space >= q.AtLeast-meetsLength; c.OK != want {
			h.wrong("line %d: gap of %.9g, at least %.9g: said ok %v", q.Line, space, q.AtLeast, c.OK)
		}
	}
}

// holdMeasure holds the least and greatest of a measure, and the measure at the places that are given.
func (t *Truth) holdMeasure(h *Held, m *Measure, a *Answer) {
	var said *Ranged
	for i := range a.Measures {
		if a.Measures[i].Name == m.Name {
			said = &a.Measures[i]
		}
	}
	if said == nil {
		h.wrong("measure %s is not answered", m.Name)
		return
	}
	tol := t.tolerance(m.Sum.Kind)
	for _, side := range []struct {
		name  string
		sign  float64
		value *float64
		at    map[string]float64
	}{{"least", 1, said.Least, said.LeastAt}, {"greatest", -1, said.Greatest, said.GreatestAt}} {
		g := func(p *Pose) float64 { return side.sign * m.Sum.Of(p) }
		low := t.lowest(m.Sum)
		if side.sign < 0 {
			low = t.highest(m.Sum)
		}
		at, _ := t.poseAt(side.at)
		if at != nil {
			low.take(at, g(at))
		}
		v := inUnit(side.value, m.Sum.Kind)
		if v == nil || !(math.Abs(*v-side.sign*low.V) <= tol) {
			h.wrong("%s of %s said %s, true %.9g at %s", side.name, m.Name, show(v), side.sign*low.V, t.where(low.At))
		} else if at == nil || !(math.Abs(g(at)-low.V) <= 2*tol) {
			h.wrong("%s of %s is said to be at %v; true place %s", side.name, m.Name, side.at, t.where(low.At))
		}
	}
}
