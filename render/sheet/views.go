package sheet

import (
	"math"

	"barover/render/drawing"
	"barover/render/labels"
	"barover/render/views"
	"barover/solver"
	"barover/solver/plane"
)

// Plan and end view are beside the elevation in first-angle projection (ISO 5456-2): the plan, from above, is below it;
// the view from the left is on its right. A profile is a prism, so each view of it is a rectangle: from its least to its
// greatest place along the view, by its band.

// chordError is the error of the chords of a prism's arcs, as a share of the engine: a tenth of the width of a line.
const chordError = 1e-4

// prisms lists the profiles with a band in a view at the chosen position.
func (s *scene) prisms(d views.View) (list []views.Prism) {
	if s.chosen == nil {
		return nil
	}
	for i := range s.bodies {
		b := &s.bodies[i]
		if !banded(b) {
			continue
		}
		p := views.New(d, i, b.path.Placed(s.chosen.Part[b.part]), b.band, chordError*s.diagonal())
		for _, pose := range s.turns {
			if pose != nil && !b.fixed {
				p.Sweep(d, b.path.BoundsAt(pose.Part[b.part]))
			}
		}
		list = append(list, p)
	}
	return list
}

// acrossOf is the extent of the bands of prisms, with the datum where it is no farther off than they are wide.
func acrossOf(list []views.Prism) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, p := range list {
		lo, hi = min(lo, p.Band[0]), max(hi, p.Band[1])
	}
	if wide := hi - lo; lo > 0 && lo < wide/2 {
		lo = 0
	} else if hi < 0 && -hi < wide/2 {
		hi = 0
	}
	return lo, hi
}

// Styles of the views. Their widths tell seen, hidden and swept apart.
var (
	viewLine   = &drawing.Style{Name: "view", Width: 0.5, Line: drawing.Continuous, Stroke: black}
	viewHidden = &drawing.Style{Name: "view-hidden", Width: 0.18, Line: drawing.Dashed, Stroke: black}
	viewSwept  = &drawing.Style{Name: "view-swept", Width: 0.35, Line: drawing.LongDashTwoShortDash, Stroke: steel}
	symbolLine = &drawing.Style{Name: "symbol", Width: 0.35, Line: drawing.Continuous, Stroke: black}
)

// Rooms of the views, mm of paper.
const (
	viewGap   = 14.0 // between two views
	viewNames = 30.0 // round them, for names and gaps
)

// views is the section of elevation, plan and end view at the chosen position, with the bands in words where they are
// few. It is empty where fewer than two profiles have a band.
func (s *scene) views(l layout, strip *acrossStrip) section {
	plan := s.prisms(views.Plan)
	lo, hi := acrossOf(plan)
	wide, high := s.box.Size()
	w, h := roomOf(l).Size()
	scale, fits := drawing.Fitting(wide+hi-lo, high+hi-lo, w-viewGap-2*viewNames, h-viewGap-viewNames)
	shown := len(plan) > 1 && !s.box.Empty() && hi > lo && fits
	var bands []string
	if shown {
		bands = text25.Wrap(strip.inWords(), w-4)
	}
	words := 4 * float64(len(bands))
	return onePiece(shown, "Elevation, plan and end view", "elevation, plan and end view", scale.String(),
		(high+hi-lo)*scale.K()+viewGap+viewNames+15+words, viewNames, func(v *view, box drawing.Box) {
			for i, t := range bands {
				v.d.Layer("across", "Across the engine").Write(plane.Vec{X: box.Min.X + acrossSide, Y: box.Min.Y + 1 + 4*float64(len(bands)-1-i)}, drawing.Start, text25, t)
			}
			box.Min.Y += words
			v.k, v.labels = scale.K(), labels.New(box.Grown(-1))
			v.threeViews(box, plan, s.prisms(views.End), lo, hi)
		})
}

