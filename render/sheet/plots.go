package sheet

import (
	"cmp"
	"math"
	"strconv"
	"strings"

	"barover/render/chart"
	"barover/render/drawing"
	"barover/solver/machine"
	"barover/solver/plane"
)

// MostPlots is how many travel settings one chart shows: the number of lines that can be told apart without colour.
const MostPlots = 9

// plotLines are the lines of a chart's settings, or of its measures where there is one setting. Their types and widths
// tell them apart; their colours are all dark.
var plotLines = [MostPlots]*drawing.Style{
	{Name: "plot-a", Width: 0.5, Line: drawing.Continuous, Stroke: black},
	{Name: "plot-b", Width: 0.5, Line: drawing.Dashed, Stroke: blue},
	{Name: "plot-c", Width: 0.25, Line: drawing.Continuous, Stroke: black},
	{Name: "plot-d", Width: 0.7, Line: drawing.Dotted, Stroke: brown},
	{Name: "plot-e", Width: 0.5, Line: drawing.LongDashTwoShortDash, Stroke: green},
	{Name: "plot-f", Width: 0.25, Line: drawing.Dashed, Stroke: blue},
	{Name: "plot-g", Width: 1, Line: drawing.Dotted, Stroke: violet},
	{Name: "plot-h", Width: 0.25, Line: drawing.LongDashTwoShortDash, Stroke: green},
	{Name: "plot-i", Width: 0.7, Line: drawing.Dashed, Stroke: brown},
}

var (
	brown  = drawing.RGB(0x7a3b06)
	violet = drawing.RGB(0x55247a)
	nought = &drawing.Style{Name: "nought", Width: 0.25, Line: drawing.Continuous, Stroke: black}
)

// mostPanels is the number of measures of a chart on one sheet.
const mostPanels = 4

// chartSheets makes the sheets of one of the sketch's own charts.
func (s *scene) chartSheets(l layout, c *Charted) (int, func(o Options, i int) *drawing.Drawing) {
	each := mostPanels
	if c.Settings == 1 {
		each = MostPlots // all in one panel
	}
	of := len(c.Chart.Of)
	return (of + each - 1) / each, func(o Options, i int) *drawing.Drawing {
		d := newPage(&o, l, "Chart: "+c.Chart.Name, "–")
		if plots := c.Plots(); len(plots) == c.Settings {
			v := &view{scene: s, o: &o, w: o.Words, d: d}
			v.plotPage(roomOf(l), plotted{c, plots}, i*each, min((i+1)*each, of))
		}
		return d
	}
}

// plotted is a chart with its content.
type plotted struct {
	*Charted
	plots []machine.Plot
}

// plotPage draws one sheet of a chart. With one setting its measures are lines of one panel. With several, each setting
// has its line, and each measure a panel of its own. One key serves all.
func (v *view) plotPage(room drawing.Box, c plotted, from, to int) {
	var list []chart.Chart
	if len(c.plots) == 1 {
		list = append(list, v.overMeasures(c, from, to))
	} else {
		for k := from; k < to; k++ {
			list = append(list, v.overSettings(c, k))
		}
	}
	w, h := room.Size()
	key := room
	key.Min.X = key.Max.X - min(chart.KeyWidth(list[0]), w/3)
	room.Max.X = key.Min.X - 2
	columns, rows := 1, len(list)
	if c.Chart.Against >= 0 && w > h { // a line against a measure is as wide as it is high
		if columns, rows = rows, 1; columns > 3 {
			columns, rows = 2, 2
		}
	}
	layer := v.d.Layer("charts", "Charts")
	for i, box := range room.Panels(columns, rows, panelGap) {
		if i < len(list) {
			layer.Draw(drawing.Rect(box.Min, box.Max), thinLine, "")
			chart.Draw(layer, box, list[i])
		}
	}
	chart.Key(layer, key, list[0], v.plotNote(c))
}

// quantity is a measure, or the turn, along an axis: in the sketch's unit, degrees, or per cent of a share.
type quantity struct {
	name string
	k    float64 // what a figure is multiplied by
	unit string  // behind a tick's figure
}

// turnQuantity is the turn along an axis.
func (v *view) turnQuantity() quantity {
	return quantity{v.turnName(), 180 / math.Pi, "°"}
}

// quantity is the form of measure i. A plain number that stays between zero and one over all of values is a share.
func (v *view) quantity(i int, values ...[]float64) quantity {
	m := &v.Problem.Measures[i]
	switch lo, hi := extent(1, values...); {
	case m.Angle:
		return quantity{m.Name + ", °", 180 / math.Pi, "°"}
	case m.Number && lo >= -1e-9 && hi <= 1+1e-9:
		return quantity{m.Name + ", %", 100, ""}
	case m.Number:
		return quantity{m.Name, 1, ""}
	case v.w.Unit == "in":
		return quantity{m.Name + ", in", 1 / 25.4, ""}
	}
	return quantity{m.Name + ", mm", 1, ""}
}

// extent is the least and the greatest of some figures, each times k; from +Inf to -Inf where there is none.
func extent(k float64, values ...[]float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, list := range values {
		for _, f := range list {
			if f *= k; math.Abs(f) < 1e12 {
				lo, hi = min(lo, f), max(hi, f)
			}
		}
	}
	return lo, hi
}

