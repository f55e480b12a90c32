package sheet

import (
	"math"
	"strings"

	"barover/render/drawing"
	"barover/solver/plane"
)

// piece is a part of a further sheet that goes across it from one side to the other.
type piece struct {
	section     *section
	least, most float64 // its height, mm; the pieces that can use it share the height that is left
	draw        func(v *view, box drawing.Box)
}

// section is pieces that belong together on further sheets. Its deal gives the next piece that fits a room of wide ×
// high, mm, or nothing where the piece should begin on a new sheet, which has a room whole high. On a new sheet it always
// gives one.
type section struct {
	kind  string // for the title block of a sheet that has nothing else: "Tightest places over the turn"
	short string // for a sheet that has more: "tightest places"
	scale string // of its drawings; "" where nothing is to scale
	deal  func(wide, high, whole float64) (p piece, ok bool)
	left  func() bool // anything is left to deal
	early bool        // it may come early, where an earlier section leaves room at the foot of a sheet
	first *int        // is set to the number of the sheet on which it begins; or nil
}

// onePiece returns a section of one piece, empty unless shown is set. The piece is least high, mm, and up to more higher where
// there is room.
func onePiece(shown bool, kind, short, scale string, least, more float64, draw func(v *view, box drawing.Box)) section {
	return section{kind: kind, short: short, scale: scale, left: func() bool { return shown },
		deal: func(_, high, whole float64) (p piece, ok bool) {
			p.least, p.draw = min(whole, least), draw
			if p.most, ok = p.least+more, p.least <= high; ok {
				shown = false
			}
			return p, ok
		}}
}

// between is the space between pieces, mm.
const between = 7.0

// addPacked lays sections out on as few further sheets as possible, in their order except for those that may come early.
func (b *Book) addPacked(sections ...section) {
	room := roomOf(b.l)
	wide, whole := room.Size()
	var sheets [][]piece
	high := 0.0 // height left on the last sheet
	put := func(s *section, high float64) (left float64, ok bool) {
		p, ok := s.deal(wide, high, whole)
		if ok {
			p.section = s
			sheets[len(sheets)-1] = append(sheets[len(sheets)-1], p)
			high -= p.least + between
			if s.first != nil && *s.first == 0 {
				*s.first = len(b.makers) + len(sheets)
			}
		}
		return high, ok
	}
	for i := range sections {
		for s := &sections[i]; s.left(); {
			left, ok := 0.0, false
			if len(sheets) > 0 {
				left, ok = put(s, high)
			}
			if high = left; ok {
				continue
			}
			for k := i + 1; k < len(sections) && len(sheets) > 0; k++ {
				if c := &sections[k]; c.early && c.left() {
					high, _ = put(c, high)
				}
			}
			if sheets = append(sheets, nil); len(sheets) > mostSheets {
				return
			}
			if high, ok = put(s, whole); !ok {
				break
			}
		}
	}
	b.add(len(sheets), func(o Options, i int) *drawing.Drawing { return b.packed(&o, room, sheets[i]) })
}

// mostSheets bounds the sheets of one engine.
const mostSheets = 500

// packed draws a sheet of pieces.
func (b *Book) packed(o *Options, room drawing.Box, pieces []piece) *drawing.Drawing {
	_, whole := room.Size()
	high := shared(pieces, whole-between*float64(len(pieces)-1))
	d := newPage(o, b.l, kindOf(pieces), scaleOf(pieces))
	y := room.Max.Y
	for i, c := range pieces {
		box := drawing.Box{Min: plane.Vec{X: room.Min.X, Y: y - high[i]}, Max: plane.Vec{X: room.Max.X, Y: y}}
		c.draw(&view{scene: b.s, o: o, w: o.Words, l: b.l, d: d}, box)
		y = box.Min.Y - between
	}
	d.Raise("labels") // the labels of every piece, above all drawings
	return d
}

