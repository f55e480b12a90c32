package sheet

import (
	"math"
	"slices"

	"barover/render/drawing"
	"barover/solver"
	"barover/solver/plane"
)

// Plan and end view stand beside the elevation in first-angle projection (ISO 5456-2): the plan, from above, below it; the
// view from the left on its right. A profile is a prism, so each view of it is a rectangle: from its least to its greatest
// place along the view, by its band.

// side is one of the two views. In it u runs along the elevation and z across the engine, from the datum outward.
type side struct {
	name  string
	along func(v plane.Vec) float64 // u of a place of the elevation
	depth func(v plane.Vec) float64 // how near a place is to whoever looks, the nearer the larger
}

var (
	planView = side{"plan", func(v plane.Vec) float64 { return v.X }, func(v plane.Vec) float64 { return v.Y }}
	endView  = side{"view from the left", func(v plane.Vec) float64 { return v.Y }, func(v plane.Vec) float64 { return -v.X }}
)

// prism is a profile in a view: a rectangle, and how near its upper edge is along it.
type prism struct {
	body     *body
	from, to float64        // along u
	band     [2]float64     // across, the lower first
	edges    [][2]plane.Vec // of its outline in the frame, arcs by chords
	reach    [2]float64     // of the edges along u: chords fall short of an arc by a little
	swept    [2]float64     // along u over the turn; the first above the second where it is not known
}

// hiddenTolerance is by how much a place must be nearer to hide another, mm: what lies flush hides nothing.
const hiddenTolerance = 1e-6

// chordError is by how much chords leave the arcs of a prism, as a share of the engine: far less than a line is wide.
const chordError = 1e-6

// prisms lists the profiles with a band as a view has them at the chosen position.
func (s *scene) prisms(d side) (list []prism) {
	if s.chosen == nil {
		return nil
	}
	tol := chordError * s.diagonal()
	for i := range s.bodies {
		b := &s.bodies[i]
		if !banded(b) {
			continue
		}
		at := s.chosen.Part[b.part]
		p := prism{body: b, band: [2]float64{min(b.band[0], b.band[1]), max(b.band[0], b.band[1])}, reach: [2]float64{math.Inf(1), math.Inf(-1)}, swept: [2]float64{math.Inf(1), math.Inf(-1)}}
		p.from, p.to = fromTo(d, b.path.Placed(at).Bounds())
		runs, _ := b.path.Placed(at).Flat(tol)
		for _, run := range runs {
			for k, q := range run {
				p.edges = append(p.edges, [2]plane.Vec{run[(k+len(run)-1)%len(run)], q})
				p.reach = [2]float64{min(p.reach[0], d.along(q)), max(p.reach[1], d.along(q))}
			}
		}
		for _, pose := range s.turns {
			if pose != nil && !b.fixed {
				from, to := fromTo(d, b.path.Placed(pose.Part[b.part]).Bounds())
				p.swept = [2]float64{min(p.swept[0], from), max(p.swept[1], to)}
			}
		}
		list = append(list, p)
	}
	return list
}

// fromTo is from where to where a box reaches along a view.
func fromTo(d side, b drawing.Box) (from, to float64) {
	p, q := d.along(b.Min), d.along(b.Max)
	return min(p, q), max(p, q)
}

// nearest is how near the prism comes to whoever looks at the place u, which lies within it.
func (p *prism) nearest(d side, u float64) float64 {
	best := math.Inf(-1)
	u = min(max(u, p.reach[0]), p.reach[1])
	for _, e := range p.edges {
		a, b := d.along(e[0]), d.along(e[1])
		if min(a, b) > u || max(a, b) < u {
			continue
		}
		da, db := d.depth(e[0]), d.depth(e[1])
		switch {
		case a == b:
			best = max(best, da, db)
		default:
			best = max(best, da+(db-da)*(u-a)/(b-a))
		}
	}
	return best
}

// hides reports whether another prism stands before a place of an edge: its band goes over the place, and it is nearer there.
func (p *prism) hides(d side, u, z, depth float64) bool {
	return p.band[0]+hiddenTolerance < z && z < p.band[1]-hiddenTolerance && p.from+hiddenTolerance < u && u < p.to-hiddenTolerance &&
		p.nearest(d, u) > depth+hiddenTolerance
}

