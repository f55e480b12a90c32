package syntax

import (
	"slices"
	"strings"
)

// Form is one way to write a statement, with its meaning in one line. In a form, words in capitals stand for what the
// author chooses, […] may be left out, and | separates a choice.
type Form struct{ Form, Meaning string }

// Word is a statement: its first word and the ways to write it.
type Word struct {
	Word  string
	Forms []Form
	parse func(*parser) Statement
}

// statements is the language: the parser dispatches from it, messages quote it, and `barover words` prints it. The order
// is that of a sketch from top to bottom.
var statements []Word

// The table names parsers, and parsers look words up in the table. Filling it here breaks the circle.
func init() {
	statements = slices.Concat(sheetWords(), dimWords(), motionWords(), partWords(), questionWords())
	for _, w := range statements {
		statementWords = append(statementWords, w.Word)
		reserveForms(w.Forms)
	}
	for _, s := range shapes {
		shapeWords = append(shapeWords, s.Word)
		reserveForms(s.Forms)
	}
	for _, f := range functions {
		functionWords = append(functionWords, f.Name)
	}
	reserve("pi")
	reserve("frame")
	slices.Sort(reservedWords)
}

// sheetWords are the statements about the sketch as a whole and its sheet.
func sheetWords() []Word {
	return []Word{
		{"title", []Form{{`title "TEXT"`, "the title of the sheet"}}, parseTitle},
		{"units", []Form{{"units mm | in", "the unit of bare lengths and of the answers; mm if left out"}}, parseUnits},
		{"use", []Form{
			{`use "OTHER.motion"`, "take in the statements of another file"},
			{`use "OTHER.motion" as NAME [: NAME = V, …] [other side]`, "take it in once more, under a name of its own: NAME.conrod; after the colon its dimensions, turn and travels get values; other side mirrors its bands about the datum"},
		}, parseUse},
		{"paper", []Form{{"paper A4 | A3 | A2 | A1 | A0 [landscape | portrait]", "the sheet to draw on"}}, parsePaper},
		{"scale", []Form{{"scale 1:2", "the scale of the drawing; the largest that fits if left out"}}, parseScale},
		{"ghosts", []Form{{"ghosts every V", "positions of the turn drawn thin behind the chosen one; 15° if left out"}}, parseGhosts},
		{"scan", []Form{{`scan "FILE" U, V at W U, V at W [U, V at W]`, "a picture of the old drawing beneath the outlines, PNG or JPEG: two or three places in it, pixels from its upper left, and where they lie on the engine"}}, parseScan},
		{"washers", []Form{{"washers V, V, …", "thicknesses of washers and shims at hand, for gaps that are too wide"}}, parseWashers},
	}
}

// dimWords are the statements for dimensions, and the ranges that the engine runs through.
func dimWords() []Word {
	return []Word{
		{"dim", []Form{{`dim NAME = V [± V | tol V to V | fit CLASS] ["note"]`, "a dimension as drawn; may be a sum of others"}}, parseDim},
		{"made", []Form{{`made NAME = V [± V] ["note"]`, "a dimension measured on the finished part: takes the place of the drawn value"}}, parseMade},
		{"plan", []Form{{`plan NAME = V ["note"]`, "a change intended, not yet cut: takes the place of the drawn value"}}, parsePlan},
		{"stock", []Form{{"stock NAME = V, V, …", "the sizes you can get for a dimension: bar in the rack, reamers, drills"}}, parseStock},
		{"case", []Form{{"case NAME : DIM = V, DIM = V, …", "a what-if, used only when asked for by name"}}, parseCase},
		{"turn", []Form{{"turn NAME = V to V step V", "the crank position, an angle; one to a sketch"}}, parseTurn},
		{"travel", []Form{
			{"travel NAME = V to V step V [rest V]", "a running range: every value between counts"},
			{"travel NAME = V, V, V [rest V]", "separate settings: only these count"},
		}, parseTravel},
	}
}

