package sheet

import (
	"math"
	"slices"
	"strings"

	"barover/render/drawing"
	"barover/render/office"
	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/plane"
)

// mostDrawn is how many clearances that hold get a dimension, and how many fouls are drawn; the table lists all.
const (
	mostDrawn = 8
	mostFouls = 12
)

// answersDrawn draws fouls and least clearances where they are. The crank's angles between them give way.
func (v *view) answersDrawn() {
	fouls, dims := v.toDraw()
	for _, list := range [][]answer{fouls, dims} {
		for _, a := range list {
			p, q := v.on(a.Finding.Near[0]), v.on(a.Finding.Near[1])
			v.labels.Block(drawing.BoxOf([]plane.Vec{p, q}).Grown(2))
		}
	}
	v.crankCircle()
	for i := range fouls {
		v.foul(&fouls[i])
	}
	for i := range dims {
		v.clearance(&dims[i])
	}
	if len(fouls) > 0 {
		what := "foul"
		if slices.ContainsFunc(fouls, func(a answer) bool { return !a.Fouling() }) {
			what = "what does not hold"
		}
		v.legend(foulLine, what+", at its worst position")
	}
	if len(dims) > 0 {
		v.legend(dimLine, "least clearance of a check")
	}
}

// toDraw lists the answers that are drawn at their place.
func (v *view) toDraw() (fouls, dims []answer) {
	for _, a := range v.answers() {
		if a.Check.Kind != solver.Clear || !sound(a.Finding) {
			continue
		}
		v.say(&a, v.w)
		switch {
		case !a.OK && len(fouls) < mostFouls:
			fouls = append(fouls, a)
		case a.OK && (v.o.LabelAll || len(dims) < mostDrawn && v.tight(&a)):
			dims = append(dims, a)
		}
	}
	return fouls, dims
}

// tightShare is the share of the engine's size up to which a pair without a limit is near to trouble.
const tightShare = 0.003

// tight reports whether a pair that holds is near to trouble: it has less than twice what is asked.
func (s *scene) tight(a *answer) bool { return a.Margin <= max(a.AtLeast, tightShare*s.diagonal()) }

func sound(f *solver.Finding) bool {
	n := f.Near[0].Add(f.Near[1])
	return math.Abs(f.Least) < 1e9 && math.Abs(n.X) < 1e9 && math.Abs(n.Y) < 1e9
}

// coverInk tells the labels what the picture covers.
func (v *view) coverInk() {
	for _, w := range v.swept {
		var runs [][]plane.Vec
		for _, run := range w.runs {
			runs = append(runs, v.runOn(run))
		}
		v.labels.Cover(runs)
		v.labels.Line(runs)
	}
	if v.chosen == nil {
		return
	}
	for _, b := range v.bodies {
		runs := v.flat(&b, v.chosen)
		if v.labels.Line(runs); b.fixed {
			v.labels.Cover(runs)
		}
	}
}

// flat returns the outline of a body at a pose, on paper, arcs by chords.
func (v *view) flat(b *body, p *linkage.Pose) [][]plane.Vec {
	runs, _ := b.path.Scaled(v.k).Placed(v.at(p.Part[b.part])).Flat(0.02)
	return runs
}

func (s *scene) body(profile int) *body {
	for i := range s.bodies {
		if s.bodies[i].profile == profile {
			return &s.bodies[i]
		}
	}
	return nil
}

// foul draws a pair at its worst position: both outlines, their overlap hatched, a ring round the place and a leader.
func (v *view) foul(a *answer) {
	l := v.d.Layer("fouls", "Fouls")
	label := v.pair(a.Check) + ": " + v.short(a, v.w)
	p := v.pose(a.At.Turn, a.At.Travel)
	for _, b := range []*body{v.body(a.Check.A), v.body(a.Check.B)} {
		if p != nil && b != nil && !b.fixed {
			l.Place(v.forms[b.index], v.at(p.Part[b.part]), foulPose, label)
		}
	}
	mid, r := v.overlap(l, v.scene, a, label)
	l.Draw(drawing.Circle(mid, r), foulLead, label)
	v.flagged(l, mid, r, a.no, []string{v.pair(a.Check), v.short(a, v.w)}, foul25, foulLead, math.Inf(1))
}

// overlap hatches the overlap of a pair of an engine at its worst position, and returns a ring about it.
func (v *view) overlap(l *drawing.Layer, s *scene, a *answer, label string) (mid plane.Vec, r float64) {
	mid, r = v.on(a.Near[0].Add(a.Near[1]).Scale(0.5)), 2.5
	one, two := s.body(a.Check.A), s.body(a.Check.B)
	p := s.pose(a.At.Turn, a.At.Travel)
	if p == nil || one == nil || two == nil {
		return mid, r
	}
	ra, rb := v.flat(one, p), v.flat(two, p)
	box, any := metal(l, ra, rb, label)
	if !any {
		return mid, r
	}
	l.Draw(append(drawing.Within(ra, rb), drawing.Within(rb, ra)...), foulLine, label)
	if w, _ := box.Size(); w < 60 {
		mid, r = box.Centre(), min(12, max(2.5, box.Max.Sub(box.Min).Len()/2+1.2))
	}
	return mid, r
}

