package sheet

import (
	"math"
	"testing"

	"barover/render/office"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// sliderCrank is a small horizontal engine by closed form: throw 22, rod 133.35, cylinder line along x. An axle travel
// raises the shaft.
type sliderCrank struct {
	throw, rod float64
	dead       [2]float64 // between these turns it cannot be assembled
}

func (s sliderCrank) Pose(turn float64, travel []float64) (*linkage.Pose, bool) {
	if turn >= s.dead[0] && turn < s.dead[1] {
		return nil, false
	}
	shaft := plane.Vec{}
	if len(travel) > 0 {
		shaft.Y = travel[0]
	}
	pin := shaft.Add(plane.Polar(turn).Scale(s.throw))
	cross := plane.Vec{X: pin.X + math.Sqrt(s.rod*s.rod-pin.Y*pin.Y)}
	level := plane.Vec{X: 1}
	return &linkage.Pose{Turn: turn, Travel: travel, Point: []plane.Vec{shaft, pin, cross},
		Part: []plane.Placement{plane.Fixed, {Origin: shaft, Dir: pin.Sub(shaft).Unit()},
			{Origin: pin, Dir: cross.Sub(pin).Unit()}, {Origin: cross, Dir: level}, {Origin: cross, Dir: level}},
		Line: []plane.Placement{{Dir: level}}}, true
}

// maker builds a problem by hand.
type maker struct {
	g *expr.Graph
	p *solver.Problem
}

func (m *maker) at(x, y float64) outline.Place {
	return outline.Place{X: m.g.Const(x), Y: m.g.Const(y)}
}

func (m *maker) profile(part int, name string, from, to float64, shapes ...outline.Shape) {
	m.p.Profiles = append(m.p.Profiles, solver.Profile{Part: part, Name: name, Stmt: len(m.p.Profiles),
		From: m.g.Const(from), To: m.g.Const(to), Shapes: shapes})
}

func (m *maker) disc(x, y, dia float64) outline.Shape {
	return outline.Shape{Kind: outline.Disc, P: [2]outline.Place{m.at(x, y)}, W: [2]expr.ID{m.g.Const(dia)}}
}

func (m *maker) box(a, b, c, d float64) outline.Shape {
	return outline.Shape{Kind: outline.Box, P: [2]outline.Place{m.at(a, b), m.at(c, d)}}
}

func (m *maker) strip(length, from, to float64, round bool) outline.Shape {
	return outline.Shape{Kind: outline.Strip, P: [2]outline.Place{m.at(0, 0), m.at(length, 0)},
		W: [2]expr.ID{m.g.Const(from), m.g.Const(to)}, Round: round}
}

// mill is an engine of five parts with two slide bars; with it the answers to a few checks.
func mill(tb testing.TB, travels ...solver.Travel) *Engine {
	g := &expr.Graph{}
	m := &maker{g, &solver.Problem{Graph: g, Travels: travels, Turn: solver.Turn{Name: "crank", To: 2 * math.Pi, Step: math.Pi / 36}}}
	p := m.p
	p.Linkage = &schedule.Model{Graph: g, Travels: len(travels),
		Points: []schedule.Point{{Name: "shaft"}, {Name: "crankpin", Kind: schedule.Found}, {Name: "crosspin", Kind: schedule.Found}},
		Lines:  []schedule.Line{{Name: "bore", P: 0, Q: -1, Heading: g.Const(0)}},
		Parts: []schedule.Part{{Name: "frame"}, {Name: "crank", Kind: schedule.FromTo, P: 0, Q: 1}, {Name: "conrod", Kind: schedule.FromTo, P: 1, Q: 2},
			{Name: "crosshead", Kind: schedule.AlongLine, P: 2}, {Name: "piston", Kind: schedule.AlongLine, P: 2}},
		Equations: []schedule.Equation{{Kind: schedule.Heading, P: 0, Q: 1, R: -1, V: g.Turn()}},
	}
	m.profile(0, "frame.bars", -4, 4, m.box(100, 9.5, 170, 14.5), m.box(100, -14.5, 170, -9.5))
	m.profile(0, "frame.bed", -20, 20, m.box(-40, -60, 230, -45))
	m.profile(1, "crank.web", -12, -5, m.strip(22, 24, 18, true))
	m.profile(2, "conrod.shank", -2.5, 2.5, m.strip(133.35, 13, 9, false))
	m.profile(2, "conrod.big_end", -5.5, 5.5, m.disc(0, 0, 22))
	m.profile(2, "conrod.little_end", -3, 3, m.disc(133.35, 0, 13))
	m.profile(3, "crosshead.block", -4, 4, m.box(-14, -9, 14, 9))
	m.profile(4, "piston.head", -16, 16, m.box(60, -16, 70, 16))
	m.profile(4, "piston.rod", -3, 3, m.box(14, -3, 60, 3))
	p.Traces = []int{1, 2}
	p.Checks = []solver.Check{{Kind: solver.Clear, Stmt: 20, A: 3, B: 0}, {Kind: solver.Clear, Stmt: 21, A: 4, B: 1},
		{Kind: solver.Gap, Stmt: 22, A: 2, B: 4}, {Kind: solver.Keep, Stmt: 23}}
	v := expr.Resolve(g, nil)
	e := &Engine{Problem: p, Values: v, Poses: sliderCrank{throw: 22, rod: 133.35}}
	for i := range p.Profiles {
		r, err := outline.Build(p.Profiles[i].Shapes, v)
		if err != nil {
			tb.Fatal(err)
		}
		e.Regions = append(e.Regions, r)
	}
	nan := math.NaN()
	e.Result = &solver.Result{Findings: []solver.Finding{
		{Check: 0, AtLeast: 0.5, AtMost: nan, Least: -0.8, Greatest: nan, At: solver.Position{Turn: 1.0874}, Near: [2]plane.Vec{{X: 100, Y: 10.3}, {X: 100, Y: 9.5}},
			Fouls: []solver.Interval{{From: 0.7, To: 1.5}}, Sure: solver.Proved},
		{Check: 1, AtLeast: 1, AtMost: nan, Least: 12, Greatest: nan, At: solver.Position{Turn: 3 * math.Pi / 2}, Near: [2]plane.Vec{{Y: -33}, {Y: -45}}, OK: true, Sure: solver.Proved},
		{Check: 2, AtLeast: 0.2, AtMost: 1, Least: 0.5, Greatest: 0.5, OK: true, Sure: solver.Proved},
		{Check: 3, AtLeast: 0, AtMost: nan, Least: 3, Greatest: 44, OK: true, Sure: solver.Sampled},
	}}
	return e
}

func options() Options {
	return Options{Block: office.Block{Title: "Sill mill engine, crank side", File: "mill.motion", Values: "as it stands", Unit: "mm"}, Ghosts: math.Pi / 12, Words: plain}
}

func BenchmarkOverlay(b *testing.B) {
	e := mill(b)
	b.ReportAllocs()
	for b.Loop() {
		if sweepSheet(e, options()).Drawing == nil {
			b.Fatal("nothing drawn")
		}
	}
}

// TestStepsOfLongTurns: however long the turn and short the step, what is drawn goes to the end of the turn.
func TestStepsOfLongTurns(t *testing.T) {
	e := mill(t)
	s := &scene{Engine: e}
	for _, turns := range []float64{1, 2, 4.25, 10, 3000} {
		for _, step := range []float64{0.01, 0.5, 2, 15, 90} {
			e.Problem.Turn.To = turns * 2 * math.Pi
			step *= math.Pi / 180
			v := s.steps(step)
			each := v[1] - v[0]
			if n := each / step; math.Abs(n-math.Round(n)) > 1e-6 {
				t.Errorf("%g turns by %g: every %g is no multiple of the step", turns, step, each)
			}
			if left := e.Problem.Turn.To - v[len(v)-1]; len(v) > mostTaken+1 || left > each*(1+1e-9) {
				t.Errorf("%g turns by %g: %d positions, the last %g before the end", turns, step, len(v), left)
			}
		}
	}
}
