package engine

import (
	"math"

	"barover/solver"
	"barover/solver/hunt"
)

const (
	// spotShare: a place with at least this share of the worst miss is a tight spot.
	spotShare = 0.98
	// spotGap is the least angle between two tight spots, rad.
	spotGap = 5 * math.Pi / 180
	// leastSpot is the share of its play below which a loose line is tight nowhere.
	leastSpot = 1e-3
	// onCentre is the share of the worst miss at and above which the line is tight on a dead centre. offCentre is the
	// share below which it is free there.
	onCentre, offCentre = 0.95, 0.15
	// between is how far from any dead centre a place counts as half way between two, rad.
	between = math.Pi / 6
	// sideBySide is how much the paths of the two ends of a coupling rod may differ, as a share of their length.
	sideBySide = 0.1
	// besideCentre is how far on either side of a dead centre the miss is sampled, rad: at the dead centre itself it may
	// jump.
	besideCentre = math.Pi / 180
)

// SameSlack is the distance, as a share of the sketch's size, within which two poses count as the same but for the slack
// of loose lines. At a dead centre one of them may be as good as another.
const SameSlack = 0.02

// Slack reports whether loose lines hold part of the linkage.
func (m *Engine) Slack() bool {
	if m.Linkage == nil {
		return false // a motion of another kind
	}
	return m.Linkage.Schedule().Slack()
}

// Tight finds the tight spots of a loose line.
func (r *Run) Tight(c *solver.Check) *solver.Tight {
	q := r.Engine.Miss(c)
	fig := absolute{q.Figure.(*missFigure)}
	k := r.Trace(fig, Search{greatest: true})
	most, ok := k.Greatest()
	if !ok || !(most.V > leastSpot*q.hi) {
		return nil
	}
	t := &solver.Tight{}
	for _, i := range r.gathered(k.Above(spotShare * most.V)) {
		t.Spots = append(t.Spots, solver.Spot{From: i.From, To: i.To, At: k.highest(i)})
	}
	t.Reads = r.read(fig, k, most)
	return t
}

// gathered joins stretches with next to nothing between them: at a dead centre the miss may jump.
func (r *Run) gathered(list []solver.Interval) (out []solver.Interval) {
	for _, i := range list {
		if n := len(out); n > 0 && i.From-out[n-1].To < spotGap {
			out[n-1].To = max(out[n-1].To, i.To)
		} else {
			out = append(out, i)
		}
	}
	if n := len(out); n > 1 && r.Closed && out[0].From+r.Length()-out[n-1].To < spotGap {
		out[n-1].To = max(out[n-1].To, out[0].To+r.Length())
		out = out[1:]
	}
	return out
}

// highest returns where in a stretch the figure is greatest, or the middle of where it is level.
func (c *Curve) highest(i solver.Interval) float64 {
	best := math.Inf(-1)
	var first, last float64
	for _, ks := range c.runs {
		for _, k := range ks {
			t := k.T
			if c.closed && t < i.From {
				t += c.Run.Length()
			}
			if !(t >= i.From && t <= i.To) {
				continue
			}
			switch near := levelSpot * math.Abs(best); {
			case k.V > best+near:
				best, first, last = k.V, t, t
			case k.V >= best-near:
				first, last = math.Min(first, t), math.Max(last, t)
			}
		}
	}
	if math.IsInf(best, -1) {
		return (i.From + i.To) / 2
	}
	return (first + last) / 2
}

// levelSpot is the relative difference below which two places are equally tight.
const levelSpot = 1e-5

// absolute is the amount by which a loose length is missed, without its sign.
type absolute struct{ f *missFigure }

func (a absolute) Value(s *Station) float64 { return math.Abs(a.f.Value(s)) }

func (a absolute) slope(s *Station) (v, slope float64) {
	v, slope = a.f.slope(s)
	return math.Abs(v), slope * math.Copysign(1, v)
}

// read says what the tight spots mean, for a line that is the rod between two cranks.
func (r *Run) read(fig absolute, k *Curve, most Knot) solver.Reading {
	if !r.Closed || !r.couples(fig.f) {
		return solver.Unread
	}
	centres := r.centres(fig.f)
	if len(centres) == 0 {
		return solver.Unread
	}
	on, far := 0.0, math.Inf(1)
	for _, t := range centres {
		for _, d := range [3]float64{-besideCentre, 0, besideCentre} {
			if v := k.Value(r.wrap(t + d)); v > on {
				on = v
			}
		}
		d := math.Remainder(most.T-t, r.Length())
		far = math.Min(far, math.Abs(d))
	}
	switch {
	case on >= onCentre*most.V:
		return solver.OnCentres
	case far < between:
		return solver.Unread
	case on <= offCentre*most.V:
		return solver.Between
	}
	return solver.Mixed
}

// couples reports whether the two ends of a loose line move side by side, as those of a coupling rod do.
func (r *Run) couples(f *missFigure) bool {
	if len(r.Spans) != 1 {
		return false
	}
	first := &r.Spans[0][0].pose
	round, apart := 0.0, 0.0
	for i := range r.Spans[0] {
		p := &r.Spans[0][i].pose
		a, b := p.Point[f.p].Sub(first.Point[f.p]), p.Point[f.q].Sub(first.Point[f.q])
		round, apart = math.Max(round, a.Len()), math.Max(apart, a.Sub(b).Len())
	}
	return round > 0 && apart <= sideBySide*round
}

// centres lists the turns at which the crank is in line with the rod or square to it: the dead centres of this rod, and
// those of a rod a quarter of a turn away from it.
func (r *Run) centres(f *missFigure) (turns []float64) {
	lean := func(s *Station) [2]float64 {
		s.going()
		way, rod := s.rate(f.p), s.pose.Point[f.q].Sub(s.pose.Point[f.p])
		return [2]float64{way.Dot(rod), way.Cross(rod)}
	}
	span, at, room := r.Spans[0], r.Engine.NewStation(), new(Station)
	a := lean(span[0].CopyTo(room))
	for i := 1; i < len(span); i++ {
		b := lean(span[i].CopyTo(room))
		for k := range a {
			side := func(t float64) float64 {
				if !r.Stand(t, at) {
					return math.NaN()
				}
				return lean(at)[k]
			}
			if a[k] == 0 || a[k]*b[k] < 0 {
				turns = append(turns, hunt.RootBetween(side, span[i-1].Turn, span[i].Turn, a[k], b[k], TurnTolerance))
			}
		}
		a = b
	}
	return turns
}
