package sheet

import (
	"cmp"
	"math"
	"strings"

	"barover/solver"
	"barover/solver/linkage"
)

// answer is a judgement put in words.
type answer struct {
	solver.Judgement
	no     int    // number of an answer that does not hold, from 1: the flag that links the drawing to its row
	line   string // of the sketch
	called string // its note, or else its subject
	about  string // the pair, beside a note; or ""
	shared bool   // others have the same name, and only the pair differs
	asked  string // its limits: "at least 1/32"
	figure string
	where  string
	state  string // one word, and how sure it is where it is not proved
}

// answers lists the findings of what is drawn, a pair once, in the order of the tables. Pairs that never pass one another
// have nothing to measure; apart counts them.
func (s *scene) answers() (list []answer) {
	short, every := 0, s.everyAnswer()
	list = make([]answer, 0, len(every))
	for _, a := range every {
		if !s.takes(&a) {
			continue
		}
		if !a.OK {
			short++
			a.no = short
		}
		list = append(list, a)
	}
	return list
}

// everyAnswer is answers, also of what is not drawn.
func (s *scene) everyAnswer() []answer {
	if s.told != nil || s.Result == nil {
		return s.told
	}
	s.told = []answer{}
	for _, t := range s.Problem.Once(s.Result.Findings) {
		if !t.Apart {
			s.told = append(s.told, answer{Judgement: t.Judgement})
		}
	}
	return s.told
}

// apart counts the pairs that never pass one another.
func (s *scene) apart() int {
	if s.Result == nil {
		return 0
	}
	pairs := map[solver.Subject]bool{}
	for i := range s.Result.Findings {
		if f := &s.Result.Findings[i]; f.Apart {
			pairs[s.Problem.Subject(f.Check)] = true
		}
	}
	return len(pairs)
}

// roomy is the multiple of its limit from which a check needs no row of its own.
const roomy = 10

// rows separates the answers that have a row of the table from the number of those that hold by roomy times what is
// asked.
func rows(list []answer) (told []answer, far int) {
	for _, a := range list {
		if a.OK && a.State == solver.HoldsProved && a.Check.Kind == solver.Clear && math.IsNaN(a.AtMost) && a.Least >= roomy*a.AtLeast && a.AtLeast > 0 {
			far++
			continue
		}
		told = append(told, a)
	}
	return told, far
}

// brief is the list for the sheet itself: what does not hold, and the answer that matters most of each line of the
// sketch. The other answers of a line with many pairs have their own sheet.
func brief(list []answer) (out []answer) {
	lines := map[int]bool{}
	for _, a := range list {
		if !a.OK || !lines[a.Check.Stmt] {
			out = append(out, a)
		}
		lines[a.Check.Stmt] = true
	}
	return out
}

// say fills in the words of an answer.
func (s *scene) say(a *answer, w Words) {
	f := a.Finding
	a.line = w.Line(a.Check.Stmt)
	a.called, a.about = s.called(a, w)
	a.asked = s.asked(a, w)
	a.where = s.whereOf(a, w)
	switch {
	case a.Check.Kind == solver.Gap: // across the engine, so without a position
		a.where = "–"
	case s.still(a, w):
		a.where = "everywhere"
	}
	if a.state = a.State.String(); f.Sure != solver.Proved {
		a.state += " (" + sureOf(f) + ")"
	}
	a.figure = s.worst(a, w)
}

// whereOf is where an answer is at its worst. What only travels change is so at any place of the turn.
func (s *scene) whereOf(a *answer, w Words) string {
	at := s.where(a.Finding.At, w)
	if a.Check.Kind == solver.Keep && s.Problem.Graph.StaysOverTurn(a.Check.Sum) {
		return "any " + s.turnName() + strings.TrimPrefix(at, s.turned(a.Finding.At.Turn))
	}
	return at
}

// title is the name of an answer, with its pair after a tab, unless the pair is needed to tell it from another.
func (a *answer) title() string {
	switch {
	case a.about == "":
		return a.called
	case a.shared:
		return a.called + ": " + a.about
	}
	return a.called + "\t: " + a.about
}

