package clearance

import (
	"math"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/tube"
)

// AtMost bounds the signed distance of two outlines from above, at every position that the tubes hold and with all sizes.
// It takes them with the sizes in the middle, and adds the greatest deviation of either. The regions are the outlines
// with the sizes in the middle. It holds for outlines that depend on no size, and for those that are the pieces of their
// forms, without holes and hollows.
func (o *Over) AtMost(a, b *Form, ra, rb *outline.Region) float64 {
	worst := math.Inf(-1)
	o.standing(a, b, ra, rb, tube.Full(), func(d float64) { worst = math.Max(worst, d) })
	return worst
}

// Somewhere bounds it from above at one position: of the middles of the boxes, that where it is least. All engines have the two at least so
// near there.
func (o *Over) Somewhere(a, b *Form, ra, rb *outline.Region) float64 {
	near := math.Inf(1)
	o.standing(a, b, ra, rb, tube.Part{}, func(d float64) { near = math.Min(near, d) })
	return near
}

// standing tells for a part of each box how far apart the two are at most, in any engine.
func (o *Over) standing(a, b *Form, ra, rb *outline.Region, part tube.Part, tell func(float64)) {
	if !o.encloses(a, b) {
		tell(math.Inf(1))
		return
	}
	o.fill()
	v := newView(o.space, nil)
	for _, t := range o.tubes {
		for i := range t.Boxes {
			pa, pb := t.Placement(&t.Boxes[i], a.part), t.Placement(&t.Boxes[i], b.part)
			v.set(tube.NewRelative(o.space, &pa, &pb), &part)
			tell(v.strayed(a, b, ra, rb))
		}
	}
}

// strayed bounds the signed distance from above over the part of the view.
func (v *view) strayed(a, b *Form, ra, rb *outline.Region) float64 {
	reach := rb.Centre.Len() + rb.Radius
	stands := outline.Distance(ra, plane.Fixed, rb, v.centre()).D
	// Normalising the direction moves it by at most its own error.
	off := v.rad[0] + v.rad[1] + 2*reach*(v.rad[2]+v.rad[3]) + 8*slip*(v.size+reach+ra.Radius)
	return stands + off + v.strays(rb.Centre, rb.Radius) + a.strays() + b.strays()
}

// strays is the greatest deviation of any place of the form's outline from that with the sizes in the middle.
func (f *Form) strays() (most float64) {
	for i := range f.feature {
		most = math.Max(most, f.feature[i].stray)
	}
	return most
}
