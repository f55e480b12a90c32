package sheet

import (
	"slices"
	"strings"

	"barover/render/drawing"
	"barover/render/sweep"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// Lines of the two engines. Their widths tell them apart, 0.18 and 0.7, and broken lines have a pattern each as well; what did not change is
// pale beside both. Colour only helps.
var (
	wasLine     = &drawing.Style{Name: "before", Width: 0.18, Line: drawing.Continuous, Stroke: blue}
	isFixed     = &drawing.Style{Name: "after-fixed", Width: 0.7, Line: drawing.Continuous, Stroke: black, Fill: fixedLine.Fill}
	isTints     = edged(tints, "after-", 0.7)
	isHidden    = &drawing.Style{Name: "after-hidden", Width: 0.35, Line: drawing.Dashed, Stroke: black}
	quietCentre = &drawing.Style{Name: "centre-quiet", Width: 0.13, Line: drawing.LongDashShortDash, Stroke: dark}
	quietLine   = &drawing.Style{Name: "unchanged", Width: 0.18, Line: drawing.Continuous, Stroke: grey, Fill: drawing.RGB(0xf6f6f6)}
	wasSwept    = &drawing.Style{Name: "before-swept", Width: 0.18, Line: drawing.DashedSpaced, Stroke: blue}
	isSwept     = &drawing.Style{Name: "after-swept", Width: 0.35, Line: drawing.LongDashTwoShortDash, Stroke: black}
	wasTrace    = &drawing.Style{Name: "before-trace", Width: 0.18, Line: drawing.DashDot, Stroke: blue}
	isTrace     = &drawing.Style{Name: "after-trace", Width: 0.5, Line: drawing.Dotted, Stroke: black}
	nameLine    = &drawing.Style{Name: "name-leader", Width: 0.13, Line: drawing.Continuous, Stroke: black}
)

// afterStyle is the style of a body after the change.
func afterStyle(b *body) *drawing.Style {
	if b.fixed {
		return isFixed
	}
	return isTints[b.part%len(isTints)]
}

// bothView is both engines being drawn on one sheet: now is the view of the engine after the change, old that of the one
// before, with the same paper, scale, labels and frame.
type bothView struct {
	*both
	now, old *view
}

func (b *both) view(o *Options, l layout) *bothView {
	v := b.beside(newView(b.is, o, l))
	if b.changes() {
		v.old.forms = map[int]int{}
		for i := range b.was.bodies {
			v.old.forms[i] = v.now.d.Define(b.was.bodies[i].path.Scaled(v.now.k))
		}
	}
	return v
}

// overlay draws the first sheet: the engine at every position of the turn, with fouls and least clearances. Of a change
// it draws what is the same once and pale, and what differs thick as it is and thin as it was.
func (b *both) overlay(o *Options, l layout) *drawing.Drawing {
	v := b.view(o, l)
	kind := "Motion, sweep " + v.is.overTurn("of one turn")
	writeNotes := v.say(v.notes())
	v.now.scans()
	if v.changes() {
		kind = "Before and after"
		v.unchanged()
		v.after()
		v.sweeps()
		v.before()
		v.sticks()
		v.now.centres(quietCentre)
	} else {
		v.now.fixed()
		v.now.ghostPositions()
		v.now.chosenPosition()
		v.now.sticks()
		v.sweeps()
		v.now.centres(centreLine)
	}
	v.paths()
	v.ink()
	if v.changes() {
		v.marks()
		v.lonely()
	} else {
		v.now.answersDrawn()
		v.now.pinNames()
		v.now.partNames(mostNames)
	}
	v.furniture(kind)
	writeNotes()
	return v.now.d
}

// unchanged draws what is the same in both, once. Where one of the two cannot be assembled, it compares the shapes alone,
// and draws the other engine's.
func (v *bothView) unchanged() {
	l := v.now.d.Layer("unchanged", "Unchanged")
	for _, t := range v.twins {
		if t.differs || !v.paired() {
			continue
		}
		b := &v.is.bodies[t.is]
		l.Place(v.now.forms[t.is], v.now.at(v.is.chosen.Part[b.part]), quietLine, v.now.about(b))
		v.now.legend(quietLine, "the same before and after")
	}
}

// paired reports whether both engines have a pose at the position drawn. Where one has none, nothing counts as the same,
// and the other is drawn whole.
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

// after draws what differs as it is now, thick.
func (v *bothView) after() {
	list := v.drawn(func(t *twin) int { return t.is })
	if v.is.chosen == nil || len(list) == 0 {
		return
	}
	v.now.solid(v.now.d.Layer("after", "After: "+v.Is), list, "after: ", afterStyle)
	v.now.dashed(v.now.d.Layer("after-hidden", "Hidden edges"), list, isHidden)
	v.now.legend(isTints[0], "after: "+v.Is)
	v.now.legend(isHidden, "hidden edges of it")
}

// before draws what differs as it was, thin, over everything else.
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

// uncovered is the part of a body's outline, as it was, that is not beneath the thick line of what it is now; whole says
// that all of it is.
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
	return drawing.Apart(runs, v.now.flat(&v.is.bodies[is], v.is.chosen), isFixed.Width/2)
}

