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
	if !o.encloses(a, b) {
		return math.Inf(1)
	}
	v := newView(o.space, nil)
	full := tube.Full()
	worst := math.Inf(-1)
	for _, t := range o.tubes {
		for i := range t.Boxes {
			pa, pb := t.Placement(&t.Boxes[i], a.part), t.Placement(&t.Boxes[i], b.part)
			v.set(newRelative(o.space, &pa, &pb), &full)
			worst = math.Max(worst, v.strayed(a, b, ra, rb))
		}
	}
	return worst
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
