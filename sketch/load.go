package sketch

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"barover/sketch/picture"
	"barover/sketch/quantity"
	"barover/sketch/source"
	"barover/sketch/syntax"
	"barover/solver/schedule"
)

// Options choose which values count, and what a sketch may read.
type Options struct {
	AsDrawn bool     // the dim lines alone
	Case    string   // a case by name, or several with commas between them; "" for none
	Set     []string // "DIM=V", V a sum as a sketch has it; comes before every other value of the dimension

	Anywhere bool // the sketch may use any file: see Disk
}

// Load reads a sketch from disk. The sketch is never nil, so that its Files can be watched while they are mended. It has
// a Problem only where there are no messages. Messages are sorted by file and place.
func Load(path string, o Options) (*Sketch, []syntax.Message) {
	return Read(source.OnDisk(path, o.Anywhere), path, o)
}

// Read reads a sketch as Load does, from anywhere.
func Read(from source.Reader, path string, o Options) (*Sketch, []syntax.Message) {
	l := &loader{
		options:    o,
		cases:      o.cases(),
		sketch:     &Sketch{Path: path, Turn: Moved{Stmt: -1}, Ghosts: 15 * quantity.Degree, dimNumber: map[string]int{}},
		names:      newNames(),
		lost:       map[string]bool{},
		instanceOf: map[*syntax.File]*instance{},
	}
	l.files(from, path)
	l.rename()
	l.pictureFiles(from)
	l.settings()
	l.declare()
	l.sheet()
	l.sums()
	l.values()
	l.build()
	return l.finish()
}

// cases are the names of the cases asked for, none twice.
func (o Options) cases() (names []string) {
	for _, word := range strings.Split(o.Case, ",") {
		if name := strings.TrimSpace(word); name != "" && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// loader is a sketch while it is read. Each step is a method, in the file of that name.
type loader struct {
	options    Options
	cases      []string // the names asked for
	sketch     *Sketch
	messages   []syntax.Message
	names      *names
	lost       map[string]bool            // names that statements with a mistake would have given
	allLost    bool                       // a file is missing, and unknown names with it
	gaps       int                        // statements with a mistake that are left out
	follows    []int                      // messages that may follow only from what is missing
	set        []setting                  // of the command line
	instances  []*instance                // files taken in under names of their own
	instanceOf map[*syntax.File]*instance // nil for a file of the sketch itself
	given      []givenFigure
	commands   []*syntax.File // the words of the command line, as files
	missed     map[missed]int // messages about names that do not exist

	dims    []dimension
	travels []travel
	turn    int // statement of the turn, -1 for none
	measure []measured

	kinds  *quantity.Inference[place]
	wants  []want
	wantOf map[syntax.Expr]int32 // the want of a sum
	sum    *lowering
	model  model

	lengths  schedule.Lengths // see length
	byPart   [][]int          // see profilesOf
	allows   []allowance
	full     bool         // there are too many pairs: see room
	refused  map[int]bool // dimensions with an impossible value: see impossible
	bent     []bent       // bends to be checked: see bends
	outlined []outlined
	pictures map[*syntax.Scan]*picture.Picture
}

// place is a place in the text.
type place struct {
	file *syntax.File
	span syntax.Span
}

// mostMessages is how many mistakes of meaning are shown at once.
const mostMessages = 200

// tell adds a message.
func (l *loader) tell(at place, text, help string, also ...syntax.Note) {
	l.messages = append(l.messages, syntax.Message{File: at.file, Span: at.span, Text: text, Help: help, Also: also})
}

func (p place) note(text string) syntax.Note {
	return syntax.Note{File: p.file, Span: p.span, Text: text}
}

// at is the place of a span in the file of a statement.
func (l *loader) at(stmt int, span syntax.Span) place {
	return place{l.sketch.statements[stmt].file, span}
}

// tellIfWhole adds a message that is shown only where nothing of the sketch is missing. The cause may be a statement that
// could not be read, or a name that does not exist; then only that is reported.
func (l *loader) tellIfWhole(at place, text, help string) {
	l.follows = append(l.follows, len(l.messages))
	l.tell(at, text, help)
}

// withoutFollows removes the messages that may follow from what is missing.
func (l *loader) withoutFollows() {
	if !l.allLost && l.gaps == 0 && len(l.missed) == 0 {
		return
	}
	for _, i := range slices.Backward(l.follows) {
		l.messages = slices.Delete(l.messages, i, i+1)
	}
	l.follows = nil
}

// fileOrder numbers the files in the order in which they are read, the command line first.
func (l *loader) fileOrder() map[*syntax.File]int {
	number := map[*syntax.File]int{}
	for _, f := range slices.Concat(l.commands, l.sketch.Files) {
		number[f] = len(number)
	}
	return number
}

// finish sorts the messages and hands the sketch over.
func (l *loader) finish() (*Sketch, []syntax.Message) {
	l.sortMissed()
	l.withoutFollows()
	l.onceAFile()
	if len(l.messages) == 0 {
		l.sketch.loaded = l
		return l.sketch, nil
	}
	l.sketch.Problem, l.sketch.Values = nil, nil
	number := l.fileOrder()
	slices.SortStableFunc(l.messages, func(a, b syntax.Message) int {
		return cmp.Or(number[a.File]-number[b.File], int(a.Span.Start)-int(b.Span.Start))
	})
	if n := len(l.messages); n > mostMessages {
		l.messages = l.messages[:mostMessages]
		l.messages = append(l.messages, syntax.Message{File: l.sketch.Files[0],
			Text: fmt.Sprintf("%d mistakes; the first %d are shown", n, mostMessages)})
	}
	return l.sketch, l.messages
}
