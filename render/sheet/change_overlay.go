package sheet

import (
	"barover/render/drawing"
	"barover/solver/linkage"
	"barover/solver/plane"
)

// Lines of the two engines. Their widths tell them apart, 0.18 and 0.7, and beside both what did not change is pale; the
// colour of what was only helps.
var (
	wasLine     = &drawing.Style{Name: "before", Width: 0.18, Line: drawing.Continuous, Stroke: blue}
	isFixed     = &drawing.Style{Name: "after-fixed", Width: 0.7, Line: drawing.Continuous, Stroke: black, Fill: fixedLine.Fill}
	isTints     = edged(tints, "after-", 0.7)
	isHidden    = &drawing.Style{Name: "after-hidden", Width: 0.35, Line: drawing.Dashed, Stroke: black}
	quietCentre = &drawing.Style{Name: "centre-quiet", Width: 0.13, Line: drawing.LongDashShortDash, Stroke: dark}
	quietLine   = &drawing.Style{Name: "unchanged", Width: 0.18, Line: drawing.Continuous, Stroke: grey, Fill: drawing.RGB(0xf6f6f6)}
	wasSwept    = &drawing.Style{Name: "before-swept", Width: 0.13, Line: drawing.LongDashTwoShortDash, Stroke: blue}
	isSwept     = &drawing.Style{Name: "after-swept", Width: 0.35, Line: drawing.LongDashTwoShortDash, Stroke: black}
	wasTrace    = &drawing.Style{Name: "before-trace", Width: 0.18, Line: drawing.Dotted, Stroke: blue}
	isTrace     = &drawing.Style{Name: "after-trace", Width: 0.5, Line: drawing.Dotted, Stroke: black}
	nameLine    = &drawing.Style{Name: "name-leader", Width: 0.13, Line: drawing.Continuous, Stroke: black}
)

// afterStyle is how a body is drawn as it is after the change.
func afterStyle(b *body) *drawing.Style {
	if b.fixed {
		return isFixed
	}
	return isTints[b.part%len(isTints)]
}

// bothView is both engines being drawn on one sheet: now is the view of the one after the change, old that of the one
// before, with the same paper, scale, labels and frame.
type bothView struct {
	*both
	now, old *view
}

func (b *both) view(o *Options, l layout) *bothView {
	now := newView(b.is, o, l)
	v := b.beside(now)
	v.old.forms = map[int]int{}
	for i := range b.was.bodies {
		v.old.forms[i] = now.d.Define(b.was.bodies[i].path.Scaled(now.k))
	}
	return v
}

// overlay draws the first sheet: what is unchanged palely and once, what differs thick as it is and thin as it was.
func (b *both) overlay(o *Options, l layout, rows []tableRow) *drawing.Drawing {
	v := b.view(o, l)
	v.say(v.notes())
	v.unchanged()
	v.after()
	v.sweeps()
	v.before()
	v.sticks()
	v.now.centres(quietCentre)
	v.paths()
	v.coverBoth()
	v.marks()
	v.lonely()
	border(v.now.d, l.frame)
	titleBlock(v.now.d, l.block, o, "Before and after", l.scale.String(), l.paper.Name)
	v.now.tableOn(changeColumns, rows, len(rows), "what changed")
	v.now.drawLegend()
	if l.rulers {
		rulers(v.now.d, &v.now.l)
	}
	return v.now.d
}

// unchanged draws what is the same in both, once. Where one of the two cannot be assembled, that is the shapes alone, as
// the other one has them.
func (v *bothView) unchanged() {
	l := v.now.d.Layer("unchanged", "Unchanged")
	any := false
	for i := range v.twins {
		t := &v.twins[i]
		if t.differs || !v.paired() {
			continue
		}
		b := &v.is.bodies[t.is]
		l.Place(v.now.forms[t.is], v.now.at(v.is.chosen.Part[b.part]), quietLine, v.now.about(b))
		any = true
	}
	if any {
		v.now.legend(quietLine, "the same before and after")
	}
}

// paired reports whether both engines stand at the position drawn. Where one does not, nothing can be said to be the
// same, and the other is drawn whole.
func (v *bothView) paired() bool { return v.was.chosen != nil && v.is.chosen != nil }

// drawn lists the bodies of one scene that are drawn in its own line.
func (v *bothView) drawn(of func(t *twin) int) (list []int) {
	for i := range v.twins {
		if t := &v.twins[i]; of(t) >= 0 && (t.differs || !v.paired()) {
			list = append(list, of(t))
		}
	}
	return list
}

// after draws thick what differs, as it is now, the nearer over the farther and dashed what that hides.
func (v *bothView) after() {
	if v.is.chosen == nil {
		return
	}
	list := v.drawn(func(t *twin) int { return t.is })
	l := v.now.d.Layer("after", "After: "+v.Is)
	for _, i := range list {
		b := &v.is.bodies[i]
		l.Place(v.now.forms[i], v.now.at(v.is.chosen.Part[b.part]), afterStyle(b), "after: "+v.now.about(b))
	}
	h := v.now.d.Layer("after-hidden", "Hidden edges")
	for _, i := range list {
		h.Place(v.now.forms[i], v.now.at(v.is.chosen.Part[v.is.bodies[i].part]), isHidden, "")
	}
	if len(list) > 0 {
		v.now.legend(isTints[0], "after: "+v.Is)
		v.now.legend(isHidden, "hidden edges of it")
	}
}

