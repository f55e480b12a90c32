package sheet

import (
	"math"

	"barover/render/drawing"
	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/plane"
)

// mostDrawn is how many clearances that hold get a dimension, and how many fouls are drawn; the table has them all.
const (
	mostDrawn = 8
	mostFouls = 12
)

// answersDrawn draws fouls and least clearances where they are, and between them the crank's angles, which give way.
func (v *view) answersDrawn() {
	v.coverInk()
	fouls, dims := v.toDraw()
	for _, list := range [][]answer{fouls, dims} {
		for _, a := range list {
			p, q := v.on(a.Finding.Near[0]), v.on(a.Finding.Near[1])
			v.labels.block(boxOf([]plane.Vec{p, q}).Grown(2))
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
		v.legend(foulLine, "foul, at its worst position")
	}
	if len(dims) > 0 {
		v.legend(dimLine, "least clearance of a check")
	}
}

// toDraw lists the answers that are drawn where they are.
func (v *view) toDraw() (fouls, dims []answer) {
	for _, a := range v.answers() {
		if a.Check.Kind != solver.Clear || !sound(a.Finding) {
			continue
		}
		v.say(&a, v.w)
		switch {
		case !a.OK && len(fouls) < mostFouls:
			fouls = append(fouls, a)
		case a.OK && len(dims) < mostDrawn:
			dims = append(dims, a)
		}
	}
	return fouls, dims
}

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
		v.labels.cover(runs)
		v.labels.line(runs)
	}
	if v.chosen == nil {
		return
	}
	for _, b := range v.bodies {
		runs := v.flat(&b, v.chosen)
		if v.labels.line(runs); b.fixed {
			v.labels.cover(runs)
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

// foul draws a pair at its worst position: both outlines, what they share hatched, a ring round the place and a leader.
func (v *view) foul(a *answer) {
	l := v.d.Layer("fouls", "Fouls")
	c := a.Check
	f := a.Finding
	label := v.profile(c.A) + " – " + v.profile(c.B) + ": " + v.short(a)
	one, two := v.body(c.A), v.body(c.B)
	p := v.pose(f.At.Turn, f.At.Travel)
	mid := v.on(f.Near[0].Add(f.Near[1]).Scale(0.5))
	r := 2.5
	if p != nil && one != nil && two != nil {
		ra, rb := v.flat(one, p), v.flat(two, p)
		for _, b := range []*body{one, two} {
			if !b.fixed {
				l.Place(v.forms[v.index(b)], v.at(p.Part[b.part]), foulPose, label)
			}
		}
		if h := drawing.Hatch(math.Pi/4, 1, ra, rb); len(h) > 0 {
			l.Draw(h, foulHatch, label)
			l.Draw(append(drawing.Within(ra, rb), drawing.Within(rb, ra)...), foulLine, label)
			box := h.Bounds()
			if w, _ := box.Size(); w < 60 {
				mid = box.Centre()
				r = min(12, max(2.5, box.Max.Sub(box.Min).Len()/2+1.2))
			}
		}
	}
	l.Draw(drawing.Circle(mid, r), foulLead, label)
	v.label(l, mid, r, []string{v.profile(c.A) + " – " + v.profile(c.B), v.short(a)}, foul18, foulLead)
}

func (v *view) index(b *body) int {
	for i := range v.bodies {
		if &v.bodies[i] == b {
			return i
		}
	}
	return -1
}

// short says an answer in a few words: "fouls by 0.031 at 90°, axle +1/8".
func (v *view) short(a *answer) string {
	f := a.Finding
	at := " at " + a.where
	if f.Sure == solver.Sampled {
		at += " (sampled)"
	}
	switch {
	case f.OK:
		return v.w.length(f.Least) + at
	case f.Least < 0:
		return "fouls by " + v.w.length(-f.Least) + at
	case f.Least == 0:
		return "touches" + at
	}
	return v.w.length(f.Least) + " of " + v.w.length(f.AtLeast) + " asked" + at
}

// clearance draws the least clearance of a check as a small dimension between the two nearest places.
func (v *view) clearance(a *answer) {
	l := v.d.Layer("clearances", "Least clearances")
	p, q := v.on(a.Finding.Near[0]), v.on(a.Finding.Near[1])
	label := v.profile(a.Check.A) + " – " + v.profile(a.Check.B) + ": " + v.short(a)
	v.dimension(l, p, q, label)
	v.labelFor(l, p.Add(q).Scale(0.5), 0, []string{v.profile(a.Check.A) + " – " + v.profile(a.Check.B), v.short(a)}, label18, dimLine, hidesMost)
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

// hidesMost is the share of a label over the picture, by weight, at which that of a clearance that holds is left out: it
// would hide more than it tells.
const hidesMost = 0.7

// label writes lines beside the picture with a leader from a ring of radius r about target. It reports false, and draws
// nothing, where there is no room; what it tells stands in the table.
func (v *view) label(l *drawing.Layer, target plane.Vec, r float64, lines []string, s *drawing.TextStyle, lead *drawing.Style) bool {
	return v.labelFor(l, target, r, lines, s, lead, math.Inf(1))
}

// labelFor is label, but draws nothing either where more of it than most would lie over the picture.
func (v *view) labelFor(l *drawing.Layer, target plane.Vec, r float64, lines []string, s *drawing.TextStyle, lead *drawing.Style, most float64) bool {
	lines = shortLines(s, lines)
	step := s.Height * 1.55
	w := 0.0
	for _, t := range lines {
		w = max(w, s.Width(t))
	}
	out := target.Sub(v.l.picture.Centre()).Unit()
	at, ok := v.labels.place(target, r, w, step*float64(len(lines)), out, most)
	if !ok {
		return false
	}
	from := target.Add(at.bend.Sub(target).Unit().Scale(r))
	l.Draw(drawing.Polyline([]plane.Vec{from, at.bend, at.end}, false), lead, "")
	if r == 0 {
		l.Draw(drawing.Circle(target, 0.4), &drawing.Style{Name: lead.Name + "-dot", Fill: lead.Stroke}, "")
	}
	anchor, x := drawing.Start, at.box.Min.X
	if !at.left {
		anchor, x = drawing.End, at.box.Max.X
	}
	top := v.d.Layer("labels", "Labels")
	for i, t := range lines {
		y := at.box.Max.Y - step*float64(i) - s.Height - (step-s.Height)/2
		top.Write(plane.Vec{X: x, Y: y}, anchor, s, t)
	}
	return true
}
