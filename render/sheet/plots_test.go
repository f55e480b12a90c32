package sheet

import (
	"math"
	"slices"
	"strings"
	"testing"

	"barover/render/drawing"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
)

// charted is the mill with measures and charts of them: one against the turn with two lines a setting, one against a
// measure. The figures are made up; where they come from is not the sheet's concern.
func charted(t *testing.T, settings int) *Engine {
	t.Helper()
	e := mill(t, solver.Travel{Name: "axle", Range: true, From: -2, To: 3}, solver.Travel{Name: "notch", Number: true, Settings: []float64{1, 2, 3}, Rest: 1})
	p := *e.Problem
	p.Measures = []solver.Measure{{Name: "valve"}, {Name: "port"}, {Name: "share", Number: true}, {Name: "lean", Angle: true}}
	p.Marks = []solver.Mark{{Name: "cut_off", Past: expr.None}, {Name: "release", Past: expr.None}}
	p.Charts = []solver.Chart{{Name: "lines", Of: []int{0, 1}, Against: -1, Marks: []int{0, 1}, Note: "valve and port"},
		{Name: "oval", Of: []int{3}, Against: 2, Marks: []int{1}}}
	e.Problem = &p
	for i := range p.Charts {
		c := &p.Charts[i]
		e.Charts = append(e.Charts, Charted{Chart: c, Settings: settings, Of: 3, Plots: func() (plots []machine.Plot) {
			for k := range settings {
				plots = append(plots, madeUp(c, float64(k+1)))
			}
			return plots
		}})
	}
	return e
}

// madeUp is a plot in one notch, with a gap in the turn.
func madeUp(c *solver.Chart, notch float64) machine.Plot {
	p := machine.Plot{Travel: []float64{0, notch}, Of: make([][]float64, len(c.Of))}
	at := func(turn float64) (against float64, of []float64) {
		if against = turn; c.Against >= 0 {
			against = (1 - math.Cos(turn)) / 2
		}
		for k := range c.Of {
			of = append(of, notch*math.Sin(turn+float64(k)))
		}
		return against, of
	}
	for i := range 121 {
		turn := float64(i) * math.Pi / 60
		against, of := at(turn)
		if i == 60 {
			against = math.NaN()
		}
		p.Turns, p.Against = append(p.Turns, turn), append(p.Against, against)
		for k, v := range of {
			p.Of[k] = append(p.Of[k], v)
		}
	}
	for _, m := range c.Marks {
		against, of := at(1 + float64(m))
		p.Events = append(p.Events, machine.PlotEvent{Mark: m, Turn: 1 + float64(m), Against: against, Of: of})
	}
	return p
}

// joined is all that a sheet's charts say.
func joined(d *drawing.Drawing) string { return strings.Join(texts(d)["charts"], " ") }

func TestChartSheets(t *testing.T) {
	b := NewBook(charted(t, 3), options())
	plain := NewBook(mill(t), options()).Len()
	if b.Len() < 2 || b.Charts()["oval"] != b.Len()-1 || b.Charts()["lines"] != b.Len()-2 || len(b.Charts()) != 2 {
		t.Fatalf("%d sheets, %d without charts; lines is %d, oval %d", b.Len(), plain, b.Charts()["lines"], b.Charts()["oval"])
	}
	lines := b.Sheet(b.Charts()["lines"])
	all := joined(lines)
	for _, want := range []string{"valve and port: valve", "valve and port: port", "valve, mm", "port, mm", "crank", "90°",
		"notch 1", "notch 3", "cut_off", "release", "axle at rest, 0."} {
		if !strings.Contains(all, want) {
			t.Errorf("the chart does not say %q: %q", want, all)
		}
	}
	if !has(texts(lines)["title"], "Chart: lines") {
		t.Error("the title block does not name the chart")
	}
	var styles []string
	for _, item := range lines.Layers[len(lines.Layers)-1].Items {
		if s, ok := item.(drawing.Shape); ok && strings.HasPrefix(s.Style.Name, "plot-") && !slices.Contains(styles, s.Style.Name) {
			styles = append(styles, s.Style.Name)
		}
	}
	if len(styles) != 3 {
		t.Errorf("three notches have the lines %v", styles)
	}
	oval := joined(b.Sheet(b.Charts()["oval"]))
	for _, want := range []string{"share, %", "lean", "Arrows: as the angle of the crank rises."} {
		if !strings.Contains(oval, want) {
			t.Errorf("the oval does not say %q: %q", want, oval)
		}
	}
}

// With one setting the measures are lines of one panel; without charts there is no sheet of them.
func TestChartOfOneSetting(t *testing.T) {
	b := NewBook(charted(t, 1), options())
	all := joined(b.Sheet(b.Charts()["lines"]))
	for _, want := range []string{"valve and port", "mm", "valve", "port", "1 of 3 settings are drawn."} {
		if !strings.Contains(all, want) {
			t.Errorf("the chart does not say %q: %q", want, all)
		}
	}
	if strings.Contains(all, "valve and port: valve") {
		t.Error("one panel, and it is named for one of its two measures")
	}
	for _, d := range NewBook(mill(t), options()).Sheets() {
		if has(texts(d)["title"], "Chart: ") {
			t.Error("a chart that nobody asked for")
		}
	}
}

// No two lines of a chart may look alike without colour: types or widths differ.
func TestPlotLinesReadWithoutColour(t *testing.T) {
	for i, a := range plotLines {
		for _, b := range plotLines[i+1:] {
			if a.Line == b.Line && a.Width == b.Width || a.Name == b.Name {
				t.Errorf("%s and %s look alike", a.Name, b.Name)
			}
		}
	}
}
