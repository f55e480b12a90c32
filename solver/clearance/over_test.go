package clearance

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/outline"
	"barover/solver/trial"
	"barover/solver/tube"
)

// engines is an engine with tolerances, and what is proved of all that they allow.
type engines struct {
	d     *trial.Drawn
	l     *linkage.Linkage
	sizes []tube.Size
	disc  []bool
	over  *Over
	tube  *tube.Tube
}

// toleranced draws a sketch with tolerances on some of its numbers, two of them perhaps a place in a disc, and encloses it. It
// reports false where that leaves a gap.
func toleranced(t testing.TB, rng *rand.Rand) (*engines, bool) {
	d, err := trial.RandomSized(rng)
	if err != nil {
		return nil, false
	}
	l, err := d.Link(d.From, 0)
	if err != nil {
		return nil, false
	}
	e := &engines{d: d, l: l}
	tol := math.Pow(10, -3+2*rng.Float64())
	for _, k := range rng.Perm(len(d.Drawn))[:min(len(d.Drawn), 2+rng.IntN(10))] {
		e.sizes = append(e.sizes, tube.Size{Dim: k, Mid: d.Drawn[k], Half: tol * (0.3 + rng.Float64())})
		e.disc = append(e.disc, false)
	}
	if rng.IntN(2) == 0 {
		e.disc[0], e.sizes[1].Half = true, e.sizes[0].Half
	}
	return e, e.enclose(t)
}

func (e *engines) enclose(t testing.TB) bool {
	ctx := context.Background()
	plan, err := tube.NewPlanOver(e.l.Schedule(), e.l.Values(), e.sizes, parts(e.d.Sketch), nil)
	if err != nil {
		t.Fatal(err)
	}
	over := tube.Range{From: e.d.From, To: e.d.From + 2*math.Pi}
	ask := tube.Ask{Turn: over, Travel: []tube.Range{{From: -e.d.Rise, To: e.d.Rise}}, Rest: []float64{0}, Reach: reaches(e.l, e.d.Bodies),
		Size: 150, Tolerance: 1e-3, Affine: len(e.sizes)%2 == 0}
	for {
		if e.tube, err = tube.Enclose(ctx, plan, tube.Following(ctx, e.l, over, nil), ask); err != nil {
			t.Fatal(err)
		}
		if !ask.Affine || e.tube.Whole() {
			break
		}
		ask.Affine = false
	}
	var ok bool
	if e.over, ok = NewOver([]*tube.Tube{e.tube}, e.disc, 1e-3); e.over != nil {
		e.tube = e.over.tubes[0]
	}
	return ok
}

func parts(s *trial.Sketch) (list []int) {
	for i := range s.Parts {
		list = append(list, i)
	}
	return list
}

// engine is the one with these deviations; false where it cannot be assembled.
func (e *engines) engine(dev []float64) (*linkage.Linkage, *expr.Values, bool) {
	fixed := map[int]float64{}
	for i, s := range e.sizes {
		fixed[s.Dim] = s.Mid + s.Half*dev[i]
	}
	v := expr.Resolve(e.d.Graph, fixed)
	l, err := e.l.With(v)
	return l, v, err == nil
}

// drawDev draws deviations: half of the engines have every size at a limit.
func (e *engines) drawDev(rng *rand.Rand) []float64 {
	dev := make([]float64, len(e.sizes))
	corner := rng.IntN(2) == 0
	for i := range dev {
		if dev[i] = 2*rng.Float64() - 1; corner {
			dev[i] = math.Copysign(1, dev[i])
		}
	}
	for i, d := range e.disc {
		if d {
			at := 2 * math.Pi * rng.Float64()
			dev[i], dev[i+1] = math.Cos(at), math.Sin(at)
		}
	}
	return dev
}

// twoOf is two bodies with their outlines in one engine. They are kept, since an outline takes as long as dozens of distances.
type twoOf struct{ a, b Body }

// made makes the outlines of two bodies.
func made(v *expr.Values, a, b *trial.Body) (twoOf, bool) {
	ra, err := outline.Build(a.Shapes, v)
	if err != nil {
		return twoOf{}, false
	}
	rb, err := outline.Build(b.Shapes, v)
	return twoOf{Body{ra, a.Part}, Body{rb, b.Part}}, err == nil
}

// round returns the motion of an engine over the whole turn at one travel setting.
func (e *engines) round(l *linkage.Linkage, travel float64) (*linkage.Motion, error) {
	return l.Follow(context.Background(), []float64{travel}, e.d.From, e.d.From+2*math.Pi, 2*math.Pi/180)
}

// distance returns the distance, mm, of the two bodies at a turn, rad, of a motion.
func (q *twoOf) distance(m *linkage.Motion, turn float64) (float64, bool) {
	var p linkage.Pose
	if m.At(turn, &p) != linkage.Solved {
		return 0, false
	}
	return outline.Distance(q.a.Region, p.Part[q.a.Part], q.b.Region, p.Part[q.b.Part]).D, true
}

