package sheet

import (
	"math"

	"barover/solver"
	"barover/solver/linkage"
)

// answer is a judgement put in words.
type answer struct {
	solver.Judgement
	line   string
	asks   string
	figure string
	where  string
	sure   string
}

// answers lists the findings, a pair once, in the order in which they are told. Pairs that never come to pass one another have
// nothing to measure; they are counted by apart.
func (s *scene) answers() (list []answer) {
	if s.Result == nil {
		return nil
	}
	for _, t := range s.Problem.Once(s.Result.Findings) {
		if !t.Apart {
			list = append(list, answer{Judgement: t.Judgement})
		}
	}
	return list
}

// apart counts the pairs that never come to pass one another.
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

// brief is the list for the sheet itself: what does not hold, and of each line of the sketch the answer that matters most. The
// rest of a line that stands for many pairs has its own sheet.
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
	a.line, a.asks = w.line(a.Check.Stmt), s.asks(f, w)
	a.where = s.where(f.At, w)
	switch {
	case a.Check.Kind == solver.Gap: // across the engine, so at no position
		a.where = "–"
	case s.still(a, w):
		a.where = "everywhere"
	}
	a.sure = sureOf(f)
	a.figure = s.worst(a, w)
}

// sureOf is how sure a finding is, in words.
func sureOf(f *solver.Finding) string {
	if f.Sure == solver.Proved && len(f.Unproved) > 0 {
		return "in part"
	}
	return f.Sure.String()
}

// still reports whether an answer reads the same at every position, so that no one place is to be named for it: a sum, or
// the miss of a loose length.
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
		return degrees(v)
	}
	return w.length(v)
}

// broken puts the stretches over which the engine cannot be assembled.
func (s *scene) broken(b linkage.Broken, w Words) string {
	text := "cannot be assembled"
	if b.Either() {
		text = "can go either way"
	}
	text += " from " + degrees(b.From) + " to " + degrees(b.To)
	if t := s.travels(b.Travel, w); t != "" {
		text += ", " + t
	}
	if line := w.line(b.Stmt); line != "" {
		text += " (line " + line + ")"
	}
	return text
}
