package sheet

import (
	"math"

	"barover/render/drawing"
	"barover/render/office"
	"barover/solver/plane"
)

// Rooms, mm of paper.
const (
	legendHigh = office.BlockHigh
	legendLow  = 24.0 // where it goes across the whole sheet
	legendWide = 80.0
	labelRoom  = 15.0 // round the picture, for labels
	rulerRoom  = 11.0 // for a rule of check lengths
	tableShare = 0.3  // of the height within the frame, at most, for the table on the sheet
)

// layout is where things are on the paper, mm.
type layout struct {
	paper   drawing.Paper
	scale   drawing.Scale
	frame   drawing.Box
	block   drawing.Box // the title block
	table   drawing.Box // above it; empty where there are no rows
	legend  drawing.Box
	picture drawing.Box
	rows    int // rows of the table on this sheet
	rulers  bool
	note    string // what was asked for but is not possible
}

// table is how many rows a sheet's table would have, and how many there are in all. Rows that are never on the sheet
// itself have a sheet of their own.
type table struct {
	rows, all int
	wide      float64                  // wide enough that no cell is cut or broken, mm
	lines     func(wide float64) []int // that each row takes; nil for one
}

// size is what the layout must know of a table.
func (t *tabulated) size() table { return table{len(t.Rows), t.all, t.Wide(), t.Lines} }

// fit is how many of the rows have room in a height, mm, with the head and a line that says how many more there are, and
// the height that they take.
func (t *table) fit(wide, most float64) (rows int, high float64) {
	lines := make([]int, t.rows)
	if t.lines != nil {
		lines = t.lines(wide)
	}
	upTo := func(n int) (high float64) {
		for _, n := range lines[:n] {
			high += office.High(n, office.RowHigh)
		}
		return high + office.RowHigh
	}
	if rows = t.rows; upTo(rows) > most {
		for rows > 0 && upTo(rows)+office.RowHigh > most {
			rows--
		}
	}
	if high = upTo(rows); rows < t.all {
		high += office.RowHigh
	}
	return rows, high
}

// on makes the layout for one paper and the given table.
func on(p drawing.Paper, t table) layout {
	l := layout{paper: p}
	l.frame, l.block = office.Frame(p.Wide, p.High)
	l.table = drawing.NoBox()
	wide, high := l.frame.Size()
	x, y := l.block.Min.X, l.block.Max.Y
	if t.rows > 0 {
		across := min(wide, max(office.BlockWide, t.wide))
		rows, tall := t.fit(across, tableShare*high)
		l.rows = rows
		l.table = drawing.Box{Min: plane.Vec{X: l.frame.Max.X - across, Y: y}, Max: plane.Vec{X: l.frame.Max.X, Y: y + tall}}
		y = l.table.Max.Y
	}
	if x-l.frame.Min.X >= legendWide {
		l.legend = drawing.Box{Min: l.frame.Min, Max: plane.Vec{X: x, Y: l.frame.Min.Y + legendHigh}}
	} else {
		l.legend = drawing.Box{Min: plane.Vec{X: l.frame.Min.X, Y: y}, Max: plane.Vec{X: l.frame.Max.X, Y: y + legendLow}}
		y = l.legend.Max.Y
	}
	l.picture = drawing.Box{Min: plane.Vec{X: l.frame.Min.X, Y: y}, Max: l.frame.Max}
	return l
}

// beside is the layout with the picture to the left of the title block and the table, above the legend, for tall things
// on large paper; false where that leaves no room.
func (l layout) beside() (layout, bool) {
	if l.legend.Max.X > l.block.Min.X || l.block.Min.X-l.frame.Min.X < legendWide {
		return l, false
	}
	l.picture = drawing.Box{Min: plane.Vec{X: l.frame.Min.X, Y: l.legend.Max.Y}, Max: plane.Vec{X: l.block.Min.X, Y: l.frame.Max.Y}}
	return l, true
}

// room is the scale, as a figure, at which wide × high, mm, would fill the picture except for its labels.
func (l *layout) room(wide, high float64) float64 {
	w, h := l.picture.Size()
	return math.Min((w-2*labelRoom)/wide, (h-2*labelRoom)/high)
}