// motionWords are the statements for points, and what holds them.
func motionWords() []Word {
	return []Word{
		{"point", []Form{
			{"point NAME at U, V", "a point in the frame; may move with turn and travel"},
			{"point NAME [near U, V]", "a point that the solver finds; near says roughly where, at the start of the turn"},
			{"point NAME on PART at U, V", "a point fixed to a part, in the part's own axes"},
		}, parsePoint},
		{"line", []Form{
			{"line NAME through P heading V", "a line without end; P is a point or U, V"},
			{"line NAME from P to P", "a line without end through two places"},
		}, parseLine},
		{"arc", []Form{{"arc NAME on PART centre U, V radius V", "the whole circle that a point may slide round"}}, parseArc},
		{"slot", []Form{{"slot NAME on PART from W to W wide V [radius V left | right]", "a straight or curved slot with round ends: slide P on NAME, hole NAME"}}, parseSlot},
		{"length", []Form{{"length P Q = V", "the distance between two points"}}, parseLength},
		{"angle", []Form{
			{"angle P Q = V", "the heading of Q seen from P, from +x"},
			{"angle P Q R = V", "the angle at Q, from QP round to QR"},
		}, parseAngle},
		{"slide", []Form{{"slide P on LINE | ARC | SLOT", "the point lies on it; in a slot it stays between the ends"}}, parseSlide},
		{"loose", []Form{{"loose length P Q = V play V", "a distance that is wanted but may be missed by ± play"}}, parseLoose},
	}
}

// partWords are the statements for parts and their outlines.
func partWords() []Word {
	return []Word{
		{"part", []Form{
			{"part NAME from P to Q [heading V]", "rigid; its axes: origin P, PQ at heading V in them (0 if left out)"},
			{"part NAME at P along LINE", "keeps the heading of the line"},
			{"part NAME at P heading V", "keeps this heading"},
		}, parsePart},
		{"sideplay", []Form{{"sideplay PART = V", "the part may shift across by ± this"}}, parseSideplay},
		{"play", []Form{
			{"play PART at POINT = V [fit CLASS/CLASS]", "running clearance on the diameter between the part's eye and the pin; with a fit, V is the diameter"},
			{"play PART on LINE = V", "running clearance between what slides and its bars, from side to side"},
			{"play all = V [fit CLASS/CLASS]", "running clearance of every pin that no other play line names"},
		}, parsePlay},
		{"profile", []Form{
			{"profile PART.NAME across V to V SHAPES", "an outline of one thickness, from where to where across the engine"},
			{"profile PART.NAME from V thick V SHAPES", "the same, from one face and the thickness"},
			{"profile PART.NAME centred V thick V SHAPES", "the same, from the middle and the thickness"},
		}, parseProfile},
	}
}

// questionWords are the statements about checks, measures and what is drawn of them.
func questionWords() []Word {
	return []Word{
		{"clear", []Form{
			{`clear A B by V [at most V] ["note"]`, "two parts or profiles keep this distance in the side view; at most: they come at least so near at every position"},
			{`clear all by V ["note"]`, "every pair of profiles of two different parts keeps this distance, unless the parts are pinned, that is, share a point, as crank and frame share the shaft"},
		}, parseClear},
		{"allow", []Form{{"allow A B", "these two may touch: not part of clear all"}}, parseAllow},
		{"gap", []Form{{`gap A B [at least V] [at most V] ["note"]`, "the space across the engine between two profiles that pass each other"}}, parseGap},
		{"keep", []Form{{`keep E [above V] [below V] ["note"]`, "any measure or sum of them, at every position"}}, parseKeep},
		{"measure", []Form{{`measure NAME = E ["note"]`, "a figure at each position"}}, parseMeasure},
		{"mark", []Form{
			{"mark NAME when E rises past V | falls past V [showing M, M, …]", "the positions at which E passes V"},
			{"mark NAME when E is least | is greatest [showing M, M, …]", "the position at which E is least or greatest"},
		}, parseMark},
		{"setting", []Form{{`setting NAME = E [, E] [when E above V | below V] ["note"]`, "a column of the table of settings: one figure, or one for the front and one for the back with their difference"}}, parseSetting},
		{"trace", []Form{{"trace P", "draw the path of this point"}}, parseTrace},
		{"chart", []Form{{`chart NAME of M, M, … against M | TURN [showing MARK, MARK, …] ["note"]`, "a sheet with measures drawn against another measure or the turn, and marks on them"}}, parseChart},
	}
}

