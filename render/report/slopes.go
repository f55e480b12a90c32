package report

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"barover/render/chart"
	"barover/render/drawing"
	"barover/render/office"
	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/plane"
)

// The effect of each dimension on a measure over the stroke is reported as it shows in the shop: it shifts the line, tilts it or bends it.

// SlopesReport is the answer to slopes.
type SlopesReport struct {
	Sketch  string      `json:"sketch"`
	Units   string      `json:"units"`
	Values  string      `json:"values"`
	Measure string      `json:"measure"`
	Against string      `json:"against"`
	Slopes  []slopeLine `json:"slopes"`
	NoSlope int         `json:"no_slope,omitempty"` // at how many positions the measure has no slope: then none is known over the stroke

	e    *assembled.Engine
	kind quantity.Kind
	over *machine.SlopesOver
}

// slopeLine is what a change of one dimension does.
type slopeLine struct {
	Dim   string         `json:"dim"`
	By    figures.Figure `json:"by"`
	Shift figures.Figure `json:"shift"`
	Tilt  figures.Figure `json:"tilt"`
	Bend  figures.Figure `json:"bend"`

	dim  int
	kind quantity.Kind
	step float64 // mm, rad or a bare number
	most float64
}

// changeOf is the change of a dimension for which slopes are shown: a 64th of an inch, a tenth of a millimetre or of a degree, a
// hundredth of a bare number.
func changeOf(u quantity.Units, k quantity.Kind) float64 {
	switch {
	case k.Is(quantity.Angle):
		return 0.1 * math.Pi / 180
	case k.Is(quantity.Length) && u.Inches:
		return 25.4 / 64
	case k.Is(quantity.Length):
		return 0.1
	}
	return 0.01
}

// NewSlopesReport computes what the dimensions do to a measure, over the turn or over another measure, with the travels at rest.
func NewSlopesReport(ctx context.Context, e *assembled.Engine, measure, against *solver.Measure) (*SlopesReport, error) {
	r := &SlopesReport{Sketch: filepath.ToSlash(e.Path), Units: e.Units.Name(), Values: e.Shown, Measure: measure.Name, Against: e.Problem.Turn.Name,
		Slopes: []slopeLine{}, e: e, kind: quantity.KindOf(measure.Angle, measure.Number)}
	over := expr.None
	if against != nil {
		r.Against, over = against.Name, against.Sum
	}
	var err error
	if r.over, err = e.Machine.SlopesOver(ctx, measure.Sum, over, engine.RestSetting(e.Problem.Travels), e.Machine.Turns()); err != nil {
		return nil, err
	}
	for i, slope := range r.over.Slope {
		if slope == nil || math.IsNaN(r.over.Against[i]) {
			r.NoSlope++
		}
	}
	for d := range e.Dims {
		b, ok := r.over.Bend(d)
		k := e.Dims[d].Kind
		if !ok || e.Problem.Dims[d].Made {
			continue
		}
		step := changeOf(e.Units, k)
		most := step * math.Max(math.Abs(b.Shift)+math.Abs(b.Tilt)/2, b.Bend)
		if !(most > 1e-9) {
			continue
		}
		of := func(v float64) figures.Figure { return figures.Of(e.Units, v*step, r.kind) }
		r.Slopes = append(r.Slopes, slopeLine{e.Dims[d].Name, figures.Of(e.Units, step, k), of(b.Shift), of(b.Tilt), of(b.Bend), d, k, step, most})
	}
	slices.SortStableFunc(r.Slopes, func(a, b slopeLine) int { return cmp.Compare(b.most, a.most) })
	return r, nil
}

// Status is what the verb ends with.
func (r *SlopesReport) Status() int { return AllHolds }

// unit is what the table's figures are in, and what multiplies one for that: thou for lengths in inches.
func (r *SlopesReport) unit() (name string, k float64) {
	switch {
	case r.kind.Is(quantity.Length) && r.e.Units.Inches:
		return "thou", 1000
	case r.kind.Is(quantity.Length):
		return "mm", 1
	case r.kind.Is(quantity.Angle):
		return "°", 1
	}
	return "", 1
}

func (r *SlopesReport) cell(v figures.Figure) string {
	name, k := r.unit()
	decimals := map[string]int{"thou": 1, "mm": 3, "°": 3}[name]
	if name == "" {
		decimals = 5
	}
	return fmt.Sprintf("%+.*f", decimals, quantity.HalfUp(k*float64(v), decimals)+0)
}

// changed is a change as it is typed: +1/64.
func (l *slopeLine) changed(u quantity.Units) string { return "+" + l.By.Size(u, l.kind) }

// none says why no dimension is listed.
func (r *SlopesReport) none() string {
	switch {
	case r.NoSlope > 0:
		return fmt.Sprintf("What the dimensions do to %s is not known: at %d of %d positions it has no slope, since a sum takes a rate or the like, has a bend or a jump there, or has no value.",
			r.Measure, r.NoSlope, len(r.over.Slope))
	case r.over.Stays():
		return r.Against + " stays the same, so there is no stroke over which a dimension could shift or tilt " + r.Measure + "."
	}
	return "No dimension that is not made yet moves " + r.Measure + "."
}