// stretch is a piece of an edge in a view, u and z, and whether something hides it.
type stretch struct {
	a, b   plane.Vec
	hidden bool
}

// looksAlong is at how many places an edge is looked at; where two neighbours differ the change is sought between them.
const looksAlong = 96

// outline is the four edges of a prism in pieces, each seen or hidden all along.
func (p *prism) outline(d side, all []prism) (list []stretch) {
	for _, z := range p.band {
		list = append(list, pieces(plane.Vec{X: p.from, Y: z}, plane.Vec{X: p.to, Y: z}, p.breaks(d, all), func(v plane.Vec) bool {
			return hiddenBy(d, all, p, v, p.nearest(d, v.X))
		})...)
	}
	for _, u := range []float64{p.from, p.to} {
		depth := p.nearest(d, u)
		list = append(list, pieces(plane.Vec{X: u, Y: p.band[0]}, plane.Vec{X: u, Y: p.band[1]}, bandEnds(all), func(v plane.Vec) bool {
			return hiddenBy(d, all, p, v, depth)
		})...)
	}
	return list
}

func hiddenBy(d side, all []prism, but *prism, v plane.Vec, depth float64) bool {
	for i := range all {
		if o := &all[i]; o.body != but.body && o.hides(d, v.X, v.Y, depth) {
			return true
		}
	}
	return false
}

// breaks are the places along u at which what hides an edge may begin or end at once.
func (p *prism) breaks(d side, all []prism) (u []float64) {
	for i := range all {
		u = append(u, all[i].from, all[i].to)
	}
	for i := range looksAlong {
		u = append(u, p.from+(p.to-p.from)*float64(i)/looksAlong)
	}
	return u
}

func bandEnds(all []prism) (z []float64) {
	for i := range all {
		z = append(z, all[i].band[0], all[i].band[1])
	}
	return z
}

// pieces cuts the line from a to b, along one axis, where what is asked of its places changes: at the breaks, and between two
// of them where it differs at their middles.
func pieces(a, b plane.Vec, breaks []float64, hidden func(v plane.Vec) bool) (list []stretch) {
	span := b.Sub(a)
	length := span.X + span.Y
	at := func(t float64) plane.Vec { return a.Add(span.Scale(t)) }
	cuts := []float64{0, 1}
	for _, v := range breaks {
		t := (v - a.X) / length
		if span.X == 0 {
			t = (v - a.Y) / length
		}
		if t > 0 && t < 1 {
			cuts = append(cuts, t)
		}
	}
	slices.Sort(cuts)
	add := func(from, to float64, is bool) {
		if n := len(list); n > 0 && list[n-1].hidden == is {
			list[n-1].b = at(to)
			return
		}
		list = append(list, stretch{at(from), at(to), is})
	}
	inside := 4 * hiddenTolerance / math.Abs(length) // just within a piece: at its ends two things begin and end at once
	for i := 1; i < len(cuts); i++ {
		lo, hi := cuts[i-1], cuts[i]
		if hi-lo < 4*inside {
			continue
		}
		first, last := hidden(at(lo+inside)), hidden(at(hi-inside))
		if first == last {
			add(lo, hi, first)
			continue
		}
		l, h := lo+inside, hi-inside
		for range 40 {
			if m := (l + h) / 2; hidden(at(m)) == first {
				l = m
			} else {
				h = m
			}
		}
		add(lo, l, first)
		add(l, hi, last)
	}
	return list
}

