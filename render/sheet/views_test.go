package sheet

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/render/drawing"
	"barover/render/views"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// still stands at one position.
type still []plane.Placement

func (s still) Pose(turn float64, travel []float64) (*linkage.Pose, bool) {
	return &linkage.Pose{Turn: turn, Travel: travel, Part: s}, true
}

// randomEngine has profiles of random shapes, bands and places, none turning.
func randomEngine(tb testing.TB, r *rand.Rand) *Engine {
	g := &expr.Graph{}
	m := &maker{g, &solver.Problem{Graph: g, Turn: solver.Turn{To: 2 * math.Pi, Step: math.Pi / 4}}}
	m.p.Linkage = &schedule.Model{Graph: g}
	var at still
	for i := range 3 + r.IntN(6) {
		m.p.Linkage.Parts = append(m.p.Linkage.Parts, schedule.Part{Name: string(rune('a' + i))})
		at = append(at, plane.Placement{Origin: plane.Vec{X: r.Float64() * 60, Y: r.Float64() * 40}, Dir: plane.Polar(r.Float64() * 6)})
		shape := m.disc(0, 0, 5+20*r.Float64())
		switch r.IntN(3) {
		case 0:
			shape = m.box(-5-10*r.Float64(), -3, 10*r.Float64(), 6)
		case 1:
			shape = m.strip(10+20*r.Float64(), 8, 4, true)
		}
		z := 20 * r.Float64()
		m.profile(i, string(rune('a'+i))+".p", z, z+1+8*r.Float64(), shape)
	}
	e := &Engine{Problem: m.p, Poses: at}
	return rebuilt(tb, e)
}

// TestViewsAgainstProjection: the plan and the end view of random engines are those of an independent projection: of many points
// of each outline for what it reaches over, and of rays from whoever looks for what hides what.
func TestViewsAgainstProjection(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	looked, hidden := 0, 0
	for range 20 {
		s := lay(randomEngine(t, r), &Options{Ghosts: math.Pi})
		for _, d := range []views.View{views.Plan, views.End} {
			list := s.prisms(d)
			for i := range list {
				p := &list[i]
				lo, hi := math.Inf(1), math.Inf(-1)
				runs := dense(s, &s.bodies[p.Body])
				for _, run := range runs {
					for _, q := range run {
						lo, hi = min(lo, d.Along(q)), max(hi, d.Along(q))
					}
				}
				if math.Abs(lo-p.From) > 0.01 || math.Abs(hi-p.To) > 0.01 {
					t.Fatalf("%s of %s reaches from %v to %v, want %v to %v", d.Name, s.bodies[p.Body].name, p.From, p.To, lo, hi)
				}
				for _, piece := range p.Outline(list) {
					if piece.B.Sub(piece.A).Len() < 1e-3 {
						continue
					}
					v := piece.A.Add(piece.B.Sub(piece.A).Scale(0.1 + 0.8*r.Float64()))
					want, sure := seenBehind(s, d, p, list, v)
					if !sure {
						continue
					}
					if looked++; want {
						hidden++
					}
					if want != piece.Hidden {
						for k := range list {
							o := &list[k]
							t.Logf("%s %v..%v band %v nearest %v", s.bodies[o.Body].name, o.From, o.To, o.Band, o.Swept)
						}
						t.Fatalf("%s: the edge of %s at %v is hidden: %v, want %v", d.Name, s.bodies[p.Body].name, v, piece.Hidden, want)
					}
				}
			}
		}
	}
	if looked < 500 || hidden < 100 {
		t.Errorf("%d places were looked at, %d of them hidden", looked, hidden)
	}
}

// dense is the outline of a body in the frame by many points.
func dense(s *scene, b *body) (runs [][]plane.Vec) {
	flat, _ := b.path.Flat(1e-3)
	for _, run := range flat {
		var out []plane.Vec
		for _, q := range run {
			out = append(out, s.chosen.Part[b.part].Out(q))
		}
		runs = append(runs, out)
	}
	return runs
}

// seenBehind goes along a ray from far off towards a place of an edge and looks whether it is within another prism before it is
// within the edge's own. What is too near to tell is not sure.
func seenBehind(s *scene, d views.View, own *views.Prism, list []views.Prism, v plane.Vec) (hidden, sure bool) {
	place := func(u, depth float64) plane.Vec {
		if d.Name == views.Plan.Name {
			return plane.Vec{X: u, Y: depth}
		}
		return plane.Vec{X: -depth, Y: u}
	}
	u := min(max(v.X, own.From+1e-4), own.To-1e-4)
	top := func(b *body, u float64) float64 {
		runs := dense(s, b)
		from, to := math.Inf(-1), math.Inf(1)
		for _, run := range runs {
			for _, q := range run {
				from, to = max(from, d.Depth(q)), min(to, d.Depth(q))
			}
		}
		for depth := from - 1e-6; depth > to; depth -= 0.02 {
			if drawing.Inside(runs, place(u, depth)) {
				return depth
			}
		}
		return math.Inf(-1)
	}
	depth := top(&s.bodies[own.Body], u)
	if math.IsInf(depth, 0) {
		return false, false
	}
	for i := range list {
		o := &list[i]
		if o.Body == own.Body || v.Y <= o.Band[0]-1e-3 || v.Y >= o.Band[1]+1e-3 || u < o.From || u > o.To {
			continue
		}
		if math.Abs(v.Y-o.Band[0]) < 2e-3 || math.Abs(v.Y-o.Band[1]) < 2e-3 || math.Abs(u-o.From) < 2e-3 || math.Abs(u-o.To) < 2e-3 {
			return false, false
		}
		above := top(&s.bodies[o.Body], u) - depth
		if math.Abs(above) < 0.5 { // the tip of an arc falls off fast within 1e-4 mm of its end
			return false, false
		}
		hidden = hidden || above > 0
	}
	return hidden, true
}