// TestNoEngineBelow draws sketches with tolerances and proves the least distance of each pair over all of them. No engine drawn,
// and none of those that the bound itself thinks worst, may lie below it.
func TestNoEngineBelow(t *testing.T) {
	n := linkages(60, 1000)
	rng := rand.New(rand.NewPCG(*seed, 11))
	sketches, gaps, pairs, engines, none := 0, 0, 0, 0, 0
	var loose []float64
	for range n {
		e, ok := toleranced(t, rng)
		if e == nil {
			continue
		}
		if sketches++; !ok {
			gaps++
			continue
		}
		forms := make([]*Form, len(e.d.Bodies))
		for i, b := range e.d.Bodies {
			if forms[i], ok = e.over.Form(b.Part, b.Region, b.Shapes); !ok {
				t.Logf("%s: no form", b.Name)
			}
		}
		for _, q := range trial.Pairs(e.d.Bodies, 4) {
			if forms[q[0]] == nil || forms[q[1]] == nil {
				continue
			}
			pairs++
			w, ok := e.over.Least(context.Background(), forms[q[0]], forms[q[1]])
			if !ok {
				none++
				continue
			}
			miss, looked, over := e.beyond(rng, &w, &e.d.Bodies[q[0]], &e.d.Bodies[q[1]], 1)
			if engines += looked; miss != "" {
				t.Errorf("%s, %s against %s: %s", e.d.Kind, e.d.Bodies[q[0]].Name, e.d.Bodies[q[1]].Name, miss)
			}
			loose = append(loose, over)
		}
	}
	t.Logf("%d sketches (%d with gaps), %d pairs (%d without a bound), %d engines; the engine named lies above the bound by %s",
		sketches, gaps, pairs, none, engines, spreadOf(loose))
	if engines < 10*n {
		t.Errorf("too few engines: %d", engines)
	}
}

// TestNoEngineAbove is TestNoEngineBelow for the greatest distance, of bodies without holes and paths.
func TestNoEngineAbove(t *testing.T) {
	n := linkages(60, 1000)
	rng := rand.New(rand.NewPCG(*seed, 13))
	pairs, engines := 0, 0
	var loose []float64
	for range n {
		e, ok := toleranced(t, rng)
		if e == nil || !ok {
			continue
		}
		for _, q := range trial.Pairs(e.d.Bodies, 4) {
			a, b := &e.d.Bodies[q[0]], &e.d.Bodies[q[1]]
			fa, oka := e.over.Form(a.Part, a.Region, a.Shapes)
			fb, okb := e.over.Form(b.Part, b.Region, b.Shapes)
			if !oka || !okb || !fa.drawn && !unbroken(a) || !fb.drawn && !unbroken(b) {
				continue
			}
			w, ok := e.over.Most(context.Background(), fa, fb, a.Region, b.Region)
			if !ok {
				t.Errorf("%s, %s against %s: no bound", e.d.Kind, a.Name, b.Name)
				continue
			}
			pairs++
			miss, looked, under := e.beyond(rng, &w, a, b, -1)
			if engines += looked; miss != "" {
				t.Errorf("%s, %s against %s: %s", e.d.Kind, a.Name, b.Name, miss)
			}
			if w.Lo > 0 { // where they always overlap no more than that is claimed
				loose = append(loose, under)
			}
		}
	}
	t.Logf("%d pairs, %d engines; the engine named lies below the bound by %s", pairs, engines, spreadOf(loose))
	if engines < 10*n {
		t.Errorf("too few engines: %d", engines)
	}
}

func unbroken(b *trial.Body) bool {
	return !slices.ContainsFunc(b.Shapes, func(s outline.Shape) bool { return s.Hole || s.Kind == outline.Path })
}

// beyond looks at engines at random positions, and at the one named at the place named. It reports one below the bound, or with a sign
// of -1 above it, how many it looked at, and by how much the one named falls short of it.
func (e *engines) beyond(rng *rand.Rand, w *Worst, a, b *trial.Body, sign float64) (miss string, looked int, over float64) {
	over = math.NaN()
	tell := func(dev []float64, turn, travel, d float64) {
		if looked++; sign*(d-w.Lo) < -1e-8 {
			miss = fmt.Sprintf("%.9g at %.6g° and %.6g with %v, beyond the bound of %.9g (near %.9g)", d, turn*180/math.Pi, travel, dev, w.Lo, w.Near)
		}
	}
	if w.Dev != nil {
		if l, v, ok := e.engine(w.Dev); ok {
			q, made := made(v, a, b)
			m, err := e.round(l, w.At.Travel[0])
			if made && err == nil {
				if d, ok := q.distance(m, w.At.Turn); ok {
					over = sign * (d - w.Lo)
					tell(w.Dev, w.At.Turn, w.At.Travel[0], d)
				}
			}
		}
	}
	for range 6 {
		dev := e.drawDev(rng)
		l, v, ok := e.engine(dev)
		if !ok {
			continue
		}
		travel := e.d.Rise * (2*rng.Float64() - 1)
		m, err := e.round(l, travel)
		if err != nil {
			continue
		}
		q, ok := made(v, a, b)
		if !ok {
			continue
		}
		for k := range 30 {
			turn := e.d.From + 2*math.Pi*rng.Float64()
			if k%3 == 0 {
				turn = min(max(w.At.Turn+0.1*rng.NormFloat64(), e.d.From), e.d.From+2*math.Pi)
			}
			if d, ok := q.distance(m, turn); ok {
				tell(dev, turn, travel, d)
			}
		}
	}
	return miss, looked, over
}

func spreadOf(list []float64) string {
	var got []float64
	for _, v := range list {
		if !math.IsNaN(v) {
			got = append(got, v)
		}
	}
	if len(got) == 0 {
		return "nothing"
	}
	slices.Sort(got)
	return fmt.Sprintf("%.3g in the middle, %.3g at nine in ten, %.3g at most", got[len(got)/2], got[len(got)*9/10], got[len(got)-1])
}