// acrossOf is from where to where the bands of prisms reach, with the datum where that is not farther off than they are wide.
func acrossOf(list []prism) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, p := range list {
		lo, hi = min(lo, p.band[0]), max(hi, p.band[1])
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

// views is the sheet of elevation, plan and end view at the chosen position; none where fewer than two profiles have a band.
func (s *scene) views(l layout) (int, func(o Options, i int) *drawing.Drawing) {
	plan := s.prisms(planView)
	if len(plan) < 2 || s.box.Empty() {
		return 0, nil
	}
	lo, hi := acrossOf(plan)
	wide, high := s.box.Size()
	room := roomOf(l)
	w, h := room.Size()
	scale, ok := drawing.Fitting(wide+hi-lo, high+hi-lo, w-viewGap-2*viewNames, h-viewGap-viewNames)
	if !ok || !(hi > lo) {
		return 0, nil
	}
	return 1, func(o Options, _ int) *drawing.Drawing {
		p := newPage(&o, l, "Elevation, plan and end view", scale.String())
		v := newView(s, &o, l)
		v.d, v.k = p.d, scale.K()
		v.labels = newLabels(room.Grown(-1))
		v.threeViews(room, plan, s.prisms(endView), lo, hi)
		return p.d
	}
}

// threeViews draws the three views in a room, their middle in its middle.
func (v *view) threeViews(room drawing.Box, plan, end []prism, lo, hi float64) {
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
		v.labels.block(text.Box())
	}
	v.elevation()
	v.sideView(planView, plan, onPlan)
	v.sideView(endView, end, onEnd)
	v.datum(onPlan, onEnd, lo, hi)
	v.gapsAcross(plan, onPlan)
	v.foulsAcross(plan, end, onPlan, onEnd)
	v.partNames(mostNames)
	symbol(l, plane.Vec{X: v.l.block.Min.X - 24, Y: v.l.frame.Min.Y + 14})
}

// elevation draws the engine at the chosen position alone.
func (v *view) elevation() {
	v.fixed()
	v.chosenPosition()
	v.coverInk()
}

// sideView draws prisms as a view has them: seen edges thick, hidden ones dashed, what they sweep over thin.
func (v *view) sideView(d side, list []prism, on func(q plane.Vec) plane.Vec) {
	l := v.d.Layer("views", "Views")
	for i := range list {
		p := &list[i]
		if fill := detailFill(p.body); fill != nil {
			l.Draw(drawing.Rect(on(plane.Vec{X: p.from, Y: p.band[0]}), on(plane.Vec{X: p.to, Y: p.band[1]})), fill, d.name+": "+v.about(p.body))
		}
	}
	var seen, hidden, swept drawing.Path
	for i := range list {
		p := &list[i]
		if p.swept[0] < p.from-hiddenTolerance || p.swept[1] > p.to+hiddenTolerance {
			swept = append(swept, drawing.Rect(on(plane.Vec{X: p.swept[0], Y: p.band[0]}), on(plane.Vec{X: p.swept[1], Y: p.band[1]}))...)
		}
		for _, s := range p.outline(d, list) {
			if line := drawing.Line(on(s.a), on(s.b)); s.hidden {
				hidden = append(hidden, line...)
			} else {
				seen = append(seen, line...)
			}
		}
		v.labels.line([][]plane.Vec{{on(plane.Vec{X: p.from, Y: p.band[0]}), on(plane.Vec{X: p.to, Y: p.band[0]}), on(plane.Vec{X: p.to, Y: p.band[1]}), on(plane.Vec{X: p.from, Y: p.band[1]})}})
	}
	l.Draw(swept, viewSwept, "swept, "+d.name)
	l.Draw(hidden, viewHidden, "hidden edges, "+d.name)
	l.Draw(seen, viewLine, "edges, "+d.name)
}

// datum names the datum in both views: its line, or where it lies.
func (v *view) datum(onPlan, onEnd func(q plane.Vec) plane.Vec, lo, hi float64) {
	l := v.d.Layer("views", "Views")
	a, b := onPlan(plane.Vec{X: v.box.Min.X}), onPlan(plane.Vec{X: v.box.Max.X})
	words, at := "datum", a.Add(plane.Vec{X: -2, Y: -1.2})
	if lo <= 0 && hi >= 0 {
		l.Draw(drawing.Line(a.Sub(plane.Vec{X: 1}), b.Add(plane.Vec{X: 4})), centreLine, "datum")
		c, d := onEnd(plane.Vec{X: v.box.Min.Y}), onEnd(plane.Vec{X: v.box.Max.Y})
		l.Draw(drawing.Line(c.Sub(plane.Vec{Y: 3}), d.Add(plane.Vec{Y: 3})), centreLine, "datum")
	} else {
		at = onPlan(plane.Vec{X: v.box.Min.X, Y: lo}).Add(plane.Vec{X: -2, Y: -1.2})
		words = v.w.length(lo) + " from the datum"
		if lo > hi || hi < 0 {
			words = v.w.length(-hi) + " inside the datum"
		}
	}
	for i, t := range text25.Wrap(words, viewNames-4) {
		text := drawing.Text{At: at.Sub(plane.Vec{Y: 3.6 * float64(i)}), Anchor: drawing.End, Style: text25, S: t}
		l.Items = append(l.Items, text)
		v.labels.block(text.Box())
	}
}

