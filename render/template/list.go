package template

import (
	"strconv"
	"strings"

	"barover/render/drawing"
	"barover/render/office"
	"barover/solver/plane"
)

// Sizes of the list, mm.
const (
	listWide = 164.0
	listTop  = office.Mark // above the heading's letters: off the border and its mark
	lineHigh = 4.2
)

// column is a column of the list: where it begins, mm, and its heading. Figures are set against its right edge.
type column struct {
	at, wide float64
	name     string
	right    bool
}

var markColumns = []column{
	{0, 8, "no", true}, {9, 17, "x", true}, {27, 17, "y", true}, {46, 28, "what", false}, {75, 29, "size", false},
	{105, 32, "profile", false}, {138, 26, "point", false},
}

var profileColumns = []column{{0, 20, "line", false}, {22, 70, "profile", false}, {93, 25, "thick", true}, {122, 42, "across", false}}

// entry is one line of the list. Where it comes first on a sheet, its heading is said again above it.
type entry struct {
	cells   []string
	columns []column // nil for one text over the whole width
	style   *drawing.TextStyle
	sample  *drawing.Style // a line drawn in the first column
	head    *entry
	ruled   bool
}

// list is everything written beside the picture: the profiles, the places, and what to mind.
type list struct{ entries []entry }

func heading(columns []column) *entry {
	e := &entry{columns: columns, style: heavy, ruled: true}
	for _, c := range columns {
		e.cells = append(e.cells, c.name)
	}
	return e
}

func (g *pages) newList() (l list) {
	words := g.o.Sheet.Words
	l.entries = append(l.entries, entry{cells: []string{g.Name}, style: large})
	l.say(g.Datums(words.Length, words.Size), text)
	head := heading(profileColumns)
	l.entries = append(l.entries, entry{}, *head)
	for i := range g.Profiles {
		p := &g.Profiles[i]
		l.entries = append(l.entries, entry{columns: profileColumns, style: text, sample: g.lines[i], head: head, ruled: i == len(g.Profiles)-1,
			cells: []string{"", p.Name, words.Size(p.Thick()), words.Size(p.From) + " to " + words.Size(p.To)}})
	}
	if len(g.Marks) > 0 {
		head = heading(markColumns)
		l.entries = append(l.entries, entry{}, *head)
	}
	narrow := false
	for _, r := range g.Rows() {
		size := r.Feature.Say(words.Size)
		if r.Narrow {
			size += " *"
			narrow = true
		}
		l.entries = append(l.entries, entry{columns: markColumns, style: text, head: head, ruled: true,
			cells: []string{strconv.Itoa(r.Number), words.Length(r.At.X), words.Length(r.At.Y), r.Feature.Kind.String(), size,
				strings.Join(r.Profiles, ", "), strings.Join(r.Names, ", ")}})
	}
	if narrow {
		l.say(NarrowNote, heavy)
	}
	l.entries = append(l.entries, entry{})
	for _, t := range Notes {
		l.say(t, text)
	}
	l.entries = append(l.entries, entry{cells: []string{"number off ________     material ____________________     date ____________     revision ________"}, style: text})
	return l
}

// Notes are what must be minded with every template.
var Notes = []string{
	"Cut to the middle of the lines. Nothing is allowed for the cut or for finishing.",
	"The part is seen as in the side view. For the other hand turn the sheet over.",
	"Paper moves with the weather: set out what must fit by the figures, not by the paper.",
}

// NarrowNote is what must be minded with holes that are narrow.
const NarrowNote = "* less across than the plate is thick: have its centre marked only, and drill it"

// Datums says from where places are measured; length and size put a length as a figure and as on a drawing.
func (p *Part) Datums(length, size func(mm float64) string) string {
	s := "x to the right from the leftmost edge (" + p.Profiles[p.Left].Name + "), y up from the lowest (" + p.Profiles[p.Low].Name + "). "
	origin := "The origin of the part's own axes"
	if p.OriginAt != "" {
		origin += ", " + p.OriginAt + ","
	}
	return s + origin + " is at " + length(p.Origin.X) + ", " + length(p.Origin.Y) + ". Over all " + size(p.Wide) + " × " + size(p.High) + "."
}

func (l *list) say(what string, s *drawing.TextStyle) {
	for _, t := range s.Wrap(what, listWide) {
		l.entries = append(l.entries, entry{cells: []string{t}, style: s})
	}
}

// high is how much room so many lines take, mm.
func (l *list) high(lines int) float64 { return lineHigh*float64(lines) + listTop }

// beside finds room for the list on the one sheet of a part: under it or to its right. It returns the room and the window
// that is left for the part.
func (l *list) beside(p *Part, t tiling) (room, window drawing.Box, ok bool) {
	if t.count() > 1 {
		return room, window, false
	}
	const labels = 10.0 // round the part
	w, h := t.window.Size()
	high := l.high(len(l.entries))
	below, right := t.window, t.window
	switch {
	case h-high >= p.High+2*labels && w >= p.Wide+2*clear:
		below.Min.Y += high
		return drawing.Box{Min: t.window.Min, Max: plane.Vec{X: t.window.Min.X + listWide, Y: below.Min.Y}}, below, true
	case w-listWide-4 >= p.Wide+2*labels && h >= high:
		right.Max.X -= listWide + 4
		return drawing.Box{Min: plane.Vec{X: right.Max.X + 4, Y: t.window.Min.Y}, Max: t.window.Max}, right, true
	}
	return room, window, false
}

// split deals the list out over sheets with that window.
func (l *list) split(window drawing.Box) (sheets [][]entry) {
	_, high := window.Size()
	most := max(3, int((high-2)/lineHigh))
	var now []entry
	for _, e := range l.entries {
		if len(now) == most {
			sheets, now = append(sheets, now), nil
		}
		if len(now) == 0 && e.head != nil {
			now = append(now, *e.head)
		}
		now = append(now, e)
	}
	return append(sheets, now)
}

// draw writes entries from the top of a box down.
func (l *list) draw(on *drawing.Layer, b drawing.Box, entries []entry) {
	y := b.Max.Y - listTop
	for _, e := range entries {
		y -= lineHigh
		at := plane.Vec{X: b.Min.X + 1, Y: y + 1.2}
		if e.columns == nil && len(e.cells) > 0 {
			on.Write(at, drawing.Start, e.style, e.style.Fit(e.cells[0], listWide))
		}
		if e.sample != nil {
			on.Draw(drawing.Line(at.Add(plane.Vec{Y: 0.9}), at.Add(plane.Vec{X: 20, Y: 0.9})), e.sample, "")
		}
		for i, c := range e.columns {
			place, anchor := at.Add(plane.Vec{X: c.at}), drawing.Start
			if c.right {
				place.X, anchor = place.X+c.wide, drawing.End
			}
			if s := e.style.Fit(e.cells[i], c.wide); s != "" {
				on.Write(place, anchor, e.style, s)
			}
		}
		if e.ruled {
			on.Draw(drawing.Line(plane.Vec{X: b.Min.X + 1, Y: y}, plane.Vec{X: b.Min.X + 1 + listWide, Y: y}), rowRule, "")
		}
	}
}