// threeViews draws the three views centred in a room.
func (v *view) threeViews(room drawing.Box, plan, end []views.Prism, lo, hi float64) {
	v.forms = map[int]int{}
	for i := range v.bodies {
		v.forms[i] = v.d.Define(v.bodies[i].path.Scaled(v.k))
	}
	wide, high := v.box.Size()
	deep := (hi - lo) * v.k
	w, h := room.Size()
	corner := plane.Vec{X: room.Min.X + (w-wide*v.k-viewGap-deep)/2, Y: room.Max.Y - 10 - (h-10-high*v.k-viewGap-deep)/2 - high*v.k}
	v.shift = corner.Sub(v.box.Min.Scale(v.k))
	top, right := corner.Y-viewGap, corner.X+wide*v.k+viewGap
	onPlan := func(q plane.Vec) plane.Vec { return plane.Vec{X: q.X*v.k + v.shift.X, Y: top - (q.Y-lo)*v.k} }
	onEnd := func(q plane.Vec) plane.Vec { return plane.Vec{X: right + (q.Y-lo)*v.k, Y: q.X*v.k + v.shift.Y} }
	l := v.d.Layer("views", "Views")
	for _, t := range []struct {
		at   plane.Vec
		text string
	}{{plane.Vec{X: corner.X, Y: corner.Y + high*v.k + 4}, "elevation at " + v.chosenAt()}, {plane.Vec{X: corner.X, Y: top - deep - 6}, "plan"},
		{plane.Vec{X: right, Y: corner.Y - 6}, "from the left"}} {
		text := drawing.Text{At: t.at, Style: bold25, S: bold25.Fit(t.text, room.Max.X-t.at.X-2)}
		l.Items = append(l.Items, text)
		if box := text.Box().Grown(1.5); !v.labels.Claim(box) {
			v.labels.Block(box)
		}
	}
	mark := plane.Vec{X: right + 2, Y: top - 6} // below the end view, beside the plan, where it is empty
	symbol(l, mark)
	v.labels.Block(drawing.Box{Min: mark, Max: mark.Add(plane.Vec{X: 12})}.Grown(5))
	// Names of the elevation and of the plan keep off the end view, which has no room for them.
	v.labels.Block(drawing.Box{Min: plane.Vec{X: right, Y: corner.Y}, Max: plane.Vec{X: right + deep, Y: corner.Y + high*v.k}}.Grown(1))
	v.elevation()
	v.sideView(views.Plan, plan, onPlan)
	v.sideView(views.End, end, onEnd)
	v.datum(lo, hi, onPlan, [2]plane.Vec{onEnd(plane.Vec{X: v.box.Min.Y}), onEnd(plane.Vec{X: v.box.Max.Y})})
	v.gapsAcross(plan, onPlan)
	v.foulsAcross(plan, onPlan, onEnd)
	v.partNames(mostNames)
}

// elevation draws the engine at the chosen position alone.
func (v *view) elevation() {
	v.fixed()
	v.chosenPosition()
	v.chosenSticks(v.findSticks())
	v.coverInk()
}

// sideView draws prisms in a view: visible edges thick, hidden ones dashed, what they sweep over thin.
func (v *view) sideView(d views.View, list []views.Prism, on func(q plane.Vec) plane.Vec) {
	l := v.d.Layer("views", "Views")
	for _, p := range list {
		if fill := detailFill(&v.bodies[p.Body]); fill != nil {
			l.Draw(drawing.Rect(on(plane.Vec{X: p.From, Y: p.Band[0]}), on(plane.Vec{X: p.To, Y: p.Band[1]})), fill, d.Name+": "+v.about(&v.bodies[p.Body]))
		}
	}
	var seen, hidden, swept drawing.Path
	for i := range list {
		p := &list[i]
		if p.Sweeps() {
			swept = append(swept, drawing.Rect(on(plane.Vec{X: p.Swept[0], Y: p.Band[0]}), on(plane.Vec{X: p.Swept[1], Y: p.Band[1]}))...)
		}
		for _, s := range p.Outline(list) {
			if line := drawing.Line(on(s.A), on(s.B)); s.Hidden {
				hidden = append(hidden, line...)
			} else {
				seen = append(seen, line...)
			}
		}
		rect := [][]plane.Vec{{on(plane.Vec{X: p.From, Y: p.Band[0]}), on(plane.Vec{X: p.To, Y: p.Band[0]}), on(plane.Vec{X: p.To, Y: p.Band[1]}), on(plane.Vec{X: p.From, Y: p.Band[1]})}}
		v.labels.Line(rect)
		v.labels.Cover(rect)
	}
	l.Draw(swept, viewSwept, "swept, "+d.Name)
	l.Draw(hidden, viewHidden, "hidden edges, "+d.Name)
	l.Draw(seen, viewLine, "edges, "+d.Name)
}

