package sheet

import (
	"barover/render/drawing"
	"barover/solver/plane"
)

// Pages draws all the sheets of an engine: the overlay first, then the answers where they have no room on it, the
// tightest places at a larger scale and as clearance against crank position, and the strip across the engine.
func Pages(e *Engine, o Options) ([]*drawing.Drawing, Overlay) {
	s := lay(e, &o)
	l := s.arrange(&o)
	makers := []func(Options) *drawing.Drawing{nil} // the overlay, which is made last of all but stands first
	more := func(n int, make func(o Options, i int) *drawing.Drawing) {
		for i := range n {
			makers = append(makers, func(o Options) *drawing.Drawing { return make(o, i) })
		}
	}
	more(s.answerSheets(l))
	more(s.placeSheets(l))
	more(s.acrossSheets(l))
	o.Sheets = len(makers)
	o.Sheet = 1
	overlay := s.overlay(&o, l)
	pages := []*drawing.Drawing{overlay.Drawing}
	for i, m := range makers[1:] {
		o.Sheet = i + 2
		pages = append(pages, m(o))
	}
	return pages, overlay
}

// page is a sheet with a border and a title block, and the room that is left on it.
type page struct {
	d    *drawing.Drawing
	room drawing.Box
}

// newPage begins a sheet of the overlay's paper.
func newPage(o *Options, l layout, kind, scale string) page {
	p := page{d: drawing.New(o.Title+", "+kind, l.paper.Wide, l.paper.High)}
	border(p.d, l.frame)
	titleBlock(p.d, l.block, o, kind, scale, l.paper.Name)
	p.room = drawing.Box{Min: plane.Vec{X: l.frame.Min.X, Y: l.block.Max.Y}, Max: l.frame.Max}.Grown(-5)
	return p
}

// panels cuts a room into columns and rows of equal panels with gaps between, from the upper left on.
func panels(room drawing.Box, columns, rows int) (out []drawing.Box) {
	const gap = 5.0
	w, h := room.Size()
	w, h = (w-gap*float64(columns-1))/float64(columns), (h-gap*float64(rows-1))/float64(rows)
	if rows > 1 {
		h = min(h, w)
	}
	for r := range rows {
		for c := range columns {
			a := plane.Vec{X: room.Min.X + float64(c)*(w+gap), Y: room.Max.Y - float64(r)*(h+gap) - h}
			out = append(out, drawing.Box{Min: a, Max: a.Add(plane.Vec{X: w, Y: h})})
		}
	}
	return out
}

// columnsAndRows are how many panels of at least 80 × 60 mm a room holds, no more than three by four.
func columnsAndRows(room drawing.Box) (columns, rows int) {
	w, h := room.Size()
	columns, rows = int(max(1, min(3, w/80))), int(max(1, min(4, h/62)))
	return columns, rows
}

// roomOf is the room of a further sheet.
func roomOf(l layout) drawing.Box {
	return drawing.Box{Min: plane.Vec{X: l.frame.Min.X, Y: l.block.Max.Y}, Max: l.frame.Max}.Grown(-5)
}