// shapes are what a profile is made of. W is a place: U, V, or a point fixed on the part.
var shapes = []Word{
	{Word: "disc", Forms: []Form{{"disc W dia V", "a full circle"}}},
	{Word: "strip", Forms: []Form{{"strip W to W wide V [to V] [radius V left | right] [round]", "a bar, width at either place; bent round a centre to the left or right of the way along it; round closes the ends with half circles"}}},
	{Word: "box", Forms: []Form{{"box U, V to U, V", "a rectangle along the part's axes"}}},
	{Word: "path", Forms: []Form{{"path W to W arc W radius V left | right [long] to W …", "an outline of straight lines and arcs, closed by itself"}}},
	{Word: "hole", Forms: []Form{
		{"hole SHAPE", "takes the shape away from the shapes before it in this profile"},
		{"hole SLOT", "takes the shape of a slot away"},
	}},
}

// Function is a function of the language. It is known by the bracket after it, so its name may also be a name of the
// author's own. Names says what its first arguments name; the others are sums.
type Function struct {
	Name, Form, Meaning string
	Least, Most         int // arguments; Most 0: any number
	Names               []Named
}

// Named says what sort of thing a name names. Names of different sorts may be equal.
type Named uint8

// The sorts of things that are named. Arguments of functions name points, lines and profiles.
const (
	NamesPoint   Named = iota
	NamesLine          // a line, arc or slot
	NamesProfile       // PART.PROFILE, in a sum as one Ref
	NamesFigure
	NamesPart
	NamesCase
	NamesMark
	NamesChart
	NamesColumn
)

var (
	ofPoint   = []Named{NamesPoint}
	ofTwo     = []Named{NamesPoint, NamesPoint}
	ofThree   = []Named{NamesPoint, NamesPoint, NamesPoint}
	ofLine    = []Named{NamesPoint, NamesLine}
	ofOutline = []Named{NamesProfile, NamesLine}
	ofBand    = []Named{NamesProfile}
)

