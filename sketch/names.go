package sketch

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"barover/sketch/syntax"
)

// sort is the sort of thing that a name means.
type sort uint8

const (
	aDim sort = iota
	aTurn
	aTravel
	aMeasure
	aPoint
	aLine
	anArc
	aPart
	aCase
	aMark
	aChart
	aProfile
	aUse
	aGiven
	aSlot
)

var sortNames = [...]string{"dimension", "turn", "travel", "measure", "point", "line", "arc", "part", "case", "mark", "chart", "profile", "file taken in", "given figure", "slot"}

func (s sort) String() string {
	if int(s) < len(sortNames) {
		return sortNames[s]
	}
	return fmt.Sprintf("sort %d", s)
}

// a is the sort with its article.
func (s sort) a() string {
	if s == anArc {
		return "an arc"
	}
	return "a " + s.String()
}

// thing is what a name means: the index-th of its sort, given at that place.
type thing struct {
	sort  sort
	index int
	at    place
}

// space is a set of names in which each name means one thing. Figures, points, lines with arcs, parts, cases, marks and
// charts each have their own space. The statement says which is meant, so `turn crank` and `part crank` do not collide.
type space struct {
	things map[string]thing
	order  []string // names as they were given, for suggestions
}

func (s *space) find(name string) (thing, bool) { t, ok := s.things[name]; return t, ok }

type names struct {
	figures, points, guides, parts, cases, marks, charts *space
	profiles                                             []*space // by part
}

func newNames() *names {
	s := func() *space { return &space{things: map[string]thing{}} }
	return &names{s(), s(), s(), s(), s(), s(), s(), nil}
}

// all lists the spaces in the order in which a name that is not found is searched elsewhere.
func (n *names) all() []*space {
	return []*space{n.figures, n.points, n.guides, n.parts, n.cases, n.marks, n.charts}
}

// anywhere reports whether a name means something in any of the spaces.
func (n *names) anywhere(name string) bool {
	return slices.ContainsFunc(n.all(), func(s *space) bool {
		_, ok := s.find(name)
		return ok
	})
}

// give enters a name. It returns false, and reports it, where the name is taken already.
func (l *loader) give(s *space, name syntax.Name, t thing) bool {
	if old, ok := s.find(name.Text); ok {
		l.tell(place{t.at.file, name.Span}, fmt.Sprintf("%s is %s already", name.Text, old.sort.a()), "choose another name, or take one of the two out",
			old.at.note("it is given here first"))
		return false
	}
	s.things[name.Text] = t
	s.order = append(s.order, name.Text)
	return true
}

// find looks a name up and reports it where it is missing. Wanted says what it should be: "a point".
func (l *loader) find(s *space, file *syntax.File, name syntax.Name, wanted string) (thing, bool) {
	if t, ok := s.find(name.Text); ok {
		return t, true
	}
	l.missing(s, place{file, name.Span}, name.Text, wanted)
	return thing{}, false
}

// findOnly is find for a name that must be of the sort of. It reports a name of another sort, with help.
func (l *loader) findOnly(of sort, s *space, file *syntax.File, name syntax.Name, wanted, help string) (thing, bool) {
	t, ok := l.find(s, file, name, wanted)
	if ok && t.sort != of {
		l.tell(place{file, name.Span}, fmt.Sprintf("%s is %s, %s is wanted here", name.Text, t.sort.the(), wanted), cmp.Or(help, "write the name of "+wanted), t.at.note("it is given here"))
		return thing{}, false
	}
	return t, ok
}

// missing reports a name that means nothing of the sort wanted here. A name that a statement with a mistake would have
// given has been reported already.
func (l *loader) missing(s *space, at place, name, wanted string) {
	if l.allLost || l.lost[name] || l.missedAgain(s, at, name) {
		return
	}
	for _, other := range l.names.all() {
		if t, ok := other.find(name); ok && other != s {
			l.tell(at, fmt.Sprintf("%s is %s, %s is wanted here", name, t.sort.the(), wanted), l.helpFor(s, name, wanted),
				t.at.note("it is given here"))
			return
		}
	}
	_, bare, _ := strings.Cut(wanted, " ") // without its article
	l.tell(at, fmt.Sprintf("there is no %s %s", bare, name), l.helpFor(s, name, wanted))
}

