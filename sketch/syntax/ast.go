// Package syntax reads the text of a sketch into statements, writes it back in the standard layout, and makes the
// messages that point at a place in it. It knows the form of the language and nothing of its meaning.
//
// A newcomer may add a form: everything reads the table in words.go.
package syntax

// Span is a stretch of a file's text in bytes, from Start up to End. Lines and columns are counted only when a message
// is made: see File.Place.
type Span struct{ Start, End int32 }

// Where returns the span.
func (s Span) Where() Span { return s }

// Name is a word that the sketch's author chose, or that refers to one.
type Name struct {
	Text string
	Span Span
}

// Text is a text in double quotes, without them. The zero Text was left out.
type Text struct {
	Text  string
	Span  Span
	Given bool
}

// Expr is a sum: *Number, *Ref, *Call, *Unary, *Binary.
type Expr interface{ Where() Span }

// Unit is the unit that touches a number.
type Unit uint8

// The units. Bare takes the sketch's unit where a length is wanted and degrees where an angle is.
const (
	Bare Unit = iota
	MM
	CM
	M
	Inch
	Thou
	Degree
	Radian
)

// Number is a literal: 12, 3/8, 5 1/4in, ¼. Value is in Unit.
type Number struct {
	Value float64
	Unit  Unit
	Span
}

// Ref is a name in a sum: a dimension, the turn, a travel, a measure or pi.
type Ref struct{ Name Name }

// Call is a function of sums or of points, lines and profiles: sqrt(V), dist(P,Q), along(P,LINE). Arguments that name
// points, lines and profiles are *Ref.
type Call struct {
	Func Name
	Args []Expr
	Span
}

// Unary is -V or +V.
type Unary struct {
	Op byte
	X  Expr
	Span
}

// Binary is two sums and one of + - * / ^.
type Binary struct {
	Op   byte
	X, Y Expr
	At   Span // of the operator
	Span
}

// Where says which text the sum came from.
func (n *Ref) Where() Span { return n.Name.Span }

// Pair is U, V.
type Pair struct{ U, V Expr }

// Spot is a point's name or U, V; Name is set or Pair is.
type Spot struct {
	Name *Name `names:"point"`
	Pair *Pair
	Span Span
}

// Qualified is PART or PART.PROFILE.
type Qualified struct {
	Part    Name
	Profile *Name
	Span    Span
}

// Statement is one statement of a sketch. The dynamic type is one of those below.
type Statement interface {
	Where() Span
	lies(Span)
}

// At is embedded in every statement: the text from its first word to its end, continuation lines included.
type At struct{ Span }

func (a *At) lies(at Span) { a.Span = at }

