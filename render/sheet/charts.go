package sheet

import (
	"math"

	"barover/render/chart"
	"barover/render/drawing"
	"barover/solver"
	"barover/solver/outline"
	"barover/solver/plane"
)

// Lines of the clearance charts.
var (
	chartLine  = &drawing.Style{Name: "curve", Width: 0.5, Line: drawing.Continuous, Stroke: black}
	chartWas   = &drawing.Style{Name: "curve-before", Width: 0.18, Line: drawing.Continuous, Stroke: blue}
	chartRest  = &drawing.Style{Name: "curve-rest", Width: 0.25, Line: drawing.Dashed, Stroke: dark}
	chartAsked = &drawing.Style{Name: "asked", Width: 0.25, Line: drawing.LongDashShortDash, Stroke: blue}
	chartFouls = &drawing.Style{Name: "curve-fouls", Width: 0.13, Line: drawing.Continuous, Stroke: black}
	chartTouch = &drawing.Style{Name: "touch", Width: 0.5, Line: drawing.Continuous, Stroke: black}
)

// chartStep is the step of the turn at which a clearance is taken for its chart, rad.
const chartStep = 1.5 * math.Pi / 180

// clearanceChart charts the distance of a pair over the turn, at rest and where it is worst.
func (v *view) clearanceChart(a *answer) chart.Chart {
	f := a.Finding
	t := v.Problem.Turn
	rest := make([]float64, len(v.Problem.Travels))
	for i, tr := range v.Problem.Travels {
		rest[i] = tr.Rest
	}
	name := t.Name
	if name == "" {
		name = "crank"
	}
	c := chart.Chart{X: chart.Axis{Name: name, From: t.From, To: t.To, Step: angleStep(t.To - t.From), Label: degrees},
		Y: chart.Axis{Name: "clearance, " + unitName(v.w)}}
	at := v.travels(f.At.Travel, v.w)
	worst := chart.Curve{Name: at, Style: chartLine, Points: v.distances(a, f.At.Travel)}
	if at == "" {
		worst.Name = "travels at rest"
		if len(rest) == 0 {
			worst.Name = ""
		}
	} else {
		c.Curves = append(c.Curves, chart.Curve{Name: "at rest", Style: chartRest, Points: v.distances(a, rest)})
	}
	c.Curves = append(c.Curves, worst)
	c.Y.From, c.Y.To = chartRange(a, worst.Points)
	c.Levels = []chart.Level{{Y: 0, Style: chartTouch}}
	if f.AtLeast > 0 {
		c.Levels = append(c.Levels, chart.Level{Y: f.AtLeast, Name: v.w.size(f.AtLeast) + " asked", Style: chartAsked})
	}
	for _, g := range f.Fouls {
		for _, whole := range []float64{-2 * math.Pi, 0, 2 * math.Pi} {
			c.Bands = append(c.Bands, chart.Band{From: g.From + whole, To: g.To + whole, Style: chartFouls})
		}
	}
	turn := v.within(f.At.Turn)
	figure := v.w.length(f.Least) // where it is, its panel says below
	if v.level(worst.Points) {
		figure += " everywhere"
	}
	c.Marks = []chart.Mark{{At: plane.Vec{X: turn, Y: f.Least}, Name: figure}}
	inUnits(&c, v.w)
	return c
}

// level reports whether lengths read the same all along a curve.
func (v *view) level(points []plane.Vec) bool {
	for _, p := range points {
		if math.IsNaN(p.Y) || v.w.length(p.Y) != v.w.length(points[0].Y) {
			return false
		}
	}
	return len(points) > 0
}

// inUnits puts the y axis, in mm, in the sketch's unit, so that its ticks are round there.
func inUnits(c *chart.Chart, w Words) {
	k := 1.0
	if w.Unit == "in" {
		k = 1 / 25.4
	}
	c.Y.From, c.Y.To = c.Y.From*k, c.Y.To*k
	for i := range c.Curves {
		for j := range c.Curves[i].Points {
			c.Curves[i].Points[j].Y *= k
		}
	}
	for i := range c.Levels {
		c.Levels[i].Y *= k
	}
	for i := range c.Marks {
		c.Marks[i].At.Y *= k
	}
}

// chartRange is the range of y: from a little below the least or touching, to where what was asked is still well seen.
func chartRange(a *answer, points []plane.Vec) (from, to float64) {
	most := 0.0
	for _, p := range points {
		if !math.IsNaN(p.Y) {
			most = max(most, p.Y)
		}
	}
	f := a.Finding
	near := 0.0
	for _, y := range []float64{f.AtLeast, math.Abs(f.Least)} {
		if !math.IsNaN(y) {
			near = max(near, y)
		}
	}
	if to = most * 1.05; near > 0 {
		to = min(to, 6*near)
	}
	from = min(0, f.Least) * 1.25
	if from == 0 {
		from = -0.05 * to
	}
	return from, to
}