// shared gives each piece its height: what it asks, and an equal share of the rest as far as it can use it.
func shared(pieces []piece, whole float64) (high []float64) {
	for _, p := range pieces {
		high = append(high, p.least)
		whole -= p.least
	}
	for range pieces { // in every round at least one has all that it can use, or nothing is left
		takes := 0
		for i, p := range pieces {
			if p.most > high[i] {
				takes++
			}
		}
		if takes == 0 || !(whole > 0) {
			break
		}
		each := whole / float64(takes)
		for i, p := range pieces {
			more := math.Max(0, math.Min(each, p.most-high[i]))
			high[i], whole = high[i]+more, whole-more
		}
	}
	return high
}

// kindOf is the name of a sheet of pieces.
func kindOf(pieces []piece) string {
	var short []string
	for i, p := range pieces {
		if i == 0 || p.section.short != pieces[i-1].section.short {
			short = append(short, p.section.short)
		}
	}
	if len(short) == 1 {
		return pieces[0].section.kind
	}
	s := strings.Join(short, ", ")
	return strings.ToUpper(s[:1]) + s[1:]
}

// scaleOf is the scale of a sheet of pieces: the only one, or "as shown" beside each drawing that is to scale.
func scaleOf(pieces []piece) string {
	scale := ""
	for _, p := range pieces {
		switch s := p.section.scale; {
		case s == "" || s == scale:
		case scale == "":
			scale = s
		default:
			return asShown
		}
	}
	if scale == "" {
		return "–"
	}
	return scale
}

// asShown is the scale of a sheet with several scales.
const asShown = "as shown"

// panelled is a section of n panels, dealt out by rows of as many as have room, and drawn as large as possible. A panel
// is at least wide × high, mm.
type panelled struct {
	n          int
	wide, high float64
	columns    int // the number that suits it, zero for any
	draw       func(v *view, box drawing.Box, i int)
}

// panelGap is the space between panels, mm.
const panelGap = 5.0

// largePanel is the greatest width of a panel, mm: lettering does not grow with it.
const largePanel = 190.0

// section makes a section of panels.
func (c panelled) section(kind, short, scale string) section {
	next := 0
	return section{kind: kind, short: short, scale: scale, left: func() bool { return next < c.n },
		deal: func(wide, high, whole float64) (p piece, ok bool) {
			columns := max(1, int((wide+panelGap)/(c.wide+panelGap)))
			rows := int((high + panelGap) / (c.high + panelGap))
			if high == whole {
				rows = max(1, rows)
			}
			if rows < 1 {
				return p, false
			}
			from := next
			next = min(c.n, next+columns*rows)
			n := next - from
			p.least = math.Min(whole, tall((n+columns-1)/columns, c.high))
			few := int(math.Ceil((math.Min(wide, float64(n)*(largePanel+panelGap)) + panelGap) / (largePanel + panelGap)))
			few = max(1, min(few, n))
			w := (wide - panelGap*float64(few-1)) / float64(few)
			p.most = math.Max(p.least, tall((n+few-1)/few, math.Max(c.high, 0.75*math.Min(w, largePanel))))
			p.draw = func(v *view, box drawing.Box) {
				for i, b := range c.arranged(box, n) {
					c.draw(v, b, from+i)
				}
			}
			return p, true
		}}
}

// tall is how high rows of panels stand, mm.
func tall(rows int, high float64) float64 { return float64(rows)*(high+panelGap) - panelGap }

// arranged cuts a box into n panels, in as many columns as make them largest.
func (c panelled) arranged(box drawing.Box, n int) []drawing.Box {
	wide, high := box.Size()
	best, most := 1, 0.0
	for columns := 1; columns <= n; columns++ {
		rows := (n + columns - 1) / columns
		w, h := (wide-panelGap*float64(columns-1))/float64(columns), (high-panelGap*float64(rows-1))/float64(rows)
		if columns > 1 && w < c.wide {
			break
		}
		size := math.Min(w, 1.5*h)
		if columns == c.columns {
			size *= 1.2
		}
		if size > most {
			best, most = columns, size
		}
	}
	return box.Panels(best, (n+best-1)/best, panelGap)[:n]
}