// position is the position drawn, in words.
func (v *bothView) position() string {
	return v.After.turnName() + " " + v.is.where(v.at, v.now.w)
}

// sweeps draws what the parts sweep over. Of a change it draws the sweeps that differ, thick as they are and thin as they
// were.
func (v *bothView) sweeps() {
	l := v.now.d.Layer("swept", "Swept outlines")
	style, prefix := sweptLine, ""
	if v.changes() {
		style, prefix = isSwept, "after: "
	}
	any := false
	now := map[string][][]plane.Vec{} // what is swept now, by the names of the parts
	for _, w := range v.is.swept {
		name := v.is.partName(w.part)
		if runs := v.now.sweptRuns(w.runs); len(runs) > 0 && (!v.changes() || v.sweepsDiffer(v.was.partNamed(name), w.part)) {
			now[name], any = runs, true
			l.Draw(drawing.Closed(runs), style, prefix+"swept by "+name)
		}
	}
	if v.changes() {
		any = v.sweptBefore(l, now) || any
	}
	switch {
	case any && v.changes():
		v.now.legend(isSwept, "swept over the turn, after")
		v.now.legend(wasSwept, "swept over the turn, before")
	case any:
		words := "swept " + v.is.overTurn("in a whole turn")
		if v.is.settings > 1 {
			words += " and all travels"
		}
		v.now.sweptWithPlay(l, words)
	}
}

// sweptBefore draws the old sweeps that differ, and reports whether there are any.
func (v *bothView) sweptBefore(l *drawing.Layer, now map[string][][]plane.Vec) (any bool) {
	for _, w := range v.was.swept {
		name := v.was.partName(w.part)
		if is := v.is.partNamed(name); is >= 0 && !v.sweepsDiffer(w.part, is) {
			continue
		}
		runs := v.old.sweptRuns(w.runs)
		lines, whole := drawing.Apart(runs, now[name], isSwept.Width)
		if whole {
			lines = drawing.Closed(runs)
		}
		if len(lines) > 0 {
			any = true
			l.Draw(lines, wasSwept, "before: swept by "+name)
		}
	}
	return any
}

func (s *scene) partName(i int) string { return s.Problem.Linkage.Parts[i].Name }

// sweptRuns are the lines of a swept outline on the paper, without pockets narrower than the lines.
func (v *view) sweptRuns(outline [][]plane.Vec) (runs [][]plane.Vec) {
	for _, run := range outline {
		if on := v.runOn(run); !tooSmall(drawing.BoxOf(on)) {
			runs = append(runs, drawing.Simplify(on, true, slight))
		}
	}
	return runs
}

// paths draws the traced paths; of a change those that differ.
func (v *bothView) paths() {
	l := v.now.d.Layer("traces", "Traced paths")
	draw := func(one *view, point int, style *drawing.Style, label string) {
		for _, run := range sweep.PathOf(one.turns, point) {
			l.Draw(drawing.Polyline(drawing.Simplify(one.runOn(run), false, slight), false), style, label)
		}
	}
	var drawn []string
	for _, point := range v.is.traced() {
		name := v.now.pointName(point)
		if !v.changes() {
			draw(v.now, point, traceLine, "path of "+name)
			drawn = append(drawn, name)
			continue
		}
		if old := v.was.pointNamed(name); name != "" && v.pathsDiffer(old, point) {
			draw(v.now, point, isTrace, "after: path of "+name)
			draw(v.old, old, wasTrace, "before: path of "+name)
			drawn = append(drawn, name)
		}
	}
	switch words := "path of " + strings.Join(drawn, ", "); {
	case len(drawn) > 0 && v.changes():
		v.now.legend(isTrace, words+", after")
		v.now.legend(wasTrace, words+", before")
	case len(drawn) > 0:
		v.now.legend(traceLine, words)
	}
}

// pointNamed is the number of a point, −1 where there is none.
func (s *scene) pointNamed(name string) int {
	return slices.IndexFunc(s.Problem.Linkage.Points, func(p schedule.Point) bool { return p.Name == name })
}
