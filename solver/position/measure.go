package position

import (
	"math"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// measurer finds the size of a sketch at the start, and where it is.
type measurer struct {
	m     *schedule.Model
	ev    *expr.Eval
	at    expr.Context
	short float64 // the least length; 0 for none
	Scale
}

// Measure finds the size of a sketch. The sketch is solved in a frame with its origin there, where that is not nil.
func Measure(s *schedule.Schedule, v *expr.Values, turnFrom float64, rest []float64, origin *plane.Vec) Scale {
	z := measurer{m: s.Model, ev: expr.NewEval(v), at: expr.Context{Turn: turnFrom, Travel: rest}}
	z.lengths()
	if origin != nil {
		z.Origin = *origin
	} else {
		z.stand()
	}
	z.places()
	if z.Size == 0 {
		z.Size = z.Reach
	}
	if z.Size == 0 {
		z.Size = 1
	}
	z.Reach = max(z.Reach, z.Size)
	return z.Scale
}

// farOff is how far from the frame's origin a sketch must be to be solved in a frame of its own, as a multiple of its
// extent and shortest length.
const farOff = 4

// stand puts the origin on the first point that is given in the frame, where all of them are together and far away.
func (z *measurer) stand() {
	lo, hi, n := plane.Vec{}, plane.Vec{}, 0
	var first plane.Vec
	for i := range z.m.Points {
		p, ok := z.given(i)
		if !ok {
			continue
		}
		if n++; n == 1 {
			first, lo, hi = p, p, p
		}
		lo, hi = plane.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}, plane.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
	}
	if n > 0 && first.Len() > farOff*(z.short+hi.Sub(lo).Len()) {
		z.Origin = first
	}
}

// lengths finds the greatest length.
func (z *measurer) lengths() {
	for i, p := range z.m.Points {
		if z.m.Points[i].Kind == schedule.OnPart && !z.inFrame(i) {
			z.grow(p.U, p.V)
		}
	}
	for _, e := range z.m.Equations {
		if e.Kind == schedule.Length {
			z.grow(e.V)
			if v := z.value(e.V); v > 0 && (z.short == 0 || v < z.short) {
				z.short = v
			}
		}
	}
	for _, a := range z.m.Arcs {
		z.grow(a.Radius)
	}
}

func (z *measurer) grow(ids ...expr.ID) {
	for _, id := range ids {
		if v := math.Abs(z.value(id)); v > z.Size && !math.IsInf(v, 0) {
			z.Size = v
		}
	}
}

// places finds the greatest distance of anything given from the origin, and from that of the frame.
func (z *measurer) places() {
	for i := range z.m.Points {
		if p, ok := z.given(i); ok {
			z.world = max(z.world, math.Abs(p.X), math.Abs(p.Y))
			p = p.Sub(z.Origin)
			z.Reach = max(z.Reach, math.Abs(p.X), math.Abs(p.Y))
		}
	}
}

// inFrame reports whether the place of a point, if it has one, is given in the frame.
func (z *measurer) inFrame(i int) bool {
	p := &z.m.Points[i]
	return p.Kind != schedule.OnPart || z.m.Parts[p.Part].Kind == schedule.Frame
}

// given is the given place of a point in the frame, or its hint.
func (z *measurer) given(i int) (plane.Vec, bool) {
	p := &z.m.Points[i]
	if !z.inFrame(i) || p.U == expr.None || p.V == expr.None {
		return plane.Vec{}, false
	}
	v := plane.Vec{X: z.value(p.U), Y: z.value(p.V)}
	return v, !math.IsNaN(v.Dot(v)) && !math.IsInf(v.Dot(v), 0)
}

func (z *measurer) value(id expr.ID) float64 {
	if id == expr.None {
		return 0
	}
	return z.ev.At(id, &z.at)
}
