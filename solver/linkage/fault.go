package linkage

import (
	"strconv"
	"strings"

	"barover/solver/expr"
	"barover/solver/schedule"
)

// FaultKind says why a sketch cannot be solved.
type FaultKind uint8

// The kinds of faults.
const (
	BadValue  FaultKind = iota // a length of zero, a value that is not a number
	TooFew                     // something is still free to move
	TooMany                    // redundant statements
	Disagree                   // statements that contradict one another
	Unreached                  // cannot be assembled at the start
	TwoWays                    // more than one way to assemble and no hint which
)

// Fault is why a sketch cannot be solved. It is an error; a Fault list is given in Faults.
type Fault struct {
	Kind FaultKind
	Stmt int    // the statement at fault
	Also []int  // other statements concerned
	Msg  string // what is wrong, with names, in the words of a sketch
	Help string // a statement that would mend it, or ""
	// Lengths and angles named in Msg and Help, mm and rad. The sketch's unit is not known here, so both texts hold {0},
	// {1}, … in their place and the printer fills them in. {s5} stands for the line of statement 5.
	Lengths []float64
	Angles  []float64 // {a0}, {a1}, …
	Lack    *Lack     // of a BadValue: why a sum has no value
}

// Lack is why a sum of a statement has no value at a position.
type Lack struct {
	expr.Lack
	Stmt  int
	Turn  float64 // rad
	Moves bool    // its value changes with the turn
}

// Advice is what to write instead: the Help, or else what mends any fault of its kind.
func (f *Fault) Advice() string {
	if f.Help != "" || f.Lack != nil { // whoever prints it knows what a sum without a value needs
		return f.Help
	}
	switch f.Kind {
	case TooFew:
		return "write a length, an angle or a slide that holds it"
	case TooMany:
		return "take it out"
	case Disagree:
		return "take one of them out, or mend the value that is wrong"
	case Unreached:
		return "mend the value that is wrong, or write near with about the place of a point"
	case TwoWays:
		return "write near to say which of the ways is meant"
	}
	return "write another value"
}

func (f *Fault) Error() string { return f.Msg }

// Faults is one or more faults as one error.
type Faults []*Fault

func (f Faults) Error() string {
	if len(f) == 0 {
		return "no fault"
	}
	return f[0].Msg
}

// line returns " on " with a placeholder for the line of a statement: see Fault.Lengths.
func line(stmt int) string { return " on {s" + strconv.Itoa(stmt) + "}" }

// against names a row of the statement at fault, and the other statements concerned. Where two of them have the same words,
// their lines are added.
func (f *Fault) against(s *schedule.Schedule, row *schedule.Row) (one, others string) {
	one = s.Say(row)
	twice := false
	others = s.SayStatements(f.Also, func(name string, stmt int) string {
		if name != one {
			return name
		}
		twice = true
		return name + line(stmt)
	})
	if twice {
		one += line(f.Stmt)
	}
	return one, others
}

// length files a length, mm, and returns form with {} replaced by its number in braces.
func (f *Fault) length(form string, mm float64) string {
	f.Lengths = append(f.Lengths, mm)
	return strings.Replace(form, "{}", "{"+strconv.Itoa(len(f.Lengths)-1)+"}", 1)
}

// angle does the same with an angle, rad.
func (f *Fault) angle(form string, rad float64) string {
	f.Angles = append(f.Angles, rad)
	return strings.Replace(form, "{}", "{a"+strconv.Itoa(len(f.Angles)-1)+"}", 1)
}
