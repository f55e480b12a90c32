package sketch

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"barover/sketch/syntax"
	"barover/solver/linkage"
)

// Faults turns the faults that the solver finds into messages, with their places and in the sketch's unit.
func (s *Sketch) Faults(faults linkage.Faults) []syntax.Message {
	var list []syntax.Message
	for _, f := range faults {
		file, span := s.whereOf(f.Stmt)
		m := syntax.Message{File: file, Span: span, Text: s.filled(f.Msg, f, s.Units.Length)}
		// The help can be copied into the sketch, where a unit would have to touch its number.
		m.Help = s.turned(s.filled(f.Advice(), f, func(mm float64) string { return strings.TrimSuffix(s.Units.Length(mm), " "+s.Units.Name()) }), f.Kind)
		if l := f.Lack; l != nil {
			m.Text, m.Help, m.File, m.Span = s.LackAt(l)
		}
		for _, stmt := range f.Also {
			if file, span := s.whereOf(stmt); stmt >= 0 && stmt < len(s.statements) && stmt != f.Stmt {
				m.Also = append(m.Also, syntax.Note{File: file, Span: span, Text: "this is concerned too"})
			}
		}
		said := func(o syntax.Message) bool { return o.File == m.File && o.Span == m.Span && o.Text == m.Text }
		if !slices.ContainsFunc(list, said) {
			list = append(list, m)
		}
	}
	return list
}

// turned is a line that holds what can still move. The turn is added to it where no sum has the turn yet: a crank without
// its angle.
func (s *Sketch) turned(line string, kind linkage.FaultKind) string {
	if holds, _, ok := strings.Cut(line, " = "); ok && kind == linkage.TooFew && s.Turn.Stmt >= 0 && !s.Turn.Used && strings.HasPrefix(line, "angle ") {
		return holds + " = " + s.Turn.Name
	}
	return line
}

// whereOf is the place of a statement; the head of the sketch for a fault of no statement.
func (s *Sketch) whereOf(stmt int) (*syntax.File, syntax.Span) {
	if f, st := s.Statement(stmt); st != nil {
		return f, st.Where()
	}
	return s.Files[0], syntax.Span{}
}

// filled replaces the placeholders in the text of a fault: lengths {0}, angles {a0} and lines of statements {s0}.
func (s *Sketch) filled(text string, f *linkage.Fault, length func(float64) string) string {
	return figureWord.ReplaceAllStringFunc(text, func(word string) string {
		of := figureWord.FindStringSubmatch(word)
		n, err := strconv.Atoi(of[2])
		switch {
		case err != nil:
		case of[1] == "s" && n < len(s.statements):
			return s.onLine(n)
		case of[1] == "a" && n < len(f.Angles):
			return s.Units.Angle(f.Angles[n])
		case of[1] == "" && n < len(f.Lengths):
			return length(f.Lengths[n])
		}
		return word
	})
}

var figureWord = regexp.MustCompile(`\{([as]?)(\d+)\}`)
