package dxf

import (
	"math"

	"barover/render/drawing"
)

// header says which release this is, in which unit, and how far the drawing reaches. Points are shown as crosses.
func (w *writer) header(f *File) {
	w.text(0, "SECTION")
	w.text(2, "HEADER")
	w.text(9, "$ACADVER")
	w.text(1, "AC1009")
	unit, metric := 4, 1
	if f.Inches {
		unit, metric = 1, 0
	}
	w.text(9, "$INSUNITS")
	w.whole(70, unit)
	w.text(9, "$MEASUREMENT")
	w.whole(70, metric)
	box := drawing.NoBox()
	for _, l := range f.Layers {
		for _, e := range l.Entities {
			box = box.Join(e.box())
		}
	}
	if box.Empty() {
		box = drawing.Box{}
	}
	w.text(9, "$EXTMIN")
	w.place(10, box.Min)
	w.text(9, "$EXTMAX")
	w.place(10, box.Max)
	w.text(9, "$PDMODE")
	w.whole(70, 2)
	w.text(9, "$PDSIZE")
	w.length(40, pointCross)
	w.text(9, "$LTSCALE")
	w.length(40, dashScale)
	w.text(0, "ENDSEC")
}

// pointCross is how large a point is shown, and dashScale what dashes are multiplied by so that they are given in mm.
const pointCross, dashScale = 3.0, 1.0

// lineTypes are the two that layers use: the lengths of their pieces, gaps negative.
var lineTypes = []struct {
	name, shown string
	pieces      []float64
}{
	{"CONTINUOUS", "Solid line", nil},
	{"CENTER", "____ _ ____ _ ____", []float64{8, -1.5, 2, -1.5}},
}

// tables lists the line types, the layers and the one text style.
func (w *writer) tables(f *File) {
	w.text(0, "SECTION")
	w.text(2, "TABLES")
	w.table("LTYPE", len(lineTypes))
	for _, t := range lineTypes {
		w.named("LTYPE", t.name)
		w.text(3, t.shown)
		w.whole(72, 65)
		w.whole(73, len(t.pieces))
		long := 0.0
		for _, p := range t.pieces {
			long += math.Abs(p)
		}
		w.number(40, long)
		for _, p := range t.pieces {
			w.number(49, p)
		}
	}
	w.text(0, "ENDTAB")
	w.table("LAYER", len(f.Layers))
	for _, l := range f.Layers {
		w.named("LAYER", l.Name)
		w.whole(62, l.Colour)
		if l.Centre {
			w.text(6, lineTypes[1].name)
		} else {
			w.text(6, lineTypes[0].name)
		}
	}
	w.text(0, "ENDTAB")
	w.table("STYLE", 1)
	w.named("STYLE", "STANDARD")
	w.number(40, 0)
	w.number(41, 1)
	w.number(50, 0)
	w.whole(71, 0)
	w.number(42, 2.5)
	w.text(3, "txt")
	w.text(4, "")
	w.text(0, "ENDTAB")
	w.text(0, "ENDSEC")
}

func (w *writer) table(name string, entries int) {
	w.text(0, "TABLE")
	w.text(2, name)
	w.whole(70, entries)
}

func (w *writer) named(kind, name string) {
	w.text(0, kind)
	w.text(2, name)
	w.whole(70, 0)
}

// number writes a number that is no length of the drawing.
func (w *writer) number(code int, v float64) {
	w.text(code, string(drawing.AppendNumber(nil, v, decimals)))
}
