package engine

import (
	"context"
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/plane"
)

// motion is what a study needs from a linkage's motion at one travel setting.
type motion interface {
	Spans() [][2]float64
	Broken() []linkage.Broken
	At(turn float64, p *linkage.Pose) linkage.Status
	Speeds(p *linkage.Pose, c *expr.Context)
	Rates(p *linkage.Pose, c *expr.Context)
}

// Run is one pass over the whole turn at one travel setting. It holds positions close enough together for nothing to jump
// from one to the next, the headings carried along them, and the least, greatest and span of the sums that need them. It
// does not change once it is made.
type Run struct {
	Engine   *Engine
	Travel   []float64
	motion   motion
	From, To float64
	Closed   bool        // the turn ends where it began: its start and end are one place
	Spans    [][]Station // the sampled positions of each assembled stretch
	marks    []float64   // the turns of all of them, in order
	headings [][]float64 // the headings at each of them
	partings []parting   // where headings are lost
	whole    []float64   // each operation that is taken over all of the turn
	found    Needs       // what of all this was found
	past     *levelled   // curves that it is asked again about
	Entire   *Run        // where this is the run of a few parts alone, the run of all
}

// Length is the length of the turn, rad.
func (r *Run) Length() float64 { return r.To - r.From }

// BareRun returns a run without samples: enough for distances, and for sums without headings, least, greatest and span.
func (m *Engine) BareRun(mo motion, travel []float64) *Run {
	t := m.Problem.Turn
	r := &Run{Engine: m, Travel: travel, motion: mo, From: t.From, To: t.To, whole: []float64{}, past: new(levelled)}
	r.Closed = r.comesRound()
	return r
}

// Of returns the run of the parts of a cone alone, enough for their distances.
func (r *Run) Of(c *linkage.Cone) *Run {
	parts := *r
	parts.motion, parts.Entire = c.On(r.motion.(*linkage.Motion)), r
	return &parts
}

// Beside returns a run without samples at another travel setting near by, for the figures of single positions: see
// linkage.Motion.Shifted. Headings are those nearest to r's. It has no operations over the whole turn.
func (r *Run) Beside(travel []float64) *Run {
	return &Run{Engine: r.Engine, Travel: travel, motion: r.motion.(*linkage.Motion).Shifted(travel), From: r.From, To: r.To, Closed: r.Closed,
		marks: r.marks, headings: r.headings, whole: []float64{}}
}

// Needs is what the sums of a run need besides positions.
type Needs struct {
	Headings bool
	Whole    []bool // of each operation over the whole turn
}

// Bare returns the same Needs without the operations over the whole turn.
func (n Needs) Bare() Needs { return Needs{n.Headings, make([]bool, len(n.Whole))} }

// covers reports whether a run that found n has all that is wanted.
func (n Needs) covers(wanted Needs) bool {
	if wanted.Headings && !n.Headings {
		return false
	}
	for i, w := range wanted.Whole {
		if w && !(i < len(n.Whole) && n.Whole[i]) {
			return false
		}
	}
	return true
}

// NeedsOf is what these sums need, and what is nested in them.
func (m *Engine) NeedsOf(sums ...expr.ID) Needs {
	g := m.Problem.Graph
	n := Needs{Whole: make([]bool, len(g.Wholes))}
	g.Visit(func(_ expr.ID, node *expr.Node) bool {
		n.Headings = n.Headings || node.Op == expr.Heading
		if node.Op.Whole() {
			n.Whole[node.Ref] = true
		}
		return node.Uses&(expr.UsesHeading|expr.UsesWhole) != 0
	}, sums...)
	return n
}

// EverySum returns what all sums of the sketch need.
func (m *Engine) EverySum() Needs {
	g := m.Problem.Graph
	return m.NeedsOf(append(slices.Clone(g.Wholes), g.Headings...)...)
}

// Ready finds what sums need, once the positions are sampled. Headings start next to those of rest, carried from rest to
// this setting; rest is nil for the rest setting itself. It takes over what another run at this setting has found; nil for none.
func (r *Run) Ready(ctx context.Context, rest *Run, n Needs, was *Run) (*Run, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	switch {
	case was != nil && was.found.Headings:
		r.takeHeadings(was)
	case n.Headings:
		if err := r.carryHeadings(ctx, rest); err != nil {
			return nil, err
		}
	}
	r.found.Headings = r.found.Headings || n.Headings
	r.findWholes(n.Whole, was)
	return r, ctx.Err()
}

// LookAround solves the drawn positions, more between them where the step is coarse, and still more where a point moves
// fast.
func (r *Run) LookAround() {
	for _, span := range r.motion.Spans() {
		turns := r.Engine.turnsWithin(span[0], span[1])
		out := make([]Station, 0, len(turns))
		for _, t := range turns {
			s := r.Engine.NewStation()
			if !r.Stand(t, s) {
				continue
			}
			if n := len(out); n > 1 {
				if bend := r.bend(&out[n-2], &out[n-1], s); bend > fast*r.Engine.Size {
					a, b := out[n-2], out[n-1]
					out = append(r.between(out[:n-1], &a, &b, bend, 0), b)
					out = r.between(out, &b, s, bend, 0)
				}
			}
			out = append(out, *s)
		}
		if len(out) > 0 {
			r.Spans = append(r.Spans, out)
		}
	}
}