var functions = []Function{
	{"sqrt", "sqrt(V)", "square root", 1, 1, nil},
	{"abs", "abs(V)", "without its sign", 1, 1, nil},
	{"min", "min(V, V, …)", "the least of them", 1, 0, nil},
	{"max", "max(V, V, …)", "the greatest of them", 1, 0, nil},
	{"hypot", "hypot(V, V)", "the long side over two at right angles", 2, 2, nil},
	{"sin", "sin(V)", "sine of an angle", 1, 1, nil},
	{"cos", "cos(V)", "cosine of an angle", 1, 1, nil},
	{"tan", "tan(V)", "tangent of an angle", 1, 1, nil},
	{"asin", "asin(V)", "the angle with this sine", 1, 1, nil},
	{"acos", "acos(V)", "the angle with this cosine", 1, 1, nil},
	{"atan", "atan(V)", "the angle with this tangent", 1, 1, nil},
	{"atan2", "atan2(V, V)", "the heading of a place: rise first, then run", 2, 2, nil},
	{"round", "round(E, STEP)", "to the nearest step", 2, 2, nil},
	{"x", "x(P)", "how far along x a point is", 1, 1, ofPoint},
	{"y", "y(P)", "how far along y a point is", 1, 1, ofPoint},
	{"dist", "dist(P,Q)", "distance between two points", 2, 2, ofTwo},
	{"heading", "heading(P,Q)", "heading of Q seen from P, from +x", 2, 2, ofTwo},
	{"angle", "angle(P,Q,R)", "angle at Q, from QP round to QR", 3, 3, ofThree},
	{"along", "along(P,LINE)", "how far along a line a point is", 2, 2, ofLine},
	{"off", "off(P,LINE)", "how far off a line a point is", 2, 2, ofLine},
	{"low", "low(PART.PROFILE,LINE)", "the least place of an outline along a line", 2, 2, ofOutline},
	{"high", "high(PART.PROFILE,LINE)", "the greatest place of an outline along a line", 2, 2, ofOutline},
	{"inner", "inner(PART.PROFILE)", "where its band across the engine begins", 1, 1, ofBand},
	{"outer", "outer(PART.PROFILE)", "where its band across the engine ends", 1, 1, ofBand},
	{"middle", "middle(PART.PROFILE)", "the middle of its band across the engine", 1, 1, ofBand},
	{"at", "at(E, V)", "E at a place of the turn: an angle, or a mark", 2, 2, nil},
	{"rate", "rate(E)", "change of E per radian of the turn", 1, 1, nil},
	{"least", "least(E)", "the least of E over one whole turn", 1, 1, nil},
	{"greatest", "greatest(E)", "the greatest of E over one whole turn", 1, 1, nil},
	{"span", "span(E)", "greatest minus least over one whole turn", 1, 1, nil},
}

var (
	statementWords, shapeWords, functionWords []string

	reservedWords []string // sorted
	isReserved    = map[string]bool{}
)

func reserve(word string) {
	if !isReserved[word] {
		isReserved[word] = true
		reservedWords = append(reservedWords, word)
	}
}

// reserveForms reserves every word of these forms that the author of a sketch would write literally: small letters,
// outside quotes. Paper sizes and fits are in capitals and stay free as names, since fixed pivots are called A0 and B0.
// Units that only ever touch a number (cm m thou deg rad) cannot be mistaken for a name and stay free too.
func reserveForms(forms []Form) {
	for _, f := range forms {
		for _, word := range f.words() {
			if word == strings.ToLower(word) && !staysFree[word] {
				reserve(word)
			}
		}
	}
}

// words are the words of a form outside quotes.
func (f Form) words() []string {
	return strings.FieldsFunc(unquoted(f.Form), func(r rune) bool { return !(r >= 'A' && r <= 'Z') && !(r >= 'a' && r <= 'z') })
}

// staysFree are words of the language that may also be names. Their place in the statement says which is meant, and
// builders use them for parts and guides.
var staysFree = map[string]bool{"other": true, "side": true, "slot": true, "setting": true, "scan": true, "stock": true}

// unquoted is the form without its texts.
func unquoted(form string) string {
	parts := strings.Split(form, `"`)
	for i := 1; i < len(parts); i += 2 {
		parts[i] = " "
	}
	return strings.Join(parts, "")
}

// Words is every statement of the language with its forms, in the order of a sketch from top to bottom.
func Words() []Word { return slices.Clone(statements) }

// Shapes is every shape that a profile is made of.
func Shapes() []Word { return slices.Clone(shapes) }

// Functions is every function that a sum may use.
func Functions() []Function { return slices.Clone(functions) }

// Reserved lists the words that are no names, sorted: the language's own, functions, pi and frame.
func Reserved() []string { return slices.Clone(reservedWords) }

func lookUp(table []Word, word string) *Word {
	if i := slices.IndexFunc(table, func(w Word) bool { return w.Word == word }); i >= 0 {
		return &table[i]
	}
	return nil
}

// LookUpFunction finds a function by its name.
func LookUpFunction(name string) (Function, bool) {
	if i := slices.IndexFunc(functions, func(f Function) bool { return f.Name == name }); i >= 0 {
		return functions[i], true
	}
	return Function{}, false
}
