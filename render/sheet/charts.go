package sheet

import (
	"math"
	"slices"

	"barover/render/chart"
	"barover/render/drawing"
	"barover/solver"
	"barover/solver/engine"
	"barover/solver/linkage"
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

// chartStep is the step of the turn at which a clearance is sampled for its chart, rad.
const chartStep = 1.5 * math.Pi / 180

// clearanceChart charts the distance of a pair over the turn, at rest and where it is worst.
func (v *view) clearanceChart(a *answer) chart.Chart {
	f := a.Finding
	rest := engine.RestSetting(v.Problem.Travels)
	c := chart.Chart{X: v.turnAxis(), Y: chart.Axis{Name: "clearance, " + v.w.Unit}}
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
	for _, limit := range []float64{f.AtLeast, f.AtMost} {
		if limit > 0 {
			c.Levels = append(c.Levels, chart.Level{Y: limit, Name: v.w.size(limit) + " asked", Short: v.w.size(limit), Style: chartAsked})
		}
	}
	c.Within = v.envelope(a, &c.Y)
	c.Bands = v.foulBands(f.Fouls)
	turn := v.within(f.At.Turn)
	figure := v.w.length(f.Least) // its panel gives the place below
	if v.level(worst.Points) {
		figure += " everywhere"
	}
	c.Marks = []chart.Mark{{At: plane.Vec{X: turn, Y: f.Least}, Name: figure}}
	c.ScaleY(v.w.perMM())
	return c
}

// turnAxis is an axis of the turn.
func (v *view) turnAxis() chart.Axis {
	t := v.Problem.Turn
	return chart.Axis{Name: v.turnName(), From: t.From, To: t.To, Step: chart.AngleStep(t.To - t.From), Label: degrees}
}

// foulBands are the stretches that are not met. In a whole turn they are repeated on either side. Over nearly all of the turn a hatch would
// say nothing and hide the curve.
func (v *view) foulBands(list []solver.Interval) (bands []chart.Band) {
	most := 0.95 * (v.Problem.Turn.To - v.Problem.Turn.From)
	for _, g := range list {
		for _, whole := range []float64{-2 * math.Pi, 0, 2 * math.Pi} {
			if g.To-g.From <= most {
				bands = append(bands, chart.Band{From: g.From + whole, To: g.To + whole, Style: chartFouls})
			}
		}
	}
	return bands
}

// level reports whether lengths read the same throughout a curve.
func (v *view) level(points []plane.Vec) bool {
	other := func(p plane.Vec) bool { return math.IsNaN(p.Y) || v.w.length(p.Y) != v.w.length(points[0].Y) }
	return len(points) > 0 && !slices.ContainsFunc(points, other)
}

// chartRange is the range of y: from a little below the least or touching, to where the limit is still well visible.
func chartRange(a *answer, points []plane.Vec) (from, to float64) {
	most := 0.0
	for _, p := range points {
		if !math.IsNaN(p.Y) {
			most = max(most, p.Y)
		}
	}
	f := a.Finding
	near := 0.0
	to = most * 1.05
	for _, y := range []float64{f.AtLeast, f.AtMost, math.Abs(f.Least)} {
		if !math.IsNaN(y) {
			near, to = max(near, y), max(to, y*1.2)
		}
	}
	if near > 0 {
		to = min(to, 6*near)
	}
	if from = -0.05 * to; f.Least < 0 { // with room for its figure
		from = min(1.25*f.Least, belowTouch*to)
	}
	return from, to
}

// belowTouch is where a chart begins at the latest of which the least is below touching, as a share of its upper end.
const belowTouch = -0.16

// distances is the distance of the pair, mm, over the turn.
func (v *view) distances(a *answer, travel []float64) []plane.Vec {
	one, two := v.body(a.Check.A), v.body(a.Check.B)
	if one == nil || two == nil {
		return nil
	}
	return v.overTurnAt(travel, chartStep, func(_ float64, p *linkage.Pose) float64 {
		return outline.Distance(one.region, p.Part[one.part], two.region, p.Part[two.part]).D
	})
}

// overTurnAt returns a figure over the turn at a travel setting, in steps of step, rad: X is the turn, Y the figure, NaN where
// there is no pose.
func (s *scene) overTurnAt(travel []float64, step float64, figure func(turn float64, p *linkage.Pose) float64) (points []plane.Vec) {
	steps := s.steps(step)
	if t := s.Problem.Turn; len(steps) > 0 && steps[len(steps)-1] < t.To {
		steps = append(steps, t.To)
	}
	for _, t := range steps {
		y := math.NaN()
		if p := s.pose(t, travel); p != nil {
			y = figure(t, p)
		}
		points = append(points, plane.Vec{X: t, Y: y})
	}
	return points
}

// perMM is how many units a mm is.
func (w Words) perMM() float64 {
	if w.Unit == "in" {
		return 1 / 25.4
	}
	return 1
}

// sumChart charts the sum of a keep check over the turn, at its worst travels.
func (v *view) sumChart(a *answer) chart.Chart {
	k, unit := v.perUnit(a), v.w.Unit
	switch {
	case a.Check.Angle:
		unit = "degrees"
	case a.Check.Number:
		unit = "number"
	}
	c := chart.Chart{X: v.turnAxis(), Y: chart.Axis{Name: unit}}
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
	c.Bands = v.foulBands(a.Fouls)
	c.Marks = []chart.Mark{{At: plane.Vec{X: v.within(a.At.Turn), Y: a.Worst * k}, Name: a.figure}}
	return c
}

// perUnit is how many units of its chart a mm, a radian or a number of an answer's figure is.
func (v *view) perUnit(a *answer) float64 {
	switch {
	case a.Check.Kind == solver.Keep && a.Check.Angle:
		return 180 / math.Pi
	case a.Check.Kind == solver.Keep && a.Check.Number:
		return 1
	}
	return v.w.perMM()
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