// Text is the table for a terminal.
func (r *SlopesReport) Text(c terminal.Ink) string {
	name, _ := r.unit()
	s := terminal.Section{Title: strings.TrimSpace("Moves " + r.Measure), Heads: []string{"dimension", "by", "shifts", "tilts", "bends"}, Right: []bool{false, false, true, true, true}}
	for _, l := range r.Slopes {
		if strings.Trim(r.cell(l.Shift)+r.cell(l.Tilt)+r.cell(l.Bend), "+-0.") == "" {
			continue // less than shows
		}
		s.Rows = append(s.Rows, terminal.SectionRow{Cells: []string{l.Dim, l.changed(r.e.Units), r.cell(l.Shift), r.cell(l.Tilt), strings.TrimPrefix(r.cell(l.Bend), "+")}})
	}
	if len(r.Slopes) == 0 {
		return Title(r.e, "") + "\n" + terminal.Paragraph(r.none(), "")
	}
	l := &r.Slopes[0]
	words := fmt.Sprintf("%s %s: shifts %s, tilts %s, bends %s %s over %s.", l.Dim, l.changed(r.e.Units), r.cell(l.Shift), r.cell(l.Tilt),
		strings.TrimPrefix(r.cell(l.Bend), "+"), name, r.Against)
	note := "Of the straight line that fits best: how far its middle shifts, what it tilts from the least " + r.Against + " to the greatest, and how far from it the measure bends at most. The crank is held, travels are at rest, changes are small."
	return Title(r.e, "") + s.Text(c) + "\n" + terminal.Paragraph(words, "") + terminal.Paragraph(note, "")
}

// onceOver is a line that goes the same way out and back, once: its dashes would fill each other's gaps. One that comes back
// another way is left as it is.
func onceOver(points []plane.Vec) []plane.Vec {
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, func(a, b plane.Vec) int { return cmp.Compare(a.X, b.X) })
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range points {
		lo, hi = math.Min(lo, p.Y), math.Max(hi, p.Y)
	}
	for i := range sorted[1:] {
		if math.Abs(sorted[i+1].Y-sorted[i].Y) > 0.04*(hi-lo) && sorted[i+1].X-sorted[i].X < 1e-3*(sorted[len(sorted)-1].X-sorted[0].X) {
			return points
		}
	}
	return sorted
}

// mostCurves is how many dimensions the chart shows, the strongest.
const mostCurves = 6

// Chart is the chart of the slopes over the stroke.
func (r *SlopesReport) Chart() *drawing.Drawing {
	d := drawing.New("What moves "+r.Measure, 297, 210)
	name, k := r.unit()
	if r.kind.Is(quantity.Length) {
		k /= map[bool]float64{true: 25.4, false: 1}[r.e.Units.Inches]
	}
	if r.kind.Is(quantity.Angle) {
		k *= 180 / math.Pi
	}
	along := 1.0
	axis := r.Against
	angle := r.Against == r.e.Problem.Turn.Name
	for _, m := range r.e.Problem.Measures {
		switch {
		case m.Name != r.Against || m.Number:
		case m.Angle:
			angle = true
		case r.e.Units.Inches:
			along, axis = 1/25.4, axis+", in"
		default:
			axis += ", mm"
		}
	}
	if angle {
		along, axis = 180/math.Pi, axis+", °"
	}
	c := chart.Chart{Title: "What moves " + r.Measure, X: chart.Axis{Name: axis, From: math.Inf(1), To: math.Inf(-1)}, Y: chart.Axis{Name: strings.TrimSuffix("change of "+r.Measure+", "+name, ", ")}}
	types := []drawing.LineType{drawing.Continuous, drawing.Dashed, drawing.Dotted, drawing.LongDashTwoShortDash, drawing.Continuous, drawing.Dashed}
	for i := range min(len(r.Slopes), mostCurves) {
		l := &r.Slopes[i]
		curve := chart.Curve{Name: l.Dim + " " + l.changed(r.e.Units), Label: l.Dim, Style: &drawing.Style{Name: fmt.Sprintf("slope-%c", 'a'+i), Width: map[bool]float64{true: 0.5, false: 0.25}[i < 4],
			Line: types[i], Stroke: drawing.RGB(0)}}
		for j, g := range r.over.Slope {
			p := plane.Vec{X: r.over.Against[j] * along, Y: g[l.dim] * l.step * k}
			curve.Points = append(curve.Points, p)
			c.X.From, c.X.To = math.Min(c.X.From, p.X), math.Max(c.X.To, p.X)
			c.Y.From, c.Y.To = math.Min(c.Y.From, p.Y), math.Max(c.Y.To, p.Y)
		}
		curve.Points = onceOver(curve.Points)
		c.Curves = append(c.Curves, curve)
	}
	if angle {
		c.X.Step = chart.AngleStep((c.X.To-c.X.From)*math.Pi/180) * 180 / math.Pi
	}
	margin := 0.08 * (c.Y.To - c.Y.From)
	c.Y.From, c.Y.To = c.Y.From-margin, c.Y.To+margin
	c.Levels = []chart.Level{{Y: 0, Style: &drawing.Style{Name: "nought", Width: 0.25, Line: drawing.Continuous, Stroke: drawing.RGB(0)}}}
	c.Keyed = true
	room := drawing.Box{Min: plane.Vec{X: 15, Y: 15}, Max: plane.Vec{X: 282, Y: 195}}
	key := room
	key.Min.X = key.Max.X - chart.KeyWidth(c)
	room.Max.X = key.Min.X - 2
	layer := d.Layer("chart", "Chart")
	chart.Draw(layer, room, c)
	chart.Key(layer, key, c, "")
	layer.Write(plane.Vec{X: room.Min.X, Y: 8}, drawing.Start, office.Text25, office.Cautions)
	return d
}
