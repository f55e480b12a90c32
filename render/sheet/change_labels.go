package sheet

import (
	"slices"

	"barover/render/drawing"
	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/plane"
)

// mostLabelled bounds the changed checks that are named on the picture, and the parts that came or went; the table lists
// all.
const (
	mostLabelled = 10
	mostLonely   = 10
)

// thenLine is a pair at its worst, where that is not at the position drawn.
var thenLine = &drawing.Style{Name: "then", Width: 0.18, Line: drawing.Continuous, Stroke: dark}

// mostDimension is the longest clearance that gets a dimension line, mm of paper: a longer one would run through other
// things at its position.
const mostDimension = 15.0

// note is a line in the upper left corner of the picture.
type note struct {
	style *drawing.TextStyle
	text  string
}

// high is the height of a note with the space below it, mm.
func (n note) high() float64 { return n.style.Height + 2 }

// notes say the result, the position drawn, and what cannot be drawn.
func (v *bothView) notes() (list []note) {
	w, _ := v.now.l.picture.Size()
	add := func(s *drawing.TextStyle, text string) {
		for _, line := range s.Wrap(text, w-8) {
			list = append(list, note{s, line})
		}
	}
	for _, t := range v.unassembled() {
		add(foul25, t)
	}
	if v.changes() {
		if v.same() {
			add(bold25, "Nothing changed: before and after are one.")
		}
		add(bold25, v.Sum)
		add(text25, "drawn at "+v.position()+v.alike())
		add(text25, v.signsKey())
	} else {
		add(bold25, v.verdict())
	}
	add(foul25, v.now.l.note)
	add(bold25, v.is.picked())
	return list
}

// say makes room for the notes, and moves the picture down from beneath them as far as it has room. The function that it
// returns writes them, above everything else.
func (v *bothView) say(list []note) (write func()) {
	var texts []drawing.Text
	write = func() {
		l := v.now.d.Layer("notes", "Notes")
		for _, t := range texts {
			l.Items = append(l.Items, t)
		}
	}
	at := plane.Vec{X: v.now.l.picture.Min.X + 4, Y: v.now.l.frame.Max.Y - 8.5} // clear of the centring mark
	for _, n := range list {
		t := drawing.Text{At: at, Style: n.style, S: n.text}
		texts = append(texts, t)
		v.now.labels.Block(t.Box())
		at.Y -= n.high()
	}
	if v.is.box.Empty() {
		return write
	}
	_, high := v.is.box.Size()
	_, room := v.now.l.picture.Size()
	over := (room - high*v.now.k) / 2
	down := min(v.now.l.frame.Max.Y-at.Y-over, over-3)
	v.now.shift.Y -= max(0, down)
	v.old.shift = v.now.shift
	return write
}

// alike says that nothing differs at the position drawn although something changed.
func (v *bothView) alike() string {
	switch {
	case v.onlyAcross():
		return ", where nothing differs from the side: see across the engine"
	case !v.paired() || v.same() || slices.ContainsFunc(v.twins, func(t twin) bool { return t.differs }):
		return ""
	}
	return ", where nothing differs from the side"
}

// unassembled says where an engine cannot be assembled: at the position drawn, and over the turn.
func (v *bothView) unassembled() (lines []string) {
	words, list, names := v.now.w, []*view{v.now}, []string{""}
	if v.changes() {
		words.Line = noWord[int] // lines belong to one engine, and here are two
		list, names = []*view{v.old, v.now}, []string{"Before, " + v.Was + ": ", "After, " + v.Is + ": "}
	}
	for i, one := range list {
		switch {
		case one.chosen == nil && v.changes():
			lines = append(lines, names[i]+"cannot be assembled at "+v.position()+"; the other is drawn alone")
		case one.chosen == nil:
			lines = append(lines, "the chosen position cannot be assembled")
		}
		if one.Result == nil {
			continue
		}
		for k, gap := range one.Result.Broken {
			if k == mostBroken {
				lines = append(lines, names[i]+"and elsewhere")
				break
			}
			lines = append(lines, names[i]+one.broken(gap, words))
		}
	}
	return lines
}

// mostBroken is the number of stretches named for each engine that cannot be assembled.
const mostBroken = 2

// ink tells the labels what the picture covers.
func (v *bothView) ink() {
	v.now.coverInk()
	if v.changes() {
		v.old.coverInk()
	}
}

