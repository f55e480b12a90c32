// Package dxf writes outlines as DXF of release 12 (AC1009), the plainest that cutting firms and their machines read:
// LINE, ARC, CIRCLE, POINT and TEXT on named layers, nothing else.
//
// Release 12 has no unit of its own. The unit is therefore given in a comment at the head of the file, and in the header
// variable $INSUNITS, which later releases brought and which readers of all ages look for. The caller also writes it in a
// note.
//
// It knows no engine. A newcomer may add an entity of release 12; the layers are the caller's.
package dxf

import (
	"math"
	"strconv"

	"barover/render/drawing"
	"barover/solver/outline"
	"barover/solver/plane"
)

// mmPerInch is exact.
const mmPerInch = 25.4

// File is a drawing to be written. All its places and lengths are mm; they are written in the unit.
type File struct {
	Inches   bool     // the unit of the file; mm otherwise
	Comments []string // at the head of the file
	Layers   []*Layer
}

// Layer is a named set of entities. A name is of capitals, digits, "-" and "_", at most 31 of them: see Name.
type Layer struct {
	Name     string
	Colour   int  // of the format's own numbers: 1 red, 3 green, 5 blue, 7 black on white
	Centre   bool // drawn in long and short dashes; continuous otherwise
	Entities []Entity
}

// Entity is a Line, an Arc, a Circle, a Point or a Text.
type Entity interface {
	write(w *writer, layer string)
	box() drawing.Box
}

// Line is a straight line, mm.
type Line struct{ A, B plane.Vec }

// Arc runs anticlockwise from one heading to another.
type Arc struct {
	C        plane.Vec // its centre, mm
	R        float64   // mm
	From, To float64   // rad
}

// Circle is a whole circle.
type Circle struct {
	C plane.Vec // its centre, mm
	R float64   // mm
}

// Point is a place, mm.
type Point struct{ At plane.Vec }

// Text is one line of lettering.
type Text struct {
	At     plane.Vec // where its base line begins, mm
	Height float64   // of its capitals, mm
	S      string
}

// Edge is an edge of an outline as an entity: arcs always run anticlockwise here.
func Edge(e *outline.Edge) Entity {
	if e.R == 0 {
		return Line{A: e.A, B: e.B}
	}
	if e.Whole() {
		return Circle{C: e.C, R: e.R}
	}
	from, to := e.A.Sub(e.C), e.B.Sub(e.C)
	if e.Turn < 0 {
		from, to = to, from
	}
	return Arc{C: e.C, R: e.R, From: math.Atan2(from.Y, from.X), To: math.Atan2(to.Y, to.X)}
}

// Names are names of layers that are taken.
type Names map[string]bool

// Free makes a name that no other layer has, and takes it.
func (n Names) Free(name string) string {
	base := Name(name)
	out := base
	for k := 2; n[out]; k++ {
		tail := "-" + strconv.Itoa(k)
		out = base[:min(len(base), 31-len(tail))] + tail
	}
	n[out] = true
	return out
}

// Add adds an entity to the layer.
func (l *Layer) Add(e ...Entity) { l.Entities = append(l.Entities, e...) }

// TrueSize begins a file at true size. At its head are the given comments, and one that names the unit.
func TrueSize(inches bool, comments ...string) *File {
	f := &File{Inches: inches}
	f.Comments = append(comments, "true size; one unit is "+f.Unit())
	return f
}

// Unit returns the length of one unit of the file in words: "1 mm" or "1 in".
func (f *File) Unit() string {
	if f.Inches {
		return "1 in"
	}
	return "1 mm"
}

// Layer returns the layer of that name, adding it behind the others if there is none.
func (f *File) Layer(name string, colour int) *Layer {
	for _, l := range f.Layers {
		if l.Name == name {
			return l
		}
	}
	l := &Layer{Name: name, Colour: colour}
	f.Layers = append(f.Layers, l)
	return l
}

// Bytes returns the file.
func Bytes(f *File) []byte {
	w := &writer{k: 1}
	if f.Inches {
		w.k = 1 / mmPerInch
	}
	for _, c := range f.Comments {
		w.text(999, lettered(c))
	}
	w.header(f)
	w.tables(f)
	w.text(0, "SECTION")
	w.text(2, "ENTITIES")
	for _, l := range f.Layers {
		for _, e := range l.Entities {
			e.write(w, l.Name)
		}
	}
	w.text(0, "ENDSEC")
	w.text(0, "EOF")
	return w.b
}

func (e Line) write(w *writer, layer string) {
	w.entity("LINE", layer)
	w.place(10, e.A)
	w.place(11, e.B)
}

func (e Arc) write(w *writer, layer string) {
	w.entity("ARC", layer)
	w.place(10, e.C)
	w.length(40, e.R)
	w.angle(50, e.From)
	w.angle(51, e.To)
}

func (e Circle) write(w *writer, layer string) {
	w.entity("CIRCLE", layer)
	w.place(10, e.C)
	w.length(40, e.R)
}

func (e Point) write(w *writer, layer string) {
	w.entity("POINT", layer)
	w.place(10, e.At)
}

func (e Text) write(w *writer, layer string) {
	w.entity("TEXT", layer)
	w.place(10, e.At)
	w.length(40, e.Height)
	w.text(1, lettered(e.S))
	w.text(7, "STANDARD")
}

func (e Line) box() drawing.Box { return drawing.NoBox().With(e.A).With(e.B) }

// box takes the whole circle in: extents may be too large, never too small.
func (e Arc) box() drawing.Box { return Circle{e.C, e.R}.box() }

func (e Circle) box() drawing.Box { return drawing.Box{Min: e.C, Max: e.C}.Grown(e.R) }

func (e Point) box() drawing.Box { return drawing.Box{Min: e.At, Max: e.At} }

func (e Text) box() drawing.Box {
	style := drawing.TextStyle{Height: e.Height}
	return drawing.NoBox().With(e.At).With(e.At.Add(plane.Vec{X: style.Width(e.S), Y: e.Height}))
}

// writer writes pairs of a group code and a value, a line each.
type writer struct {
	b []byte
	k float64 // from mm to the unit
}

func (w *writer) text(code int, s string) {
	w.b = strconv.AppendInt(w.b, int64(code), 10)
	w.b = append(append(append(w.b, '\n'), plain(s)...), '\n')
}

func (w *writer) whole(code, v int) { w.text(code, strconv.Itoa(v)) }

// decimals of lengths, in either unit, and of angles in degrees: a hundred-thousandth of a millimetre at five metres' radius.
const decimals, angleDecimals = 7, 9

func (w *writer) length(code int, mm float64) {
	w.text(code, string(drawing.AppendNumber(nil, mm*w.k, decimals)))
}

func (w *writer) place(code int, v plane.Vec) {
	w.length(code, v.X)
	w.length(code+10, v.Y)
}

// angle writes a heading in degrees, 0 to 360.
func (w *writer) angle(code int, rad float64) {
	deg := math.Mod(rad*180/math.Pi, 360)
	if deg < 0 {
		deg += 360
	}
	w.text(code, string(drawing.AppendNumber(nil, deg, angleDecimals)))
}

func (w *writer) entity(kind, layer string) {
	w.text(0, kind)
	w.text(8, layer)
}
