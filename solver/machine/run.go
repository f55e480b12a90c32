package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/linkage"
)

// motion is what a study needs of a linkage's motion at one travel setting.
type motion interface {
	Spans() [][2]float64
	Broken() []linkage.Broken
	At(turn float64, p *linkage.Pose) linkage.Status
	Speeds(p *linkage.Pose, c *expr.Context)
	Rates(p *linkage.Pose, c *expr.Context)
}

// run is one look at the whole turn at one travel setting: positions close enough together for nothing to jump from one to
// the next, the headings carried along them, and the least, greatest and span of the sums that want one. It is
// not changed once it is made.
type run struct {
	m        *Machine
	travel   []float64
	motion   motion
	from, to float64
	closed   bool        // the turn ends where it began, so that its start and end are one place
	spans    [][]station // the looked-at positions of each assembled stretch
	marks    []float64   // the turns of all of them, in order
	headings [][]float64 // the headings at each of them
	whole    []float64   // each operation that is taken over all of the turn
	entire   *run        // where this is the run of a few parts alone, the run of all
}

func (r *run) length() float64 { return r.to - r.from }

// bareRun is a run that has not looked at anything yet: enough for distances, and for sums without headings, least,
// greatest and span.
func (m *Machine) bareRun(mo motion, travel []float64) *run {
	t := m.Problem.Turn
	r := &run{m: m, travel: travel, motion: mo, from: t.From, to: t.To, whole: []float64{}}
	r.closed = r.comesRound()
	return r
}

// of is the run of the parts of a cone alone, enough for their distances.
func (r *run) of(c *linkage.Cone) *run {
	parts := *r
	parts.motion, parts.entire = c.On(r.motion.(*linkage.Motion)), r
	return &parts
}

// needs is what the sums that a run is made for need beside positions.
type needs struct {
	headings bool
	whole    []bool // of each operation that is taken over all of the turn
}

// bare is the same without what is found over the whole turn.
func (n needs) bare() needs { return needs{n.headings, make([]bool, len(n.whole))} }

// needsOf is what these sums need, and what is nested in them.
func (m *Machine) needsOf(sums ...expr.ID) needs {
	g := m.Problem.Graph
	n := needs{whole: make([]bool, len(g.Wholes))}
	seen := make(map[expr.ID]bool)
	for len(sums) > 0 {
		id := sums[len(sums)-1]
		sums = sums[:len(sums)-1]
		if id == expr.None || seen[id] || g.Uses(id)&(expr.UsesHeading|expr.UsesWhole) == 0 {
			continue
		}
		seen[id] = true
		node := g.Nodes[id]
		if node.Op == expr.Heading {
			n.headings = true
		}
		if node.Op.Whole() {
			n.whole[node.Ref] = true
		}
		sums = append(sums, node.A, node.B)
	}
	return n
}

// everySum is what all sums of the sketch need.
func (m *Machine) everySum() needs {
	g := m.Problem.Graph
	return m.needsOf(append(slices.Clone(g.Wholes), g.Headings...)...)
}

// ready finds what sums need, now that the positions are looked at. Headings start beside those of rest, along the way
// from rest to this setting; rest is nil for the rest setting itself.
func (r *run) ready(ctx context.Context, rest *run, n needs) (*run, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if n.headings {
		if err := r.carryHeadings(ctx, rest); err != nil {
			return nil, err
		}
	}
	r.findWholes(n.whole)
	return r, ctx.Err()
}

// lookAround solves the drawn positions, others between them where the step is coarse, and more where a point goes fast.
func (r *run) lookAround() {
	for _, span := range r.motion.Spans() {
		var out []station
		for _, t := range r.m.turnsWithin(span[0], span[1]) {
			s := r.m.newStation()
			if !r.stand(t, s) {
				continue
			}
			if n := len(out); n > 1 {
				if bend := r.bend(&out[n-2], &out[n-1], s); bend > fast*r.m.size {
					a, b := out[n-2], out[n-1]
					out = append(r.between(out[:n-1], &a, &b, bend, 0), b)
					out = r.between(out, &b, s, bend, 0)
				}
			}
			out = append(out, *s)
		}
		if len(out) > 0 {
			r.spans = append(r.spans, out)
		}
	}
}

// turnsWithin lists the turns to look at from a to b, both included.
func (m *Machine) turnsWithin(a, b float64) []float64 {
	t := m.Problem.Turn
	parts := math.Ceil(t.Step/coarsest - 1e-9)
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

// between adds positions between a and b, beside which some point bends off by bend, until none bends by much.
func (r *run) between(out []station, a, b *station, bend float64, depth int) []station {
	if depth == maxDepth || len(out) > mostLookedAt || !(bend > fast*r.m.size) {
		return out
	}
	mid := r.m.newStation()
	if !r.stand((a.turn+b.turn)/2, mid) {
		return out
	}
	bend = r.bend(a, mid, b)
	out = r.between(out, a, mid, bend, depth+1)
	out = append(out, *mid)
	return r.between(out, mid, b, bend, depth+1)
}

// bend is by how much, at the most, a watched point at k lies off the straight line from where it is at a to where it is at b.
func (r *run) bend(a, k, b *station) float64 {
	worst, f := 0.0, (k.turn-a.turn)/(b.turn-a.turn)
	for _, i := range r.m.watched() {
		p, from, to := k.pose.Point[i], a.pose.Point[i], b.pose.Point[i]
		worst = math.Max(worst, p.Sub(from).Sub(to.Sub(from).Scale(f)).Len())
	}
	return worst
}

// comesRound reports whether the turn ends in the pose that it began in.
func (r *run) comesRound() bool {
	turns := r.length() / (2 * math.Pi)
	first, last := r.m.newStation(), r.m.newStation()
	if math.Abs(turns-math.Round(turns)) > 1e-9 || !r.stand(r.from, first) || !r.stand(r.to, last) {
		return false
	}
	near := 1e-6 * r.m.size
	if r.m.slack() {
		near = sameSlack * r.m.size
	}
	for i, p := range first.pose.Point {
		if !(p.Sub(last.pose.Point[i]).Len() <= near) {
			return false
		}
	}
	return true
}

// findWholes finds each wanted operation that is taken over all of this turn, nested ones first.
func (r *run) findWholes(wanted []bool) {
	g := r.m.Problem.Graph
	r.whole = make([]float64, 0, len(g.Wholes))
	for i, id := range g.Wholes {
		v := math.NaN()
		if wanted[i] {
			r.shareWholes()
			v = r.findWhole(&g.Nodes[id])
		}
		r.whole = append(r.whole, v)
	}
	r.shareWholes()
}

// findWhole finds one of them; NaN where it has no value.
func (r *run) findWhole(n *expr.Node) float64 {
	switch {
	case n.Op.IsPlace():
		return r.placeOf(n)
	case n.Op == expr.AtPlace:
		return r.atPlace(n)
	}
	c := r.trace(r.m.sum(n.A), search{least: n.Op != expr.Greatest, greatest: n.Op != expr.Least})
	lo, ok := c.least()
	hi, _ := c.greatest()
	switch {
	case !ok || len(c.none) > 0:
		return math.NaN()
	case n.Op == expr.Least:
		return lo.v
	case n.Op == expr.Greatest:
		return hi.v
	}
	return hi.v - lo.v
}

// shareWholes lets the looked-at positions see what is found so far.
func (r *run) shareWholes() {
	for _, span := range r.spans {
		for i := range span {
			span[i].sums.Whole = r.whole
		}
	}
}
