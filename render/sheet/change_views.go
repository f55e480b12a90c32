package sheet

import (
	"slices"

	"barover/render/drawing"
	"barover/render/labels"
	"barover/render/views"
	"barover/solver"
	"barover/solver/plane"
)

// planSection is the section of the plan after a change, thick, with what differed before thin, and the gaps that
// changed. It is empty where nothing changed across.
func (b *both) planSection(l layout, strip acrossStrip) section {
	now, old := b.is.prisms(views.Plan), b.was.prisms(views.Plan)
	lo, hi := acrossOf(slices.Concat(now, old))
	wide, _ := b.is.box.Size()
	w, h := roomOf(l).Size()
	scale, fits := drawing.Fitting(wide, hi-lo, w-2*viewNames, h-viewNames)
	shown := len(strip.rows) > 0 && len(now) > 1 && !b.is.box.Empty() && lo < hi && fits
	return onePiece(shown, "Plan, thin: before", "plan", scale.String(), (hi-lo)*scale.K()+planNames, 0, func(v *view, box drawing.Box) {
		v.k, v.labels = scale.K(), labels.New(box.Grown(-1))
		b.beside(v).planOn(box, strip, now, old, lo, hi)
	})
}

// planNames is the room above and below the plan, mm, for its head, names and gaps.
const planNames = 48.0

// planOn draws the plan in the middle of a room.
func (v *bothView) planOn(room drawing.Box, strip acrossStrip, now, old []views.Prism, lo, hi float64) {
	wide, _ := v.is.box.Size()
	k := v.now.k
	left, top := room.Centre().X-k*(v.is.box.Min.X+wide/2), room.Centre().Y+k*(hi-lo)/2
	on := func(q plane.Vec) plane.Vec { return plane.Vec{X: left + k*q.X, Y: top - k*(q.Y-lo)} }
	v.old.k, v.old.labels = k, v.now.labels
	l := v.now.d.Layer("views", "Views")
	head := drawing.Text{At: plane.Vec{X: room.Min.X + acrossSide, Y: room.Max.Y - 4}, Style: bold25, S: "plan at " + v.position() + "; thin: before, " + v.Was}
	l.Items = append(l.Items, head)
	v.now.labels.Block(head.Box())
	v.now.sideView(views.Plan, now, on)
	for i := range v.twins {
		if t := &v.twins[i]; t.was >= 0 && (t.across || t.differs) {
			for _, p := range old {
				if p.Body == t.was {
					l.Draw(drawing.Rect(on(plane.Vec{X: p.From, Y: p.Band[0]}), on(plane.Vec{X: p.To, Y: p.Band[1]})), wasBand, "before: "+v.old.about(&v.was.bodies[t.was]))
				}
			}
		}
	}
	v.now.datum(lo, hi, on)
	for _, g := range strip.gaps {
		s, a := v.answer(g.ChangedCheck)
		if s != v.is || a.Check.Kind != solver.Gap {
			continue
		}
		if at, _, ok := v.now.gapAt(l, now, &a, on); ok {
			v.now.label(l, at, 0, []string{g.sign() + " " + g.What, dashed(g.Was) + " → " + dashed(g.Is) + "  " + v.word(g.ChangedCheck)}, label25, dimLine)
		}
	}
	v.bandsChanged(l, now, on)
}

// bandsChanged names the profiles whose band changed, where that hides little: the strip has them all.
func (v *bothView) bandsChanged(l *drawing.Layer, now []views.Prism, on func(q plane.Vec) plane.Vec) {
	for _, t := range v.twins {
		if t.is < 0 || !t.across {
			continue
		}
		for _, p := range now {
			if p.Body == t.is {
				b := &v.is.bodies[t.is]
				v.now.flagged(l, on(plane.Vec{X: p.To, Y: p.Band[1]}), 0, 0, []string{b.name}, label25, nameLine, nameHides)
			}
		}
	}
}