// helpFor says which name may be meant. Where the turn would fit and the sketch has none, it says that its line is
// missing.
func (l *loader) helpFor(s *space, name, wanted string) string {
	if near := l.didYouMean(s, name); near != "" {
		return near
	}
	if s == l.names.figures && l.turn < 0 && l.gaps == 0 && strings.Contains(wanted, "turn") {
		return fmt.Sprintf("the sketch has no turn line; write turn %s = 0 to 360 step 5, or dim %s = V", name, name)
	}
	if l.names.anywhere(name) {
		return "write the name of " + wanted
	}
	if form := s.form(l.names, wanted); form != "" {
		return "give it a line: " + fmt.Sprintf(form, name)
	}
	return ""
}

// form is how a statement gives such a name, with %s in its place; "" where none does simply.
func (s *space) form(n *names, wanted string) string {
	switch s {
	case n.figures:
		if strings.Contains(wanted, "measure") && !strings.Contains(wanted, "dimension") {
			return "measure %s = E"
		}
		return "dim %s = V"
	case n.points:
		return "point %s near U, V"
	case n.guides:
		return "line %s through P heading V"
	case n.parts:
		return "part %s from P to Q"
	case n.marks:
		return "mark %s when E rises past V"
	}
	return ""
}

// missed is a name that does not exist.
type missed struct {
	s    *space
	name string
}

// mostPlaces is how many further places of a missing name are shown, each in a line of its own. placesKept is how many places are
// kept to find these.
const mostPlaces, placesKept = 3, 24

// missedAgain reports whether a name was reported as missing before, and adds this place to that message. A missing name
// is one mistake, however often it is used.
func (l *loader) missedAgain(s *space, at place, name string) bool {
	if l.missed == nil {
		l.missed = map[missed]int{}
	}
	i, ok := l.missed[missed{s, name}]
	if !ok {
		l.missed[missed{s, name}] = len(l.messages)
		return false
	}
	m := &l.messages[i]
	switch {
	case m.File == at.file && m.Span == at.span:
	case len(m.Also) < placesKept:
		m.Also = append(m.Also, at.note(usedToo))
	case m.File == at.file && at.span.Start < m.Span.Start: // show the first place of the text
		m.Span = at.span
	}
	return true
}

// sortMissed puts the first place of the text first where a missing name is used in several places.
func (l *loader) sortMissed() {
	number := l.fileOrder()
	for _, i := range l.missed {
		m := &l.messages[i]
		for k := range m.Also {
			n := &m.Also[k]
			if d := number[n.File] - number[m.File]; n.Text == usedToo && (d < 0 || d == 0 && n.Span.Start < m.Span.Start) {
				m.File, m.Span, n.File, n.Span = n.File, n.Span, m.File, m.Span
			}
		}
		slices.SortStableFunc(m.Also, func(a, b syntax.Note) int {
			return cmp.Or(number[a.File]-number[b.File], int(a.Span.Start)-int(b.Span.Start))
		})
		file, line := m.File, m.File.LineOf(m.Span.Start)
		m.Also = slices.DeleteFunc(m.Also, func(n syntax.Note) bool {
			was, on := file, line
			file, line = n.File, n.File.LineOf(n.Span.Start)
			return n.Text == usedToo && file == was && line == on
		})
		m.Also = m.Also[:min(len(m.Also), mostPlaces)]
	}
}

// usedToo marks the further places.
const usedToo = "it is used here too"

// mostCompared bounds how many names one unknown name is compared with.
const mostCompared = 5_000

func (l *loader) didYouMean(s *space, name string) string {
	if len(l.messages) > mostMessages {
		return ""
	}
	return syntax.DidYouMean(name, s.compared())
}

// compared are the names with which an unknown one is compared.
func (s *space) compared() []string { return s.order[:min(len(s.order), mostCompared)] }

// point is the number of a point; -1, and reported, where no point has that name.
func (l *loader) point(file *syntax.File, name syntax.Name) (int, bool) {
	return number(l.find(l.names.points, file, name, "a point"))
}

// part is the number of a part; -1, and reported, where no part has that name.
func (l *loader) part(file *syntax.File, name syntax.Name) (int, bool) {
	t, ok := l.find(l.names.parts, file, name, "a part")
	if ok && t.sort == aUse {
		l.tell(place{file, name.Span}, name.Text+" is a file that is taken in, a part is wanted here", "write "+name.Text+".NAME for a part of it", t.at.note("it is taken in here"))
		return -1, false
	}
	return number(t, ok)
}

func number(t thing, ok bool) (int, bool) {
	if !ok {
		return -1, false
	}
	return t.index, true
}