// datum draws the line of the datum in the views, each along its u from one end to the other, and names it in the plan.
// Where the datum is farther off it says how far.
func (v *view) datum(lo, hi float64, onPlan func(q plane.Vec) plane.Vec, others ...[2]plane.Vec) {
	l := v.d.Layer("views", "Views")
	a, b := onPlan(plane.Vec{X: v.box.Min.X}), onPlan(plane.Vec{X: v.box.Max.X})
	words, at := "datum", a.Add(plane.Vec{X: -2, Y: -1.2})
	if lo <= 0 && hi >= 0 {
		v.labels.Block(drawing.Box{Min: a, Max: b}.Grown(0.3))
		for _, line := range append([][2]plane.Vec{{a, b}}, others...) {
			over := line[1].Sub(line[0]).Unit().Scale(3)
			l.Draw(drawing.Line(line[0].Sub(over), line[1].Add(over)), centreLine, "datum")
		}
		at.X -= 2
	} else {
		at = onPlan(plane.Vec{X: v.box.Min.X, Y: lo}).Add(plane.Vec{X: -2, Y: -1.2})
		words = v.w.length(lo) + " from the datum"
		if hi < 0 {
			words = v.w.length(-hi) + " inside the datum"
		}
	}
	for i, t := range text25.Wrap(words, viewNames-4) {
		text := drawing.Text{At: at.Sub(plane.Vec{Y: 3.6 * float64(i)}), Anchor: drawing.End, Style: text25, S: t}
		l.Items = append(l.Items, text)
		v.labels.Block(text.Box())
	}
}

// passing is where two prisms pass each other along the plan, or else between them.
func passing(a, b *views.Prism) float64 { return (max(a.From, b.From) + min(a.To, b.To)) / 2 }

func (s *scene) find(list []views.Prism, profile int) *views.Prism {
	for i := range list {
		if s.bodies[list[i].Body].profile == profile {
			return &list[i]
		}
	}
	return nil
}

// mostGaps bounds the gaps that are dimensioned; the strip has them all.
const mostGaps = 8

// gapsAcross dimensions the gaps that the sketch asks for where the two pass each other; those that do not hold come
// first.
func (v *view) gapsAcross(plan []views.Prism, on func(q plane.Vec) plane.Vec) {
	l := v.d.Layer("gaps", "Gaps across")
	n := 0
	for _, a := range v.answers() {
		if a.Check.Kind != solver.Gap || n == mostGaps {
			continue
		}
		at, bands, ok := v.gapAt(l, plan, &a, on)
		if !ok {
			continue
		}
		n++
		v.say(&a, v.w)
		style, lead, most := label25, dimLine, hidesMost
		if !a.OK {
			style, lead, most = foul25, foulLead, math.Inf(1)
		}
		words := a.figure
		if play := v.play(bands[0]) + v.play(bands[1]); play > 0 {
			words += " with sideplay ±" + v.w.length(play)
		}
		v.flagged(l, at, 0, a.no, []string{a.called, words}, style, lead, most)
	}
}

