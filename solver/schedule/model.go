// Package schedule finds the order in which the points of a mechanism can be placed. It takes points and the equations
// that hold them, and cuts them into the smallest blocks that can be solved one after another.
//
// It knows which equation settles which unknown, and the value and slopes of each kind of place and row. It knows no
// dimension's value, and it searches for nothing: package linkage does that.
//
// Begin with Schedule. A new kind of equation is added in model.go, rows.go and row_values.go. The form of a Schedule is
// read by the fast solver and by the proof alike: change it in both, or in neither.
package schedule

import "barover/solver/expr"

// PointKind says how a point gets its place.
type PointKind uint8

// The kinds of points.
const (
	Driven PointKind = iota // at U, V in the frame; may move with the turn and the travels
	Found                   // by the equations; U, V is the hint where to look, None without one
	OnPart                  // at U, V in the axes of Part
)

// Point is one point of the sketch.
type Point struct {
	Name string // "" for one that the sketch did not name (a line's `through 0, 3`)
	Stmt int    // number of the statement that gives it
	Kind PointKind
	U, V expr.ID // mm
	Part int     // OnPart: index into Model.Parts
}

// Line is a straight line without end.
type Line struct {
	Name    string
	Stmt    int
	P, Q    int     // through P; from P to Q where Q >= 0
	Heading expr.ID // rad, where Q < 0
}

// PartKind says what turns a part.
type PartKind uint8

// The kinds of parts.
const (
	Frame     PartKind = iota // fixed, axes x y; always Parts[0]
	FromTo                    // origin P; PQ lies at Heading in the part's axes (None: 0)
	AlongLine                 // origin P; u runs along Line
	AtHeading                 // origin P; u runs at Heading in the frame
)

// Part is one rigid part, or the frame.
type Part struct {
	Name    string
	Stmt    int
	Kind    PartKind
	P, Q    int
	Line    int
	Heading expr.ID // rad
}

// Arc is a circle fixed on a part. Its centre is a point of the Model with Kind OnPart.
type Arc struct {
	Name   string
	Stmt   int
	Centre int
	Radius expr.ID // mm
	// Of a bent slot, the points between which its middle line goes, counterclockwise; one and the same for a whole circle.
	From, To int
}

// EquationKind says what an equation asks.
type EquationKind uint8

// The kinds of equations.
const (
	Length  EquationKind = iota // |PQ| = V
	Heading                     // heading of Q seen from P = V
	Angle                       // at Q, from QP round to QR, = V
	OnLine                      // P lies on line On
	OnArc                       // P lies on arc On
)

// Equation is one statement that holds points.
type Equation struct {
	Kind    EquationKind
	Stmt    int
	P, Q, R int     // points; -1 where the kind has fewer
	V       expr.ID // mm or rad; None for OnLine and OnArc
	On      int     // line or arc
	Loose   bool    // wanted, but may be missed by ± Play; holds nothing by itself
	Play    expr.ID // mm, where Loose
}

// Model is what a sketch says about points and the statements that hold them. It never changes once the sketch is read:
// other dimensions are other expr.Values on the same Model.
type Model struct {
	Graph     *expr.Graph
	Travels   int // how many travels there are
	Points    []Point
	Lines     []Line
	Parts     []Part
	Arcs      []Arc
	Equations []Equation
}

// Lengths are the lengths of a Model by the two points between which they are, the lower number first.
type Lengths map[[2]int]*Equation

// Lengths lists the first length between each two points: one that holds them, or else a loose one.
func (m *Model) Lengths() Lengths {
	l := Lengths{}
	for i := range m.Equations {
		e := &m.Equations[i]
		if e.Kind != Length {
			continue
		}
		ends := [2]int{min(e.P, e.Q), max(e.P, e.Q)}
		if was := l[ends]; was == nil || was.Loose && !e.Loose {
			l[ends] = e
		}
	}
	return l
}

// Between is the length between two points; nil where there is none.
func (l Lengths) Between(p, q int) *Equation { return l[[2]int{min(p, q), max(p, q)}] }
