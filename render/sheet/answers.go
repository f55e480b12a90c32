package sheet

import (
	"cmp"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/linkage"
)

// answer is a finding put in words.
type answer struct {
	finding *solver.Finding
	check   *solver.Check
	margin  float64 // by how much it holds, in its own unit; below zero it does not
	line    string
	asks    string
	figure  string
	where   string
	verdict string
	sure    string
}

// answers lists the findings: what does not hold first, then by how little it holds. Pairs that never come to pass one
// another have nothing to measure; they are counted by apart.
func (s *scene) answers() []answer {
	if s.Result == nil {
		return nil
	}
	var list []answer
	for i := range s.Result.Findings {
		f := &s.Result.Findings[i]
		if f.Check < 0 || f.Check >= len(s.Problem.Checks) || f.Apart {
			continue
		}
		list = append(list, answer{finding: f, check: &s.Problem.Checks[f.Check], margin: slack(f)})
	}
	slices.SortStableFunc(list, func(a, b answer) int {
		if a.finding.OK != b.finding.OK {
			if b.finding.OK {
				return -1
			}
			return 1
		}
		return cmp.Compare(a.margin, b.margin)
	})
	return list
}

// apart counts the pairs that never come to pass one another.
func (s *scene) apart() (n int) {
	if s.Result == nil {
		return 0
	}
	for i := range s.Result.Findings {
		if s.Result.Findings[i].Apart {
			n++
		}
	}
	return n
}

// brief is the list for the sheet itself: of each line of the sketch the answer that matters most, and of each pair that
// does not hold the worst. The rest of a line that stands for many pairs has its own sheet.
func brief(list []answer) (out []answer) {
	lines := map[int]bool{}
	pairs := map[[2]int]bool{}
	for _, a := range list {
		pair := [2]int{min(a.check.A, a.check.B), max(a.check.A, a.check.B)}
		if a.check.Kind != solver.Clear {
			pair = [2]int{-1, a.finding.Check}
		}
		if !lines[a.check.Stmt] && a.finding.OK || !a.finding.OK && !pairs[pair] {
			out = append(out, a)
		}
		lines[a.check.Stmt], pairs[pair] = true, true
	}
	return out
}

// slack is by how much a finding holds, the lesser of its two sides; +Inf where nothing was measured.
func slack(f *solver.Finding) float64 {
	m := math.Inf(1)
	for _, v := range []float64{f.Least - f.AtLeast, f.AtMost - f.Greatest} {
		if !math.IsNaN(v) {
			m = min(m, v)
		}
	}
	return m
}

// say fills in the words of an answer.
func (s *scene) say(a *answer, w Words) {
	f := a.finding
	a.line, a.asks = w.line(a.check.Stmt), s.asks(f, w)
	a.where = s.where(f.At, w)
	switch {
	case a.check.Kind == solver.Gap: // across the engine, so at no position
		a.where = "–"
	case s.still(a, w):
		a.where = "everywhere"
	}
	a.sure = sureOf(f)
	a.figure, a.verdict = s.verdict(a, w)
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
	f := a.finding
	read := func(v float64) string { return s.amount(v, a.check.Angle, a.check.Number, w) }
	return (a.check.Kind == solver.Keep || a.check.Kind == solver.Loose) && !math.IsNaN(f.Least) && read(f.Least) == read(f.Greatest)
}

// verdict gives the figure and the word for it. What was only sampled is never said to hold.
func (s *scene) verdict(a *answer, w Words) (figure, word string) {
	f := a.finding
	proved := f.Sure == solver.Proved && len(f.Unproved) == 0
	switch a.check.Kind {
	case solver.Clear, solver.Gap:
		figure = w.length(f.Least)
		switch {
		case f.OK && proved:
			word = "holds"
		case f.OK:
			word = "no foul found"
		case f.Least < 0 || f.Least == 0 && a.check.Kind == solver.Clear:
			word = "FOULS"
		case a.check.Kind == solver.Gap && f.Least > f.AtMost:
			word = "TOO WIDE"
		default:
			word = "FALLS SHORT"
		}
	case solver.Keep:
		v := f.Least
		if !(f.Least-f.AtLeast <= f.AtMost-f.Greatest) && !math.IsNaN(f.AtMost) || math.IsNaN(f.AtLeast) {
			v = f.Greatest
		}
		figure = s.amount(v, a.check.Angle, a.check.Number, w)
		word = holds(f.OK, proved, "OUT")
	case solver.Loose:
		v := f.Least
		if math.Abs(f.Greatest) > math.Abs(f.Least) {
			v = f.Greatest
		}
		figure = "misses " + w.length(math.Abs(v))
		word = holds(f.OK, proved, "BINDS")
	}
	return figure, word
}

func holds(ok, proved bool, not string) string {
	switch {
	case ok && proved:
		return "holds"
	case ok:
		return "holds where seen"
	}
	return not
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
