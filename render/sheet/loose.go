package sheet

import (
	"math"

	"barover/render/chart"
	"barover/render/drawing"
	"barover/render/office"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/plane"
)

// missStep is the step of the turn at which the miss of a loose length is sampled for its chart, rad: fine enough for the
// peaks of tight spots, which have a corner.
const missStep = 0.5 * math.Pi / 180

// misses is the section of loose lengths: each one's miss against the crank position, between the lines of its play.
func (s *scene) misses() section {
	var list []answer
	for _, a := range s.answers() {
		if a.Check.Kind == solver.Loose && !math.IsNaN(a.Finding.Least) {
			list = append(list, a)
		}
	}
	c := panelled{n: len(list), wide: 120, high: 56}
	c.draw = func(v *view, box drawing.Box, i int) {
		a := list[i]
		v.say(&a, v.w)
		layer := v.d.Layer("charts", "Charts")
		layer.Draw(drawing.Rect(box.Min, box.Max), thinLine, "")
		chart.Draw(layer, box, v.missChart(&a))
		if a.no > 0 {
			office.Flag(layer, plane.Vec{X: box.Max.X - 4, Y: box.Max.Y - 4}, a.no)
		}
	}
	return c.section("Loose lengths over the turn", "loose lengths", "")
}

// missChart charts by how much a loose length is missed over the turn, where it is worst.
func (v *view) missChart(a *answer) chart.Chart {
	f := a.Finding
	c := chart.Chart{Title: a.called + ": " + a.State.String(),
		X:      v.turnAxis(),
		Y:      chart.Axis{Name: "too long (+), too short (-), " + v.w.Unit},
		Curves: []chart.Curve{{Name: v.travels(f.At.Travel, v.w), Style: chartLine, Points: v.missed(a, f.At.Travel)}},
		Levels: []chart.Level{{Y: 0, Style: chartRest}}}
	for _, y := range [2]float64{f.AtMost, -f.AtMost} {
		c.Levels = append(c.Levels, chart.Level{Y: y, Name: "play", Style: chartAsked})
	}
	far := 1.25 * math.Max(f.AtMost, math.Max(f.Greatest, -f.Least))
	c.Y.From, c.Y.To = -far, far
	c.Bands = v.foulBands(f.Fouls)
	worst := f.Least
	if f.Greatest > -f.Least {
		worst = f.Greatest
	}
	turn := v.within(f.At.Turn)
	at := " at " + v.turned(f.At.Turn)
	if v.still(a, v.w) {
		at = " everywhere"
	}
	c.Marks = []chart.Mark{{At: plane.Vec{X: turn, Y: worst}, Name: v.w.length(worst) + at}}
	c.ScaleY(v.w.perMM())
	return c
}

// missed is by how much a loose length is missed, mm, over the turn: positive where its points stand too far apart.
func (v *view) missed(a *answer, travel []float64) []plane.Vec {
	e := &v.Problem.Linkage.Equations[a.Check.Equation]
	eval := expr.NewEval(v.Values)
	return v.overTurnAt(travel, missStep, func(turn float64, p *linkage.Pose) float64 {
		return p.Point[e.Q].Sub(p.Point[e.P]).Len() - eval.At(e.V, &expr.Context{Turn: turn, Travel: travel})
	})
}