// gapAt dimensions the gap of an answer in the plan, or hatches where the two bands overlap. It returns its middle and
// the two prisms; false where it cannot be drawn.
func (v *view) gapAt(l *drawing.Layer, plan []views.Prism, a *answer, on func(q plane.Vec) plane.Vec) (mid plane.Vec, bands [2]*body, ok bool) {
	one, two := v.find(plan, a.Check.A), v.find(plan, a.Check.B)
	if one == nil || two == nil {
		return mid, bands, false
	}
	if one.Band[0] > two.Band[0] {
		one, two = two, one
	}
	u := passing(one, two)
	p, q := on(plane.Vec{X: u, Y: one.Band[1]}), on(plane.Vec{X: u, Y: two.Band[0]})
	if one.Band[1] <= two.Band[0] {
		v.dimension(l, p, q, v.pair(a.Check))
	} else if from, to := max(one.From, two.From), min(one.To, two.To); from < to {
		v.foulRect(l, on(plane.Vec{X: from, Y: two.Band[0]}), on(plane.Vec{X: to, Y: min(one.Band[1], two.Band[1])}), v.pair(a.Check))
	}
	return p.Add(q).Scale(0.5), [2]*body{&v.bodies[one.Body], &v.bodies[two.Body]}, true
}

// foulRect draws the overlap of metal in a view.
func (v *view) foulRect(l *drawing.Layer, a, b plane.Vec, label string) {
	run := [][]plane.Vec{{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}}}
	metal(l, run, run, label)
	l.Draw(drawing.Closed(run), foulLine, label)
}

// foulsAcross hatches, in both views, the overlap of pairs that foul at the chosen position.
func (v *view) foulsAcross(plan []views.Prism, onPlan, onEnd func(q plane.Vec) plane.Vec) {
	l := v.d.Layer("fouls", "Fouls")
	for _, a := range v.answers() {
		if a.Check.Kind != solver.Clear || a.State != solver.Fouls {
			continue
		}
		one, two := v.find(plan, a.Check.A), v.find(plan, a.Check.B)
		if one == nil || two == nil {
			continue
		}
		ra, rb := v.flat(&v.bodies[one.Body], v.chosen), v.flat(&v.bodies[two.Body], v.chosen)
		box, any := metal(l, ra, rb, v.pair(a.Check))
		z := [2]float64{max(one.Band[0], two.Band[0]), min(one.Band[1], two.Band[1])}
		if !any || !(z[0] < z[1]) {
			continue
		}
		x := [2]float64{(box.Min.X - v.shift.X) / v.k, (box.Max.X - v.shift.X) / v.k}
		y := [2]float64{(box.Min.Y - v.shift.Y) / v.k, (box.Max.Y - v.shift.Y) / v.k}
		v.foulRect(l, onPlan(plane.Vec{X: x[0], Y: z[0]}), onPlan(plane.Vec{X: x[1], Y: z[1]}), v.pair(a.Check))
		v.foulRect(l, onEnd(plane.Vec{X: y[0], Y: z[0]}), onEnd(plane.Vec{X: y[1], Y: z[1]}), v.pair(a.Check))
		v.say(&a, v.w)
		v.flagged(l, onPlan(plane.Vec{X: (x[0] + x[1]) / 2, Y: (z[0] + z[1]) / 2}), 1, a.no, []string{a.called}, foul25, foulLead, math.Inf(1))
	}
}

// symbol draws the mark of first-angle projection (ISO 5456-2): a frustum from its side, and to its right the frustum
// from its narrow end.
func symbol(l *drawing.Layer, at plane.Vec) {
	const r, s, long = 3.0, 1.5, 6.0
	l.Draw(drawing.Polyline([]plane.Vec{at.Add(plane.Vec{Y: s}), at.Add(plane.Vec{X: long, Y: r}), at.Add(plane.Vec{X: long, Y: -r}), at.Add(plane.Vec{Y: -s})}, true), symbolLine, "first-angle projection")
	c := at.Add(plane.Vec{X: long + 6})
	l.Draw(append(drawing.Circle(c, r), drawing.Circle(c, s)...), symbolLine, "first-angle projection")
	l.Draw(append(drawing.Line(at.Sub(plane.Vec{X: 2}), c.Add(plane.Vec{X: r + 2})), drawing.Line(c.Sub(plane.Vec{Y: r + 2}), c.Add(plane.Vec{Y: r + 2}))...), centreLine, "")
}
