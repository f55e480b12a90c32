package sketch

import (
	"fmt"

	"barover/sketch/fits"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/schedule"
)

// plays gives pins and slides their play: first the named ones, then all others if a line says so.
func (l *loader) plays() {
	all := map[*instance]solver.Play{} // by the file under a name that the line stands in
	where := map[[3]int]place{}
	for i, s := range each[*syntax.Play](l.sketch) {
		at := l.at(i, s.Span)
		t := solver.Play{Stmt: i, Point: -1, Line: -1, V: l.playOf(at, s), Named: !s.All}
		if s.All {
			in := l.instanceOf[at.file]
			if first, twice := all[in]; twice {
				l.tell(at, "the play of all pins is given twice", "take one of the two out", l.at(first.Stmt, l.sketch.statements[first.Stmt].s.Where()).note("it is given here first"))
				continue
			}
			all[in] = t
			continue
		}
		if !l.played(at.file, s, &t) {
			continue
		}
		key := [3]int{t.Part, t.Point, t.Line}
		if first, twice := where[key]; twice {
			l.tell(at, "this play of "+s.Part.Text+" is given twice", "take one of the two out", first.note("it is given here first"))
			continue
		}
		where[key] = at
		l.sketch.Problem.Plays = append(l.sketch.Problem.Plays, t)
	}
	if len(all) > 0 {
		l.playAll(all, where)
	}
}

// playOf is the node of a play: a figure, or the most that a fit leaves between a hole and a shaft of a diameter.
func (l *loader) playOf(at place, s *syntax.Play) expr.ID {
	id := l.id(s.Value)
	if !s.Hole.Given || id == expr.None || l.sum.v == nil {
		return id
	}
	l.sum.v.Extend()
	size := l.sum.v.At(id)
	if !(size == size) { // it has a mistake that was reported
		return id
	}
	_, hole, err := fits.Deviations(s.Hole.Text, size)
	if err != nil {
		l.tell(place{at.file, s.Hole.Span}, err.Error(), fits.Help(s.Hole.Text))
		return id
	}
	shaft, _, err := fits.Deviations(s.Shaft.Text, size)
	if err != nil {
		l.tell(place{at.file, s.Shaft.Span}, err.Error(), fits.Help(s.Shaft.Text))
		return id
	}
	if hole < shaft {
		l.tell(place{at.file, s.Shaft.Span}, fmt.Sprintf("%s/%s leaves no play: it is a press fit", s.Hole.Text, s.Shaft.Text), "take a running fit such as H8/f7, or leave the line out")
	}
	return l.sum.g.Const(hole - shaft)
}

// played finds what a play is between. It returns false, and has reported why, where the part has no such eye or slides
// on no such line.
func (l *loader) played(file *syntax.File, s *syntax.Play, t *solver.Play) bool {
	m := l.sketch.Problem.Linkage
	var ok bool
	if t.Part, ok = l.part(file, s.Part); !ok {
		return false
	}
	if s.Line != nil {
		return l.playedOn(file, s, t)
	}
	if t.Point, ok = l.point(file, *s.Point); !ok {
		return false
	}
	part := &m.Parts[t.Part]
	if part.Kind != schedule.Frame && (part.P == t.Point || part.Q == t.Point) {
		return true
	}
	at := place{file, s.Point.Span}
	pin := m.Points[t.Point].Name
	switch {
	case part.Kind == schedule.Frame:
		l.tell(at, "the frame carries its pins and has no eyes", "give the play to the part that turns on "+pin)
	case solver.PointOf(m, t.Part, t.Point):
		l.tell(at, pin+" is fixed to "+part.Name+" and goes with it", "give the play to the part that turns on it")
	case part.Kind == schedule.FromTo:
		l.tell(at, fmt.Sprintf("%s has no eye at %s: it goes from %s to %s", part.Name, pin, m.Points[part.P].Name, m.Points[part.Q].Name), "name one of these two pins, or the part that turns on "+pin)
	default:
		l.tell(at, fmt.Sprintf("%s has no eye at %s: it is at %s", part.Name, pin, m.Points[part.P].Name), "name "+m.Points[part.P].Name+", or the part that turns on "+pin)
	}
	return false
}

func (l *loader) playedOn(file *syntax.File, s *syntax.Play, t *solver.Play) bool {
	m := l.sketch.Problem.Linkage
	before := len(l.messages)
	if t.Line, _ = l.straight(file, *s.Line); t.Line < 0 || len(l.messages) > before {
		return false
	}
	for i := range m.Equations {
		if e := &m.Equations[i]; e.Kind == schedule.OnLine && e.On == t.Line && solver.PointOf(m, t.Part, e.P) {
			return true
		}
	}
	help := "name the line that it slides on"
	if p := &m.Parts[t.Part]; p.Kind == schedule.AlongLine && p.Line == t.Line && p.P >= 0 {
		help = "write slide " + m.Points[p.P].Name + " on " + s.Line.Text
	}
	l.tellIfWhole(place{file, s.Line.Span}, "no point of "+s.Part.Text+" slides on "+s.Line.Text, help)
	return false
}

// playAll gives every eye that no line names the play of all. In a file under a name its own line counts, else that of the
// file that takes it in.
func (l *loader) playAll(all map[*instance]solver.Play, named map[[3]int]place) {
	p := l.sketch.Problem
	for _, t := range p.Eyes() {
		if _, known := named[[3]int{t.Part, t.Point, -1}]; known {
			continue
		}
		for in := l.instanceOf[l.sketch.statements[p.Linkage.Parts[t.Part].Stmt].file]; ; in = in.within {
			if of, given := all[in]; given {
				t.Stmt, t.V = of.Stmt, of.V
				p.Plays = append(p.Plays, t)
				break
			}
			if in == nil {
				break
			}
		}
	}
}
