package variants

import (
	"barover/render/chart"
	"barover/render/drawing"
	"barover/render/office"
	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/solver/field"
	"barover/solver/plane"
)

// The map on paper tells its cells apart by how dark they are, so that it reads in any colour and none.
var (
	holdsStyle = &drawing.Style{Name: "holds", Width: 0.13, Line: drawing.Continuous, Stroke: drawing.RGB(0x808080), Fill: drawing.RGB(0xffffff)}
	openStyle  = &drawing.Style{Name: "open", Width: 0.13, Line: drawing.Continuous, Stroke: drawing.RGB(0x808080), Fill: drawing.RGB(0xdcdcdc)}
	shortStyle = &drawing.Style{Name: "short", Fill: drawing.RGB(0x9a9a9a)}
	mapText    = &drawing.TextStyle{Name: "t25", Height: 2.5, Colour: drawing.RGB(0)}
)

// The sheet of a map, mm.
const (
	mapWide, mapHigh = 170, 190
	mapMargin        = 8
	mapLine          = 4.6
	mapLetters       = 84 // in a line
)

// Len is how many sheets there are.
func (r *Field) Len() int { return 1 }

// Sheet is the map on a sheet of its own.
func (r *Field) Sheet(int) *drawing.Drawing {
	title := r.e.Title
	if title == "" {
		title = r.Dims[0] + " and " + r.Dims[1]
	}
	d := drawing.New(title, mapWide, mapHigh)
	l := d.Layer("map", "where everything holds")
	var lines []string
	told := append([]string{"white: everything is proved to hold; dark: something is proved to fall short; between: neither"}, r.sidesText()...)
	for _, text := range append(told, r.sentence(), office.Cautions) {
		lines = append(lines, terminal.Folded(text, "", mapLetters)...)
	}
	low := mapMargin + mapLine*float64(len(lines)) + 4
	chart.Draw(l, drawing.Box{Min: plane.Vec{X: mapMargin, Y: low}, Max: plane.Vec{X: mapWide - mapMargin, Y: mapHigh - mapMargin}}, r.mapChart(title))
	for i, text := range lines {
		at := plane.Vec{X: mapMargin + 2, Y: low - 4 - mapLine*float64(i+1)}
		l.Write(at, drawing.Start, mapText, mapText.FitPair(text, mapWide-2*mapMargin-4))
	}
	return d
}

// mapChart is the field as a chart.
func (r *Field) mapChart(title string) chart.Chart {
	axis := func(k int) chart.Axis {
		return chart.Axis{Name: figures.InUnit(r.e.Units, r.Dims[k], r.d[k].Kind), From: float64(r.Sought[k].From), To: float64(r.Sought[k].To)}
	}
	c := chart.Chart{Title: title, X: axis(0), Y: axis(1)}
	vec := func(v [2]float64) plane.Vec {
		p := r.pair(v)
		return plane.Vec{X: float64(p[0]), Y: float64(p[1])}
	}
	for _, cell := range r.a.Cells {
		style := map[field.State]*drawing.Style{field.Holds: holdsStyle, field.Open: openStyle, field.Short: shortStyle}[cell.State]
		c.Cells = append(c.Cells, chart.Cell{From: vec(cell.From), To: vec(cell.To), Style: style})
	}
	c.Marks = append(c.Marks, chart.Mark{At: vec(r.q.Now), Name: "now"})
	if r.a.Room > 0 {
		c.Marks = append(c.Marks, chart.Mark{At: vec(r.a.Best), Name: "most room"})
	}
	c.Marks = append(c.Marks, figures.Each(r.stockGrid(), func(pair *[2]float64) chart.Mark { return chart.Mark{At: vec(*pair)} })...)
	return c
}
