package engine

import (
	"context"
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
)

// A heading is followed from place to place: along the turn, and from rest to a setting of the travels. Which way round it turns
// between two places is known where the way of its one point seen from the other keeps clear of the other: the way bends off the
// straight line by less than it passes by. Elsewhere the step is halved. Where points pass within the error of their places,
// nothing tells the way round, and the heading is lost from there on.

// lost is the value of a heading of which it cannot be told which way round it has gone.
var lost = math.Inf(1)

const (
	// mostHalved is how often a step is halved: 1° down to 1e-14 rad, over which no point moves by more than its error.
	mostHalved = 40
	// mostAdded is how many places are added to one trail; what is in doubt beyond that is lost.
	mostAdded = 4000
)

// parting is a place at which a heading is lost.
type parting struct {
	heading expr.ID
	at      float64 // the turn, rad, or the share of the way from rest
	travel  []float64
	jumps   bool // its points do not meet there: the one jumps past the other
}

// bearing is what headings are made of at a place.
type bearing struct {
	at   float64
	s    *Station
	seen []plane.Vec // by heading: the way to its one point from the other
	off  []float64   // the possible error of that
}

// clears is how far the straight line between two bearings passes by the point from which heading k is seen.
func (a *bearing) clears(b *bearing, k int) float64 {
	from, way := a.seen[k], b.seen[k].Sub(a.seen[k])
	if l := way.Dot(way); l > 0 {
		from = from.Add(way.Scale(math.Min(math.Max(-from.Dot(way)/l, 0), 1)))
	}
	return from.Len()
}

// bends is how far heading k's way at m is off the straight line from a to b.
func (m *bearing) bends(a, b *bearing, k int) float64 {
	share := (m.at - a.at) / (b.at - a.at)
	return m.seen[k].Sub(a.seen[k]).Sub(b.seen[k].Sub(a.seen[k]).Scale(share)).Len()
}

// trail follows headings.
type trail struct {
	nodes    []expr.ID
	eval     *expr.Eval
	stand    func(at float64) *Station // nil where the parts do not assemble
	now      []float64                 // each heading, rad; NaN before it has a value, lost after that
	passed   []Station                 // the stations passed, with their headings
	added    int                       // the places added
	partings []parting
}

// trail begins with the headings now; none has a value yet where there are none.
func (m *Engine) trail(now []float64, stand func(float64) *Station) *trail {
	if now == nil {
		now = slices.Repeat([]float64{math.NaN()}, len(m.Problem.Graph.Headings))
	}
	return &trail{nodes: m.Problem.Graph.Headings, eval: expr.NewEval(m.Values), now: now, stand: stand}
}

// bearing returns what headings are made of at a station; nil for none.
func (t *trail) bearing(at float64, s *Station) *bearing {
	if s == nil {
		return nil
	}
	b := &bearing{at, s, make([]plane.Vec, len(t.nodes)), make([]float64, len(t.nodes))}
	for k, id := range t.nodes {
		y, x, off := t.eval.Operands(id, &s.sums)
		b.seen[k], b.off[k] = plane.Vec{X: x, Y: y}, off
	}
	return b
}

// take passes a station.
func (t *trail) take(b *bearing) {
	now := slices.Clone(t.now)
	for k, v := range b.seen {
		if v.Len() <= b.off[k] {
			continue
		}
		first := math.IsNaN(now[k])
		if now[k] = expr.HeadingNear(v.Y, v.X, now[k]); first {
			for i := range t.passed {
				t.passed[i].sums.Heading[k] = now[k]
			}
		}
	}
	t.now, b.s.sums.Heading = now, now
	t.passed = append(t.passed, *b.s)
}

// along follows headings over stations whose places are in order. Of two stations side by side the way between them bends no more
// than it does over two steps there.
func (t *trail) along(list []*bearing) {
	bends := make([]float64, len(t.nodes))
	for i, b := range list {
		if i > 0 {
			for k := range bends {
				bends[k] = bendBeside(list, i, k)
			}
			t.step(list[i-1], b, bends, mostHalved)
		}
		t.take(b)
	}
}

// bendBeside is how far heading k's way bends at the stations on either side of step i; infinite where both are ends.
func bendBeside(list []*bearing, i, k int) float64 {
	bend := math.Inf(1)
	if i > 1 {
		bend = list[i-1].bends(list[i-2], list[i], k)
	}
	if i+1 < len(list) {
		if on := list[i].bends(list[i-1], list[i+1], k); i == 1 || on > bend {
			bend = on
		}
	}
	return bend
}

