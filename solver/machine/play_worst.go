package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/linkage"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/tube"
)

// A bound over every place of the play is no engine. The worst that is reported is that of an engine that was solved. Its
// pins are where the bound is nearest to it, or where slopes from there point to.

// stood is the distance of the two of a clear line in an engine with its pins off their middles.
type stood struct {
	v     float64
	at    solver.Position
	near  [2]plane.Vec
	fouls []solver.Interval // at that travel setting, in that engine; nil where they were not searched for
	off   []float64         // of each size, its deviation from the middle of its range, from -1 to 1
}

// soughtSteps is how many engines are solved at most for the worst that play makes of a check. Each has its pins where
// the slopes of the one before point to.
const soughtSteps = 4

// worst returns the worst that was found of one side of a clear line. It starts where the bound says. If that leaves more
// than the tolerance between the two, it samples engines over the whole turn. It is nil where none could be solved.
func (p *Playing) worst(ctx context.Context, check int, b *Bound, upper bool) (*stood, error) {
	sign := plane.Sign(!upper)
	best := p.solved(ctx, check, b)
	if best != nil && b.Known && sign*(best.v-b.Worst) <= p.m.tolerance() {
		return best, ctx.Err()
	}
	at := p.off(b)
	for step := range soughtSteps {
		n, err := p.with(at)
		if err != nil {
			return best, ctx.Err()
		}
		found, _, _, err := n.answer(ctx, Options{Workers: 1}, engine.Asked{Checks: []int{check}})
		if err != nil {
			return nil, err
		}
		f := &found[0]
		s := stood{f.Least, f.At, f.Near, f.Fouls, slices.Clone(at)}
		if upper {
			s.v = f.Greatest
		}
		if math.IsNaN(s.v) {
			return best, ctx.Err()
		}
		better := best == nil || sign*s.v < sign*best.v
		if better {
			best = &s
		} else if step > 0 {
			return best, ctx.Err()
		}
		slopes, err := n.SideSlopes(ctx, found, []bool{upper})
		if err != nil || slopes[0] == nil || !p.against(slopes[0], at, sign) {
			return best, ctx.Err()
		}
	}
	return best, ctx.Err()
}

// off returns how far off their middles the sizes of a bound are, each from -1 to 1; zero where the bound has none.
func (p *Playing) off(b *Bound) []float64 {
	at := make([]float64, len(p.sizes.List))
	for i, v := range b.With {
		if s := &p.sizes.List[i]; s.Half > 0 {
			at[i] = (v - s.Mid) / s.Half
		}
	}
	return at
}

// with returns the engine with its sizes this far off their middles, each from -1 to 1.
func (p *Playing) with(at []float64) (*Machine, error) {
	change := map[int]float64{}
	for i, s := range p.sizes.List {
		change[s.Dim] = s.Mid + s.Half*at[i]
	}
	return p.m.With(p.m.Values.With(change))
}

// against puts the sizes where slopes say that a figure is least or, with a sign of -1, greatest. It reports whether that
// is elsewhere.
func (p *Playing) against(slopes, at []float64, sign float64) (moved bool) {
	set := func(i int, v float64) {
		moved = moved || math.Abs(v-at[i]) > 1e-6
		at[i] = v
	}
	for i := 0; i < len(at); i++ {
		g := sign * slopes[p.sizes.List[i].Dim]
		if p.sizes.Disc[i] {
			h := sign * slopes[p.sizes.List[i+1].Dim]
			if l := math.Hypot(g, h); l > 0 {
				set(i, -g/l)
				set(i+1, -h/l)
			}
			i++
			continue
		}
		if g != 0 {
			set(i, -math.Copysign(1, g))
		}
	}
	return moved
}

// solved returns the distance of a clear line at the place and with the sizes of a bound, solved like any engine; nil
// where that fails.
func (p *Playing) solved(ctx context.Context, check int, b *Bound) *stood {
	if b.With == nil {
		return nil
	}
	w, _ := p.stands(ctx, check, p.off(b), &b.At)
	return w
}

// stands returns the distance of a clear line at a place with the sizes this far off their middles, and the pose there.
func (p *Playing) stands(ctx context.Context, check int, off []float64, at *tube.Place) (*stood, *linkage.Pose) {
	n, err := p.with(off)
	if err != nil {
		return nil, nil
	}
	pose, status, err := n.Pose(ctx, at.Turn, at.Travel)
	if err != nil || status != linkage.Solved {
		return nil, nil
	}
	c := &n.Problem.Checks[check]
	part := func(profile int) plane.Placement { return pose.Part[n.Problem.Profiles[profile].Part] }
	d := outline.Distance(n.Regions[c.A], part(c.A), n.Regions[c.B], part(c.B))
	if math.IsNaN(d.D) {
		return nil, nil
	}
	return &stood{v: d.D, at: solver.Position{Turn: at.Turn, Travel: at.Travel}, near: [2]plane.Vec{d.P, d.Q}, off: off}, pose
}

// Witness searches for the worst engine for one side of a clear line (upper: its upper limit), starting from the engine of the
// bound b. It returns a finding that is sampled, and the values of all sizes, mm, rad or plain. It returns nil where no engine
// could be solved.
func (v *OverSizes) Witness(ctx context.Context, check int, b *Bound, upper bool) (*solver.Finding, []float64, error) {
	p := &Playing{v}
	w, err := p.worst(ctx, check, b, upper)
	if err != nil || w == nil {
		return nil, nil, err
	}
	n, err := p.with(w.off)
	if err != nil {
		return nil, nil, ctx.Err()
	}
	f := n.blank(check)
	f.Least, f.Greatest, f.At, f.Near, f.Sure = w.v, w.v, w.at, w.near, solver.Sampled
	return &f, v.with(w.off), nil
}

// Witness is Witness of OverSizes. It returns nil also where loose lines let parts be off their places.
func (e *Everywhere) Witness(ctx context.Context, check int, b *Bound, upper bool) (*solver.Finding, []float64, error) {
	if e.loose != nil && e.loose.places(check) {
		return nil, nil, ctx.Err()
	}
	return e.Playing.Witness(ctx, check, b, upper)
}