// axisOf is an axis with room for all of values, from one tick to another.
func axisOf(q quantity, values ...[]float64) chart.Axis {
	a := chart.Axis{Name: q.name}
	if lo, hi := extent(q.k, values...); lo <= hi {
		if hi-lo < 1e-9*max(1, math.Abs(hi)) {
			lo, hi = lo-0.5, hi+0.5
		}
		if a.Step = chart.Step(hi-lo, 8); q.unit == "°" && hi-lo > 5 {
			a.Step = chart.AngleStep((hi-lo)/q.k) * q.k
		}
		a.From, a.To = a.Step*math.Floor(lo/a.Step-0.03), a.Step*math.Ceil(hi/a.Step+0.03)
		if strings.HasSuffix(q.name, "%") { // a share ends at all of it
			a.From, a.To = max(a.From, 0), min(a.To, 100)
		}
	}
	if q.unit != "" {
		a.Label = func(x float64) string { return trimmed(x, 3) + q.unit }
	}
	return a
}

// lines is a chart without a line yet: its axis along, its name, and the text below its key.
func (v *view) lines(c plotted, y quantity, values ...[]float64) (chart.Chart, quantity) {
	var along [][]float64
	for _, p := range c.plots {
		along = append(along, p.Against)
	}
	x := v.turnQuantity()
	if c.Chart.Against >= 0 {
		x = v.quantity(c.Chart.Against, along...)
	}
	title := c.Chart.Note
	if len(c.Chart.Of) == 1 {
		title = cmp.Or(title, v.Problem.Measures[c.Chart.Of[0]].Note)
	}
	out := chart.Chart{Title: cmp.Or(title, c.Chart.Name), X: axisOf(x, along...), Y: axisOf(y, values...), Keyed: true}
	if t := v.Problem.Turn; c.Chart.Against < 0 {
		out.X.From, out.X.To, out.X.Step = t.From*x.k, t.To*x.k, chart.AngleStep(t.To-t.From)*x.k
	}
	if out.Y.From < 0 && out.Y.To > 0 {
		out.Levels = []chart.Level{{Y: 0, Style: nought}}
	}
	for i, m := range c.Chart.Marks {
		out.Signs = append(out.Signs, chart.Sign{Name: v.Problem.Marks[m].Name, Shape: chart.SignShape(i)})
	}
	return out, x
}

// plotNote says for what a chart is drawn, beside what the names of its lines say.
func (v *view) plotNote(c plotted) string {
	var words []string
	if len(c.plots) > 0 {
		for i, t := range v.Problem.Travels {
			if i < len(c.plots[0].Travel) && (t.Range || len(c.plots) == 1) {
				at := v.travel(i, c.plots[0].Travel[i], v.w)
				if t.Range {
					at = "at rest, " + at
				}
				words = append(words, t.Name+" "+at+".")
			}
		}
	}
	if c.Chart.Against >= 0 {
		words = append(words, "Arrows: as the angle of the "+v.turnQuantity().name+" rises.")
	}
	if c.Of > len(c.plots) {
		words = append(words, strconv.Itoa(len(c.plots))+" of "+strconv.Itoa(c.Of)+" settings are drawn.")
	}
	return strings.Join(words, " ")
}

// curve puts one line on a chart, and its marks.
func (v *view) curve(out *chart.Chart, c plotted, p *machine.Plot, k int, x, y quantity, line chart.Curve) {
	for i := range p.Turns {
		line.Points = append(line.Points, plane.Vec{X: p.Against[i] * x.k, Y: p.Of[k][i] * y.k})
	}
	line.Arrows = c.Chart.Against >= 0
	out.Curves = append(out.Curves, line)
	for _, e := range p.Events {
		for i, m := range c.Chart.Marks {
			if m == e.Mark {
				out.Signs[i].At = append(out.Signs[i].At, plane.Vec{X: e.Against * x.k, Y: e.Of[k] * y.k})
			}
		}
	}
}

// overSettings is a chart of one measure with a line for each setting.
func (v *view) overSettings(c plotted, k int) chart.Chart {
	var values [][]float64
	for _, p := range c.plots {
		values = append(values, p.Of[k])
	}
	y := v.quantity(c.Chart.Of[k], values...)
	out, x := v.lines(c, y, values...)
	if len(c.Chart.Of) > 1 {
		out.Title += ": " + v.Problem.Measures[c.Chart.Of[k]].Name
	}
	for i := range c.plots {
		p := &c.plots[i]
		var long, short []string
		for t, travel := range v.Problem.Travels {
			if !travel.Range {
				at := v.travel(t, p.Travel[t], v.w)
				long, short = append(long, travel.Name+" "+at), append(short, at)
			}
		}
		v.curve(&out, c, p, k, x, y, chart.Curve{Name: strings.Join(long, ", "), Label: strings.Join(short, ", "), Style: plotLines[i%MostPlots]})
	}
	return out
}

// overMeasures is a chart of the measures from one up to another at the one setting that there is, with a line for each.
func (v *view) overMeasures(c plotted, from, to int) chart.Chart {
	p := &c.plots[0]
	y := v.quantity(c.Chart.Of[from], p.Of[from:to]...)
	if to-from > 1 { // the axis is for all of them
		_, unit, _ := strings.Cut(y.name, ", ")
		y.name = unit
	}
	out, x := v.lines(c, y, p.Of[from:to]...)
	for k := from; k < to; k++ {
		name := v.Problem.Measures[c.Chart.Of[k]].Name
		line := chart.Curve{Name: name, Label: name, Style: plotLines[(k-from)%MostPlots]}
		if to-from == 1 {
			line.Label = ""
		}
		v.curve(&out, c, p, k, x, y, line)
	}
	return out
}
