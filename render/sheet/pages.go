package sheet

import (
	"barover/render/drawing"
	"barover/render/office"
	"barover/solver/plane"
)

// Book is all the sheets of an engine in order: the overlay; what does not hold or the tightest places, each enlarged
// beside its curve; elevation, plan and end view; the strip across the engine; the charts of the sketch; and last the
// table of answers, where it has no room on the overlay. A sheet is drawn when it is first asked for, so that it does not
// wait for the others. A Book is for one goroutine.
type Book struct {
	s      *scene
	l      layout
	o      Options
	makers []func(o Options) *drawing.Drawing
	sheets []*drawing.Drawing // nil until drawn
	charts map[string]int     // the first sheet of each, by its name
	note   string             // what the sketch asked for but is not possible, or ""
}

// newBook begins the sheets of an engine, or of a change: their paper and their layout.
func newBook(both *both, o Options) *Book {
	wide, high := 0.0, 0.0
	if !both.is.box.Empty() {
		wide, high = both.is.box.Size()
	}
	sized := both.table()
	l := choose(wide, high, sized.size(), &o)
	return &Book{s: both.is, l: l, o: o, charts: map[string]int{}, note: l.note}
}

// NewBook lays the sheets out.
func NewBook(e *Engine, o Options) *Book {
	one := alone(lay(e, &o), o.Words)
	b := newBook(one, o)
	b.add(1, func(o Options, _ int) *drawing.Drawing { return one.overlay(&o, b.l) })
	places := b.s.placesShown()
	enlarged, strip := one.places(b.l, places), one.across()
	views := b.s.views(b.l, &strip)
	further := []section{one.notEnlarged(places), views, enlarged}
	if len(places) > 0 && places[0].no > 0 { // what does not hold comes before the views
		further = []section{enlarged, one.notEnlarged(places), views}
	}
	further = append(further, strip.section(b.l), b.s.misses())
	if len(b.s.Charts) > 0 { // they come between, each on sheets of its own
		b.addPacked(further...)
		further = nil
	}
	for i := range b.s.Charts {
		b.charts[b.s.Charts[i].Chart.Name] = len(b.makers)
		b.add(b.s.chartSheets(b.l, &b.s.Charts[i]))
	}
	b.addPacked(append(further, one.answerSection(b.l))...)
	return b
}

// add adds n sheets.
func (b *Book) add(n int, draw func(o Options, i int) *drawing.Drawing) {
	b.sheets = append(b.sheets, make([]*drawing.Drawing, n)...)
	for i := range n {
		b.makers = append(b.makers, func(o Options) *drawing.Drawing { return draw(o, i) })
	}
}

// Len is how many sheets there are.
func (b *Book) Len() int { return len(b.makers) }

// Note is what the sketch asked for but is not possible, or "".
func (b *Book) Note() string { return b.note }

// Charts is the first sheet of each chart, from 0, by the name of the chart.
func (b *Book) Charts() map[string]int { return b.charts }

// Sheet is the i-th sheet, from 0.
func (b *Book) Sheet(i int) *drawing.Drawing {
	if b.sheets[i] == nil {
		o := b.o
		o.Sheet, o.Sheets = i+1, len(b.makers)
		b.sheets[i] = b.makers[i](o)
	}
	return b.sheets[i]
}

// Sheets is all of them.
func (b *Book) Sheets() []*drawing.Drawing {
	for i := range b.makers {
		b.Sheet(i)
	}
	return b.sheets
}

// newPage begins a sheet of the overlay's paper: border and title block.
func newPage(o *Options, l layout, kind, scale string) *drawing.Drawing {
	d := drawing.New(o.Title+", "+kind, l.paper.Wide, l.paper.High)
	office.Border(d, l.frame)
	office.TitleBlock(d, l.block, &o.Block, kind, scale, l.paper.Name)
	return d
}

// roomOf is the room of a further sheet.
func roomOf(l layout) drawing.Box {
	return drawing.Box{Min: plane.Vec{X: l.frame.Min.X, Y: l.block.Max.Y}, Max: l.frame.Max}.Grown(-5)
}