// distances is the distance of the pair, mm, over the turn.
func (v *view) distances(a *answer, travel []float64) (points []plane.Vec) {
	one, two := v.body(a.Check.A), v.body(a.Check.B)
	if one == nil || two == nil {
		return nil
	}
	steps := v.steps(chartStep)
	if t := v.Problem.Turn; len(steps) > 0 && steps[len(steps)-1] < t.To {
		steps = append(steps, t.To)
	}
	for _, t := range steps {
		d := math.NaN()
		if p := v.pose(t, travel); p != nil {
			d = outline.Distance(one.region, p.Part[one.part], two.region, p.Part[two.part]).D
		}
		points = append(points, plane.Vec{X: t, Y: d})
	}
	return points
}

// angleStep is a step of an axis of angles, rad, that people count in.
func angleStep(span float64) float64 {
	for _, deg := range []float64{1, 2, 5, 10, 15, 30, 45, 60} {
		if span*180/math.Pi/deg <= 8.01 {
			return deg * math.Pi / 180
		}
	}
	return math.Pi / 2
}

func unitName(w Words) string {
	if w.Unit == "" {
		return "mm"
	}
	return w.Unit
}

// sumChart charts the sum of a keep check over the turn, where it is worst.
func (v *view) sumChart(a *answer) chart.Chart {
	t := v.Problem.Turn
	name := t.Name
	if name == "" {
		name = "crank"
	}
	k, unit := v.perUnit(a), unitName(v.w)
	switch {
	case a.Check.Angle:
		unit = "degrees"
	case a.Check.Number:
		unit = "number"
	}
	c := chart.Chart{X: chart.Axis{Name: name, From: t.From, To: t.To, Step: angleStep(t.To - t.From), Label: degrees}, Y: chart.Axis{Name: unit}}
	curve := chart.Curve{Name: v.travels(a.At.Travel, v.w), Style: chartLine, Points: v.figures(a, a.At.Travel)}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range curve.Points {
		if !math.IsNaN(p.Y) {
			lo, hi = min(lo, p.Y), max(hi, p.Y)
		}
	}
	c.Curves = []chart.Curve{curve}
	for _, limit := range []float64{a.AtLeast, a.AtMost} {
		if !math.IsNaN(limit) {
			c.Levels = append(c.Levels, chart.Level{Y: limit * k, Name: v.limit(a, limit, v.w), Style: chartAsked})
			lo, hi = min(lo, limit*k), max(hi, limit*k)
		}
	}
	c.Y.From, c.Y.To = lo-0.08*(hi-lo), hi+0.08*(hi-lo)
	for _, g := range a.Fouls {
		if g.To-g.From > 0.95*(t.To-t.From) { // all of it: a hatch would tell nothing and hide the curve
			continue
		}
		for _, whole := range []float64{-2 * math.Pi, 0, 2 * math.Pi} {
			c.Bands = append(c.Bands, chart.Band{From: g.From + whole, To: g.To + whole, Style: chartFouls})
		}
	}
	c.Marks = []chart.Mark{{At: plane.Vec{X: v.within(a.At.Turn), Y: a.Worst * k}, Name: a.figure}}
	return c
}

// perUnit is how many units of its chart a mm, a radian or a number of an answer's figure is.
func (v *view) perUnit(a *answer) float64 {
	switch {
	case a.Check.Kind == solver.Keep && a.Check.Angle:
		return 180 / math.Pi
	case a.Check.Kind == solver.Keep && a.Check.Number || v.w.Unit != "in":
		return 1
	}
	return 1 / 25.4
}

// figures is the figure of an answer over the turn at a travel setting, in the units of its chart.
func (v *view) figures(a *answer, travel []float64) (points []plane.Vec) {
	if a.Check.Kind == solver.Keep {
		turns, values := v.Sums(a.Finding.Check, travel)
		for i, y := range values {
			points = append(points, plane.Vec{X: turns[i], Y: y})
		}
	} else {
		points = v.distances(a, travel)
	}
	for i := range points {
		points[i].Y *= v.perUnit(a)
	}
	return points
}

// within puts a crank position of a whole turn between its ends.
func (e *Engine) within(turn float64) float64 {
	if t := e.Problem.Turn; e.goesRound() {
		return t.From + math.Mod(math.Mod(turn-t.From, 2*math.Pi)+2*math.Pi, 2*math.Pi)
	}
	return turn
}