// turnsWithin lists the turns to sample from a to b, both included.
func (m *Engine) turnsWithin(a, b float64) []float64 {
	t := m.Problem.Turn
	parts := math.Ceil(t.Step/Coarsest - 1e-9)
	step := math.Max(t.Step/math.Max(parts, 1), (t.To-t.From)/mostLookedAt)
	out := []float64{a}
	for k := math.Floor((a-t.From)/step + 1e-6); ; k++ {
		x := t.From + k*step
		if !(x < b-1e-9) {
			break
		}
		if x > a+1e-9 {
			out = append(out, x)
		}
	}
	if b > a {
		out = append(out, b)
	}
	return out
}

// between adds positions between a and b until no point bends off by much. Beside a and b the largest deviation is bend.
func (r *Run) between(out []Station, a, b *Station, bend float64, depth int) []Station {
	if depth == maxDepth || len(out) > mostLookedAt || !(bend > fast*r.Engine.Size) {
		return out
	}
	mid := r.Engine.NewStation()
	if !r.Stand((a.Turn+b.Turn)/2, mid) {
		return out
	}
	bend = r.bend(a, mid, b)
	out = r.between(out, a, mid, bend, depth+1)
	out = append(out, *mid)
	return r.between(out, mid, b, bend, depth+1)
}

// bend returns the largest distance of a watched point at k from the straight line between its places at a and at b.
func (r *Run) bend(a, k, b *Station) float64 {
	worst, f := 0.0, (k.Turn-a.Turn)/(b.Turn-a.Turn)
	for _, i := range r.Engine.watched() {
		p, from, to := k.pose.Point[i], a.pose.Point[i], b.pose.Point[i]
		worst = math.Max(worst, p.Sub(from).Sub(to.Sub(from).Scale(f)).Len())
	}
	return worst
}

// comesRound reports whether the turn ends in the pose in which it began.
func (r *Run) comesRound() bool {
	turns := r.Length() / (2 * math.Pi)
	first, last := r.Engine.NewStation(), r.Engine.NewStation()
	if math.Abs(turns-math.Round(turns)) > 1e-9 || !r.Stand(r.From, first) || !r.Stand(r.To, last) {
		return false
	}
	near := 1e-6 * r.Engine.Size
	if r.Engine.Slack() {
		near = SameSlack * r.Engine.Size
	}
	return slices.EqualFunc(first.pose.Point, last.pose.Point, func(p, q plane.Vec) bool { return p.Sub(q).Len() <= near })
}

// findWholes finds each wanted operation that is taken over all of this turn, nested ones first. Those that another run at this
// setting has found are taken over; nil for none.
func (r *Run) findWholes(wanted []bool, was *Run) {
	g := r.Engine.Problem.Graph
	r.whole, r.found.Whole = make([]float64, 0, len(g.Wholes)), make([]bool, len(g.Wholes))
	for i, id := range g.Wholes {
		v, known := math.NaN(), was != nil && was.found.Whole[i]
		switch {
		case known:
			v = was.whole[i]
		case wanted[i]:
			r.shareWholes()
			v = r.findWhole(&g.Nodes[id])
		}
		r.found.Whole[i] = known || wanted[i]
		r.whole = append(r.whole, v)
	}
	r.shareWholes()
}

// findWhole finds one of them; NaN where it has no value.
func (r *Run) findWhole(n *expr.Node) float64 {
	switch {
	case n.Op.IsPlace():
		return r.placeOf(n)
	case n.Op == expr.AtPlace:
		return r.atPlace(n)
	}
	c := r.Trace(r.Engine.Sum(n.A), Search{Least: n.Op != expr.Greatest, greatest: n.Op != expr.Least})
	lo, ok := c.Least()
	hi, _ := c.Greatest()
	switch {
	case !ok || len(c.none) > 0:
		return math.NaN()
	case n.Op == expr.Least:
		return lo.V
	case n.Op == expr.Greatest:
		return hi.V
	}
	return hi.V - lo.V
}

// shareWholes gives the sampled positions what is found so far.
func (r *Run) shareWholes() {
	for _, span := range r.Spans {
		for i := range span {
			span[i].sums.Whole = r.whole
		}
	}
}

// RunFor returns the run at one travel setting (mm or rad, one for each travel) for sums with the needs n. Headings start at the
// values nearest to those at rest.
func (m *Engine) RunFor(ctx context.Context, travel []float64, n Needs) (*Run, error) {
	at := RestSetting(m.Problem.Travels)
	switch {
	case SameSetting(travel, at):
		return m.RunWith(ctx, at, nil, n)
	case !n.Headings:
		return m.RunWith(ctx, travel, nil, n)
	}
	rest, err := m.RunWith(ctx, at, nil, n.Bare())
	if err != nil {
		return nil, err
	}
	return m.RunWith(ctx, travel, rest, n)
}

// Soonest is RunWith at the rest setting, or anywhere for sums without needs. It does not sample the turn unless they need it.
func (m *Engine) Soonest(ctx context.Context, rest []float64, n Needs) (*Run, error) {
	if n.Headings || slices.Contains(n.Whole, true) {
		return m.RunWith(ctx, rest, nil, n)
	}
	mo, err := m.Motion(ctx, rest)
	if err != nil {
		return nil, err
	}
	return m.BareRun(mo, rest), nil
}

// RunWith samples the motion at one travel setting, for sums that need n. rest is the run at rest, from which headings
// are carried; nil for the rest setting itself.
func (m *Engine) RunWith(ctx context.Context, travel []float64, rest *Run, n Needs) (*Run, error) {
	was := m.ranAt(travel)
	if was != nil && was.found.covers(n) {
		return was, ctx.Err()
	}
	mo, err := m.Motion(ctx, travel)
	if err != nil {
		return nil, err
	}
	r := m.BareRun(mo, travel)
	m.LookOnce(r)
	if r, err = r.Ready(ctx, rest, n, was); err == nil {
		m.keepRun(r)
	}
	return r, err
}