// passing is where two prisms pass each other along the plan, or else between them.
func passing(a, b *prism) float64 { return (max(a.from, b.from) + min(a.to, b.to)) / 2 }

func find(list []prism, profile int) *prism {
	for i := range list {
		if list[i].body.profile == profile {
			return &list[i]
		}
	}
	return nil
}

// mostGaps bounds the gaps that are dimensioned; the strip has them all.
const mostGaps = 8

// gapsAcross dimensions the gaps that the sketch asks for where the two pass each other, those first that do not hold.
func (v *view) gapsAcross(plan []prism, on func(q plane.Vec) plane.Vec) {
	l := v.d.Layer("gaps", "Gaps across")
	n := 0
	for _, a := range v.answers() {
		if a.Check.Kind != solver.Gap || n == mostGaps {
			continue
		}
		one, two := find(plan, a.Check.A), find(plan, a.Check.B)
		if one == nil || two == nil {
			continue
		}
		n++
		v.say(&a, v.w)
		if one.band[0] > two.band[0] {
			one, two = two, one
		}
		u := passing(one, two)
		p, q := on(plane.Vec{X: u, Y: one.band[1]}), on(plane.Vec{X: u, Y: two.band[0]})
		if one.band[1] <= two.band[0] {
			v.dimension(l, p, q, v.pair(a.Check)+": "+v.short(&a, v.w))
		} else if from, to := max(one.from, two.from), min(one.to, two.to); from < to {
			v.foulRect(l, on(plane.Vec{X: from, Y: two.band[0]}), on(plane.Vec{X: to, Y: min(one.band[1], two.band[1])}), v.pair(a.Check))
		}
		style, lead := label25, dimLine
		if !a.OK {
			style, lead = foul25, foulLead
		}
		words := a.figure
		if play := v.play(one.body) + v.play(two.body); play > 0 {
			words += " with sideplay ±" + v.w.length(play)
		}
		v.flagged(l, p.Add(q).Scale(0.5), 0, a.no, []string{a.called, words}, style, lead, math.Inf(1))
	}
}

// foulRect draws where metal meets in a view.
func (v *view) foulRect(l *drawing.Layer, a, b plane.Vec, label string) {
	run := [][]plane.Vec{{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}}}
	metal(l, run, run, label)
	l.Draw(closedLines(run), foulLine, label)
}

// foulsAcross hatches, in both views, what the pairs share that foul at the chosen position.
func (v *view) foulsAcross(plan, end []prism, onPlan, onEnd func(q plane.Vec) plane.Vec) {
	l := v.d.Layer("fouls", "Fouls")
	for _, a := range v.answers() {
		if a.Check.Kind != solver.Clear || a.State != solver.Fouls {
			continue
		}
		one, two := find(plan, a.Check.A), find(plan, a.Check.B)
		if one == nil || two == nil {
			continue
		}
		ra, rb := v.flat(one.body, v.chosen), v.flat(two.body, v.chosen)
		box, any := metal(l, ra, rb, v.pair(a.Check))
		z := [2]float64{max(one.band[0], two.band[0]), min(one.band[1], two.band[1])}
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

// symbol draws the mark of first-angle projection (ISO 5456-2): a frustum seen from its side, and to its right as it is seen
// from its narrow end.
func symbol(l *drawing.Layer, at plane.Vec) {
	const r, s, long = 3.0, 1.5, 6.0
	l.Draw(drawing.Polyline([]plane.Vec{at.Add(plane.Vec{Y: s}), at.Add(plane.Vec{X: long, Y: r}), at.Add(plane.Vec{X: long, Y: -r}), at.Add(plane.Vec{Y: -s})}, true), symbolLine, "first-angle projection")
	c := at.Add(plane.Vec{X: long + 6})
	l.Draw(append(drawing.Circle(c, r), drawing.Circle(c, s)...), symbolLine, "first-angle projection")
	l.Draw(append(drawing.Line(at.Sub(plane.Vec{X: 2}), c.Add(plane.Vec{X: r + 2})), drawing.Line(c.Sub(plane.Vec{Y: r + 2}), c.Add(plane.Vec{Y: r + 2}))...), centreLine, "")
}
