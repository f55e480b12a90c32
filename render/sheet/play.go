package sheet

import (
	"context"
	"math"
	"slices"
	"sync"

	"barover/render/chart"
	"barover/render/drawing"
	"barover/render/sweep"
	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/machine"
	"barover/solver/plane"
)

// shakenLine has the type of swept outlines, and is thin.
var shakenLine = &drawing.Style{Name: "swept-play", Width: 0.18, Line: drawing.LongDashTwoShortDash, Stroke: black}

// playsOf is the plays of a Machine; nil for an engine without play.
func playsOf(ctx context.Context, m *machine.Machine) func() ([]sweep.Play, bool) {
	if len(m.Problem.Plays) == 0 {
		return nil
	}
	return sync.OnceValues(func() (list []sweep.Play, ok bool) {
		edges, ok := m.Edges(ctx)
		for _, e := range edges {
			p := sweep.Play{nil, poser{ctx, e.Y}}
			if e.X != nil {
				p[0] = poser{ctx, e.X}
			}
			list = append(list, p)
		}
		return list, ok
	})
}

// sweptWithPlay draws what the parts sweep over anywhere in their play, where that is visible beside the thick lines of
// what they sweep over without play. It names both in the key, the former in these words.
func (v *view) sweptWithPlay(l *drawing.Layer, words string) {
	if v.Plays == nil {
		v.legend(sweptLine, words)
		return
	}
	any := false
	for _, w := range v.swept {
		runs := v.sweptRuns(w.shaken)
		lines, whole := drawing.Apart(runs, v.sweptRuns(w.runs), sweptLine.Width/2+shakenLine.Width/2)
		if whole {
			lines = drawing.Closed(runs)
		}
		if len(lines) > 0 {
			any = true
			l.Draw(lines, shakenLine, "swept by "+v.partName(w.part)+" with its play")
		}
	}
	switch _, ok := v.Plays(); {
	case !ok:
		v.legend(sweptLine, words+"; play is not drawn")
	case any:
		v.legend(sweptLine, words)
		v.legend(shakenLine, "swept with play, where that is seen")
	default:
		v.legend(sweptLine, words+"; with play no wider than this line")
	}
}

// finerSwept is how many times finer swept outlines are than the largest play, so that the effect of play is visible from
// close by.
const finerSwept = 8

// sweptWithin is the allowed error of swept outlines, mm.
func (s *scene) sweptWithin() float64 {
	tol := s.size() / sweptShare
	if s.Plays != nil {
		most := 0.0
		for _, p := range s.Problem.Plays {
			most = max(most, s.value(p.V))
		}
		if most > 0 {
			tol = min(tol, most/finerSwept)
		}
	}
	return tol
}

// closePlay draws how far the bodies of an answer may shift in their play at a pose, within a window.
func (v *view) closePlay(l *drawing.Layer, window drawing.Box, a *answer, p *linkage.Pose) {
	if v.Plays == nil {
		return
	}
	plays, ok := v.Plays()
	edges, all := sweep.EdgesAt(plays, p)
	for _, b := range v.bodies {
		if !ok || !all || b.fixed || !v.concerns(a, &b) {
			continue
		}
		stand := sweep.Standing(p, b.part, edges)
		if len(stand.Shifts) == 0 {
			continue
		}
		var runs [][]plane.Vec
		for _, run := range sweep.Shaken(sweep.Of(b.region), [][]sweep.Stand{{stand}}, closeWithin/v.k) {
			runs = append(runs, v.runOn(run))
		}
		if lines := window.Cut(runs, slices.Repeat([]bool{true}, len(runs))); len(lines) > 0 {
			l.Draw(lines, shakenLine, b.name+" with its play")
		}
	}
}

// closeWithin is the allowed error of the outlines of play in a close-up, mm of paper.
const closeWithin = 0.02

// envelope is the range of the clearance of an answer at the travels where it is worst, for a chart with axis y, which it
// extends downward as far as needed; nil where neither play nor tolerances count.
func (v *view) envelope(a *answer, y *chart.Axis) *chart.Envelope {
	if v.Envelope == nil || a.Check.Kind != solver.Clear {
		return nil
	}
	e := v.Envelope(a.Check.A, a.Check.B, a.At.Travel, y.To*1.05)
	out := &chart.Envelope{Name: v.Over + ": proved", Gap: "not proved"}
	if len(e.Turns) == 0 {
		e.Turns = []float64{v.Problem.Turn.From, v.Problem.Turn.To}
		e.Low = []float64{math.NaN(), math.NaN()}
		e.High, out.Name = e.Low, ""
	}
	for i, t := range e.Turns {
		out.Low, out.High = append(out.Low, plane.Vec{X: t, Y: e.Low[i]}), append(out.High, plane.Vec{X: t, Y: e.High[i]})
		if low := e.Low[i]; low < y.From {
			y.From = low - 0.1*(y.To-low)
		}
	}
	return out
}