// takes reports whether wide × high fits the picture at a scale, with its labels, and at full size with its check
// lengths.
func (l *layout) takes(s drawing.Scale, wide, high float64) bool {
	w, h := l.picture.Size()
	if s.K() == 1 && (wide > w-2*labelRoom-rulerRoom || high > h-2*labelRoom-rulerRoom || !l.ruled()) {
		return false
	}
	return s.K() <= l.room(wide, high)*(1+1e-6) // a millionth is allowed, so that rounding rejects nothing
}

// fits returns the largest scale at which wide × high, mm, fits.
func (l *layout) fits(wide, high float64) (drawing.Scale, bool) {
	if !(wide > 0 || high > 0) {
		return drawing.Scale{Drawn: 1, Real: 1}, true
	}
	w, h := l.picture.Size()
	s, ok := drawing.Fitting(wide, high, w-2*labelRoom, h-2*labelRoom)
	if ok && !l.takes(s, wide, high) { // full size without room for check lengths
		s = drawing.Scale{Drawn: 3, Real: 4}
	}
	return s, ok
}

// step is the gain in scale that is worth moving the table to another sheet: from one scale to the next.
const step = 1.2

// choose picks paper, arrangement and scale for a thing of wide × high, mm.
func choose(wide, high float64, t table, o *Options) layout {
	var best layout
	found := false
	for _, p := range papers(o) {
		for _, c := range arrangements(p, t) {
			if o.Scale.Drawn > 0 && c.takes(o.Scale, wide, high) {
				c.scale = o.Scale
				return c.done()
			}
			s, ok := c.fits(wide, high)
			if !ok {
				continue
			}
			c.scale = s
			more := 1.001
			switch {
			case c.rows < best.rows:
				more = step
			case best.rows == 0 && c.rows > 0 && p.Name == best.paper.Name:
				more = 0.999 // upright there is room for it
			}
			larger := s.K() > best.scale.K()*more
			if !found || larger && (p.Name == best.paper.Name || o.Scale.Drawn > 0 || best.scale.K() < enough) {
				best, found = c, true
			}
		}
	}
	if !found {
		best = on(papers(o)[0], t)
		best.scale, _ = best.fits(wide, high)
	}
	if o.Scale.Drawn > 0 {
		best.note = o.Scale.String() + " as asked does not fit the paper; drawn " + best.scale.String()
	}
	return best.done()
}

// enough is the scale from which no larger paper is taken, where the sketch names none.
const enough = 0.5

// arrangements are the ways to use a paper: the table below the picture, or beside it, or on another sheet.
func arrangements(p drawing.Paper, t table) (list []layout) {
	wide := t.wide
	for _, rows := range []int{t.rows, 0} {
		t.wide = wide
		t.rows = rows
		list = append(list, on(p, t))
		t.wide = 0 // the table as wide as the title block
		if b, ok := on(p, t).beside(); ok {
			list = append(list, b)
		}
		if rows == 0 {
			break
		}
	}
	return list
}

// papers lists the papers to try, in the order of preference.
func papers(o *Options) (list []drawing.Paper) {
	for _, portrait := range []bool{false, true} {
		if o.Oriented && portrait != o.Portrait {
			continue
		}
		if p, ok := drawing.PaperNamed(o.Paper, !portrait); ok {
			list = append(list, p)
		}
	}
	if len(list) > 0 {
		return list
	}
	wide, tall := drawing.Papers(true), drawing.Papers(false)
	for i := range wide {
		if !o.Oriented || !o.Portrait {
			list = append(list, wide[i])
		}
		if !o.Oriented || o.Portrait {
			list = append(list, tall[i])
		}
	}
	return list
}

// done takes the room for check lengths off the picture of a sheet at full size.
func (l layout) done() layout {
	if l.rulers = l.scale.K() == 1; l.rulers {
		l.picture.Min = l.picture.Min.Add(plane.Vec{X: rulerRoom, Y: rulerRoom})
	}
	return l
}