// short is an answer in a few words: "fouls by 0.031 at 90°, axle +1/8".
func (s *scene) short(a *answer, w Words) string {
	at := " at " + a.where
	if a.where == "everywhere" || a.where == "–" {
		at = " " + a.where
	}
	if a.Sure == solver.Sampled {
		at += " (sampled)"
	}
	switch {
	case a.Fouling():
		return "fouls by " + w.length(-a.Least) + strings.TrimSuffix(at, " –")
	case a.Check.Kind == solver.Clear && a.Least == 0 && !a.OK:
		return "touches" + at
	case a.OK:
		return a.figure + at
	}
	return a.State.String() + ": " + a.figure + strings.TrimSuffix(at, " –")
}

// clearance draws the least clearance of a check as a small dimension between the two nearest places.
func (v *view) clearance(a *answer) {
	l := v.d.Layer("clearances", "Least clearances")
	p, q := v.on(a.Finding.Near[0]), v.on(a.Finding.Near[1])
	v.dimension(l, p, q, v.pair(a.Check)+": "+v.short(a, v.w))
	v.flagged(l, p.Add(q).Scale(0.5), 0, 0, []string{v.pair(a.Check), v.short(a, v.w)}, label25, dimLine, hidesMost)
}

// dimension draws a dimension line from p to q: arrows between them where there is room, else from outside.
func (v *view) dimension(l *drawing.Layer, p, q plane.Vec, label string) {
	d := q.Sub(p)
	u := d.Unit()
	if u == (plane.Vec{}) {
		u = plane.Vec{Y: 1}
	}
	if d.Len() >= 7 {
		l.Draw(drawing.Line(p, q), dimLine, label)
		arrow(l, p, u.Scale(-1), dimArrow)
		arrow(l, q, u, dimArrow)
		return
	}
	l.Draw(append(drawing.Line(p.Sub(u.Scale(4.5)), p), drawing.Line(q, q.Add(u.Scale(4.5)))...), dimLine, label)
	arrow(l, p, u, dimArrow)
	arrow(l, q, u.Scale(-1), dimArrow)
}

// arrow draws an arrow head with its tip at v that points along u.
func arrow(l *drawing.Layer, v, u plane.Vec, s *drawing.Style) {
	back := v.Sub(u.Scale(2))
	side := u.Turned().Scale(0.35)
	l.Draw(drawing.Polyline([]plane.Vec{v, back.Add(side), back.Sub(side)}, true), s, "")
}

// hidesMost is the share of a label over the picture, by weight, from which the label of a clearance that holds is left
// out: it would hide more than it tells.
const hidesMost = 0.3

// label writes lines beside the picture with a leader from a ring of radius r about target. It draws nothing where there
// is no room; the table has the same.
func (v *view) label(l *drawing.Layer, target plane.Vec, r float64, lines []string, s *drawing.TextStyle, lead *drawing.Style) {
	v.flagged(l, target, r, 0, lines, s, lead, math.Inf(1))
}

// flagged is label with the flag of that number before its lines, if it is not 0. It also draws nothing where more of the
// label than most would lie over the picture.
func (v *view) flagged(l *drawing.Layer, target plane.Vec, r float64, no int, lines []string, s *drawing.TextStyle, lead *drawing.Style, most float64) bool {
	lines = shortLines(s, lines)
	step := s.Height * 1.55
	w, flags := 0.0, 0.0
	for _, t := range lines {
		w = max(w, s.Width(t))
	}
	if no > 0 {
		flags = office.FlagWide
	}
	out := target.Sub(v.l.picture.Centre()).Unit()
	at, ok := v.labels.Place(target, r, w+flags, step*float64(len(lines)), out, most)
	if !ok {
		return false
	}
	from := target.Add(at.Bend.Sub(target).Unit().Scale(r))
	l.Draw(drawing.Polyline([]plane.Vec{from, at.Bend, at.End}, false), lead, "")
	if r == 0 {
		l.Draw(drawing.Circle(target, 0.4), &drawing.Style{Name: lead.Name + "-dot", Fill: lead.Stroke}, "")
	}
	anchor, x, disc := drawing.Start, at.Box.Min.X+flags, at.Box.Min.X+flags/2-0.5
	if !at.Left {
		anchor, x, disc = drawing.End, at.Box.Max.X-flags, at.Box.Max.X-flags/2+0.5
	}
	top := v.d.Layer("labels", "Labels")
	if no > 0 {
		office.Flag(top, plane.Vec{X: disc, Y: at.Box.Centre().Y}, no)
	}
	for i, t := range lines {
		y := at.Box.Max.Y - step*float64(i) - s.Height - (step-s.Height)/2
		top.Write(plane.Vec{X: x, Y: y}, anchor, s, t)
	}
	return true
}