// The statements, in the order of the table of words.
type (
	Title struct {
		At
		Text Text
	}
	Units struct {
		At
		Inches bool
	}
	// Use takes in the statements of another file; As gives a name of its own.
	Use struct {
		At
		File      Text
		As        *Name     `names:"-"`
		Set       []Setting `names:"-"` // values for dimensions, the turn and travels of the file
		OtherSide bool      // its bands are on the other side of the datum
	}
	Paper struct {
		At
		Size     string // A4 … A0
		Portrait bool
		Given    bool // landscape or portrait was written
	}
	Scale struct {
		At
		Drawing, Real float64 // 1:2 is 1, 2
	}
	Ghosts struct {
		At
		Every Expr
	}
	// Scan is a picture of the old drawing: places in it, pixels from its upper left, and where they lie on the engine.
	Scan struct {
		At
		File   Text
		Places []Pinned
	}
	// Washers is the thicknesses of washers and shims at hand.
	Washers struct {
		At
		Thick []Expr
	}

	// Dim is dim, made or plan. Tol is ± V, or Lower and Upper of `tol`, or Fit.
	Dim struct {
		At
		Word         string // "dim", "made" or "plan"
		Name         Name   `names:"figure"`
		Value        Expr
		PlusMinus    Expr // nil where not written
		Lower, Upper Expr // of tol V to V
		Fit          Text // class, e.g. H7; not quoted in the sketch
		Note         Text
	}
	// Stock is the sizes that are available for a dimension.
	Stock struct {
		At
		Name  Name `names:"figure"`
		Sizes []Expr
	}
	Case struct {
		At
		Name Name `gives:"case"`
		Set  []Setting
	}

	// Turn is turn, or travel with a range (From, To, Step) or a list (Settings). Rest is nil where not written.
	Turn struct {
		At
		Travel         bool
		Name           Name `gives:"figure"`
		From, To, Step Expr
		Settings       []Expr
		Rest           Expr
	}

	// Point is at U, V in the frame (Place), found by the solver (Near, may be nil), or on a part (On and Place).
	Point struct {
		At
		Name  Name `gives:"point"`
		Place *Pair
		Near  *Pair
		On    *Name `names:"part"`
	}
	// Line goes through P at Heading, or from P to Q.
	Line struct {
		At
		Name    Name `gives:"guide"`
		P, Q    *Spot
		Heading Expr
	}
	Arc struct {
		At
		Name   Name `gives:"guide"`
		On     Name `names:"part"`
		Centre Pair
		Radius Expr
	}

	// Slot is a slot with round ends whose middle line goes from P to Q, on the part On.
	Slot struct {
		At
		Name Name `gives:"guide"`
		On   Name `names:"part"`
		P, Q Spot
		Wide Expr
		Bend *Bend // nil for a straight one
	}

	// Length is length P Q = V, loose where Play is given.
	Length struct {
		At
		P, Q  Name `names:"point"`
		Value Expr
		Loose bool
		Play  Expr
	}
	// Angle is angle P Q = V (R nil) or angle P Q R = V.
	Angle struct {
		At
		P, Q  Name  `names:"point"`
		R     *Name `names:"point"`
		Value Expr
	}
	Slide struct {
		At
		P  Name `names:"point"`
		On Name `names:"guide"`
	}

	// Part is from P to Q [heading V], at P along LINE, or at P heading V.
	Part struct {
		At
		Name    Name  `gives:"part"`
		P       Name  `names:"point"`
		Q       *Name `names:"point"`
		Along   *Name `names:"guide"`
		Heading Expr
	}
	Sideplay struct {
		At
		Part  Name `names:"part"`
		Value Expr
	}
	// Play is the running clearance of a part at a point, on a line, or of all pins that no other line names: a length,
	// or the most that a fit of that diameter leaves.
	Play struct {
		At
		Part        Name  `names:"part"`
		Point       *Name `names:"point"`
		Line        *Name `names:"guide"`
		All         bool
		Value       Expr
		Hole, Shaft Text
	}
	// Profile is across From to To, from From thick Thick, or centred Centre thick Thick.
	Profile struct {
		At
		Part, Name Name `names:"-"`
		From, To   Expr
		Centred    Expr
		Thick      Expr
		Shapes     []Shape
	}

	// Clear is clear A B by V; All for clear all by V.
	Clear struct {
		At
		All    bool
		A, B   Qualified
		By     Expr
		AtMost Expr // nil where not written
		Note   Text
	}
	Allow struct {
		At
		A, B Qualified
	}
	Gap struct {
		At
		A, B            Qualified
		AtLeast, AtMost Expr
		Note            Text
	}
	Keep struct {
		At
		Sum          Expr
		Above, Below Expr
		Note         Text
	}

	Measure struct {
		At
		Name Name `gives:"figure"`
		Sum  Expr
		Note Text
	}
	// Mark happens when Sum rises past or falls past Past, or is least or greatest.
	Mark struct {
		At
		Name    Name `gives:"mark"`
		Sum     Expr
		When    string // "rises", "falls", "least", "greatest"
		Past    Expr
		Showing []Name `names:"figure"`
	}
	Trace struct {
		At
		P Name `names:"point"`
	}
	// Column is setting NAME = E, E: a column of the table of settings, one figure or one for the front and one for the back.
	Column struct {
		At
		Name         Name   `gives:"column"`
		Of           []Expr // one or two
		When         Expr   // nil where not written
		Above, Below Expr   // one of them where When is given
		Note         Text
	}
	// Chart draws measures (Of) against a measure or the turn, with marks (Showing) on them.
	Chart struct {
		At
		Name    Name   `gives:"chart"`
		Of      []Name `names:"figure"`
		Against Name   `names:"figure"`
		Showing []Name `names:"mark"`
		Note    Text
	}
)

// Pinned is a place of a picture and where it lies on the engine.
type Pinned struct {
	Pixel Pair
	On    Spot
	Span  Span
}

// Setting is NAME = V in a case or after use … as.
type Setting struct {
	Dim   Name `names:"figure"`
	Value Expr
}

// Shape is one shape of a profile.
type Shape struct {
	Word   string // "disc", "strip", "box", "path"; "slot" of hole NAME
	Hole   bool
	P, Q   Spot  // disc: P; strip and box: P and Q; path: P the start
	Dia    Expr  // disc
	Wide   Expr  // strip
	WideTo Expr  // strip: nil for a strip of one width
	Bend   *Bend // strip: nil for a straight one
	Round  bool
	Steps  []PathStep
	Slot   *Name `names:"guide"` // hole NAME: the slot whose shape is taken away
	Span   Span
}

// Bend is the radius of a middle line that bends round a centre to the left or right of the way along it.
type Bend struct {
	Radius Expr
	Left   bool
}

// PathStep is `to W`, or `arc W radius V left|right [long]` where Radius is given.
type PathStep struct {
	To     Spot
	Radius Expr
	Left   bool
	Long   bool
	Span   Span
}

// File is one file of a sketch.
type File struct {
	Path       string
	Text       string // as read, byte-order mark and all
	Statements []Statement
	Lost       []Name // names that statements with a mistake would have given, profiles as PART.NAME; no message says that they are missing
	Gaps       int    // statements with a mistake that are left out; nobody knows what they would have said
}

// Message is one thing wrong with a sketch.
type Message struct {
	File *File
	Span Span
	Text string // what is wrong: "there is no point crankpn"
	Help string // what to write instead: "did you mean crankpin?"; "" where that is not known
	Also []Note // other places that are concerned
}

// Note is another place that a message names.
type Note struct {
	File *File
	Span Span
	Text string
}
