// Package sketch turns the text of a sketch into numbers. It reads the file and those it uses, finds what each name
// means, checks that every sum is of the kind that is wanted, decides which value of a dimension counts, and makes a
// solver.Problem with its expr.Values. Whatever is wrong comes back as messages with their places.
//
// It solves nothing and draws nothing. A newcomer may add a statement, as DEVELOPERS.md shows. After a change to the
// inference of kinds or the order of lowering, run all of testdata/mistakes.
package sketch

import (
	"fmt"
	"iter"
	"path/filepath"
	"strings"

	"barover/sketch/picture"
	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
)

// Sketch is a sketch that has been read. It never changes after that, so many goroutines may share it.
type Sketch struct {
	Path  string
	Files []*syntax.File // all files that belong to it, the sketch's own first; also those that could not be read

	Title     string // "" if left out
	Units     quantity.Units
	UnitsSaid bool // a units line says so; else bare lengths are mm
	Paper     Paper
	Scale     Scale
	Ghosts    float64 // positions drawn thin: step of the turn, rad

	// Washers are the thicknesses of washers and shims at hand, mm, rising: those of every file, each once.
	Washers []float64

	// Shown says which values count: "now", "drawn", or the names of the cases asked for, with commas between them.
	Shown string

	Dims    []Dim // in the order of their dim lines, which is the order of their numbers in Problem.Dims
	Travels []Moved
	Turn    Moved // Stmt -1 where the sketch has no turn

	Scans []picture.Scan // pictures of the old drawing

	Problem *solver.Problem // nil where there are messages
	Values  *expr.Values    // the values that count

	statements []statement
	dimNumber  map[string]int
	loaded     *loader // as it was when the sketch was done, for With
}

// Paper is the sheet asked for.
type Paper struct {
	Size     string // "A4" … "A0"; "" if left out
	Portrait bool
	Oriented bool // landscape or portrait was written
}

// Scale is Drawing : Real; 1:2 is 1, 2. Both are zero where the sketch leaves the choice open.
type Scale struct{ Drawing, Real float64 }

// Dim is one dimension with all that its lines say. Values are mm, rad or plain numbers, by Kind. The number of a
// dimension in Problem.Dims, in expr.Graph.Dims and in the fixed map of expr.Resolve is its index in Sketch.Dims.
type Dim struct {
	Name string
	Kind quantity.Kind
	Stmt int // its dim line

	Value   float64 // the value that counts
	Drawn   float64 // of the dim lines alone
	Asked   float64 // the value of its dim sum, or its plan, with the values that count
	Made    float64 // NaN where there is no made line
	Planned float64 // NaN where there is no plan line

	MadeStmt, PlanStmt int // -1 where there is none

	Tol     Tol // as drawn: ±, tol or fit
	MadeTol Tol // of the measurement

	Note, MadeNote, PlanNote string

	Stock []float64 // the sizes available, rising; nil where there is no stock line

	AskedSum expr.ID // the node whose value is Asked
	Fraction bool    // its dim line has a fraction and nothing else: 1/2, 5 1/4
	Source   Source  // which line the value comes from
	Used     bool    // a statement uses it, other than its own lines
}

// IsMade says that the finished part has been measured.
func (d *Dim) IsMade() bool { return d.MadeStmt >= 0 }

// Counts is the tolerance of the value that counts: that of the measurement where the value was measured (none where none
// is given), else that of the drawing.
func (d *Dim) Counts() Tol {
	if d.Source == FromMade {
		return d.MadeTol
	}
	return d.Tol
}

// Tol is a pair of limit deviations, mm or rad: the part may measure from Value + Lower to Value + Upper.
type Tol struct {
	Given        bool
	Lower, Upper float64
	Fit          string // class, where the deviations come from a fit
}

// Source says which line gives the value that counts.
type Source uint8

// Where a value comes from.
const (
	FromDim Source = iota
	FromPlan
	FromMade
	FromCase
	FromSet // the command line
)

var sourceNames = [...]string{"dim", "plan", "made", "case", "set"}

func (s Source) String() string {
	if int(s) < len(sourceNames) {
		return sourceNames[s]
	}
	return fmt.Sprintf("source %d", s)
}

// Moved is the turn or a travel.
type Moved struct {
	Name string
	Kind quantity.Kind
	Stmt int
	Used bool // a sum has it
}

// statement is one statement of a sketch and its file. Its number is its index in Sketch.statements.
type statement struct {
	file *syntax.File
	s    syntax.Statement
}

// each returns the statements of one kind with their numbers.
func each[S syntax.Statement](s *Sketch) iter.Seq2[int, S] {
	return func(yield func(int, S) bool) {
		for i := range s.statements {
			if one, ok := s.statements[i].s.(S); ok && !yield(i, one) {
				return
			}
		}
	}
}

// Dim returns the dimension of that name.
func (s *Sketch) Dim(name string) (d *Dim, number int, ok bool) {
	n, ok := s.dimNumber[name]
	if !ok {
		return nil, -1, false
	}
	return &s.Dims[n], n, true
}

// Under is the name under which the file of a statement is taken in; "" for a file of the sketch itself.
func (s *Sketch) Under(stmt int) string {
	if stmt < 0 || stmt >= len(s.statements) || s.loaded == nil {
		return ""
	}
	if in := s.loaded.instanceOf[s.statements[stmt].file]; in != nil {
		return strings.TrimSuffix(in.prefix, ".")
	}
	return ""
}

// Statements is how many statements the sketch has, those of used files included.
func (s *Sketch) Statements() int { return len(s.statements) }

// Statement returns a statement by its number, and the file that it stands in; nil for a number out of range.
func (s *Sketch) Statement(stmt int) (*syntax.File, syntax.Statement) {
	if stmt < 0 || stmt >= len(s.statements) {
		return nil, nil
	}
	return s.statements[stmt].file, s.statements[stmt].s
}

// Place is where a statement begins: its file, and line and column from 1.
func (s *Sketch) Place(stmt int) (file string, line, column int) {
	f, st := s.Statement(stmt)
	if st == nil {
		return s.Path, 1, 1
	}
	line, column = f.Place(st.Where().Start)
	return f.Path, line, column
}

// onLine says in words where a statement is: "line 40". The name of the file comes first where it is not the sketch itself.
func (s *Sketch) onLine(stmt int) string {
	file, line, _ := s.Place(stmt)
	if s.statements[stmt].file != s.Files[0] {
		return fmt.Sprintf("%s line %d", filepath.Base(file), line)
	}
	return fmt.Sprintf("line %d", line)
}

// Line is the line of a statement in its file, from 1.
func (s *Sketch) Line(stmt int) int {
	_, line, _ := s.Place(stmt)
	return line
}
