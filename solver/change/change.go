// Package change says what a change of dimensions moved. It compares one engine with another, with each dimension's own
// share, and it finds the effect of parts that were not made as asked.
//
// Slopes are not used: every share is that of an engine that was solved again with the one dimension changed.
//
// It knows no words. A newcomer may add what is compared; package solver judges a change.
package change

import (
	"cmp"
	"math"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
)

// Engine is one of the two that are compared.
type Engine struct {
	Problem *solver.Problem
	Values  *expr.Values
	Vary    machine.Vary
	// About is the subject of each check, in words that find it again in another engine. Checks with one subject differ
	// by Line, the text of their statement.
	About, Line []string
}

// little is the change of a figure, mm, rad or a plain number, that counts as rounding: a thousand times the difference
// of two solutions of one engine, and a thousandth of what any tool in a shop measures.
const little = 1e-6

// sameDim is the relative difference below which two values of a dimension are one.
const sameDim = 1e-12

// same reports whether two figures are equal; NaN equals NaN.
func same(a, b float64) bool {
	return math.Abs(a-b) <= little || a == b || (math.IsNaN(a) && math.IsNaN(b))
}

func sameValue(a, b float64) bool {
	return math.Abs(a-b) <= sameDim*math.Max(1, math.Max(math.Abs(a), math.Abs(b))) || (math.IsNaN(a) && math.IsNaN(b))
}

// bySize compares amounts, the greater first; NaN comes before all.
func bySize(a, b float64) int {
	return cmp.Compare(sized(b), sized(a))
}

func sized(v float64) float64 {
	if math.IsNaN(v) {
		return math.Inf(1)
	}
	return math.Abs(v)
}