// step passes what stations it takes between a and b for each heading to turn the way that is known.
func (t *trail) step(a, b *bearing, bends []float64, halvings int) {
	var doubt []int
	for k := range t.nodes {
		known := a.clears(b, k) > bends[k]+math.Max(a.off[k], b.off[k])
		if !known && !math.IsNaN(t.now[k]) && t.now[k] != lost {
			doubt = append(doubt, k)
		}
	}
	if len(doubt) == 0 {
		return
	}
	if t.added++; halvings > 0 && t.added <= mostAdded {
		at := (a.at + b.at) / 2
		if m := t.bearing(at, t.stand(at)); m != nil {
			inner := make([]float64, len(bends))
			for k := range inner {
				inner[k] = m.bends(a, b, k)
			}
			t.step(a, m, inner, halvings-1)
			t.take(m)
			t.step(m, b, inner, halvings-1)
			return
		}
	}
	now := slices.Clone(t.now)
	for _, k := range doubt {
		now[k] = lost
		jumps := math.Min(a.seen[k].Len(), b.seen[k].Len()) > math.Max(a.off[k], b.off[k])
		t.partings = append(t.partings, parting{t.nodes[k], (a.at + b.at) / 2, a.s.sums.Travel, jumps})
	}
	t.now = now
}

// carryHeadings follows each heading along the sampled positions, so none jumps by a turn, and adds the positions that it takes.
func (r *Run) carryHeadings(ctx context.Context, rest *Run) error {
	if len(r.Engine.Problem.Graph.Headings) == 0 || len(r.Spans) == 0 {
		return nil
	}
	var now []float64
	if rest != nil {
		var err error
		if now, err = r.headingsFromRest(ctx, rest); err != nil {
			return err
		}
	}
	t := r.Engine.trail(now, func(turn float64) *Station {
		if s := r.Engine.NewStation(); r.Stand(turn, s) {
			return s
		}
		return nil
	})
	for i, span := range r.Spans {
		list := make([]*bearing, len(span))
		for k := range span {
			list[k] = t.bearing(span[k].Turn, &span[k])
		}
		t.passed = make([]Station, 0, len(span))
		t.along(list)
		r.Spans[i] = t.passed
	}
	r.partings = append(r.partings, t.partings...)
	r.noteHeadings()
	return ctx.Err()
}

// noteHeadings lists the headings at all sampled positions, for the positions near them.
func (r *Run) noteHeadings() {
	for _, span := range r.Spans {
		for i := range span {
			r.marks = append(r.marks, span[i].Turn)
			r.headings = append(r.headings, span[i].sums.Heading)
		}
	}
}

// takeHeadings takes over the headings of another run at the same setting, with the positions that were added for them.
func (r *Run) takeHeadings(was *Run) {
	for i, span := range was.Spans {
		r.Spans[i] = make([]Station, len(span))
		for k := range span {
			r.Spans[i][k] = span[k].of(r)
			r.Spans[i][k].sums.Heading = span[k].sums.Heading
		}
	}
	r.marks, r.headings, r.partings, r.found.Headings = was.marks, was.headings, was.partings, true
}

// restSteps is the number of steps from rest to a setting when headings are followed there.
const restSteps = 8

// headingsFromRest follows the headings from rest to this setting, at the first position of the turn that assembles.
func (r *Run) headingsFromRest(ctx context.Context, rest *Run) ([]float64, error) {
	turn := r.Spans[0][0].Turn
	var broke error
	stand := func(share float64) *Station {
		way := make([]float64, len(r.Travel))
		for i := range way {
			way[i] = rest.Travel[i] + (r.Travel[i]-rest.Travel[i])*share
		}
		mo, err := r.Engine.follow(ctx, way, turn, turn)
		if err != nil {
			broke = err
			return nil
		}
		on, s := &Run{Engine: r.Engine, Travel: way, motion: mo, From: r.From, To: r.To, whole: []float64{}}, r.Engine.NewStation()
		if !on.Stand(turn, s) {
			return nil
		}
		return s
	}
	t := r.Engine.trail(rest.headingsNear(turn), stand)
	var list []*bearing
	for k := range restSteps + 1 {
		if b := t.bearing(float64(k)/restSteps, stand(float64(k)/restSteps)); b != nil {
			list = append(list, b)
		}
	}
	t.along(list)
	for _, p := range t.partings {
		p.at = turn
		r.partings = append(r.partings, p)
	}
	return t.now, broke
}