// named is the name of a check, its note or the measure that it keeps, with the name of its file where others share that
// name. Shared says that others still do.
func (s *scene) named(a *answer, w Words) (name string, shared bool) {
	under := func(a *answer) (name, file string) {
		if name = s.Problem.Called(a.Finding.Check); name == "" {
			return "", ""
		}
		return name, w.Under(a.Check.Stmt) + ": " + name
	}
	if s.names == nil {
		s.names = map[string]int{}
		for _, a := range s.everyAnswer() {
			name, file := under(&a)
			s.names[name]++
			s.names[file]++
		}
	}
	name, file := under(a)
	if s.names[name] > 1 && !strings.HasPrefix(file, ": ") {
		name = file
	}
	return name, s.names[name] > 1
}

// called is the heading of a check. It is its name, with the pair or the note of the measure beside it, or the pair
// alone, or the words of the sketch.
func (s *scene) called(a *answer, w Words) (name, about string) {
	name, a.shared = s.named(a, w)
	pair := ""
	if a.OfPair() {
		if pair = s.pair(a.Check); a.Check.Kind == solver.Gap {
			pair = "gap " + pair
		}
	}
	if m := s.Problem.Kept(a.Finding.Check); m != nil && a.Check.Note == "" {
		pair = m.Note
	}
	switch {
	case name != "":
		return name, pair
	case pair != "":
		return pair, ""
	}
	return cmp.Or(w.Asks(a.Finding.Check), a.Check.Kind.String()), ""
}

// asked is the limits of a check: "at least 1/32", "1/16 to 3/16".
func (s *scene) asked(a *answer, w Words) string {
	lo, hi := a.AtLeast, a.AtMost
	switch {
	case a.Check.Kind == solver.Loose:
		return "play " + s.limit(a, hi, w)
	case !math.IsNaN(lo) && !math.IsNaN(hi):
		return s.limit(a, lo, w) + " to " + s.limit(a, hi, w)
	case !math.IsNaN(hi):
		return "at most " + s.limit(a, hi, w)
	case !math.IsNaN(lo):
		return "at least " + s.limit(a, lo, w)
	}
	return "–"
}

// limit writes a limit of a check as the sketch would.
func (s *scene) limit(a *answer, v float64, w Words) string {
	if a.Check.Angle || a.Check.Number {
		return s.amount(v, a.Check.Angle, a.Check.Number, w)
	}
	return w.size(v)
}

// sureOf is how sure a finding is, in words.
func sureOf(f *solver.Finding) string {
	if f.Sure == solver.InPart {
		return "in part"
	}
	return f.Sure.String()
}

// still reports whether an answer reads the same at every position, so that no one place is named for it: a sum, or the
// miss of a loose length.
func (s *scene) still(a *answer, w Words) bool {
	f := a.Finding
	read := func(v float64) string { return s.amount(v, a.Check.Angle, a.Check.Number, w) }
	return (a.Check.Kind == solver.Keep || a.Check.Kind == solver.Loose) && !math.IsNaN(f.Least) && read(f.Least) == read(f.Greatest)
}

// worst is the figure at which the check holds by least.
func (s *scene) worst(a *answer, w Words) string {
	if a.Check.Kind == solver.Loose {
		return "misses " + w.length(math.Abs(a.Worst))
	}
	return s.amount(a.Worst, a.Check.Angle, a.Check.Number, w)
}

func (s *scene) amount(v float64, angle, number bool, w Words) string {
	switch {
	case number:
		return w.number(v)
	case angle:
		return known(v, w.Angle)
	}
	return w.length(v)
}

// broken writes the stretches over which the engine cannot be assembled.
func (s *scene) broken(b linkage.Broken, w Words) string {
	text := "cannot be assembled"
	if b.Either() {
		text = "can go either way"
	}
	text += " from " + degrees(b.From) + " to " + degrees(b.To)
	if t := s.travels(b.Travel, w); t != "" {
		text += ", " + t
	}
	if line := w.Line(b.Stmt); line != "" {
		text += " (line " + line + ")"
	}
	return text
}