// before draws thin, over all else, what differs, as it was.
func (v *bothView) before() {
	if v.was.chosen == nil {
		return
	}
	l := v.now.d.Layer("before", "Before: "+v.Was)
	list := v.drawn(func(t *twin) int { return t.was })
	for _, i := range list {
		b := &v.was.bodies[i]
		label := "before: " + v.old.about(b)
		if lines, whole := v.uncovered(i); whole {
			l.Place(v.old.forms[i], v.old.at(v.was.chosen.Part[b.part]), wasLine, label)
		} else if len(lines) > 0 {
			l.Draw(lines, wasLine, label)
		}
	}
	if len(list) > 0 {
		v.now.legend(wasLine, "before: "+v.Was)
	}
}

// uncovered is what of a body's outline, as it was, does not lie beneath the thick line of what it is now; whole where all
// of it is.
func (v *bothView) uncovered(was int) (lines drawing.Path, whole bool) {
	is := -1
	for i := range v.twins {
		if v.twins[i].was == was {
			is = v.twins[i].is
		}
	}
	if is < 0 || v.is.chosen == nil {
		return nil, true
	}
	runs := v.old.flat(&v.was.bodies[was], v.was.chosen)
	return apartFrom(runs, v.now.flat(&v.is.bodies[is], v.is.chosen), isFixed.Width/2)
}

// position is the position drawn, in words.
func (v *bothView) position() string {
	name := v.After.Problem.Turn.Name
	if name == "" {
		name = "crank"
	}
	return name + " " + v.is.where(v.at, v.now.w)
}

// sweeps draws what parts that go another way sweep over, thick as it is and thin as it was.
func (v *bothView) sweeps() {
	l := v.now.d.Layer("swept", "Swept outlines")
	any := false
	now := map[string][][]plane.Vec{} // what is swept now, by the names of the parts
	for _, w := range v.is.swept {
		name := v.is.partName(w.part)
		if runs := v.now.sweptRuns(w); len(runs) > 0 && v.sweepsDiffer(v.was.partNamed(name), w.part) {
			now[name], any = runs, true
			l.Draw(closedLines(runs), isSwept, "after: swept by "+name)
		}
	}
	for _, w := range v.was.swept {
		name := v.was.partName(w.part)
		if is := v.is.partNamed(name); is >= 0 && !v.sweepsDiffer(w.part, is) {
			continue
		}
		runs := v.old.sweptRuns(w)
		lines, whole := apartFrom(runs, now[name], isSwept.Width)
		if whole {
			lines = closedLines(runs)
		}
		if len(lines) > 0 {
			any = true
			l.Draw(lines, wasSwept, "before: swept by "+name)
		}
	}
	if any {
		v.now.legend(isSwept, "swept over the turn, after; thin: before")
	}
}

func (s *scene) partName(i int) string { return s.Problem.Linkage.Parts[i].Name }

// sweptRuns are the lines of a swept outline on the paper, but for pockets narrower than they.
func (v *view) sweptRuns(w swept) (runs [][]plane.Vec) {
	for _, run := range w.runs {
		if on := v.runOn(run); !tooSmall(boxOf(on)) {
			runs = append(runs, drawing.Simplify(on, true, slight))
		}
	}
	return runs
}

func closedLines(runs [][]plane.Vec) (p drawing.Path) {
	for _, run := range runs {
		p = append(p, drawing.Polyline(run, true)...)
	}
	return p
}

// paths draws the traced paths that differ.
func (v *bothView) paths() {
	l := v.now.d.Layer("traces", "Traced paths")
	drawn := ""
	for _, point := range v.is.traced() {
		name := v.now.pointName(point)
		old := v.was.pointNamed(name)
		if name == "" || !v.pathsDiffer(old, point) {
			continue
		}
		for _, run := range pathOver(v.is.turns, point) {
			l.Draw(drawing.Polyline(drawing.Simplify(v.now.runOn(run), false, slight), false), isTrace, "after: path of "+name)
		}
		for _, run := range pathOver(v.was.turns, old) {
			l.Draw(drawing.Polyline(drawing.Simplify(v.old.runOn(run), false, slight), false), wasTrace, "before: path of "+name)
		}
		if drawn != "" {
			drawn += ", "
		}
		drawn += name
	}
	if drawn != "" {
		v.now.legend(isTrace, "path of "+drawn+", after; thin: before")
	}
}

// pointNamed is the number of a point, −1 where there is none.
func (s *scene) pointNamed(name string) int {
	for i, p := range s.Problem.Linkage.Points {
		if p.Name == name {
			return i
		}
	}
	return -1
}

// pathOver is the path of a point over the turn, broken where the engine cannot be assembled.
func pathOver(turns []*linkage.Pose, point int) (runs [][]plane.Vec) {
	var run []plane.Vec
	for _, p := range append(turns[:len(turns):len(turns)], nil) {
		if p != nil && point >= 0 && point < len(p.Point) {
			run = append(run, p.Point[point])
			continue
		}
		if len(run) > 1 {
			runs = append(runs, run)
		}
		run = nil
	}
	return runs
}