// marks labels the changed checks where they are.
func (v *bothView) marks() {
	var list []*ChangedCheck
	for _, c := range v.shown() {
		if v.places(c) && (v.now.o.LabelAll || len(list) < mostLabelled && (c.rank() < 2 || v.standsThere(c))) {
			list = append(list, c)
		}
	}
	for _, c := range list {
		s, a := v.answer(c)
		near, _ := s.near(&a)
		v.now.labels.Block(drawing.BoxOf([]plane.Vec{v.now.on(near[0]), v.now.on(near[1])}).Grown(2))
	}
	for _, c := range list {
		v.mark(c)
	}
}

// places reports whether a changed check has a place.
func (v *bothView) places(c *ChangedCheck) bool {
	s, a := v.answer(c)
	return s.hasPlace(&a)
}

// standsThere reports whether a check is at its worst at the position drawn, so that its figure is that of the picture.
func (v *bothView) standsThere(c *ChangedCheck) bool {
	s, a := v.answer(c)
	return s.where(a.At, plain) == v.is.where(v.at, plain)
}

// mark labels one changed check. Where its worst position is not the one drawn, it draws the pair thin as it is then: a
// dimension between the nearest places, or the overlap hatched and ringed, as it is now.
func (v *bothView) mark(c *ChangedCheck) {
	s, a := v.answer(c)
	l := v.now.d.Layer("places", "Changed places")
	near, _ := s.near(&a)
	p, q := v.now.on(near[0]), v.now.on(near[1])
	target, r := p.Add(q).Scale(0.5), 0.0
	lead, text := dimLine, label25
	if c.rank() == 0 {
		lead, text = foulLead, foul25
	}
	if pose := s.pose(a.At.Turn, a.At.Travel); pose != nil && c.After != nil && !v.standsThere(c) {
		for i := range s.bodies {
			if b := &s.bodies[i]; !b.fixed && s.concerns(&a, b) {
				v.now.legend(thenLine, "a labelled pair where it is worst")
				l.Place(v.now.forms[i], v.now.at(pose.Part[b.part]), thenLine, b.name+" at "+s.where(a.At, v.now.w))
			}
		}
	}
	switch {
	case !a.OfPair():
		target, r = q, 1.5
		l.Draw(append(drawing.Circle(p, r), drawing.Circle(q, r)...), lead, c.What)
	case solver.Overlap(a.Finding.Least) && c.After != nil:
		target, r = v.now.overlap(l, s, &a, c.What)
		l.Draw(drawing.Circle(target, r), lead, c.What)
	case p.Sub(q).Len() < mostDimension:
		v.now.dimension(l, p, q, c.What)
	}
	v.now.label(l, target, r, v.labelLines(s, c, &a), text, lead)
}

// labelLines is the label of a changed check.
func (v *bothView) labelLines(s *scene, c *ChangedCheck, a *answer) []string {
	first := c.sign() + " " + c.What
	if c.rank() == 0 && c.After != nil {
		first += " " + a.State.String()
	}
	figures := c.Was + " → " + c.Is
	switch c.Became {
	case solver.Came:
		figures = "asked only after: " + c.Is
	case solver.Went:
		figures = "asked only before: " + c.Was
	}
	if c.After == nil || c.Is == s.worst(a, v.now.w) { // else it is the figure at the other limit, which has its own place
		figures += " at " + s.whereOf(a, v.now.w)
	}
	return []string{first, figures}
}

// lonely names the parts that came or went, at the middle of what is drawn of them.
func (v *bothView) lonely() {
	named := map[string]bool{}
	for _, t := range v.twins {
		if t.was >= 0 && t.is >= 0 || len(named) == mostLonely {
			continue
		}
		one, other, k, words := v.now, v.was, t.is, "+ new: "
		if t.is < 0 {
			one, other, k, words = v.old, v.is, t.was, "– gone: "
		}
		if one.chosen == nil {
			continue
		}
		b := &one.bodies[k]
		name := b.name
		if part := one.partName(b.part); other.partNamed(part) < 0 {
			name = part
		}
		if !named[words+name] {
			named[words+name] = true
			v.name(one, b, one.chosen, words+name)
		}
	}
}

// name labels a body at a place on its outline.
func (v *bothView) name(one *view, b *body, p *linkage.Pose, text string) {
	runs := one.flat(b, p)
	if len(runs) == 0 || len(runs[0]) == 0 {
		return
	}
	out := drawing.BoxOf(runs[0]).Centre().Sub(one.l.picture.Centre())
	target := runs[0][0]
	for _, at := range runs[0] {
		if at.Dot(out) > target.Dot(out) {
			target = at
		}
	}
	one.label(one.d.Layer("names", "Parts that came or went"), target, 0, []string{text}, label25, nameLine)
}
